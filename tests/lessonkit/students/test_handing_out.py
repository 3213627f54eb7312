"""A student's whole handout: plan, lesson, review and strip are blocks; the make-up sheet keeps to its minutes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.progression_through_keys import ProgressionThroughKeys
from lessonkit.drills.reach_marks import reach_marks
from lessonkit.lesson import edits
from lessonkit.lesson.aids.header_strip import HeaderStrip
from lessonkit.lesson.lesson import Aid, Drill, Heading, Lesson, Note
from lessonkit.lesson.problems import problems
from lessonkit.pages.flow import pages_of
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.student_file import read_student
from lessonkit.students.explained import RULES, TITLES
from lessonkit.students.handing_out import Around, chart_blocks, due_blocks, handed_out, named_for, without_plan
from lessonkit.students.item import Item
from lessonkit.students.make_up import make_up, minutes_of
from lessonkit.students.marks import Mark
from lessonkit.students.session import SLOTS, Role, due_on, session_on
from lessonkit.students.student import AgeBand, Student, with_handout, with_mark
from lessonkit.theory.key import Key
from tests.lessonkit.pages.test_editions import words_of
from tests.lessonkit.students.test_adapt import PLAIN, lesson

SAMPLES = Path(__file__).resolve().parents[3] / "sample_lessons"
STUDENT = read_student(SAMPLES / "m_k.student")
LESSONS = sorted(SAMPLES.glob("*.lesson"))
DAY = date(2026, 3, 11)


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_handout_has_no_problem_and_lies_within_reach(path: Path) -> None:
    made = handed_out(read_lesson(path), STUDENT, DAY)
    assert problems(made.lesson) == problems(read_lesson(path)) == ()
    for block in made.lesson.blocks:
        if isinstance(block, Drill):
            assert reach_marks(block.family, made.lesson.setting) == ()
    ids = [block.id for block in made.lesson.blocks]
    assert ids[:3] == ["for-whom", "plan-head", "plan"]
    assert ids[-2:] == ["strip-head", "strip"]
    assert "review-1" in ids
    assert without_plan(made.lesson) == made.adapted.lesson
    given = [block.block_id for block in made.handout.blocks]
    assert given == [name for name in ids if name in given], "the strip is typed in the order of the page"


def test_a_handout_given_twice_on_a_day_is_kept_twice() -> None:
    one = read_lesson(LESSONS[0])
    first = handed_out(one, STUDENT, DAY).handout
    second = handed_out(one, with_handout(STUDENT, first), DAY).handout
    assert first.id != second.id


def test_the_review_page_is_what_is_due_and_nothing_else() -> None:
    due = due_on(STUDENT, DAY)
    made = handed_out(read_lesson(LESSONS[0]), STUDENT, DAY).lesson
    reviewed = [block.family for block in made.blocks if isinstance(block, Drill) and block.id.startswith("review-")]
    assert [(drill.code, drill.key) for drill in reviewed] == [(one.item.skill, one.item.key) for one in due[:4]]
    rested = handed_out(read_lesson(LESSONS[0]), Student("N. N."), DAY).lesson
    assert not any(block.id.startswith("review") for block in rested.blocks)


def test_a_session_has_six_slots_with_one_new_item_at_most() -> None:
    new = [Item.parse(f"block-chords/{key}") for key in ("C", "Db", "D")]
    session = session_on(STUDENT, DAY, new)
    roles = [slot.role for slot in session.slots]
    assert len(roles) == SLOTS
    assert roles[0] is Role.OPENER
    assert (roles.count(Role.NEW), roles.count(Role.USE), roles.count(Role.FROM_MEMORY)) == (1, 1, 1)
    assert session == session_on(STUDENT, DAY, new)
    child = session_on(replace(STUDENT, age=AgeBand.SIX_TO_EIGHT), DAY, new)
    assert "twice round" in child.rounds


def test_two_new_look_alikes_are_never_begun_on_following_days() -> None:
    """E♭maj7 and A♭maj7 lie alike under the hand (BWBW)."""
    begun = with_mark(Student("N. N."), Mark(DAY, (Item.parse("broken-chords/Eb/right/maj7"),), 2))
    alike = [Item.parse("broken-chords/Ab/right/maj7")]
    tomorrow = date(2026, 3, 12)
    session = session_on(begun, tomorrow, alike)
    assert Role.NEW not in [slot.role for slot in session.slots]
    assert "looks like what was begun" in session.said[0]
    after = session_on(begun, date(2026, 3, 13), alike)
    assert Role.NEW in [slot.role for slot in after.slots]


def test_the_chart_and_the_due_list_can_be_printed() -> None:
    heads = chart_blocks(STUDENT.chart(DAY), DAY)
    keys = next(block for block in heads if block.id == "chart-keys")
    assert isinstance(keys, Note)
    assert "*weak:* D♭ major (1 mark, 7 days old); A♭ major (3 marks, the newest 7 days old)" in keys.text
    due = due_blocks(due_on(STUDENT, DAY), DAY)[1]
    assert isinstance(due, Note)
    assert "14 ÷ 1 × (0.5 + 0.64) = 15.89" in due.text


def test_every_number_has_its_rule() -> None:
    """What is shown can be redone by hand."""
    assert set(RULES) >= {"box", "due", "weakness", "priority", "load", "share of weak keys", "tempo ladder", "minutes"}
    assert set(TITLES) == set(RULES)


def test_a_make_up_sheet_keeps_to_its_minutes_and_takes_equal_drills_once() -> None:
    long, short = ProgressionThroughKeys(count=12), BrokenChords()
    one, two = lesson(short, long), lesson(short, ProgressionThroughKeys(count=2))
    found = make_up([one, two], PLAIN, DAY, 5)
    drills = [block.family for block in found.adapted.lesson.blocks if isinstance(block, Drill)]
    assert drills == [short, ProgressionThroughKeys(count=2)]
    assert found.minutes <= 5
    assert found.minutes == sum(minutes_of(drill, one.setting) for drill in drills)
    assert found.left_out == ("Progression through keys from “A lesson” (about 8 min)",)
    ids = [block.id for block in found.adapted.lesson.blocks]
    assert len(ids) == len(set(ids))


def test_a_drill_that_followed_another_lessons_key_keeps_it() -> None:
    one, two = lesson(BrokenChords()), edits.set_key(lesson(BrokenChords()), Key.parse("Eb"))
    drills = [block.family for block in make_up([one, two], PLAIN, DAY, 30).adapted.lesson.blocks
              if isinstance(block, Drill)]  # fmt: skip
    assert [drill.key for drill in drills] == [None, Key.parse("Eb")]
    heads = [block for block in make_up([one, two], PLAIN, DAY, 30).adapted.lesson.blocks if isinstance(block, Heading)]
    assert len(heads) == 2


def test_a_handout_says_for_whom_it_is_unless_that_is_left_out() -> None:
    """On each page, so that two students' sheets are not mixed up; initials are enough."""
    lesson = read_lesson(LESSONS[0])
    pages = pages_of(handed_out(lesson, STUDENT, DAY).lesson)
    assert len(pages) > 1
    for page in pages:
        assert STUDENT.code in words_of((page,))
    nameless = handed_out(lesson, STUDENT, DAY, Around(has_name=False)).lesson
    assert STUDENT.code not in words_of(pages_of(nameless))


def test_a_header_strip_of_the_lesson_is_filled_in_and_one_already_filled_stays() -> None:
    """Nobody wants two strips; what the teacher wrote there is theirs."""
    empty, filled = Aid(HeaderStrip(), "strip-1"), Aid(HeaderStrip(student="Both of you"), "strip-2")
    made = named_for(Lesson(blocks=(empty, filled)), "M. K.", DAY)
    assert made.blocks == (Aid(HeaderStrip(student="M. K."), "strip-1"), filled)
