"""What the files are called that a student listens to: the drill's number in its lesson, what it is, key and tempo.

Handouts print these names and the files bear them.
"""

from __future__ import annotations

import re
import unicodedata

from lessonkit.drills.exercise import Blank, Exercise
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.setting import Setting
from lessonkit.drills.tempo_ladder import is_dotted, tempo_ladder

SLOWEST, FASTEST = 20, 300
"""The tempos that can be played, in beats a minute."""


def listening_stem(number: int, drill: DrillFamily, exercise: Exercise) -> str:
    """The name without the tempo: ``03-broken-chords-e-flat-major``; no key where the student is to find it."""
    return f"{number:02}-{_plain(drill.title)}{_key_part(exercise)}"


def tempos_of(drill: DrillFamily, setting: Setting) -> tuple[int, ...]:
    """The tempos in which a drill is heard, in its beats: those of its ladder, or the lesson's."""
    return tempo_ladder(drill, setting) or (lesson_tempo(drill, setting),)


def lesson_tempo(drill: DrillFamily, setting: Setting) -> int:
    """The lesson's tempo in the beats of a drill: as many quarters a minute, whatever is counted."""
    tempo = round(setting.tempo * 2 / 3) if is_dotted(drill) else setting.tempo
    return min(max(tempo, SLOWEST), FASTEST)


def _plain(words: str) -> str:
    """Words as every telephone and computer can keep them in a file's name."""
    plain = unicodedata.normalize("NFKD", words.replace("♭", "b").replace("♯", "-sharp"))
    return re.sub(r"[^a-z0-9]+", "-", plain.encode("ascii", "ignore").decode().lower()).strip("-")


def _key_part(exercise: Exercise) -> str:
    if Blank.KEY in exercise.blank:
        return ""
    keys = {bar.key for bar in exercise.bars if bar.key is not None}
    if len(keys) > 1:
        return f"-{len(keys)}-keys"
    key = exercise.key
    tonic = key.tonic.ascii[0].lower() + key.tonic.ascii[1:].replace("#", "-sharp").replace("b", "-flat")
    return f"-{tonic}-{key.mode.word}"
