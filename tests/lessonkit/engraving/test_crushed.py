"""Small notes that are struck just before a note stand on the page with the signs that they need."""

from __future__ import annotations

import re

import pytest

from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave, engraver_text
from lessonkit.engraving.look import Look
from lessonkit.theory.key import Key

LOOK = Look(482.0)


def crushed_line(key: str, *, crushes: bool = True) -> Exercise:
    """A blues line with thirds crushed in, or the same without."""
    settings = {"scale": "blues", "crushes": crushes, "cell": "1-2-3-4", "direction": "up"}
    return realise(family("sequences").from_settings(settings), Setting(Key.parse(key)))


def shapes_of(drawings: tuple[Drawing, ...]) -> int:
    """How many shapes the systems have together."""
    return sum(len(drawing.shapes) for drawing in drawings)


@pytest.mark.parametrize(("key", "sign"), [("C", "f"), ("Gb", "n"), ("B", "n"), ("A", "n")])
def test_small_notes_have_their_signs_and_the_note_after_them_too(key: str, sign: str) -> None:
    """E flat and then E natural in C; A natural in G flat; in B and A the third of the signature is made natural."""
    exercise = crushed_line(key)
    mei, _ = engraver_text(exercise, LOOK)
    small = re.findall(r'<note xml:id="g(\d+)\.0"[^>]*?(?: accid="(\w+)")?/>', mei)
    assert len(small) == sum(bool(event.crushed) for event in exercise.events) > 0
    assert small[0][1] == sign
    if key == "C":
        assert f'<note xml:id="e{small[0][0]}.0"' in mei
        assert re.search(rf'xml:id="e{small[0][0]}\.0"[^>]* accid="n"', mei)


def test_they_are_drawn() -> None:
    """Each adds at least its head, its stem or stroke, and its sign to the page."""
    with_small, without = crushed_line("C"), crushed_line("C", crushes=False)
    count = sum(bool(event.crushed) for event in with_small.events)
    assert shapes_of(engrave(with_small, LOOK)) >= shapes_of(engrave(without, LOOK)) + 2 * count


def test_they_stand_before_the_beam() -> None:
    """As the first notes inside a beam they would lose their stems."""
    mei, _ = engraver_text(crushed_line("C"), LOOK)
    assert "<beam><graceGrp>" not in mei
    assert "<graceGrp>" in mei


def test_no_mark_stands_for_them() -> None:
    """A click finds the notes of the exercise, numbered by event and pitch."""
    names = {mark.name for drawing in engrave(crushed_line("C"), LOOK) for mark in drawing.marks if mark.kind == "note"}
    assert names == {f"{number}.0" for number, event in enumerate(crushed_line("C").events) if event.pitches}
