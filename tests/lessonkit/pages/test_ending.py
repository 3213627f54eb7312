"""The last page: never a line or two alone, and the line of care stands at its foot."""

from __future__ import annotations

import pytest

from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.lesson.lesson import Block, Drill, Lesson, Note, PageBreak, Paper, Space
from lessonkit.pages import flowing
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import flow
from lessonkit.pages.page import Page
from lessonkit.pages.paper import MILLIMETRE, SHEETS
from lessonkit.pages.parts import BlockDrawing, Part

SHEET = SHEETS[Paper.A4]
ROOM = SHEET.bottom - SHEET.top
DRILL = Drill(BrokenChords(octaves=1), "d")


def of(*heights: float) -> BlockDrawing:
    return BlockDrawing(tuple(Part(Drawing(100, height, ()), 7.5) for height in heights))


def pages_of(drawings: dict[str, BlockDrawing], *blocks: Block) -> tuple[Page, ...]:
    """The pages of these blocks, below a drill, so that there is a line of care."""
    lesson = Lesson(aims="", blocks=(DRILL, *blocks))
    return flow(lesson, lambda block: drawings.get(block.id) or draw_block(block, lesson, look_of(lesson)))


def care_on(pages: tuple[Page, ...]) -> list[int]:
    """The pages on which the line of care stands."""
    return [
        page.number for page in pages for part in page.parts if part.placed.drawing.spoken.startswith("Warm up with")
    ]


def test_a_last_page_gets_more_than_a_line_or_two() -> None:
    """What comes before them goes over with them."""
    drawings = {"d": of(30), "n": of(*[20] * 60)}
    for count in range(24, 140):
        drawings["n"] = of(*[20] * count)
        pages = pages_of(drawings, Note("n", "n"))
        if len(pages) > 1:
            lines = [part for part in pages[-1].parts if part.block_id == "n"]
            assert len(lines) >= 4, count
        assert [part.part for page in pages for part in page.parts if part.block_id == "n"] == list(range(count))


def test_a_page_that_the_teacher_broke_stays_short() -> None:
    """It was asked for."""
    drawings = {"d": of(30), "n": of(*[20] * 10), "m": of(20)}
    pages = pages_of(drawings, Note("n", "n"), PageBreak("p"), Note("m", "m"))
    assert [part.block_id for part in pages[-1].parts if part.block_id] == ["m"]


@pytest.mark.parametrize("count", range(1, 4))
def test_the_line_of_care_ends_the_handout(count: int) -> None:
    """Whatever fills the last page: what stands on it gives way as far as it can."""
    for height in range(400, 720, 12):
        drawings = {"d": of(30), **{f"n{number}": of(*[height / 6] * 6) for number in range(count)}}
        pages = pages_of(drawings, *(Note("n", f"n{number}") for number in range(count)))
        assert care_on(pages) == [len(pages)], height


def test_room_to_write_in_at_the_end_gives_way_to_half_its_height() -> None:
    """Rather than begin a page, or to keep the line of care from the last one."""
    space = Space(60, "s")
    whole = 60 * MILLIMETRE
    heights = []
    for filler in range(300, 700, 10):
        pages = pages_of({"d": of(30), "n": of(*[filler / 5] * 5)}, Note("n", "n"), space)
        (part,) = (part for page in pages for part in page.parts if part.block_id == "s")
        assert care_on(pages) == [len(pages)], filler
        last = [part.block_id for part in pages[-1].parts if part.block_id]
        assert last != ["s"]
        heights.append(part.placed.drawing.height)
        assert part.placed.box.bottom < SHEET.bottom + 0.02
    assert max(heights) == pytest.approx(whole)
    assert whole / 2 - 0.01 <= min(heights) < 0.8 * whole


def test_room_to_write_in_elsewhere_keeps_its_height() -> None:
    """Something stands below it."""
    for filler in range(300, 700, 20):
        pages = pages_of({"d": of(30), "n": of(filler), "m": of(20)}, Note("n", "n"), Space(60, "s"), Note("m", "m"))
        (part,) = (part for page in pages for part in page.parts if part.block_id == "s")
        assert part.placed.drawing.height == pytest.approx(60 * MILLIMETRE)


def test_a_page_is_saved_where_the_last_one_would_hold_a_line_or_two(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pages before it are filled up to places that cost a little more; never is it a page more."""
    names = [f"n{number}" for number in range(5)]
    blocks = (*(Note("n", name) for name in names), Note("end", "end"))

    def count(height: float) -> int:
        # Drills that are rather not parted, and a few words.
        drill = BlockDrawing(tuple(Part(Drawing(100, height, ()), 7.5, parting=cost) for cost in (0.2, 0.0)))
        return len(pages_of({"d": of(30), "end": of(15, 15), **dict.fromkeys(names, drill)}, *blocks))

    heights = range(100, 200, 2)
    drawn_in = [count(height) for height in heights]
    monkeypatch.setattr(flowing, "A_PAGE_SAVED", -10.0)
    usual = [count(height) for height in heights]
    differences = {one - other for one, other in zip(usual, drawn_in, strict=True)}
    assert differences == {0, 1}


def test_a_page_before_one_that_the_teacher_asked_for_gets_more_than_a_line_or_two() -> None:
    """As the last page of all does, wherever it stands."""
    for count in range(24, 60):
        drawings = {"d": of(30), "n": of(*[20] * count), "m": of(400)}
        pages = pages_of(drawings, Note("n", "n"), PageBreak("p"), Note("m", "m"))
        own = [[part.part for part in page.parts if part.block_id == "n"] for page in pages]
        assert [part for page in own for part in page] == list(range(count))
        lines = [page for page in own if page]
        assert len(lines) == 1 or len(lines[-1]) >= 4, count
