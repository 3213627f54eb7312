"""Small and large print: the sizes of what stands around the notes are chosen, not merely scaled."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from lessonkit.drawing.shapes import Drawing, Face, Line, Text
from lessonkit.drills.exercise import Bar, BarEnd, Dynamic, Exercise, Meter, Slur
from lessonkit.drills.family import Hands, family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.engraving.sizes import sizes_of
from lessonkit.theory.key import Key
from tests.looking.ink import space_of, things_of

WIDTH = 482.0


def broken(key: str = "Eb", **settings: object) -> Exercise:
    """Broken chords over two octaves."""
    return realise(family("broken-chords").from_settings(settings), Setting(Key.parse(key)))


def staff_line(drawing: Drawing) -> float:
    """How thick the staff lines are, in points."""
    return next(shape.width for shape in drawing.shapes if isinstance(shape, Line) and shape.y1 == shape.y2)


@pytest.mark.parametrize("height", [6.0, 7.0, 8.0, 10.0, 12.0, 16.0])
def test_staff_lines_are_as_thick_as_engravers_make_them(height: float) -> None:
    """0.08 to 0.13 of a space, and never under 0.13 mm: common practice, no source."""
    (drawing, *_) = engrave(broken(), Look(WIDTH, height))
    millimetres = staff_line(drawing) * 25.4 / 72
    assert 0.08 <= millimetres / (height / 4) <= 0.13
    assert millimetres >= 0.13


def test_large_print_is_no_plain_enlargement() -> None:
    """Lines and digits grow more than the notes, names and the room between notes less: modified stave notation."""
    usual, large = sizes_of(Look(WIDTH, 7.0)), sizes_of(Look(WIDTH, 16.0))
    assert large.weight > usual.weight
    assert large.finger > usual.finger
    assert large.dot > usual.dot
    assert large.loudness > usual.loudness
    assert large.name < usual.name
    assert large.room < usual.room


def measures(height: float) -> dict[str, float]:
    """How thick, large and far apart things are in a finished drawing, in staff spaces."""
    exercise = replace(
        realise(replace(family("broken-chords")(), hands=Hands.RIGHT), Setting(Key.parse("C"))),
        dynamics=(Dynamic(Fraction(0), "mf"),), slurs=(Slur(0, 3),),
    )  # fmt: skip
    dotted = tuple(
        replace(event, onset=Fraction(3 * at, 8), length=Fraction(3, 8)) for at, event in enumerate(exercise.events[:4])
    )
    bars = (Bar(Fraction(0), Fraction(3, 4), end=BarEnd.SINGLE), Bar(Fraction(3, 4), Fraction(3, 4), end=BarEnd.FINAL))
    exercise = replace(exercise, meter=Meter(6, 8), events=dotted, bars=bars, chords=exercise.chords[:1])
    drawing = engrave(exercise, Look(WIDTH, height))[0]
    space = space_of(drawing)
    found: dict[str, list[float]] = {}
    for thing in things_of(drawing):
        across, down = thing.box.right - thing.box.left, thing.box.bottom - thing.box.top
        size = down if thing.kind in ("staff line", "ledger line", "loudness", "notehead") else across
        found.setdefault(thing.kind, []).append(size / space)
        if thing.kind == "curve":
            found.setdefault("slur", []).append(thing.shape.stroke / space)  # type: ignore[union-attr]
    sizes = {kind: min(values) for kind, values in found.items()}
    sizes["end"] = max(found["bar line"])
    texts = [shape for shape in drawing.shapes if isinstance(shape, Text)]
    sizes["finger"] = next(text.size for text in texts if text.text in "12345") / space
    sizes["name"] = next(text.size for text in texts if text.text == "C") / space
    return sizes


def test_large_print_as_it_is_drawn() -> None:
    """Each adjustment of modified stave notation, measured in the drawing against the staff.

    Staff lines, stems, bar lines and slurs thicker; dots, fingers and loudness larger than the notes; names smaller,
    and the heads as they were. Source: the published guidance for partially sighted readers, which gives no figures.
    """
    usual, large = measures(7.0), measures(16.0)
    grown = {kind: large[kind] / usual[kind] for kind in usual if kind in large}
    for kind in ("staff line", "stem", "bar line", "slur"):
        assert 1.3 < grown[kind] < 3.0, kind
    for kind in ("dot", "finger", "loudness"):
        assert 1.1 < grown[kind] < 1.5, kind
    assert grown["name"] < 0.9
    assert grown["notehead"] == pytest.approx(1.0, abs=0.01)
    assert grown["end"] == pytest.approx(1.0, abs=0.02), "a heavy line is heavy enough"


def test_small_print_does_not_fade() -> None:
    """At six millimetres lines are no thinner than at seven: below that they break up in copying."""
    usual, small = measures(7.0), measures(6.0)
    for kind in ("staff line", "stem", "bar line"):
        assert small[kind] * 6.0 == pytest.approx(usual[kind] * 7.0, rel=0.01)


@pytest.mark.parametrize("height", [4.0, 5.0, 6.0, 7.0, 16.0])
def test_no_digit_is_too_small_to_be_read(height: float) -> None:
    """Six to seven points at least: common practice, no source."""
    (drawing, *_) = engrave(broken(), Look(WIDTH, height))
    digits = [shape for shape in drawing.shapes if isinstance(shape, Text) and shape.text.isdigit()]
    assert digits
    assert min(shape.size for shape in digits if shape.face is Face.SERIF) >= 6.7


def test_a_tighter_line_holds_more_of_large_print() -> None:
    """A student who reads large print still sees two bars at once where plain enlargement would show one."""
    exercise = realise(replace(family("walking-bass")(), hands=Hands.RIGHT), Setting(Key.parse("C")))
    bars = [sum(mark.kind == "bar line" for mark in drawing.marks) for drawing in engrave(exercise, Look(WIDTH, 14.0))]
    assert min(bars) >= 2


def test_bars_are_numbered_where_lines_begin() -> None:
    """Teacher and student find the bar that they speak of."""
    exercise = broken()
    first, *others = engrave(exercise, Look(WIDTH))
    numbers = [[mark for mark in drawing.marks if mark.name == "bar number"] for drawing in (first, *others)]
    assert others
    assert not numbers[0]
    for drawing, (number,) in zip(others, numbers[1:], strict=True):
        assert number.detail == str(1 + int(drawing_first_bar(drawing)))
    plain = engrave(exercise, Look(WIDTH, numbers_bars=False))
    assert not [mark for drawing in plain for mark in drawing.marks if mark.name == "bar number"]


def drawing_first_bar(drawing: Drawing) -> str:
    """The bar that the first bar line of a line ends."""
    return min((mark for mark in drawing.marks if mark.kind == "bar line"), key=lambda mark: mark.box.left).name


def test_free_time_has_no_bars_to_number() -> None:
    """What has no metre is counted in groups."""
    drawings = engrave(broken("C", metre="free", octaves=3), Look(WIDTH))
    assert len(drawings) > 1
    assert not [mark for drawing in drawings for mark in drawing.marks if mark.name == "bar number"]
