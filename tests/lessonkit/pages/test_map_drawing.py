"""Difficulty on the page: maps and badges that read in black and white, reach below a drill, care at the foot."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from lessonkit.drawing.shapes import Rect, Text
from lessonkit.drills.chord_map import ChordMap, Columns, Rows, worked_out
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.hands.easier import As
from lessonkit.lesson.cautions import STANDARD
from lessonkit.lesson.lesson import DifficultyMap, Drill, House, Lesson, Note, PageBreak, Space
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import pages_of
from lessonkit.pages.map_drawing import BANDS, TONES, badge_of, map_drawing
from lessonkit.pages.page import Page
from lessonkit.pages.paper import SHEETS, TEXT_WIDTH
from lessonkit.pages.style import LARGE, NORMAL, Letters
from lessonkit.theory.key import Key
from lessonkit.theory.quality import QUALITIES

AB = Lesson(key=Key.parse("Ab"))


def drill(code: str, **settings: Plain) -> Drill:
    return Drill(family(code).from_settings(settings))


def spoken_parts(page: Page) -> str:
    return " ".join(part.placed.drawing.spoken for part in page.parts)


def test_the_steps_of_a_map_differ_without_colour() -> None:
    """Each has its own number of dots and its own tone, and the tones are far apart enough to tell."""
    drawing = map_drawing(ChordMap(), AB.setting)
    found = worked_out(ChordMap(), AB.setting)
    for mark in (mark for mark in drawing.marks if mark.kind == "map cell"):
        row, column = map(int, mark.name.split("."))
        band = found.cells[row][column].difficulty.band.value
        assert mark.detail == band
        inside = [shape for shape in drawing.shapes if isinstance(shape, Rect) and mark.box.holds(shape.x, shape.y)]
        assert sum(shape.width < 5 for shape in inside) == BANDS.index(band) + 1
        assert {shape.fill for shape in inside if shape.width > 5} == {TONES[BANDS.index(band)]}
    assert all(light - dark > 0.09 for light, dark in pairwise(TONES))


def test_in_large_print_the_dots_say_it_alone_and_are_larger() -> None:
    """No grey, no fine frame, and four dots still lie within their cell."""
    small, large = (map_drawing(ChordMap(), AB.setting, letters=letters) for letters in (NORMAL, LARGE))
    boxes = [shape for shape in large.shapes if isinstance(shape, Rect)]
    frames, dots = [box for box in boxes if box.stroke], [box for box in boxes if not box.stroke]
    assert {box.fill for box in frames} == {1.0}
    assert {box.tone for box in boxes} == {0.0}
    assert min(box.stroke for box in frames) >= 1.0
    assert max(box.stroke for box in frames) >= 2.0
    usual = [shape for shape in small.shapes if isinstance(shape, Rect) and not shape.stroke]
    assert min(dot.width for dot in dots) > 1.35 * max(dot.width for dot in usual)
    for mark in (mark for mark in large.marks if mark.kind == "map cell" and mark.detail == BANDS[-1]):
        inside = [dot for dot in dots if mark.box.holds(dot.x, dot.y)]
        assert len(inside) == len(BANDS)
        assert max(dot.x + dot.width for dot in inside) < mark.box.right - 0.5


@pytest.mark.parametrize("quality", QUALITIES, ids=lambda quality: quality.key)
@pytest.mark.parametrize("rows", Rows)
@pytest.mark.parametrize("letters", [NORMAL, LARGE], ids=lambda letters: letters.name)
def test_a_map_stays_within_the_text_and_its_words_apart(quality: object, rows: Rows, letters: Letters) -> None:
    """Whatever is compared, with twelve keys or thirty; in large print the legend takes a second line."""
    many = tuple(Key.parse(name) for name in ("C", "F", "Bb", "Eb", "Ab", "Db")) * 5
    for map in (
        ChordMap(rows, quality=quality, played=As.JUMP),  # type: ignore[arg-type]
        ChordMap(rows, quality=quality, played=As.JUMP, columns=Columns.CHOSEN, keys=many),  # type: ignore[arg-type]
    ):
        drawing = map_drawing(map, AB.setting, letters=letters)
        boxes = [mark.box for mark in drawing.marks]
        for box in boxes:
            assert box.left >= -0.01
            assert box.right <= TEXT_WIDTH + 0.01
            assert box.bottom <= drawing.height + 0.01
        words = [mark.box for mark in drawing.marks if mark.kind == "text"]
        assert not any(one.overlaps(other, 0.2) for place, one in enumerate(words) for other in words[:place])


def test_a_map_is_said_in_words() -> None:
    """For those who cannot see it: each row, each step with its keys."""
    spoken = map_drawing(ChordMap(), AB.setting).spoken
    assert spoken.startswith("Difficulty map: major seventh chords through their inversions")
    assert "Root position: easy in C, F; moderate in " in spoken
    assert "very hard in D♭, E♭" in spoken


def test_a_map_that_cannot_be_worked_out_says_why() -> None:
    """In its place, as a drill does."""
    block = DifficultyMap(ChordMap(columns=Columns.CHOSEN))
    (part,) = draw_block(block, AB, look_of(AB)).parts
    assert "No keys are listed; list some" in part.drawing.spoken


def test_a_badge_has_full_dots_out_of_four_and_the_word() -> None:
    """It reads in grey."""
    for number, band in enumerate(BANDS, 1):
        badge = badge_of(band)
        dots = [shape for shape in badge.shapes if isinstance(shape, Rect)]
        assert [dot.fill is not None for dot in dots] == [True] * number + [False] * (4 - number)
        assert "".join(shape.text for shape in badge.shapes if isinstance(shape, Text)) == band


def test_how_hard_a_drill_is_stands_beside_its_name_only_where_the_lesson_wishes() -> None:
    """A student need not see it."""
    block = drill("arpeggio-run", note_length="1/16", hands="both")
    plain, rated = (
        draw_block(block, lesson, look_of(lesson)).parts[0].drawing
        for lesson in (AB, replace(AB, house=House(shows_difficulty=True), tempo=90))
    )
    assert not any(mark.kind == "difficulty" for mark in plain.marks)
    (badge,) = (mark for mark in rated.marks if mark.kind == "difficulty")
    assert rated.spoken.endswith(", very hard")
    words = next(mark for mark in rated.marks if mark.kind == "text")
    assert words.box.right < badge.box.left


def test_what_a_hand_cannot_span_is_said_below_the_drill() -> None:
    """It keeps with the last system, and says what to do."""
    block = drill("diatonic-ladder", size="ninth", touch="solid", octaves=1)
    parts = draw_block(block, AB, look_of(AB)).parts
    words = " ".join(part.drawing.spoken for part in parts if part.drawing.height < 16)
    assert "The right hand needs 212 mm for A♭3–B♭4; this hand has 205" in words
    assert "roll it or leave out the fifth." in words
    system = max(place for place, part in enumerate(parts) if part.drawing.height > 40)
    assert parts[system].keeps
    assert not parts[-1].keeps
    large = replace(AB, house=House(hands=replace(AB.house.hands, right_span=240)))
    assert len(draw_block(block, large, look_of(large)).parts) < len(parts)


def test_the_caution_stands_at_the_foot_of_the_last_page_of_a_lesson_with_drills() -> None:
    """Whole, above the page's number, and never over the music."""
    lesson = replace(AB, blocks=(drill("broken-chords"), PageBreak(), Note("Words.")))
    first, last = pages_of(lesson)
    assert "Never force a stretch" not in spoken_parts(first)
    assert " ".join(STANDARD.split()) in " ".join(spoken_parts(last).split())
    lines = [part for part in last.parts if part.placed.drawing.spoken and part.placed.drawing.spoken in STANDARD]
    assert lines[-1].placed.box.bottom == pytest.approx(SHEETS[lesson.paper].bottom)
    assert "Never force a stretch" not in " ".join(map(spoken_parts, pages_of(replace(AB, blocks=(Note("Words."),)))))


@pytest.mark.parametrize("height", range(150, 216, 5))
def test_the_caution_covers_nothing_and_is_there_once(height: int) -> None:
    """However full the last page is."""
    lesson = replace(AB, blocks=(drill("broken-chords", octaves=1), Space(height)))
    pages = pages_of(lesson)
    assert sum(spoken_parts(page).count("Never force a stretch") for page in pages) == 1
    for page in pages:
        boxes = [part.placed.box for part in page.parts]
        assert not any(one.overlaps(other, 0.1) for place, one in enumerate(boxes) for other in boxes[:place])


def test_the_teachers_own_caution_is_printed() -> None:
    """In her words, and on the page before the answers."""
    worksheet = drill("progression-through-keys", count=1, worksheet="chord names")
    lesson = replace(AB, house=House(caution="Gently, please."), blocks=(worksheet,))
    first, answers = pages_of(lesson, shows_answers=True)
    assert "Gently, please." in spoken_parts(first)
    assert "Gently, please." not in spoken_parts(answers)
