"""Touch, slurs, swells, pedal lines and repeats: drawn for what they mean, clear of notes, fingers and one another."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from lessonkit.drawing.shapes import Drawing, Glyph, Mark, Path
from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import DrillFamily, Hands, families, family
from lessonkit.drills.params import Plain
from lessonkit.drills.playing import Articulation, Loudness, PedalUse, Shaping
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.theory.key import Key
from tests.lessonkit.engraving.test_read_back import assert_printed_as_meant

LOOK = Look(482.0)
ACCENT, STACCATO, TENUTO, PED, REPEAT_DOT = {0xE4A0, 0xE4A1}, {0xE4A2, 0xE4A3}, {0xE4A4, 0xE4A5}, {0xE650}, {0xE044}


def made(code: str, key: str = "C", **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key)))


def signs(drawings: tuple[Drawing, ...], codes: set[int]) -> list[Glyph]:
    """The glyphs of some codes, in order."""
    return [shape for one in drawings for shape in one.shapes if isinstance(shape, Glyph) and shape.code in codes]


def of_kind(drawings: tuple[Drawing, ...], kind: str) -> list[Mark]:
    """The marks of a kind, in order."""
    return [mark for one in drawings for mark in one.marks if mark.kind == kind]


def everything(kind: type[DrillFamily], **more: object) -> DrillFamily:
    """A family with every sign that it offers; a slur and a sign at the notes exclude each other."""
    wanted: dict[str, object] = {
        "loudness": Loudness.MF, "shaping": Shaping.WITH_THE_LINE, "pedal_use": PedalUse.BAR, "repeats": 3, **more,
    }  # fmt: skip
    return kind(**{name: value for name, value in wanted.items() if name in kind.declared()})


def stands_on(drawing: Drawing) -> list[tuple[Mark, Mark]]:
    """Pairs of signs and other things that stand on one another."""
    new = ("articulation", "pedal", "swell")
    others = ("finger", "chord name", "degree", "text", "octave line", "note", "accidental", "clef", "rest")
    boxes = [mark for mark in drawing.marks if mark.kind in (*new, *others)]
    return [
        (one, other)
        for one, other in combinations(boxes, 2)
        if (one.kind in new or other.kind in new)
        and one.kind != other.kind
        # A swell begins beside the sign of loudness, placed by the engraver with it.
        and {one.kind, other.kind} != {"swell", "text"}
        and one.box.overlaps(other.box, 0.2)
    ]


@pytest.mark.parametrize("touch", [Articulation.STACCATO, Articulation.ACCENTS, Articulation.LEGATO])
@pytest.mark.parametrize("hands", Hands)
@pytest.mark.parametrize("kind", families().values(), ids=lambda kind: kind.code)
def test_signs_stand_clear_and_change_no_note(kind: type[DrillFamily], hands: Hands, touch: Articulation) -> None:
    """A sign that hides a note or a finger is worse than none; and the notes are read as before."""
    exercise = realise(everything(kind, hands=hands, articulation=touch), Setting(Key.parse("Db")))
    for drawing in engrave(exercise, LOOK):
        assert stands_on(drawing) == []
        for mark in drawing.marks:
            assert mark.box.left >= -0.5
            assert mark.box.top >= -0.01
            assert mark.box.right <= drawing.width + 0.5
            assert mark.box.bottom <= drawing.height + 0.01
    assert_printed_as_meant(exercise)


@pytest.mark.parametrize(
    ("touch", "codes", "count"),
    [("staccato", STACCATO, 24), ("tenuto", TENUTO, 24), ("an accent on each group", ACCENT, 6)],
)
def test_signs_stand_at_their_notes(touch: str, codes: set[int], count: int) -> None:
    """Six groups of four notes: a sign at each note, or at the first of each group."""
    drawings = engrave(made("broken-chords", articulation=touch, direction="up"), LOOK)
    assert len(signs(drawings, codes)) == count
    assert len(of_kind(drawings, "articulation")) == count


def test_a_slur_goes_over_each_group() -> None:
    """The slurs are the only filled curves of a line of single notes without ties."""
    plain, slurred = (
        engrave(made("broken-chords", articulation=touch, direction="up"), LOOK)
        for touch in ("nothing", "legato, a slur over each group")
    )
    curves = [
        sum(isinstance(shape, Path) and any(step == "C" for step, _ in shape.commands) for shape in one.shapes)
        for drawings in (plain, slurred)
        for one in drawings
    ]
    assert sum(curves[len(plain) :]) - sum(curves[: len(plain)]) == 6


def test_a_swell_follows_the_line_up_and_down() -> None:
    """Two lines to each sign, the way down after the way up."""
    marks = of_kind(engrave(made("broken-chords", octaves=1, shaping="louder up, softer down"), LOOK), "swell")
    assert len(marks) == 4
    assert marks[0].box.right < marks[2].box.left


def test_loudness_stands_where_the_fingers_are_not() -> None:
    """Below a right hand, whose fingers are above; above a left hand, whose fingers are below; between two hands."""
    for hands, where in (("right", 1), ("left", -1)):
        (drawing,) = engrave(made("broken-chords", octaves=1, direction="up", hands=hands, loudness="mf"), LOOK)
        (loud,) = [mark for mark in drawing.marks if mark.detail == "mf"]
        staff = next(mark for mark in drawing.marks if mark.kind == "staff")
        assert (loud.box.top > staff.box.bottom) == (where > 0)
        assert (loud.box.bottom < staff.box.top) == (where < 0)


def test_the_pedal_is_taken_once_and_anew_at_each_change() -> None:
    """``Ped.`` where it goes down, then a line through the changes; each line of the page says it again."""
    drawings = engrave(made("progression-through-keys", count=2, pedal_use="changed with each chord"), LOOK)
    assert len(signs(drawings, PED)) == len(drawings) == 2
    for drawing in drawings:
        marks = [mark for mark in drawing.marks if mark.kind == "pedal"]
        assert [mark.detail for mark in marks] == ["taken anew"] * 3 + ["left"]
        lowest = max(mark.box.bottom for mark in drawing.marks if mark.kind in ("finger", "note"))
        assert all(mark.box.bottom > lowest for mark in marks)
        assert [mark.box.left for mark in marks] == sorted(mark.box.left for mark in marks)


def test_repeats_are_printed_as_the_trade_prints_them() -> None:
    """Dots at the end of each key and before every key but the first; more than twice is said in words."""
    twice = engrave(made("broken-chords", octaves=1, direction="up", key_count=2, repeats=2), LOOK)
    assert len(signs(twice, REPEAT_DOT)) == 2 + 4
    assert {mark.name for mark in of_kind(twice, "bar line") if mark.detail == "repeat"} == {"0", "1"}
    assert not [mark for mark in of_kind(twice, "text") if "times" in mark.name]
    four = engrave(made("broken-chords", octaves=1, direction="up", key_count=2, repeats=4), LOOK)
    assert [mark.name for mark in of_kind(four, "text") if "times" in mark.name] == ["play 4 times"] * 2


def test_a_worksheet_without_notes_has_no_signs_at_them() -> None:
    """They would tell where the notes are; the answers have them."""
    settings = {"articulation": "staccato", "pedal_use": "changed with each bar", "shaping": "louder up, softer down"}
    exercise = made("broken-chords", worksheet="notes", **settings)
    sheet, answers = (engrave(exercise, replace(LOOK, shows_answers=answer)) for answer in (False, True))
    for kind in ("articulation", "pedal", "swell"):
        assert not of_kind(sheet, kind)
        assert of_kind(answers, kind)


def test_a_swell_goes_on_from_line_to_line() -> None:
    """Two lines of ink on each line of the page that it reaches."""
    drawings = engrave(made("diatonic-ladder", "Db", octaves=1, shaping="softer up, louder down"), Look(400.0))
    assert len(drawings) == 3
    assert [len(of_kind((drawing,), "swell")) for drawing in drawings] == [2, 4, 2]
