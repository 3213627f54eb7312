"""The keyboard in millimetres."""

import pytest

from lessonkit.hands.keyboard import distance_mm, is_on_keyboard, mirrored, target_width_mm
from lessonkit.theory.pitch import Pitch

MAJOR_TENTHS = (212, 226, 220, 221, 224, 212, 219, 212, 224, 221, 220, 226)
MINOR_TENTHS = (203, 203, 212, 206, 212, 200, 204, 204, 200, 212, 206, 212)
"""In millimetres from C to B, from a model with an octave of 165 mm and black keys -2.5, 2.5, -3.5, 0, 3.5 mm off their
cracks (from memory; makers differ by 2 mm)."""


@pytest.mark.parametrize("semitone", range(12))
def test_tenths_are_as_wide_as_the_model_says(semitone: int) -> None:
    """Tenths decide what a left hand can hold; they differ by an inch from key to key."""
    bass = 48 + semitone
    assert distance_mm(bass, bass + 16) == pytest.approx(MAJOR_TENTHS[semitone], abs=2)
    assert distance_mm(bass, bass + 15) == pytest.approx(MINOR_TENTHS[semitone], abs=2)


def test_an_octave_is_the_same_everywhere() -> None:
    """Makers keep 165 mm, crack to crack."""
    assert {round(distance_mm(key, key + 12), 6) for key in range(21, 97)} == {165.0}


def test_d_is_the_axis_of_the_keyboard() -> None:
    """The left hand is fingered on mirrored keys, which is right only where black stays black and widths agree."""
    for key in range(30, 90):
        assert mirrored(mirrored(key)) == key
        assert distance_mm(mirrored(key + 5), mirrored(key)) == pytest.approx(distance_mm(key, key + 5), abs=0.01)


def test_a_black_key_is_a_narrower_target_than_a_white_one() -> None:
    """Landing on A♭ is the harder half of a jump on A♭maj7."""
    widths = {name: target_width_mm(Pitch.parse(f"{name}4").midi) for name in ("C", "D", "Ab")}
    assert widths["Ab"] < widths["C"]
    assert widths["Ab"] < widths["D"]


def test_the_keyboard_ends_at_a0_and_c8() -> None:
    """The piano has 88 keys."""
    assert [is_on_keyboard(key) for key in (20, 21, 108, 109)] == [False, True, True, False]
