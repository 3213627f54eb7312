"""Which keys some chords can belong to: every key that is allowed is tried, and every reading is told."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key, Mode
from lessonkit.theory.pitch import NoteName
from lessonkit.theory.scale import SCALES, Scale
from lessonkit.values import dataclass

MOST_CHORDS = 12
"""The most different chords of one puzzle."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One key that some chords can belong to, and the degree of each in it."""

    key: Key
    degrees: tuple[int, ...]

    def __str__(self) -> str:
        return f"{' '.join(map(str, self.degrees))} in {self.key}"


def readings(chords: Sequence[Chord], keys: Iterable[Key]) -> tuple[Reading, ...]:
    """Every one of the keys that has all the chords, in the order in which the keys are given.

    A major key has the chords that its scale's notes make; a minor key those of its natural and of its harmonic scale.
    """
    return tuple(
        Reading(key, tuple((chord.root.letter - key.tonic.letter) % 7 + 1 for chord in chords))
        for key in keys
        if all(_has(key, chord) for chord in chords)
    )


def check_one_reading(chords: Sequence[Chord], key: Key) -> None:
    """Raises ValueError with a sentence where the chords do not tell their key among all keys of its mode."""
    if len(chords) > MOST_CHORDS:
        raise ValueError(f"a puzzle of {len(chords)} different chords is too long; take {MOST_CHORDS} at most")
    found = readings(chords, MINOR_KEYS if key.mode is Mode.MINOR else MAJOR_KEYS)
    names = ", ".join(map(str, chords))
    if all(reading.key != key for reading in found):
        raise ValueError(
            f"{_short(names)} are not all chords of {key}, so that the key cannot be found; take chords of the key"
        )
    if len(found) > 1:
        told = " or ".join(map(str, found[:2]))
        raise ValueError(f"{_short(names)} could be {told}; add a chord that only one of them has, such as V7")


def _has(key: Key, chord: Chord) -> bool:
    return any(set(chord.tones) <= notes for notes in _scales(key))


def _scales(key: Key) -> list[set[NoteName]]:
    own = set(Scale.of_key(key).names)
    return [own, set(Scale(key.tonic, SCALES["harmonic minor"]).names)] if key.mode is Mode.MINOR else [own]


def _short(names: str) -> str:
    return names if len(names) <= 90 else names[:89] + "…"
