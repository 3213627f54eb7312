"""music21's word stands in the kept answers, the engine agrees with them, and opening a window needs no music21."""

import json
import subprocess
import sys

from lessonkit.theory.authority import CHORD_KINDS, SCALE_CLASSES, WORKED_OUT, work_out, worked_out
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS
from lessonkit.theory.pitch import Interval
from lessonkit.theory.quality import Quality
from lessonkit.theory.scale import SCALES


def test_the_kept_answers_are_what_music21_says_today() -> None:
    """Made again by ``python -m lessonkit.theory.authority``."""
    assert json.loads(WORKED_OUT.read_text(encoding="utf-8")) == work_out()


def test_scales_and_qualities_take_their_intervals_from_the_kept_answers() -> None:
    """Whatever music21 has is not typed by hand."""
    for key in SCALE_CLASSES:
        assert [tone.name for tone in SCALES[key].tones] == worked_out()["scales"][key]
    for key in CHORD_KINDS:
        assert [tone.name for tone in Quality.named(key).tones] == worked_out()["qualities"][key]


def test_intervals_and_signatures_are_as_music21_has_them() -> None:
    """Our arithmetic against its answers."""
    for name, (steps, semitones) in worked_out()["intervals"].items():
        assert Interval.parse(name) == Interval(steps, semitones)
        assert Interval(steps, semitones).name == name
    signatures = {key.ascii: key.signature for key in (*MAJOR_KEYS, *MINOR_KEYS)}
    assert signatures == worked_out()["signatures"]


WORK = """
import sys
from lessonkit.theory.chord import Chord
from lessonkit.theory.enharmonic import key_order
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.roman import diatonic_chord
from lessonkit.theory.scale import Scale
from lessonkit.theory.voicing import rootless, smoothest
key = Key.parse("Eb")
low, high = Pitch.parse("C3"), Pitch.parse("C6")
chords = [placed.chord for bar in Progression.parse("iim7 V7 | Imaj7 subV7/ii").in_key(key) for placed in bar]
smoothest(chords, low, high), rootless(chords[0], "A", low), Scale.named("C", "blues").friendly().names
diatonic_chord(key, 3), key_order("fifths", key), Chord.parse("Ab7b9").friendly()
assert "music21" not in sys.modules, "music21 was imported"
"""


def test_building_chords_scales_and_voicings_does_not_import_music21() -> None:
    """Importing it costs some 150 ms, which the first paint of the window would wait for."""
    done = subprocess.run([sys.executable, "-c", WORK], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
