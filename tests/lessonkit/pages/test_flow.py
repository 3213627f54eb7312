"""Blocks on pages: all is there once and in order, inside the margins, and what belongs together stays together."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.drawing.shapes import Drawing, Text
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.progression_through_keys import ProgressionThroughKeys, Worksheet
from lessonkit.drills.family import family
from lessonkit.lesson.lesson import Block, Drill, Heading, House, Lesson, Note, PageBreak, Paper, Space
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import flow, pages_of
from lessonkit.pages.layout import Layout
from lessonkit.pages.page import Page
from lessonkit.pages.paper import SHEETS
from lessonkit.pages.parts import BlockDrawing, Part
from lessonkit.pages.pieces import Item
from lessonkit.theory.key import Key

PAPERS = pytest.mark.parametrize("paper", Paper)


def lesson_of(*blocks: Block, paper: Paper = Paper.A4) -> Lesson:
    return Lesson("Gentle sevenths", "Play {IVmaj7} evenly.", "A. Teacher", Key.parse("Eb"), 72, paper, blocks=blocks)


def words_of(page: Page) -> str:
    """All words of a page in the order of their shapes."""
    return "\n".join(
        "".join(shape.text for shape in part.placed.drawing.shapes if isinstance(shape, Text)) for part in page.parts
    )


def blocks_of(height: float, *heights: float, keeps: Sequence[bool] = ()) -> BlockDrawing:
    """A block of parts of given heights, without shapes."""
    return BlockDrawing(
        tuple(
            Part(Drawing(100, one, ()), 10, place < len(keeps) and keeps[place])
            for place, one in enumerate((height, *heights))
        )
    )


def test_there_is_a_sheet_for_every_paper() -> None:
    """A lesson can ask for any of them."""
    assert set(SHEETS) == set(Paper)


@PAPERS
def test_margins_are_at_least_twelve_millimetres(paper: Paper) -> None:
    """What lies further out, many printers cut off (common practice, no source)."""
    sheet, least = SHEETS[paper], 12 * 72 / 25.4
    assert sheet.left >= least
    assert sheet.first_top >= least
    assert sheet.running_head - 8.5 >= least
    assert sheet.height - sheet.page_number >= least
    assert sheet.bottom < sheet.page_number - 8.5


@PAPERS
def test_everything_is_there_once_in_order_and_inside_the_margins(paper: Paper) -> None:
    """The first promise of a page."""
    blocks: list[Block] = []
    for count in range(4):
        blocks += [Heading(f"Part {count}"), Note("word " * 150 * count), Drill(BrokenChords()), Space(15)]
    lesson = lesson_of(*blocks, paper=paper)
    pages = pages_of(lesson)
    sheet = SHEETS[paper]
    assert [page.number for page in pages] == list(range(1, len(pages) + 1))
    assert len(pages) > 2
    own = [part for page in pages for part in page.parts if not part.block_id.startswith("head") and part.block_id]
    look = look_of(lesson)
    expected = [(block.id, place) for block in blocks for place in range(len(draw_block(block, lesson, look).parts))]
    assert [(part.block_id, part.part) for part in own] == expected
    for page in pages:
        assert (page.width, page.height) == (sheet.width, sheet.height)
        bottoms = [part.placed.box.bottom for part in page.parts if part.block_id]
        assert max(bottoms) <= sheet.bottom + 0.02
        tops = [part.placed.box.top for part in page.parts if part.block_id]
        assert tops == sorted(tops)
        for above, below in zip(bottoms, tops[1:], strict=False):
            assert below >= above - 0.01


def test_the_same_drawings_serve_a4_and_letter() -> None:
    """One text width for these papers lets the paper be changed at once."""
    block = Drill(BrokenChords())
    a4, *others = (pages_of(lesson_of(block, paper=paper)) for paper in (Paper.A4, Paper.LETTER, Paper.BOTH))
    for pages in others:
        for one, other in zip(a4[0].parts, pages[0].parts, strict=True):
            assert one.placed.drawing is other.placed.drawing


def test_the_head_of_the_first_page_names_the_lesson() -> None:
    """Title, key, tempo, author and aims stand where a reader looks first."""
    (page,) = pages_of(lesson_of())
    lines = words_of(page).splitlines()
    assert lines[:3] == ["Gentle sevenths", "E♭ major · ♩ = 72 · A. Teacher", "Play A♭maj7 evenly."]


def test_later_pages_carry_a_running_head_and_all_carry_their_number() -> None:
    """Sheets that are dropped can be put in order again."""
    pages = pages_of(lesson_of(Note("one"), PageBreak(), Note("two"), PageBreak(), Note("three")))
    assert [words_of(page).splitlines()[-3 if number else -1] for number, page in enumerate(pages)] == [
        "1 of 3", "2 of 3", "3 of 3",
    ]  # fmt: skip
    assert words_of(pages[1]).splitlines()[-2:] == ["Gentle sevenths", "E♭ major"]
    assert "Gentle sevenths" not in words_of(pages[0]).splitlines()[1:]


def test_a_single_page_needs_no_number() -> None:
    """There is nothing to put in order."""
    assert "1 of 1" not in words_of(pages_of(lesson_of(Note("one")))[0])


def test_a_break_at_the_end_leaves_no_empty_page_and_two_breaks_leave_one() -> None:
    """An empty last sheet wastes paper; an empty one between was asked for."""
    assert len(pages_of(lesson_of(Note("one"), PageBreak()))) == 1
    assert len(pages_of(lesson_of(Note("one"), PageBreak(), PageBreak(), Note("two")))) == 3


def test_a_heading_moves_on_with_what_follows() -> None:
    """It would head nothing at the foot of a page."""
    room = SHEETS[Paper.A4].bottom - SHEETS[Paper.A4].first_top
    filler, heading, note = Note("filler"), Heading("Listen"), Note("word " * 60)
    lesson = lesson_of(filler, heading, note)

    def drawn(block: Block) -> BlockDrawing:
        # The filler leaves room for the heading and one line, not for two.
        return blocks_of(room - 205) if block is filler else draw_block(block, lesson, look_of(lesson))

    pages = flow(lesson, drawn)
    places = {part.block_id: page.number for page in reversed(pages) for part in page.parts}
    assert places[heading.id] == places[note.id]
    for page in pages:
        lines = [part for part in page.parts if part.block_id == note.id]
        assert len(lines) != 1


def test_a_short_note_stays_with_the_drill_below_it() -> None:
    """It says what to do with the drill."""
    lesson = lesson_of(*(block for _ in range(14) for block in (Note("Play this."), Drill(BrokenChords(octaves=1)))))
    for page in pages_of(lesson):
        last = [part.block_id for part in page.parts if part.block_id and not part.block_id.startswith("head")][-1]
        assert isinstance(lesson.block(last), Drill)


def test_a_part_higher_than_a_page_stands_on_a_page_of_its_own() -> None:
    """It cannot be helped, and must neither loop nor vanish."""
    one, two = Note("one"), Note("two")
    lesson = lesson_of(one, two)
    pages = flow(lesson, lambda block: blocks_of(2000) if block is one else blocks_of(20))
    assert [[part.block_id for part in page.parts if part.block_id in (one.id, two.id)] for page in pages] == [
        [], [one.id], [two.id],
    ]  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.lists(st.floats(1, 900), min_size=1, max_size=6), st.lists(st.booleans(), max_size=6)),
        min_size=1, max_size=25,
    )
)  # fmt: skip
def test_any_heights_and_holds_flow(shapes: list[tuple[list[float], list[bool]]]) -> None:
    """Nothing is lost, whatever is kept together and however high it is; only what fits nowhere leaves the page."""
    notes = [Note(str(place)) for place in range(len(shapes))]
    drawings = {note.id: blocks_of(*heights, keeps=keeps) for note, (heights, keeps) in zip(notes, shapes, strict=True)}
    pages = flow(lesson_of(*notes), lambda block: drawings[block.id])
    found = [(part.block_id, part.part) for page in pages for part in page.parts if part.block_id in drawings]
    assert found == [(note.id, place) for note in notes for place in range(len(drawings[note.id].parts))]
    sheet = SHEETS[Paper.A4]
    for page in pages:
        own = [part for part in page.parts if part.block_id]
        assert own
        if len(own) > 1:
            assert own[-1].placed.box.bottom <= sheet.bottom + 0.02


def test_headings_make_the_outline() -> None:
    """A reader of the PDF finds the parts of a lesson by it."""
    pages = pages_of(lesson_of(Heading("In {key}"), Note("# Inside"), PageBreak(), Heading("Small", 2)))
    entries = [(page.number, entry.text, entry.level) for page in pages for entry in page.outline]
    assert entries == [(1, "In E♭ major", 1), (1, "Inside", 2), (2, "Small", 2)]


def test_answers_stand_on_a_page_of_their_own_below_their_heading() -> None:
    """The student gets the lesson without them; only worksheets are answered."""
    sheet = ProgressionThroughKeys(worksheet=Worksheet.CHORD_NAMES, count=1)
    lesson = lesson_of(Heading("Name the chords"), Drill(sheet), Heading("Play"), Drill(BrokenChords(octaves=1)))
    plain, answered = pages_of(lesson), pages_of(lesson, shows_answers=True)
    assert len(plain) == 1
    assert len(answered) == 2
    assert "E♭maj7" not in words_of(plain[0]).split("Name the chords")[1].split("Play")[0]
    lines = words_of(answered[1])
    assert lines.splitlines()[:2] == ["Answers", "Name the chords"]
    assert "A♭maj7" in lines
    assert "Play" not in lines.splitlines()
    assert all(not part.block_id for part in answered[1].parts)


def test_a_lesson_without_worksheets_has_no_answers() -> None:
    """An empty page headed Answers would puzzle."""
    lesson = lesson_of(Note("one"))
    assert pages_of(lesson, shows_answers=True) == pages_of(lesson)


def test_a_changed_block_leaves_the_drawings_of_all_others() -> None:
    """The window paints again only what is another drawing."""
    lesson = lesson_of(Note("one"), Drill(BrokenChords(octaves=1)), Note("three"))
    changed = dataclasses.replace(lesson, blocks=(Note("another", id=lesson.blocks[0].id), *lesson.blocks[1:]))
    before = {id(part.placed.drawing) for page in pages_of(lesson) for part in page.parts}
    after = [part for page in pages_of(changed) for part in page.parts]
    new = [part.block_id for part in after if id(part.placed.drawing) not in before]
    assert new == [lesson.blocks[0].id]


def test_a_short_drill_is_parted_only_where_a_quarter_of_the_page_would_stay_empty() -> None:
    """A twelve-bar blues on three lines rather moves to the next page as a whole."""
    blues = Drill(family("twelve-bar-blues").from_settings({"hands": "both"}), "d")
    room = SHEETS[Paper.A4].bottom - SHEETS[Paper.A4].first_top
    was_whole, was_parted = set(), set()
    for filler in range(2, 60):
        lesson = lesson_of(*(Space(5, id=f"s{number}") for number in range(filler)), blues)
        pages = pages_of(lesson)
        first = {part.block_id: part for part in pages[0].parts}
        ends = [part.placed.box.bottom for part in pages[0].parts if part.block_id.startswith("s")]
        left = 1 - (max(ends) - SHEETS[Paper.A4].first_top) / room
        is_parted = len(pages) > 1 and "d" in first
        if len(pages) > 1:
            (was_parted if is_parted else was_whole).add(round(left, 2))
    assert was_parted
    assert min(was_parted) > 0.25
    assert max(was_whole) < 0.36


def test_a_long_drill_goes_on_over_the_page() -> None:
    """Twelve keys take more than a page, and the first page is filled."""
    drill = Drill(ProgressionThroughKeys())
    pages = pages_of(lesson_of(Space(60), drill))
    assert len({page.number for page in pages for part in page.parts if part.block_id == drill.id}) > 1


def test_a_left_hand_page_is_not_left_half_empty_for_a_short_drill() -> None:
    """Behind it nothing is turned, so that the drill may go on at the top of the page beside it; its caption stays
    with its first line, and what stands below its last line with that.
    """
    room = SHEETS[Paper.A4].bottom - SHEETS[Paper.A4].top
    blues = Drill(family("twelve-bar-blues").from_settings({"hands": "both"}), "d")
    filler = Space(20, "n")

    def parts(fill: float, house: House) -> list[list[int]]:
        lesson = Lesson(blocks=(Note("one", "a"), PageBreak("p"), filler, blues), house=house)
        drawings = {"n": blocks_of(fill * room), "a": blocks_of(50)}
        pages = flow(lesson, lambda block: drawings.get(block.id) or draw_block(block, lesson, look_of(lesson)))
        found = [[part.part for part in page.parts if part.block_id == "d"] for page in pages]
        return [one for one in found if one]

    for house in (House(), House(is_two_sided=False)):
        assert parts(0.55, house) == [[0, 1, 2], [3]]
        assert parts(0.75, house) == [[0, 1, 2, 3]]


def test_a_caption_stays_with_its_first_line_even_where_all_together_fit_on_no_page() -> None:
    """In large print a note, its drill's caption and three systems are more than a page."""
    note, drill = Note("n", "n"), Drill(family("twelve-bar-blues")(), "d")
    systems = tuple(Part(Drawing(100, 220, ()), 10) for _ in range(3))
    drawings = {"n": blocks_of(100), "d": BlockDrawing((Part(Drawing(100, 30, ()), 10, True), *systems))}
    for height in range(40, 620, 20):
        drawings["s"] = blocks_of(height)
        pages = flow(Lesson(blocks=(Space(20, "s"), note, drill)), lambda block: drawings[block.id])
        own = [[(part.block_id, part.part) for part in page.parts if part.block_id in drawings] for page in pages]
        assert ("d", 0) not in [parts[-1] for parts in own if parts], height


def test_the_work_of_laying_out_a_hundred_pages_is_twice_that_of_fifty(monkeypatch: pytest.MonkeyPatch) -> None:
    """Counted in steps and not in seconds, so that a busy machine changes nothing."""
    steps = 0
    measure = Layout._height

    def counted(layout: Layout, items: Sequence[Item]) -> float:
        nonlocal steps
        steps += len(items)
        return measure(layout, items)

    monkeypatch.setattr(Layout, "_height", counted)

    def work(count: int) -> tuple[int, int]:
        nonlocal steps
        steps = 0
        blocks: list[Block] = []
        for place in range(count):
            blocks += [
                Heading(f"Part {place}", id=f"h{place}"),
                Note("word " * 60, f"n{place}"),
                Note("on", f"o{place}"),
            ]
            blocks.append(Drill(BrokenChords(octaves=1 + place % 3), f"d{place}"))
        return len(pages_of(lesson_of(*blocks))), steps

    (few, little), (many, much) = work(105), work(210)
    assert few >= 50
    assert many >= 100
    assert much / little == pytest.approx(many / few, rel=0.05)
    assert much < 60 * many
