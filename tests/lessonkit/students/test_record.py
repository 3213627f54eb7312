"""The ten-second record: three keys a block at most, a wrong one taken back by one key, nothing lost on the way."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as some

from lessonkit.storage.student_file import student_from_bytes, student_to_bytes
from lessonkit.students.item import Item
from lessonkit.students.marks import Cause, Source
from lessonkit.students.record import begin_record, key_taken_back, pressed, record_of, taken_in
from lessonkit.students.student import GivenBlock, Handout, Student

DAY = date(2026, 3, 11)
BLOCKS = tuple(
    GivenBlock(f"b{number}", title, (Item.parse(item),))
    for number, (title, item) in enumerate(
        [("Broken chords", "broken-chords/Eb"), ("Chord jumps", "chord-jumps/C"), ("By ear", "by-ear/F")]
    )
)
STUDENT = begin_record(Student("A. B.", handouts=(Handout("h1", date(2026, 3, 4), "Lesson", BLOCKS),)), "h1")


def typed(keys: str, student: Student = STUDENT) -> Student:
    for key in keys:
        student = pressed(student, key)
    return student


def test_three_blocks_are_typed_in_five_keys() -> None:
    done = typed("2h3-")
    record = record_of(done.handouts[0], done.keys_typed)
    assert record.is_done
    assert [(line.rating, line.cause) for line in record.lines] == [(2, Cause.HAND), (3, None), (None, None)]
    marks = taken_in(done, DAY).marks
    assert [(mark.items[0].skill, mark.rating, mark.cause) for mark in marks] == [
        ("broken-chords", 2, Cause.HAND),
        ("chord-jumps", 3, None),
    ]
    assert {mark.source for mark in marks} == {Source.TEACHER}
    assert taken_in(done, DAY).keys_typed == ""


@pytest.mark.parametrize(
    ("keys", "wrong", "said"), [("", "7", "no rating"), ("1", "2", "no cause"), ("3-3", "1", "take")]
)
def test_a_key_that_says_nothing_here_gets_a_sentence(keys: str, wrong: str, said: str) -> None:
    student = typed(keys)
    with pytest.raises(ValueError, match=said):
        pressed(student, wrong)


def test_a_record_goes_on_after_the_file_was_closed() -> None:
    """A ringing telephone costs nothing."""
    half = typed("2")
    again = student_from_bytes(student_to_bytes(half), "a.student")
    assert typed("t3", again).keys_typed == "2T3"
    assert begin_record(again, "h1") == again


@given(some.lists(some.sampled_from("0123-HRTEPhx"), max_size=12))
def test_whatever_is_pressed_one_key_takes_it_back(keys: list[str]) -> None:
    student = STUDENT
    for key in keys:
        try:
            after = pressed(student, key)
        except ValueError:
            continue
        assert key_taken_back(after) == student
        assert len(record_of(after.handouts[0], after.keys_typed).lines) <= len(BLOCKS)
        student = after
    taken = taken_in(student, DAY)
    assert len(taken.marks) == sum(
        line.rating is not None for line in record_of(student.handouts[0], student.keys_typed).lines
    )


def test_nothing_is_taken_back_where_nothing_is_typed() -> None:
    assert key_taken_back(STUDENT) == STUDENT
    assert replace(STUDENT, handout_typed="") != STUDENT
