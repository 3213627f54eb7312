"""What saves a page is offered in the order of its cost, with true counts, and changes nothing by itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonkit.drills.exercise import Blank, FingersShown
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.realise import realise
from lessonkit.lesson.aids.checklist import Checklist
from lessonkit.lesson.aids.practice_log import PracticeLog
from lessonkit.lesson.handout_page import page_around
from lessonkit.lesson.lesson import Aid, Drill, House, Lesson, Note, Paper, Space
from lessonkit.lesson.page_aid import Stands
from lessonkit.pages import savings as offers
from lessonkit.pages.flow import pages_of
from lessonkit.pages.savings import changes, savings
from lessonkit.storage.lesson_file import lesson_from_bytes, lesson_to_bytes
from lessonkit.theory.key import Key

DRILL = Drill(BrokenChords(fingers_shown=FingersShown.ALL), "d")


def spilling(paper: Paper = Paper.LETTER) -> Lesson:
    """A page around a drill that runs over by little."""
    return page_around(Lesson("A page", key=Key.parse("Ab"), paper=paper, blocks=(Note("word " * 70, "n"), DRILL)), "d")


def test_a_lesson_of_one_page_needs_no_saving() -> None:
    """An offer that saves nothing is noise."""
    assert savings(Lesson(blocks=(DRILL,))) == ()


def test_offers_keep_what_they_say() -> None:
    """The counts are those of the pages that come out."""
    lesson = spilling()
    found = savings(lesson)
    assert found
    order = [say for say, _ in changes()]
    said = [saving.words for saving in found]
    if all(words in order for words in said):
        assert said == sorted(said, key=order.index)
    for saving in found:
        assert saving.pages_before == len(pages_of(lesson))
        assert saving.pages_after == len(pages_of(saving.lesson)) < saving.pages_before
        assert str(saving).endswith(f" instead of {saving.pages_before}.")


def test_changes_that_save_nothing_alone_are_offered_together() -> None:
    """The fewest that do it, in the order of their cost."""
    for height in range(1, 80):
        lesson = Lesson(blocks=(Note("word " * 300, "n"), Space(height, "s"), DRILL, Space(30, "e")))
        found = savings(lesson)
        if len(found) == 1 and ";" in found[0].words:
            assert found[0].pages_after < found[0].pages_before
            return
    pytest.fail("no such lesson was found")


def test_fewer_fingers_never_take_what_a_teacher_typed_or_chose() -> None:
    """Changes only is cheaper than all; what is fewer already stays."""
    lesson = Lesson(blocks=(DRILL, Drill(BrokenChords(fingers_shown=FingersShown.NONE), "e")))
    fewer = offers.with_fewer_fingers(lesson)
    shown = [block.family.fingers_shown for block in fewer.blocks if isinstance(block, Drill)]
    assert shown == [FingersShown.CHANGES, FingersShown.NONE]
    assert offers.with_fewer_fingers(fewer) == fewer


def test_only_aids_that_lose_nothing_come_to_stand_side_by_side() -> None:
    """A single one gains nothing by half the width."""
    one = Lesson(blocks=(Aid(Checklist(), "c"),))
    assert offers.with_aids_side_by_side(one) == one
    two = offers.with_aids_side_by_side(Lesson(blocks=(Aid(Checklist(), "c"), Aid(PracticeLog(), "l"))))
    assert [block.shows.stands for block in two.blocks if isinstance(block, Aid)] == [Stands.HALF, Stands.HALF]


@pytest.mark.parametrize(("now", "least", "after"), [(70, 60, 65), (62, 60, 62), (70, 70, 70), (120, 60, 120)])
def test_a_staff_never_shrinks_below_what_the_student_reads(now: int, least: int, after: int) -> None:
    """Half a millimetre at once, and a large staff not at all."""
    lesson = Lesson(house=House(staff_tenths=now))
    assert offers.with_smaller_staff(lesson, least).house.staff_tenths == after


def test_the_way_down_in_words_keeps_the_way_up() -> None:
    """The notes that are left are those of the way up."""
    lesson = Lesson(key=Key.parse("Ab"), blocks=(DRILL,))
    (drill, note) = offers.with_the_way_down_in_words(lesson).blocks
    assert isinstance(drill, Drill)
    assert isinstance(note, Note)
    up = realise(drill.family, lesson.setting).events
    both = realise(DRILL.family, lesson.setting).events
    notes = [event.pitches for event in up if event.pitches]
    assert [event.pitches for event in both if event.pitches][: len(notes) - 4] == notes[:-4]
    assert not realise(drill.family, lesson.setting).blank & {Blank.NOTES}


def test_closer_spacing_survives_the_file() -> None:
    """A saving that was taken is kept."""
    lesson = replace(spilling(), house=House(is_close=True))
    assert lesson_from_bytes(lesson_to_bytes(lesson), "x") == lesson
    assert len(pages_of(lesson)) <= len(pages_of(spilling()))
