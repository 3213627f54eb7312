"""Laying out only what an edit can have moved gives the pages of laying out everything, and keeps all others."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.progression_through_keys import ProgressionThroughKeys, Worksheet
from lessonkit.lesson import edits
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note, PageBreak, Paper, Space
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import answer_blocks, flow, pages_of
from lessonkit.pages.flowing import Flowing
from lessonkit.pages.page import Page
from lessonkit.pages.parts import BlockDrawing, Part, Turn
from lessonkit.theory.key import MAJOR_KEYS, Key

DRILL = BrokenChords()


def shape(chance: random.Random, kind: str) -> BlockDrawing:
    """A drawing as a kind of block can have it, of chance heights; now and then higher than a page."""
    if kind == "break":
        return BlockDrawing(is_break=True)
    if kind == "half":
        return BlockDrawing((Part(Drawing(200, chance.uniform(40, 300), ()), 15.0),), is_half=True)
    if kind == "empty":
        return BlockDrawing()
    count = 1 if kind == "heading" else chance.choice((1, 2, 3, 7, 20))
    parts = []
    for _ in range(count):
        height = chance.choice((12.0, 30.0, 75.0, 240.0, 1100.0 if chance.random() < 0.1 else 60.0))
        outline = ("Words", 1) if kind == "heading" else ("", 0)
        above, turn = chance.choice((0.0, 7.5, 22.5)), chance.choice(tuple(Turn))
        parts.append(Part(Drawing(400, height, ()), above, chance.random() < 0.3, *outline, turn))
    side = parts[0] if kind == "heading" and chance.random() < 0.3 else None
    return BlockDrawing(tuple(parts), side=side, x=100.0 if kind == "beside" else 0.0)


KINDS = ("note", "note", "beside", "drill", "drill", "heading", "half", "half", "break", "empty")


class Shaped:
    """A lesson of blocks whose drawings are chance shapes, edited by chance."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        self.count = 0
        self.drawings: dict[str, BlockDrawing] = {}
        self.lesson = Lesson("Long", blocks=tuple(self.block() for _ in range(self.chance.randrange(60))))

    def block(self) -> Block:
        self.count += 1
        kind, name = self.chance.choice(KINDS), f"b{self.count}"
        self.drawings[name] = shape(self.chance, kind)
        if kind == "heading":
            return Heading("Words", id=name)
        return Drill(DRILL, id=name) if kind == "drill" else Note("Words", id=name)

    def edit(self) -> None:
        lesson, chance = self.lesson, self.chance
        names = [block.id for block in lesson.blocks]
        at = chance.randrange(len(names) + 1)
        some = chance.sample(names, min(len(names), chance.choice((1, 1, 1, 3))))
        match chance.randrange(7):
            case 0:
                self.lesson = edits.insert_block(lesson, at, self.block())
            case 1:
                self.lesson = edits.delete_blocks(lesson, some)
            case 2:
                self.lesson = edits.move_blocks(lesson, some, at)
            case 3:
                self.lesson = edits.set_title(lesson, "Words " * chance.randrange(40))
            case 4:
                self.lesson = edits.set_key(lesson, chance.choice(MAJOR_KEYS))
            case 5 if chance.random() < 0.1:
                self.lesson = edits.set_paper(lesson, chance.choice(tuple(Paper)))
            case 5 if chance.random() < 0.1:
                house = replace(lesson.house, is_two_sided=not lesson.house.is_two_sided)
                self.lesson = edits.set_house(lesson, house)
            case _:
                for name in some:
                    self.drawings[name] = shape(chance, chance.choice(KINDS))

    def drawn(self, block: Block) -> BlockDrawing:
        return self.drawings[block.id]


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32))
def test_after_any_edits_the_pages_are_those_of_a_whole_layout(seed: int) -> None:
    """Whatever is kept together, beside each other, higher than a page or nothing at all, and whatever was edited."""
    shaped, flowing = Shaped(seed), Flowing()
    for _ in range(25):
        assert flowing.pages(shaped.lesson, shaped.drawn) == flow(shaped.lesson, shaped.drawn)
        shaped.edit()


def real_lesson() -> Lesson:
    blocks: list[Block] = []
    for count in range(12):
        blocks += [
            Heading(f"Part {count}", id=f"h{count}"),
            Note("Play {V7} slowly and listen. " * (1 + 5 * (count % 3)), id=f"n{count}"),
            Drill(BrokenChords(octaves=1 + count % 2), id=f"d{count}"),
        ]
    blocks += [
        PageBreak(id="break"),
        Drill(ProgressionThroughKeys(worksheet=Worksheet.CHORD_NAMES, count=2), id="sheet"),
        Space(30, id="space"),
    ]
    return Lesson("Long", "To hear {V7}.", key=Key.parse("Eb"), blocks=tuple(blocks))


def real_edit(lesson: Lesson, chance: random.Random) -> Lesson:
    """One of the edits that a teacher makes."""
    one, at = chance.choice(lesson.blocks), chance.randrange(len(lesson.blocks) + 1)
    match chance.randrange(6):
        case 0:
            return edits.insert_block(lesson, at, chance.choice((Note("New words"), PageBreak(), Drill(DRILL))))
        case 1 if len(lesson.blocks) > 8:
            return edits.delete_blocks(lesson, (one.id,))
        case 2:
            return edits.move_blocks(lesson, (one.id,), at)
        case 3:
            return edits.set_key(lesson, chance.choice(MAJOR_KEYS[:4]))
        case 4 if isinstance(one, Note):
            return edits.set_note_text(lesson, one.id, one.text + " and on")
        case _:
            return edits.set_title(lesson, f"Title {chance.randrange(9)}")


@pytest.mark.parametrize("seed", range(3))
def test_a_real_lesson_with_answers_keeps_its_pages_through_edits(seed: int) -> None:
    """With real drawings, a line of care at the foot and answers behind."""
    chance, lesson, flowing = random.Random(seed), real_lesson(), Flowing()
    for count in range(20):
        look, answered = look_of(lesson), count % 3 == 0
        answers = answer_blocks(lesson) if answered else ()
        pages = flowing.pages(lesson, lambda block, of=lesson, look=look: draw_block(block, of, look), answers)
        assert pages == pages_of(lesson, shows_answers=answered)
        lesson = real_edit(lesson, chance)


class Kept:
    """Pages of lessons whose drawings are kept as long as their blocks stay the same, as a window keeps them."""

    def __init__(self) -> None:
        self.flowing = Flowing()
        self.drawings: dict[Block, BlockDrawing] = {}

    def pages(self, lesson: Lesson) -> tuple[Page, ...]:
        for block in lesson.blocks:
            self.drawings.setdefault(block, draw_block(block, lesson, look_of(lesson)))
        return self.flowing.pages(lesson, self.drawings.__getitem__)


def test_another_word_in_a_note_leaves_all_other_pages_the_same_ones() -> None:
    """What is on the screen of them is not even compared."""
    lesson, kept = real_lesson(), Kept()
    before = kept.pages(lesson)
    lesson = edits.set_note_text(lesson, "n6", "Play {V7} evenly and listen.")
    after = kept.pages(lesson)
    own = [number for number, page in enumerate(before) if any(part.block_id == "n6" for part in page.parts)]
    assert len(before) == len(after) > 5
    assert [number for number, page in enumerate(after) if page is not before[number]] == own


def test_a_block_at_the_end_leaves_all_pages_before_the_last() -> None:
    """Only what comes behind a change can move."""
    lesson, kept = real_lesson(), Kept()
    before = kept.pages(lesson)
    after = kept.pages(edits.insert_block(lesson, len(lesson.blocks), Note("The end")))
    assert len(before) == len(after)
    assert all(one is other for one, other in zip(before[:-1], after[:-1], strict=True))


def test_a_page_more_leaves_what_stands_on_those_behind() -> None:
    """They get other numbers; their parts are the same ones in the same places."""
    lesson, kept = real_lesson(), Kept()
    before = kept.pages(lesson)
    place = lesson.place_of("h6")
    lesson = edits.insert_blocks(lesson, place, (PageBreak(), Note("A page of its own"), PageBreak()))
    after = kept.pages(lesson)
    assert [page.number for page in after] == list(range(1, len(after) + 1))
    assert len(after) > len(before)
    own = [[part for part in page.parts if not part.is_around] for page in (before[-1], after[-1])]
    assert all(one is other for one, other in zip(*own, strict=True) if one.block_id)
