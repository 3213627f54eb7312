"""Keys of the piano get the names that a reader expects (common practice, no source)."""

from __future__ import annotations

import pytest

from lessonkit.sound.spelling import spelled
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, Key


@pytest.mark.parametrize(("midi", "key", "name"), [
    (63, "Eb", "Eb4"), (63, "E", "D#4"), (63, "C", "Eb4"), (66, "C", "F#4"), (68, "C", "Ab4"), (70, "C", "Bb4"),
    (68, "A minor", "G#4"), (61, "A minor", "C#4"), (59, "Cb", "Cb4"), (60, "C#", "B#3"), (71, "Gb", "Cb5"),
])  # fmt: skip
def test_names_in_a_key(midi: int, key: str, name: str) -> None:
    assert spelled(midi, Key.parse(key)).ascii == name


def test_the_chord_comes_first() -> None:
    """The third of E7 is G♯ also in C."""
    assert spelled(68, Key.parse("C"), Chord.parse("E7")).ascii == "G#4"


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
def test_every_key_of_the_piano_keeps_its_sound(key: Key) -> None:
    assert [spelled(midi, key).midi for midi in range(21, 109)] == list(range(21, 109))
