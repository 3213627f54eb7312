"""Each kind of mark keeps to a row of its own: fingers, figures of tuplets, loudness, names, lines to write on.

Common practice, no source.
"""

from __future__ import annotations

from itertools import combinations

import pytest

from lessonkit.drawing.shapes import Drawing, Line, Mark
from lessonkit.drills.exercise import Blank, Exercise
from lessonkit.drills.family import Hands, families, family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.theory.key import Key
from tests.lessonkit.engraving.test_nothing_touches import found
from tests.looking.ink import things_of

LOOK = Look(482.0)


def made(code: str, key: str, **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key)))


def of_kind(drawing: Drawing, kind: str) -> list[Mark]:
    """The marks of a kind, in order."""
    return [mark for mark in drawing.marks if mark.kind == kind]


def staff_of(drawing: Drawing, number: int = 0) -> tuple[Mark, float]:
    """A staff and its space."""
    staff = of_kind(drawing, "staff")[number]
    return staff, (staff.box.bottom - staff.box.top) / 4


@pytest.mark.parametrize(("hands", "is_above"), [("right", False), ("left", True)])
def test_the_figure_of_a_triplet_stands_where_the_fingers_are_not(hands: str, is_above: bool) -> None:
    """4 3 2 1 with a triplet's 3 among them cannot be told from four fingers."""
    settings: dict[str, Plain] = {"hands": hands, "size": "triad", "octaves": 2, "note_length": "1/12"}
    figures = 0
    for drawing in engrave(made("diatonic-ladder", "Ab", fingers_shown="all", **settings), LOOK):
        staff, _ = staff_of(drawing)
        for mark in of_kind(drawing, "text"):
            if mark.name == "tupletNum":
                figures += 1
                assert (mark.box.bottom < staff.box.top) if is_above else (mark.box.top > staff.box.bottom)
    assert figures >= 4


def test_names_and_degrees_stand_over_the_figures_of_triplets() -> None:
    """I 3 iii reads as one row of numerals, and a name with a 3 behind its flat as another chord."""
    exercise = made(
        "diatonic-ladder", "Ab", hands="left", size="triad", note_length="1/12", shows_degrees=True, octaves=1
    )
    compared = 0
    for drawing in engrave(exercise, LOOK):
        figures = [mark for mark in of_kind(drawing, "text") if mark.name == "tupletNum"]
        for label in (*of_kind(drawing, "chord name"), *of_kind(drawing, "degree")):
            compared += len(figures)
            assert all(label.box.bottom < figure.box.top for figure in figures)
    assert compared


@pytest.mark.parametrize("staff_height", [7.0, 12.0])
def test_a_row_of_names_stands_over_all_fingers_within_it(staff_height: float) -> None:
    """A finger at the height of a name beside it looks like a part of the name."""
    exercise = made("diatonic-ladder", "Eb", octaves=2, fingers_shown="all", shows_degrees=True)
    compared = 0
    for drawing in engrave(exercise, Look(482.0, staff_height)):
        names = [*of_kind(drawing, "chord name"), *of_kind(drawing, "degree")]
        left, right = min(mark.box.left for mark in names), max(mark.box.right for mark in names)
        fingers = [mark for mark in of_kind(drawing, "finger") if left <= mark.box.left <= right]
        compared += len(fingers)
        assert max(mark.box.bottom for mark in names) < min(mark.box.top for mark in fingers)
    assert compared > 20


@pytest.mark.parametrize("staff_height", [7.0, 12.0])
@pytest.mark.parametrize("hands", ["right", "left", "both"])
def test_loudness_keeps_one_base_line_and_off_the_notes(hands: str, staff_height: float) -> None:
    """Letters that hop from chord to chord, or hang on a head, look like an accident."""
    exercise = made("chord-jumps", "Ab", hands=hands, terraces="soft and loud in turn", lowest="F3")
    letters_seen = 0
    for drawing in engrave(exercise, Look(482.0, staff_height)):
        _, space = staff_of(drawing)
        letters = [thing for thing in things_of(drawing) if thing.kind == "loudness"]
        letters_seen += len(letters)
        assert len({round(thing.shape.y, 2) for thing in letters}) == 1  # type: ignore[union-attr]
        for letter in letters:
            for head in of_kind(drawing, "note"):
                if head.box.left < letter.box.right and head.box.right > letter.box.left:
                    gap = max(letter.box.top - head.box.bottom, head.box.top - letter.box.bottom)
                    assert gap > 0.45 * space
    assert letters_seen > 2


def test_an_octave_line_over_one_chord_is_a_dash_with_its_hook() -> None:
    """A hook alone looks like a speck: the line before it is at least a space and a half long and unbroken."""
    seen = 0
    for drawing in engrave(made("chord-jumps", "F", lowest="F4", octaves=2), LOOK):
        _, space = staff_of(drawing)
        for line in of_kind(drawing, "octave line"):
            dashes = [
                shape for shape in drawing.shapes
                if isinstance(shape, Line) and shape.dash and line.box.left < shape.x1 < line.box.right
            ]  # fmt: skip
            (dash,) = dashes
            seen += 1
            assert dash.x2 - dash.x1 >= 1.45 * space
            if dash.x2 - dash.x1 < 2 * space:
                assert dash.dash[0] >= dash.x2 - dash.x1 - 0.01
    assert seen


@pytest.mark.parametrize("staff_height", [7.0, 12.0])
def test_lines_to_write_on_are_long_and_off_the_staff(staff_height: float) -> None:
    """A name is written by hand: 20 millimetres where a bar has them, two spaces over the staff, over no bar line."""
    exercise = made("progression-through-keys", "Bb", hands="right", count=4, worksheet="chord names and degrees")
    assert {Blank.CHORD_NAMES, Blank.DEGREES} <= exercise.blank
    words: list[str] = []
    for drawing in engrave(exercise, Look(482.0, staff_height)):
        staff, space = staff_of(drawing)
        bars = [mark.box.left for mark in of_kind(drawing, "bar line")]
        rules = [thing.box for thing in things_of(drawing) if thing.kind == "writing rule"]
        assert rules
        for rule in rules:
            assert staff.box.top - rule.bottom >= 1.9 * space
            assert rule.right - rule.left >= min(20 * 72 / 25.4, 7 * space) - 1
            assert not [x for x in bars if rule.left < x < rule.right]
        lengths = {round(rule.right - rule.left, 1) for rule in rules}
        assert len(lengths) == 1, "those of a line are alike"
        words += [mark.name for mark in of_kind(drawing, "text") if mark.name in ("name", "degree")]
    assert sorted(words) == ["degree", "name"], "said once, before the first line of each row"


def test_a_worksheet_that_asks_for_one_thing_does_not_say_which() -> None:
    """The caption says it."""
    exercise = made("progression-through-keys", "Bb", hands="right", worksheet="chord names")
    texts = [mark.name for drawing in engrave(exercise, LOOK) for mark in of_kind(drawing, "text")]
    assert "name" not in texts


def test_a_line_to_write_on_stands_over_an_accidental_beside_it() -> None:
    """A flat between two lines at their height belongs to neither."""
    exercise = made("shape-survey", "G", count=3)
    for drawing in engrave(exercise, LOOK):
        rules = [thing.box for thing in things_of(drawing) if thing.kind == "writing rule"]
        flats = [mark.box for mark in of_kind(drawing, "accidental")]
        assert rules
        for rule in rules:
            near = [box for box in flats if rule.left - 8 < box.right and box.left < rule.right + 8]
            assert all(box.top > rule.bottom for box in near)


def test_loudness_of_a_figure_below_stands_under_it() -> None:
    """The triplet's figure is below where the fingers are above, and the loudness goes below that."""
    exercise = made("diatonic-ladder", "C", size="triad", note_length="1/12", loudness="mf", fingers_shown="all")
    (first, *_) = engrave(exercise, LOOK)
    figures = [mark for mark in of_kind(first, "text") if mark.name == "tupletNum"]
    (letter,) = [thing for thing in things_of(first) if thing.kind == "loudness"]
    near = [mark for mark in figures if mark.box.left < letter.box.right and mark.box.right > letter.box.left]
    assert near or figures
    assert all(letter.box.top > mark.box.bottom for mark in near)


def test_an_octave_line_ends_with_a_dash_at_its_hook() -> None:
    """A hook that hangs in a gap of the broken line looks like a speck."""
    seen = 0
    for drawing in engrave(made("broken-chords", "Ab", size="seventh", lowest="C4", octaves=2), LOOK):
        for shape in drawing.shapes:
            if isinstance(shape, Line) and shape.dash:
                seen += 1
                on, off = shape.dash
                rest = (shape.x2 - shape.x1) % (on + off)
                assert min(abs(rest - on), abs(rest - on + on + off)) < 0.05
    assert seen


@pytest.mark.parametrize(("code", "key"), [("sequences", "E"), ("broken-chords", "Ab")])
def test_the_figures_of_both_hands_stand_between_the_staves(code: str, key: str) -> None:
    """The staves make room for them: none goes over to the fingers, none upon another."""
    figures = 0
    for drawing in engrave(made(code, key, hands="both", note_length="1/12", fingers_shown="all"), LOOK):
        (upper, space), (lower, _) = staff_of(drawing), staff_of(drawing, 1)
        boxes = [mark.box for mark in of_kind(drawing, "text") if mark.name == "tupletNum"]
        figures += len(boxes)
        assert all(upper.box.bottom < box.top and box.bottom < lower.box.top + space for box in boxes)
        for one, other in combinations(boxes, 2):
            if one.left < other.right and other.left < one.right:
                assert max(one.top - other.bottom, other.top - one.bottom) > 0.3 * space
    assert figures == 8


@pytest.mark.parametrize(
    ("code", "key", "hands", "staff", "dress"),
    [("upper-structures", "Bb", Hands.LEFT, 16.0, 0), ("shape-survey", "Ab minor", Hands.RIGHT, 12.0, 5)],
    ids=["labels over narrow bars", "a pedal under a line that ends within a bar"],
)
def test_what_the_sweep_once_found_stays_apart(code: str, key: str, hands: Hands, staff: float, dress: int) -> None:
    """Cases that the ordinary sample may miss."""
    assert list(found(families()[code], [(Key.parse(key), hands, staff, dress)])) == []
