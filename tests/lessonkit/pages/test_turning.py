"""A page is turned where a hand is free: between drills, else at a rest, a held note or a repeat; else it is said."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.exercise import BarEnd, Blank, Exercise
from lessonkit.drills.family import family
from lessonkit.drills.realise import realise
from lessonkit.drills.worksheet import Worksheet
from lessonkit.engraving.engrave import engrave
from lessonkit.lesson.lesson import Block, Drill, House, Lesson, Note, PageBreak, Paper, Space
from lessonkit.pages.awkward_turns import awkward_turns
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import flow, pages_of
from lessonkit.pages.page import Page
from lessonkit.pages.parts import BlockDrawing, Part, Turn
from lessonkit.pages.turning import turns_after
from lessonkit.storage.lesson_file import lesson_from_bytes, lesson_to_bytes, read_lesson

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "sample_lessons").glob("*.lesson"))
ONE_SIDED = House(is_two_sided=False)
LONG = Drill(
    family("broken-chords").from_settings({"octaves": 4, "repeats": 4, "metre": "4/4", "hands": "both"}), "long"
)


def systems_of(height: float, *after: Turn) -> BlockDrawing:
    """A drill of systems of one height."""
    return BlockDrawing(tuple(Part(Drawing(100, height, ()), 10, after=turn) for turn in after))


def spread(before: float, drill: BlockDrawing, house: House | None = None) -> list[list[str]]:
    """A note of a height and a drill after it: which part stands on which page."""
    note, played = Note("n", "n"), Note("d", "d")
    lesson = Lesson(aims="", house=house or House(), blocks=(note, played))
    pages = flow(lesson, lambda block: systems_of(before, Turn.FREE) if block is note else drill)
    return [[f"{part.block_id}{part.part}" for part in page.parts if part.block_id in ("n", "d")] for page in pages]


BUSY = (Turn.BUSY, Turn.BUSY, Turn.BUSY, Turn.FREE)


def test_a_drill_that_would_be_turned_in_its_middle_begins_on_the_next_page() -> None:
    """Both hands play at the turn (engravers' rule in the trade's handbooks, from memory)."""
    assert spread(500, systems_of(60, *BUSY)) == [["n0"], ["d0", "d1", "d2", "d3"]]
    assert spread(500, systems_of(60, *BUSY), ONE_SIDED) == [["n0", "d0", "d1"], ["d2", "d3"]]


def test_inside_a_drill_a_page_ends_where_a_hand_is_free() -> None:
    """Where the drill is too long to begin later, a rest is better than the foot of the page."""
    turns = (Turn.BUSY, Turn.BUSY, Turn.REST, Turn.BUSY, Turn.BUSY, Turn.BUSY, Turn.BUSY, Turn.FREE)
    assert spread(200, systems_of(90, *turns)) == [["n0", "d0", "d1", "d2"], ["d3", "d4", "d5", "d6", "d7"]]
    assert spread(200, systems_of(90, *turns), ONE_SIDED)[0] == ["n0", "d0", "d1", "d2", "d3"]


def test_no_page_is_left_nearly_empty_for_a_turn() -> None:
    """Then the drill is turned in its middle, which is told."""
    turns = (Turn.BUSY,) * 7 + (Turn.FREE,)
    assert spread(100, systems_of(100, *turns))[0] == ["n0", "d0", "d1", "d2", "d3", "d4"]


def test_left_hand_pages_are_filled() -> None:
    """The next page lies beside them; nothing is turned."""
    note, filler, drill = Note("n", "n"), Note("f", "f"), Note("d", "d")
    blocks: tuple[Block, ...] = (note, PageBreak("p"), filler, drill)
    drawings = {"n": systems_of(50, Turn.FREE), "f": systems_of(500, Turn.FREE), "d": systems_of(60, *BUSY * 2)}
    lesson = Lesson(blocks=blocks)
    pages = flow(lesson, lambda block: drawings.get(block.id) or draw_block(block, lesson, look_of(lesson)))
    assert [part.part for part in pages[1].parts if part.block_id == "d"] == [0, 1, 2]


def test_a_line_that_ends_in_running_notes_is_busy_and_a_rest_a_held_note_a_repeat_are_not() -> None:
    """From the notes themselves."""
    running = realise(LONG.family, Lesson().setting)
    look = look_of(Lesson())
    systems = engrave(running, look)
    first, *_ = systems
    assert turns_after(systems, running)[0] is Turn.BUSY
    assert turns_after(systems, running)[-1] is Turn.FREE
    held = realise(family("progression-through-keys")(), Lesson().setting)
    assert set(turns_after(engrave(held, look), held)[:-1]) == {Turn.REST}
    bar = max(int(mark.name) for mark in first.marks if mark.kind == "bar line")
    repeated = replace(running, bars=tuple(
        replace(one, end=BarEnd.REPEAT) if place == bar else one for place, one in enumerate(running.bars)
    ))  # fmt: skip
    assert turns_after(systems, repeated)[0] is Turn.REST
    end = running.bars[bar].onset + running.bars[bar].length
    rested = tuple(one for one in running.events if not end - Fraction(1, 4) <= one.onset < end)
    assert turns_after(systems, replace(running, events=rested))[0] is Turn.REST


def test_what_one_hand_plays_the_other_turns() -> None:
    """A hand that has nothing to play is free (common practice, no source); one that makes its part up is not."""
    alone = realise(family("broken-chords").from_settings({"octaves": 4, "hands": "left"}), Lesson().setting)
    systems = engrave(alone, look_of(Lesson()))
    assert len(systems) > 1
    assert set(turns_after(systems, alone)[:-1]) == {Turn.REST}
    made_up = replace(alone, blank=frozenset({Blank.RIGHT_HAND}))
    assert Turn.BUSY in turns_after(systems, made_up)


def test_a_sheet_to_write_on_is_turned_anywhere() -> None:
    """Nobody plays what is not there yet."""
    asked = realise(family("broken-chords").from_settings({"worksheet": Worksheet.NOTES.value}), Lesson().setting)
    assert turns_after(engrave(asked, look_of(Lesson())), asked) == (Turn.REST, Turn.FREE)


def turns_inside(lesson: Lesson, pages: tuple[Page, ...]) -> list[tuple[Drill, Exercise, Fraction]]:
    """The drills in whose middle a right-hand page ends, each with the moment, read from the marks on the page."""
    found = []
    for page, following in pairwise(pages):
        goes_on = {part.block_id for part in following.parts}
        for block in lesson.blocks:
            if page.number % 2 and isinstance(block, Drill) and block.id in goes_on:
                marks = [m for part in page.parts if part.block_id == block.id for m in part.placed.drawing.marks]
                bars = [int(mark.name) for mark in marks if mark.kind == "bar line" and mark.name.isdigit()]
                if bars:
                    exercise = realise(block.family, lesson.setting)
                    bar = exercise.bars[max(bars)]
                    found.append((block, exercise, bar.onset + bar.length))
    return found


@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER, Paper.A5])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_sample_lessons_are_turned_where_a_hand_is_free_or_it_is_said(path: Path, paper: Paper) -> None:
    """Read anew from the events: each hand silent, or holding a half note or more, at the moment of the turn."""
    lesson = replace(read_lesson(path), paper=paper)
    said = {turn.block_id for turn in awkward_turns(lesson)}
    for drill, exercise, moment in turns_inside(lesson, pages_of(lesson)):
        playing = [
            any(event.pitches and event.length < Fraction(1, 2) and event.end > moment - Fraction(1, 4)
                and event.onset < moment for event in exercise.of(hand))
            for hand in exercise.hands
        ]  # fmt: skip
        if len(exercise.hands) == 1:
            # The other hand turns.
            playing.append(False)
        assert not all(playing) or drill.id in said
        if drill.id in said:
            assert any(playing)
    if paper is Paper.A4:
        assert len(said) <= 1


def test_what_cannot_be_mended_is_said_and_one_side_needs_no_turn() -> None:
    """A drill longer than a page that never rests."""
    lesson = Lesson(paper=Paper.A5, blocks=(Space(20, "s"), LONG))
    (turn,) = awkward_turns(lesson)[:1]
    assert turn.page == 1
    assert str(turn).startswith("Page 1 is turned in the middle of “Broken chords”, where no hand is free")
    assert awkward_turns(replace(lesson, house=ONE_SIDED)) == ()


def test_printing_on_one_side_is_kept_in_the_file() -> None:
    """And a file of before is printed on both."""
    lesson = Lesson(house=ONE_SIDED, blocks=(LONG,))
    assert lesson_from_bytes(lesson_to_bytes(lesson), "x") == lesson
    assert b"is_two_sided" not in lesson_to_bytes(Lesson())
