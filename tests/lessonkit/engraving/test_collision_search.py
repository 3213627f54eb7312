"""The search for ink that touches is honest: one thing of each kind is planted on one of each other kind.

A search that finds nothing anywhere would prove nothing. Which pairs may meet, and where: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations_with_replacement

import pytest

from lessonkit.drawing.shapes import Box, Drawing, Face, Glyph, Line, Mark, Path, Shape, Text
from lessonkit.drills.family import family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.theory.key import Key
from tests.looking.geometry import MEETINGS, clashes, compared_pairs, outside
from tests.looking.ink import KINDS, things_of

SPACE = 5.0
SIZE = 4 * SPACE
HERE = (200.0, 150.0)

Planted = tuple[tuple[Shape, ...], tuple[Mark, ...]]


def glyph(code: int) -> Callable[[float, float], Planted]:
    """A glyph of the music font with its origin there."""
    return lambda x, y: ((Glyph(code, x, y, SIZE),), ())


def stroke(dx: float, dy: float, kind: str = "") -> Callable[[float, float], Planted]:
    """A stroke through a place, under a mark of some kind."""

    def planted(x: float, y: float) -> Planted:
        path = Path((("M", (x - dx, y - dy)), ("L", (x + dx, y + dy))), None, 0.5)
        box = Box(x - dx, y - dy, x + dx, y + dy)
        return (path,), ((Mark(kind, "", box, ""),) if kind else ())

    return planted


def ruled(dx: float, dy: float, mark: str = "", dash: tuple[float, ...] = ()) -> Callable[[float, float], Planted]:
    """A line through a place, within the box of a mark."""

    def planted(x: float, y: float) -> Planted:
        box = Box(x - dx, y - dy - 1, x + dx, y + dy + 1)
        return (Line(x - dx, y - dy, x + dx, y + dy, 0.6, dash=dash),), ((Mark(mark, "", box, ""),) if mark else ())

    return planted


def staff_line(x: float, y: float) -> Planted:
    """The middle line of a staff of its own."""
    box = Box(x - 60, y - 2 * SPACE, x + 60, y + 2 * SPACE)
    return (Line(x - 60, y, x + 60, y, 0.4),), (Mark("staff", "2", box, "2"),)


def system_line(x: float, y: float) -> Planted:
    """The line at the very left of a system."""
    path = Path((("M", (x, y - 15)), ("L", (x, y + 15))), None, 0.7)
    return (path,), (Mark("staff", "2", Box(x, y - 400, x + 99, y - 380), "2"),)


def filled(stroke_width: float, *steps: tuple[str, tuple[float, ...]]) -> Callable[[float, float], Planted]:
    """A filled path around a place."""

    def planted(x: float, y: float) -> Planted:
        moved = tuple(
            (step, tuple(number + (y if at % 2 else x) for at, number in enumerate(numbers))) for step, numbers in steps
        )
        return (Path(moved, stroke=stroke_width),), ()

    return planted


def bent(width: float, height: float, bow: float) -> tuple[tuple[str, tuple[float, ...]], ...]:
    """A closed shape of two curves, lying or standing."""
    w, h = width / 2, height / 2
    if height > width:
        return ("M", (0, -h)), ("C", (bow, -h / 2, bow, h / 2, 0, h)), ("C", (w, h / 2, w, -h / 2, 0, -h)), ("Z", ())
    return ("M", (-w, 0)), ("C", (-w / 2, bow, w / 2, bow, w, 0)), ("C", (w / 2, -h, -w / 2, -h, -w, 0)), ("Z", ())


def circle(radius: float) -> tuple[tuple[str, tuple[float, ...]], ...]:
    """A circle of four curves, as dots are drawn."""
    r, far = radius, 0.5523 * radius
    return (
        ("M", (r, 0)), ("C", (r, far, far, r, 0, r)), ("C", (-far, r, -r, far, -r, 0)),
        ("C", (-r, -far, -far, -r, 0, -r)), ("C", (far, -r, r, -far, r, 0)), ("Z", ()),
    )  # fmt: skip


def tuplet_bracket(x: float, y: float) -> Planted:
    """Half a bracket with its hook."""
    steps = (("M", (x - 6, y + 4)), ("L", (x - 6, y)), ("M", (x - 6, y)), ("L", (x + 6, y)))
    return (Path(steps, None, 0.5),), ()


PLANTS: dict[str, Callable[[float, float], Planted]] = {
    "staff line": staff_line,
    "ledger line": stroke(4, 0),
    "bar line": ruled(0, 12, "bar line"),
    "system line": system_line,
    "brace": filled(0.5, *bent(4, 60, 4)),
    "stem": stroke(0, 9),
    "beam": filled(0.0, ("M", (-12, -1.2)), ("L", (12, -1.2)), ("L", (12, 1.2)), ("L", (-12, 1.2)), ("Z", ())),
    "flag": glyph(0xE240),
    "notehead": glyph(0xE0A4),
    "accidental": glyph(0xE260),
    "bracket": glyph(0xE26A),
    "dot": filled(0.0, *circle(0.9)),
    "repeat dot": glyph(0xE044),
    "rest": glyph(0xE4E5),
    "clef": glyph(0xE062),
    "time signature": glyph(0xE084),
    "accent": glyph(0xE4A0),
    "touch": glyph(0xE4A2),
    "curve": filled(0.3, *bent(40, 3, 1.5)),
    "roll": filled(0.0, *bent(5, 12, -2.5)),
    "hairpin": stroke(12, 1.5, "swell"),
    "loudness": glyph(0xE522),
    "text": lambda x, y: ((Text(x, y, "3", Face.SPARE, 8.0),), ()),
    "writing rule": ruled(14, 0, "chord name"),
    "octave figure": glyph(0xE511),
    "octave line": ruled(12, 0, dash=(2.0, 2.0)),
    "pedal figure": glyph(0xE650),
    "pedal line": ruled(12, 0, "pedal"),
    "tuplet figure": glyph(0xE883),
    "tuplet bracket": tuplet_bracket,
}


def centred(kind: str) -> Planted:
    """One thing of a kind, its box around ``HERE``; a form that is not known to its kind fails at once."""
    plant = PLANTS[kind]
    shapes, marks = plant(*HERE)
    (first, *_) = things_of(page(shapes, marks))
    dx = HERE[0] - (first.box.left + first.box.right) / 2
    dy = HERE[1] - (first.box.top + first.box.bottom) / 2
    return plant(HERE[0] + dx, HERE[1] + dy)


def page(shapes: tuple[Shape, ...], marks: tuple[Mark, ...]) -> Drawing:
    """A drawing whose staff is far away."""
    staff = Mark("staff", "1", Box(0, 900, 400, 900 + SIZE), "1")
    return Drawing(400.0, 1000.0, shapes, (staff, *marks))


def found_at(one: Planted, other: Planted) -> set[frozenset[str]]:
    """The kinds of the pairs that clash."""
    drawing = page((*one[0], *other[0]), (*one[1], *other[1]))
    return {frozenset({clash.one.kind, clash.other.kind}) for clash in clashes(drawing)}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_ink_is_known_by_its_form(kind: str) -> None:
    """What is taken for something else is compared with the wrong things."""
    shapes, marks = centred(kind)
    assert {thing.kind for thing in things_of(page(shapes, marks))} == {kind}


def test_every_pair_of_kinds_is_accounted_for() -> None:
    """465 pairs: which of them are free is a choice that is made here, not by forgetting them."""
    pairs = compared_pairs()
    assert sum(map(len, pairs.values())) == len(KINDS) * (len(KINDS) + 1) // 2 == 465
    assert [len(pairs[way]) for way in ("apart", "joined", "free")] == [424, 9, 32]
    assert all(one in KINDS and other in KINDS for one, other in MEETINGS)


@pytest.mark.parametrize("one", KINDS)
def test_whatever_is_planted_on_another_is_found(one: str) -> None:
    """Each pair that must be apart."""
    x, y = HERE
    missed = []
    for first, second in compared_pairs()["apart"]:
        if first != one:
            continue
        other = PLANTS[one](x + 0.35, y + 0.2) if first == second else centred(second)
        if frozenset({first, second}) not in found_at(PLANTS[one](x, y) if first == second else centred(one), other):
            missed.append(second)
    assert not missed


def test_what_may_meet_at_one_place_may_not_at_another() -> None:
    """A stem through the middle of a head, a tie through the middle of a stem, two rolls half upon one another."""
    x, y = HERE
    for one, other in compared_pairs()["joined"]:
        pair = (PLANTS[one](x, y), PLANTS[one](x + 1.0, y + 0.5)) if one == other else (centred(one), centred(other))
        assert frozenset({one, other}) in found_at(*pair), f"{other} on {one}"


def test_what_belongs_together_is_no_clash() -> None:
    """A head on its stem under its beam, a tie from head to head, a second at one stem."""
    drawing = engrave(realise(family("broken-chords")(), Setting(Key.parse("Eb"))), Look(482.0))[0]
    kinds = {thing.kind for thing in things_of(drawing)}
    assert {"stem", "beam", "notehead", "text", "staff line", "accidental"} <= kinds
    assert not clashes(drawing)
    x, y = HERE
    head = Glyph(0xE0A4, x, y, SIZE)
    (thing,) = things_of(page((head,), ()))
    right = thing.box.right
    stem = Path((("M", (right - 0.2, y)), ("L", (right - 0.2, y - 17))), None, 0.5)
    second = Glyph(0xE0A4, right - 0.4, y - SPACE / 2, SIZE)
    flag = Glyph(0xE240, right - 0.4, y - 17, SIZE)
    assert not clashes(page((head, stem, second), ()))
    assert not clashes(page((head, stem, flag), ()))
    assert clashes(page((head, stem, second._replace(x=x + 1.0)), ()))


def test_ink_beyond_the_edges_is_found() -> None:
    """The page sets drawings side by side; what leaves its drawing stands on its neighbour."""
    assert outside(page((Text(395.0, 100.0, "maj7", Face.SPARE, 10.0),), ()))
    assert not outside(page((Text(100.0, 100.0, "maj7", Face.SPARE, 10.0),), ()))


def test_pairs_that_are_compared() -> None:
    """For reading: the pairs that may meet, in words."""
    pairs = compared_pairs()
    assert ("staff line", "notehead") in pairs["free"]
    assert ("staff line", "text") in pairs["apart"]
    assert set(combinations_with_replacement(KINDS, 2)) == {pair for listed in pairs.values() for pair in listed}
