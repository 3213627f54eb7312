"""The page that assembles itself around a drill, and what its aids take from the lesson."""

from __future__ import annotations

import pytest

from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.diatonic_ladder import DiatonicLadder
from lessonkit.lesson.aids.cautions import Cautions
from lessonkit.lesson.aids.keys_of_the_day import KeysOfTheDay
from lessonkit.lesson.aids.tempo_ladder import TempoLadder
from lessonkit.lesson.handout_page import page_around
from lessonkit.lesson.lesson import Aid, Drill, Lesson, Note, PageBreak
from lessonkit.lesson.prose import ChordName, DegreeName, Words
from lessonkit.lesson.scene import scene_of
from lessonkit.lesson.shown import Ladder, Strip
from lessonkit.lesson.told_names import with_names
from lessonkit.pages.columns import Columns
from lessonkit.pages.flow import pages_of
from lessonkit.theory.key import Key

ONE = Lesson("One", key=Key.parse("Ab"), blocks=(Drill(BrokenChords(), "a"),))
TWO = Lesson("Two", key=Key.parse("Ab"), blocks=(Drill(BrokenChords(), "a"), Drill(DiatonicLadder(), "b")))


def codes(lesson: Lesson) -> list[str]:
    return [block.shows.code if isinstance(block, Aid) else type(block).__name__ for block in lesson.blocks]


def test_a_page_comes_in_the_order_in_which_it_is_worked_through() -> None:
    """Header, aim, keys, tempo, drill, steps, check and log, use, reflection, footer (common practice, no source)."""
    assert codes(page_around(ONE, "a")) == [
        "header-strip", "aim", "keys-of-the-day", "tempo-ladder", "Drill", "practice-steps", "checklist",
        "practice-log", "now-use-it", "reflection", "footer",
    ]  # fmt: skip


def test_asking_twice_puts_nothing_there_twice() -> None:
    """An edit that is repeated by mistake must do no harm."""
    once = page_around(ONE, "a")
    assert codes(page_around(once, "a")) == codes(once)


def test_a_drill_with_neighbours_gets_a_page_of_its_own() -> None:
    """Its aids would not know whose they are otherwise."""
    lesson = page_around(page_around(TWO, "b"), "a")
    assert codes(lesson).count("PageBreak") == 1
    assert codes(lesson).count("footer") == 1
    for block in lesson.blocks:
        if isinstance(block, Aid):
            own = scene_of(lesson, block).drill
            is_first = lesson.place_of(block.id) < codes(lesson).index("PageBreak")
            assert own == (BrokenChords() if is_first else DiatonicLadder())


def test_a_page_around_something_else_is_refused() -> None:
    """A caller that names the wrong block is told."""
    with pytest.raises(TypeError):
        page_around(Lesson(blocks=(Note("x", "n"),)), "n")
    with pytest.raises(KeyError):
        page_around(ONE, "z")


def test_a_default_page_fits_on_one_sheet() -> None:
    """One side of one sheet is what a student keeps in sight."""
    assert len(pages_of(page_around(ONE, "a"))) == 1


def test_the_strip_fills_the_keys_of_the_drills() -> None:
    """The keys of the day are those that are played, spelled as they are printed."""
    carried = BrokenChords(key_count=3)
    lesson = Lesson(key=Key.parse("Ab"), blocks=(aid := Aid(KeysOfTheDay(), "k"), Drill(carried, "a")))
    (strip,) = KeysOfTheDay().shown(scene_of(lesson, aid))
    assert isinstance(strip, Strip)
    assert {cell.name for cell in strip.cells if cell.is_filled} == {"A♭", "E♭", "B♭"}
    assert len(strip.cells) == 12


def test_a_ladder_climbs_to_the_tempo_of_the_lesson_by_even_shares() -> None:
    """60 to 120 in six steps is 60 69 80 92 104 120 (worked out from equal ratios on the traditional marks)."""
    lesson = Lesson(tempo=120, blocks=(aid := Aid(TempoLadder(steps=6, start=60), "t"), Drill(BrokenChords(), "a")))
    assert TempoLadder(steps=6, start=60).shown(scene_of(lesson, aid)) == (Ladder("♩", (60, 69, 80, 92, 104, 120)),)


def test_the_line_of_care_is_said_once() -> None:
    """Placed by the teacher it leaves the foot of the page."""

    def said(lesson: Lesson) -> int:
        marks = (mark for page in pages_of(lesson) for part in page.parts for mark in part.placed.drawing.marks)
        return sum("Warm up with easy" in mark.detail for mark in marks)

    assert said(ONE) == 1
    assert said(Lesson(blocks=(Drill(BrokenChords(), "a"), Aid(Cautions(), "c")))) == 1


def test_the_header_strip_bears_the_number_of_its_page() -> None:
    """A loose sheet finds its place again."""
    pages = pages_of(page_around(page_around(TWO, "b"), "a"))
    said = [mark.detail for page in pages for part in page.parts for mark in part.placed.drawing.marks]
    assert f"Page 1 of {len(pages)}" in said
    assert f"1 of {len(pages)}" not in said


def test_chords_are_found_in_plain_sentences_and_notes_are_not() -> None:
    """A chord looks the same wherever it is named; a note with its octave, a word and a lone letter are none."""
    spans = with_names((Words("A♭maj7 and Cm7♭5 over G7/B, iim7–V7–subV7, A blues from C4 to E6 in 6/8, B, I am, IV"),))
    assert [str(span.chord) for span in spans if isinstance(span, ChordName)] == ["A♭maj7", "Cm7♭5", "G7/B"]
    assert [str(span.degree) for span in spans if isinstance(span, DegreeName)] == ["ii7", "V7", "subV7"]


def test_halves_go_where_the_page_is_emptier() -> None:
    """Beside a long log stand several short aids."""
    columns = Columns().begun(10)
    for height, place in ((30, 0), (100, 1), (40, 0), (40, 0)):
        assert columns.next == place
        columns = columns.with_one(5, height)
    assert (columns.left, columns.right, columns.end) == (130, 110, 130)


def test_a_page_break_parts_what_belongs_together() -> None:
    """An aid of one page does not speak of the drill on another while its own page has one."""
    lesson = Lesson(blocks=(Drill(BrokenChords(), "a"), PageBreak("p"), aid := Aid(TempoLadder(), "t"),
                            Drill(DiatonicLadder(), "b")))  # fmt: skip
    assert scene_of(lesson, aid).drill == DiatonicLadder()
