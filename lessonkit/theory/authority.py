"""The one door to music21, whose word counts for scales, keys, intervals, degrees and chord symbols; answers are ours.

music21 takes 150 ms to import, so it is imported only inside the functions here. What drawing a page needs of it is
kept in ``worked_out.json``, which ``python -m lessonkit.theory.authority`` writes; a test demands that it is current.
"""

from __future__ import annotations

import json
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, TypedDict

from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.pitch import Interval, NoteName

WORKED_OUT = Path(__file__).with_name("worked_out.json")

CHORD_KINDS = {
    "maj": "major", "m": "minor", "dim": "diminished", "aug": "augmented", "sus2": "suspended-second",
    "sus4": "suspended-fourth", "5": "power", "6": "major-sixth", "m6": "minor-sixth", "maj7": "major-seventh",
    "7": "dominant-seventh", "m7": "minor-seventh", "m7b5": "half-diminished-seventh", "dim7": "diminished-seventh",
    "m(maj7)": "minor-major-seventh", "maj7#5": "augmented-major-seventh", "7#5": "augmented-seventh",
    "7sus4": "suspended-fourth-seventh", "7b5": "seventh-flat-five", "9": "dominant-ninth", "maj9": "major-ninth",
    "m9": "minor-ninth", "11": "dominant-11th", "m11": "minor-11th", "m13": "minor-13th",
}  # fmt: skip
"""Our chord qualities by the kind music21 knows them as; the others it has not, or stacks a ninth as a second."""

SCALE_CLASSES = {
    "major": "MajorScale", "ionian": "MajorScale", "natural minor": "MinorScale", "aeolian": "MinorScale",
    "harmonic minor": "HarmonicMinorScale", "melodic minor": "MelodicMinorScale", "dorian": "DorianScale",
    "phrygian": "PhrygianScale", "lydian": "LydianScale", "mixolydian": "MixolydianScale", "locrian": "LocrianScale",
    "octatonic whole-half": "OctatonicScale",
}  # fmt: skip
"""Our scales by the class of music21. Its whole-tone scale is not taken: it ends on the augmented sixth (C to A♯)."""


class WorkedOut(TypedDict):
    """What the file holds: scales and qualities as interval names, intervals as letters and semitones, signatures."""

    scales: dict[str, list[str]]
    qualities: dict[str, list[str]]
    intervals: dict[str, list[int]]
    signatures: dict[str, int]


@lru_cache(maxsize=1)
def worked_out() -> WorkedOut:
    """The answers that are kept beside the code."""
    answers: WorkedOut = json.loads(WORKED_OUT.read_text(encoding="utf-8"))
    return answers


def work_out() -> WorkedOut:
    """Ask music21 for all that the file holds."""
    names = ("P1", "m2", "M2", "A2", "m3", "M3", "d4", "P4", "A4", "d5", "P5", "A5", "m6", "M6", "A6", "d7", "m7", "M7",
             "P8", "m9", "M9", "A9", "m10", "M10", "P11", "A11", "P12", "m13", "M13", "m14", "M14", "P15")  # fmt: skip
    return {
        "scales": {key: [interval.name for interval in scale_intervals(key)] for key in SCALE_CLASSES},
        "qualities": {key: [interval.name for interval in quality_intervals(key)] for key in CHORD_KINDS},
        "intervals": {name: [interval(name).steps, interval(name).semitones] for name in names},
        "signatures": {key.ascii: signature(key) for key in (*MAJOR_KEYS, *MINOR_KEYS)},
    }


@cache
def scale_intervals(key: str) -> tuple[Interval, ...]:
    """The intervals of a scale of ``SCALE_CLASSES`` above its tonic, rising."""
    from music21 import scale

    rising: Any = getattr(scale, SCALE_CLASSES[key])("C4")
    pitches = rising.getPitches("C4", "B4", direction=scale.Direction.ASCENDING)
    return tuple(_between(pitches[0], pitch) for pitch in pitches)


@cache
def quality_intervals(key: str) -> tuple[Interval, ...]:
    """The intervals of a quality of ``CHORD_KINDS`` above its root, extensions above the octave."""
    from music21 import harmony

    chord: Any = harmony.ChordSymbol(root="C", kind=CHORD_KINDS[key])
    return _stacked(chord.pitches)


@cache
def interval(name: str) -> Interval:
    """The letters and semitones of an interval's name."""
    from music21 import interval as intervals

    found: Any = intervals.Interval(name)
    return Interval(int(found.generic.staffDistance), int(found.semitones))


@cache
def signature(key: Key) -> int:
    """The sharps in the signature of a key; flats count negative."""
    from music21 import key as keys

    return int(keys.Key(_their(key.tonic), key.mode.word).sharps)


@lru_cache(maxsize=4096)
def roman_tones(figure: str, key: Key) -> tuple[NoteName, ...]:
    """The notes of a Roman numeral as music21 reads the figure (``V7``, ``viio7/V``), root first.

    In minor music21 puts vi and vii on the raised degrees and VI and VII on the natural ones, as we do. Raises
    ValueError where it cannot read the figure.
    """
    from music21 import exceptions21, roman
    from music21 import key as keys

    try:
        numeral: Any = roman.RomanNumeral(figure, keys.Key(_their(key.tonic), key.mode.word))
        return tuple(_our(pitch.name) for pitch in numeral.pitches)
    except (exceptions21.Music21Exception, ValueError) as error:
        raise ValueError(f"{figure!r} cannot be read by music21: {error}") from None


@lru_cache(maxsize=4096)
def symbol_tones(root: NoteName, key: str) -> tuple[NoteName, ...]:
    """The notes of a chord as music21 spells its kind above a root, low to high."""
    from music21 import harmony

    chord: Any = harmony.ChordSymbol(root=_their(root), kind=CHORD_KINDS[key])
    return tuple(_our(pitch.name) for pitch in chord.pitches)


def _between(low: Any, high: Any) -> Interval:
    from music21 import interval as intervals

    found: Any = intervals.Interval(low, high)
    return Interval(int(found.generic.staffDistance), int(found.semitones))


def _stacked(pitches: Any) -> tuple[Interval, ...]:
    return tuple(sorted((_between(pitches[0], pitch) for pitch in pitches), key=lambda one: one.steps))


def _their(name: NoteName) -> str:
    """A name as music21 writes it: its flats are minus signs."""
    return name.ascii[0] + name.ascii[1:].replace("b", "-")


def _our(name: str) -> NoteName:
    return NoteName.parse(name.replace("-", "b"))


if __name__ == "__main__":
    WORKED_OUT.write_text(json.dumps(work_out(), indent=1) + "\n", encoding="utf-8")
