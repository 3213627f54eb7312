"""Files for the student to listen to and play along with: one for each drill and each tempo of its ladder.

Names tell the drill's number in the lesson, what it is, its key and its tempo; ``index.html`` lists and plays them and
works from a phone without the internet.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import Enum
from html import escape

from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.listening_names import FASTEST, SLOWEST, listening_stem, tempos_of
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.tempo_ladder import is_dotted
from lessonkit.drills.told import keys_in_words
from lessonkit.sound.performance import Performance, performance
from lessonkit.sound.playing import Playing
from lessonkit.sound.rendering import sound_of
from lessonkit.values import dataclass

INDEX = "index.html"

_USUAL_BREATH = 1
"""The number from which a drill in free time breathes unless another is asked for."""


class Kind(Enum):
    """How the sound is kept."""

    MP3 = "mp3"
    WAV = "wav"


@dataclass(frozen=True, slots=True)
class ListeningFile:
    """A file to be made: its name, the number, title, keys and line of its drill, and what is played."""

    name: str
    number: int
    title: str
    keys: str
    line: str
    beat: str
    tempo: int
    kind: Kind
    performance: Performance

    def content(self) -> bytes:
        """The file's bytes; raises NoSound with a sentence."""
        sound = sound_of(self.performance)
        return sound.mp3() if self.kind is Kind.MP3 else sound.wav()


def usual_playing(exercise: Exercise, tempo: float) -> Playing:
    """How a drill is played where nothing else is asked for: a bar counted in, free time breathing."""
    tempo = min(max(tempo, SLOWEST), FASTEST)
    if exercise.meter is None:
        return Playing(tempo, breathing=_USUAL_BREATH)
    return Playing(tempo, count_in=1)


def listening_files(
    drills: Sequence[DrillFamily], setting: Setting, kind: Kind = Kind.MP3,
    asked: Callable[[Playing], Playing] = lambda usual: usual,
) -> tuple[tuple[ListeningFile, ...], tuple[str, ...]]:  # fmt: skip
    """The files of a lesson's drills, in order, and a sentence for each drill that cannot be heard.

    ``asked`` makes of the usual way of playing a drill the one that is wanted.
    """
    files: list[ListeningFile] = []
    left_out: list[str] = []
    for number, drill in enumerate(drills, start=1):
        try:
            exercise = realise(drill, setting)
        except ValueError as error:
            left_out.append(f"drill {number}, {drill.title}, is left out: {error}")
            continue
        for tempo in tempos_of(drill, setting):
            how = asked(usual_playing(exercise, tempo))
            name = f"{listening_stem(number, drill, exercise)}-{tempo}.{kind.value}"
            beat = "♩." if is_dotted(drill) else "♩"
            line = drill.in_one_line(setting)
            files.append(
                ListeningFile(
                    name,
                    number,
                    drill.title,
                    keys_in_words(exercise),
                    line,
                    beat,
                    tempo,
                    kind,
                    performance(exercise, how),
                )
            )
    return tuple(files), tuple(left_out)


_STYLE = """
body{font-family:Georgia,serif;margin:0 auto;max-width:40rem;padding:1rem;color:#222;background:#faf9f6}
h1{font-size:1.5rem;font-weight:600}h2{font-size:1.1rem;margin:1.6rem 0 .2rem}
p{margin:.2rem 0 .6rem}ul{list-style:none;padding:0;margin:0}li{padding:.4rem 0;border-top:1px solid #ddd}
audio{display:block;width:100%;margin-top:.3rem}a{color:#12554f}small{color:#666}
"""


def index_page(title: str, files: Sequence[ListeningFile], language: str = "en") -> str:
    """A page that lists the files by drill, each with a player; plain HTML that asks nothing from anywhere."""
    out = [
        f'<!DOCTYPE html>\n<html lang="{escape(language)}"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(title)}</title><style>{_STYLE}</style></head><body>",
        f"<h1>{escape(title)}</h1>",
    ]
    number = 0
    for file in files:
        if file.number != number:
            out.append("</ul>" if number else "")
            number = file.number
            out.append(f"<h2>{number}. {escape(file.title)}</h2><p>{escape(file.keys)} · {escape(file.line)}</p><ul>")
        name = escape(file.name)
        length = round(file.performance.length)
        out.append(
            f'<li><a href="{name}">{file.beat} = {file.tempo}</a> '
            f"<small>{length // 60}:{length % 60:02} · {name}</small>"
            f'<audio controls preload="none" src="{name}"></audio></li>'
        )
    out.append("</ul>" if number else "<p>No drill of this lesson can be heard.</p>")
    out.append("</body></html>\n")
    return "\n".join(filter(None, out))
