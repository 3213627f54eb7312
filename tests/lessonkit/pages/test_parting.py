"""A page ends where that costs least: lists, words with their drills, phrases and short drills stay whole."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest

from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.family import family
from lessonkit.drills.realise import realise
from lessonkit.engraving.engrave import engrave
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note, PageBreak, Paper, Space
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import flow
from lessonkit.pages.paper import SHEETS
from lessonkit.pages.parting import between_systems
from lessonkit.pages.parts import BlockDrawing, Part

SHEET = SHEETS[Paper.A4]
ROOM = SHEET.bottom - SHEET.top
LINE = 15.0
FILLER = Space(1, "filler")


def flowed(
    left: float, *blocks: Block, drawings: dict[str, BlockDrawing] | None = None
) -> tuple[list[list[tuple[str, int]]], list[float]]:
    """What of the blocks stands on a page of which so many points are left, and on each after it; and what then is
    left of each.

    The page is the second of the lesson, a left-hand one, behind which nothing is turned; much follows the blocks.
    """
    room_below = Space(1, "below")
    all_blocks = (Note("one", "one"), PageBreak("break"), FILLER, *blocks, room_below)
    lesson = Lesson(aims="", blocks=all_blocks)
    known = {"filler": block_of(ROOM - left), "below": block_of(0.6 * ROOM), **(drawings or {})}
    pages = flow(lesson, lambda block: known.get(block.id) or draw_block(block, lesson, look_of(lesson)))[1:]
    ids = {block.id for block in blocks}
    parts = [[(part.block_id, part.part) for part in page.parts if part.block_id in ids] for page in pages]
    ends = [max(part.placed.box.bottom for part in page.parts if part.block_id) for page in pages]
    return [one for one in parts if one], [SHEET.bottom - end for end in ends]


def block_of(*heights: float, parting: Sequence[float] = ()) -> BlockDrawing:
    costs = [*parting, *(0.0 for _ in heights)]
    return BlockDrawing(
        tuple(Part(Drawing(100, one, ()), parting=cost) for one, cost in zip(heights, costs, strict=False))
    )


def items(count: int) -> str:
    """A list of so many items of one line."""
    return "\n".join(f"{number}. Item" for number in range(1, count + 1))


@pytest.mark.parametrize("count", [3, 4])
def test_a_list_of_up_to_four_items_stays_whole_where_that_costs_less_than_a_fifth_of_the_page(count: int) -> None:
    """Its heading goes with it."""
    blocks = (Heading("Now use it", 1, "h"), Note(items(count), "n"))
    pages, left = flowed(110 + (count - 3) * 20, *blocks)
    assert [{name for name, _ in page} for page in pages] == [{"h", "n"}]
    assert 0.1 < left[0] / ROOM < 0.2


def test_at_least_two_items_stay_below_a_heading() -> None:
    """However long the list is."""
    for left in range(60, 300, 10):
        pages, _ = flowed(left, Heading("Now use it", 1, "h"), Note(items(20), "n"))
        for page in pages:
            names = [name for name, _ in page]
            assert "h" not in names or names.count("n") > 1, left
        # Nor is the last one left alone.
        assert len([one for one in pages[-1] if one[0] == "n"]) > 1, left


def test_the_days_of_a_week_rather_move_on_together() -> None:
    """A list of up to seven short items is looked at every day."""
    week = "A week of practice.\n\n" + items(7)
    for left in range(40, 170, 10):
        pages, _ = flowed(left, Note(week, "n"))
        where = [page for page in pages if ("n", 1) in page]
        assert len([one for one in where[0] if one[1]]) == 7, left


def test_words_go_with_the_drill_below_them_where_that_leaves_little_empty() -> None:
    """Four lines say what to do with it; where all four have room and the drill has not, they go over with it."""
    words, drill = Note("word " * 52, "n"), Drill(family("broken-chords")(), "d")
    count = len(draw_block(words, Lesson(), look_of(Lesson())).parts)
    assert count == 4
    for left in range(20, 200, 5):
        pages, _ = flowed(left, words, drill, drawings={"d": block_of(120.0)})
        assert pages[0][-1] != ("n", count - 1), left


def test_room_to_write_in_does_not_leave_the_words_that_ask_for_it() -> None:
    """It would head a page with nothing above it."""
    words = Note("Write it down.", "n")
    for left in range(20, 160, 10):
        pages, _ = flowed(left, words, Space(30, "s"))
        assert [name for name, _ in pages[0]] == ["n", "s"], left


def test_a_drill_is_parted_in_the_middle_rather_than_before_its_last_system() -> None:
    """Two and two, not three and one."""
    exercise = realise(family("progression-through-keys").from_settings({"count": 4}), Lesson().setting)
    systems = engrave(exercise, look_of(Lesson()))
    assert len(systems) == 4
    costs = between_systems(systems, exercise)
    assert costs[1] < costs[0]
    assert costs[1] < costs[2]
    assert costs[3] == 0.0
    drill = Drill(family("progression-through-keys")(), "d")
    # Three would fit, and two leave less than a sixth of the page empty.
    pages, _ = flowed(330, drill, drawings={"d": block_of(100, 100, 100, 100, parting=costs)})
    assert pages == [[("d", 0), ("d", 1)], [("d", 2), ("d", 3)]]


def test_a_phrase_of_four_bars_is_rather_not_parted() -> None:
    """Counted from the beginning of each key."""
    exercise = realise(family("twelve-bar-blues")(), Lesson().setting)
    bars: Callable[[int], Drawing] = lambda last: next(  # noqa: E731
        Drawing(100, 60, (), tuple(mark._replace(name=str(last)) for mark in system.marks if mark.kind == "bar line"))
        for system in engrave(exercise, look_of(Lesson()))
    )
    whole = between_systems([bars(3), bars(7), bars(11)], exercise)
    torn = between_systems([bars(4), bars(8), bars(11)], exercise)
    assert whole[0] < torn[0]
    assert whole[1] < torn[1]
