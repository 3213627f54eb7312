"""Small headings stand beside the note that they head; what takes the whole width begins below both."""

from __future__ import annotations

from itertools import pairwise

import pytest

from lessonkit.drawing.shapes import Line, Text
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.lesson.aids.chords_in_bars import ChordsInBars
from lessonkit.lesson.lesson import Aid, Drill, Heading, House, Lesson, Note, Paper
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import pages_of
from lessonkit.pages.page import PlacedBlock
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle

LONG = "one two three four five six seven"


def placed(lesson: Lesson) -> dict[str, list[PlacedBlock]]:
    found: dict[str, list[PlacedBlock]] = {}
    for page in pages_of(lesson):
        for part in page.parts:
            found.setdefault(part.block_id, []).append(part)
    return found


def test_a_small_heading_stands_beside_its_note_on_one_base_line() -> None:
    """Their first lines are read as one line."""
    parts = placed(Lesson(blocks=(Note("Before."), Heading("How", 2, "h"), Note("So.", "n"))))
    (heading,), (note,) = parts["h"], parts["n"]
    assert heading.placed.y == note.placed.y
    assert heading.placed.box.right <= note.placed.x
    base_lines = {shape.y for one in (heading, note) for shape in one.placed.drawing.shapes if isinstance(shape, Text)}
    assert len(base_lines) == 1


def test_what_follows_begins_below_a_long_heading() -> None:
    """A heading of several lines beside a note of one must not run into the music."""
    parts = placed(Lesson(blocks=(Heading(LONG, 2, "h"), Note("So.", "n"), Drill(BrokenChords(), "d"))))
    assert parts["d"][0].placed.y >= parts["h"][0].placed.box.bottom
    again = placed(Lesson(blocks=(Heading(LONG, 2, "h"), Note("So.", "n"), Heading("Next", 2, "i"), Note("x", "m"))))
    assert again["i"][0].placed.y >= again["h"][0].placed.box.bottom


def test_it_stands_above_where_there_is_no_column_for_it() -> None:
    """Small papers have none, a drill takes the whole width, and a very long heading wants it."""
    small = placed(Lesson(paper=Paper.A5, blocks=(Heading("How", 2, "h"), Note("So.", "n"))))
    assert small["n"][0].placed.y > small["h"][0].placed.y
    drill = placed(Lesson(blocks=(Heading("How", 2, "h"), Drill(BrokenChords(), "d"))))
    assert drill["d"][0].placed.y > drill["h"][0].placed.y
    long = placed(Lesson(blocks=(Heading(LONG * 4, 2, "h"), Note("So.", "n"))))
    assert long["n"][0].placed.y > long["h"][0].placed.y


@pytest.mark.parametrize("lines", range(36, 60))
def test_a_heading_at_the_side_is_never_parted_from_its_note(lines: int) -> None:
    """At the foot of a page both go on to the next."""
    lesson = Lesson(blocks=(Note("\n\n".join(["line"] * lines), "b"), Heading("How", 2, "h"), Note("So. " * 60, "n")))
    for page in pages_of(lesson):
        there = {part.block_id: part for part in reversed(page.parts)}
        if "h" in there:
            assert there["n"].part == 0
            assert there["n"].placed.y == there["h"].placed.y


def test_the_outline_has_headings_at_the_side_too() -> None:
    """Whoever jumps through a handout by its headings misses none."""
    pages = pages_of(Lesson(blocks=(Heading("One"), Note("x"), Heading("Two", 2), Note("y"))))
    assert [(entry.text, entry.level) for entry in pages[0].outline] == [("One", 1), ("Two", 2)]


def test_prose_ends_where_music_ends() -> None:
    """One right edge for all that stands on a page."""
    look = look_of(Lesson())
    note = draw_block(Note("word " * 50), Lesson(), look)
    assert note.x + note.parts[0].drawing.width == pytest.approx(look.width, abs=0.5)


def test_chord_names_are_raised_in_captions_as_over_the_staff() -> None:
    """The root on the base line, what follows it smaller and higher."""
    lesson = Lesson(key=Key.parse("Ab"))
    caption = draw_block(Drill(BrokenChords()), lesson, look_of(lesson)).parts[0].drawing
    texts = [shape for shape in caption.shapes if isinstance(shape, Text)]
    (raised,) = [text for text in texts if text.text == "maj7"]
    root = texts[texts.index(raised) - 2]
    assert raised.size < root.size
    assert raised.y < root.y


def test_chords_typed_as_words_are_set_as_chords_too() -> None:
    """A teacher who types G7 without braces still gets a chord, in the style of the house."""
    house = House(label_style=LabelStyle(major_seventh="Δ7"))
    lesson = Lesson(house=house)
    for block in (Note("From G7 to Cmaj7 in C4."), Heading("G7 and Cmaj7")):
        texts = [
            shape for part in draw_block(block, lesson, look_of(lesson)).parts for shape in part.drawing.shapes
            if isinstance(shape, Text)
        ]  # fmt: skip
        assert "Cmaj7" not in "".join(text.text for text in texts)
        assert any(text.text == "Δ" for text in texts)
        (seven, *_) = [text for text in texts if text.text == "7"]
        assert seven.y < texts[0].y


def test_a_chart_below_the_rule_over_its_heading_has_none_of_its_own_there() -> None:
    """Two rules side by side look like a slip; where the heading stands between them both are drawn."""
    drill = Drill(BrokenChords(), "d")

    def rules(paper: Paper, heading: str) -> list[float]:
        (chart,) = placed(Lesson(paper=paper, blocks=(drill, Aid(ChordsInBars(heading_words=heading), "a"))))["a"]
        return sorted({shape.y1 for shape in chart.placed.drawing.shapes if isinstance(shape, Line)})

    assert len(rules(Paper.A4, "Chart")) == len(rules(Paper.A4, "-"))
    assert len(rules(Paper.A5, "Chart")) == len(rules(Paper.A5, "-")) + 1
    assert all(below - above > 8 for above, below in pairwise(rules(Paper.A4, "Chart")))
