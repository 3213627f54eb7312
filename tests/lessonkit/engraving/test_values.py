"""Lengths become heads and ties as they are written in practice. Common practice, no source, where none is named."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lessonkit.engraving.values import split, split_by_dotted_beats

WHOLE = 384


@pytest.mark.parametrize(
    ("offset", "length", "parts"),
    [
        ("0", "1/8", ["1/8"]),
        ("0", "5/8", ["1/2", "1/8"]),
        ("1/8", "1/4", ["1/4"]),
        ("3/8", "5/8", ["1/8", "1/2"]),
        ("1/4", "3/4", ["3/4"]),
        ("3/16", "3/8", ["1/16", "1/4", "1/16"]),
        ("0", "7/8", ["7/8"]),
        ("0", "1", ["1"]),
    ],
)
def test_a_note_is_split_where_the_bar_divides(offset: str, length: str, parts: list[str]) -> None:
    """A reader must see the beats; a single head may lie off the beat only where the eye is used to it."""
    answered = split(int(Fraction(offset) * WHOLE), int(Fraction(length) * WHOLE), WHOLE, True, False)
    assert [Fraction(part, WHOLE) for part in answered] == [Fraction(part) for part in parts]


@pytest.mark.parametrize(
    ("offset", "length", "parts"),
    [
        ("1/8", "1/4", ["1/4"]),
        ("3/8", "1/4", ["1/8", "1/8"]),
        ("3/8", "3/8", ["1/8", "1/4"]),
        ("1/4", "3/8", ["1/4", "1/8"]),
        ("1/4", "1/2", ["1/2"]),
        ("1/4", "3/4", ["3/4"]),
        ("5/8", "1/4", ["1/4"]),
        ("0", "7/8", ["1/2", "3/8"]),
    ],
)
def test_the_third_beat_of_four_can_be_seen(offset: str, length: str, parts: list[str]) -> None:
    """A syncopation may lie within half a bar, or from beat to beat across its middle."""
    answered = split(int(Fraction(offset) * WHOLE), int(Fraction(length) * WHOLE), WHOLE, True, False, WHOLE // 2)
    assert [Fraction(part, WHOLE) for part in answered] == [Fraction(part) for part in parts]


@pytest.mark.parametrize(
    ("offset", "length", "parts"),
    [
        ("1/8", "7/8", ["1/8", "1/4", "1/2"]),
        ("1/4", "1/2", ["1/4", "1/4"]),
        ("1/2", "1/2", ["1/2"]),
        ("0", "3/4", ["1/2", "1/4"]),
    ],
)
def test_rests_begin_on_multiples_of_themselves(offset: str, length: str, parts: list[str]) -> None:
    """A rest across the middle of a bar hides the beat."""
    answered = split(int(Fraction(offset) * WHOLE), int(Fraction(length) * WHOLE), WHOLE, True, True)
    assert [Fraction(part, WHOLE) for part in answered] == [Fraction(part) for part in parts]


@pytest.mark.parametrize(
    ("offset", "length", "parts"),
    [
        ("0", "3/4", ["3/4"]),
        ("0", "3/2", ["3/2"]),
        ("0", "3/16", ["3/16"]),
        ("1/8", "1/4", ["1/4"]),
        ("1/8", "3/8", ["1/4", "1/8"]),
        ("1/4", "1/4", ["1/8", "1/8"]),
        ("1/4", "1/2", ["1/8", "3/8"]),
        ("0", "1/2", ["3/8", "1/8"]),
        ("3/8", "3/4", ["3/8", "3/8"]),
    ],
)
def test_dotted_beats_can_be_seen(offset: str, length: str, parts: list[str]) -> None:
    """In 6/8 and 12/8 a note that lies across the beginning of a beat is tied there. Common practice, no source."""
    answered = split_by_dotted_beats(_ticks(offset), _ticks(length), WHOLE, _ticks("3/8"), False)
    assert [Fraction(part, WHOLE) for part in answered] == [Fraction(part) for part in parts]


@pytest.mark.parametrize(
    ("offset", "length", "parts"),
    [
        ("0", "1/4", ["1/4"]),
        ("1/8", "1/4", ["1/8", "1/8"]),
        ("0", "1/2", ["3/8", "1/8"]),
        ("1/4", "1/2", ["1/8", "3/8"]),
    ],
)
def test_rests_show_the_eighths_of_a_dotted_beat(offset: str, length: str, parts: list[str]) -> None:
    """At a beat's end stand two rests of an eighth, at its beginning one of a quarter. Common practice, no source."""
    answered = split_by_dotted_beats(_ticks(offset), _ticks(length), WHOLE, _ticks("3/8"), True)
    assert [Fraction(part, WHOLE) for part in answered] == [Fraction(part) for part in parts]


def _ticks(time: str) -> int:
    return int(Fraction(time) * WHOLE)


def test_free_time_has_no_beats_to_show() -> None:
    """Without a metre the longest value comes first."""
    assert split(48, 5 * 48, WHOLE, False, False) == (4 * 48, 48)


@pytest.mark.parametrize("length", range(1, 65))
@pytest.mark.parametrize("offset", [0, 1, 7, 16, 33])
def test_the_parts_add_up(offset: int, length: int) -> None:
    """Whatever is split, no time is lost."""
    for is_metric in (True, False):
        for is_rest in (True, False):
            assert sum(split(6 * offset, 6 * length, WHOLE, is_metric, is_rest)) == 6 * length
            assert sum(split_by_dotted_beats(6 * offset, 6 * length, WHOLE, 144, is_rest)) == 6 * length
