"""A student against a level, and which lessons of a shelf a student needs: from the marks alone."""

from __future__ import annotations

from datetime import date, timedelta

from lessonkit.curriculum.coverage import coverage_of
from lessonkit.curriculum.levels import Level, Requirement
from lessonkit.curriculum.seen import Skill
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import family
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.students.against_level import student_measured
from lessonkit.students.item import Item
from lessonkit.students.lessons_needed import lessons_needed
from lessonkit.students.marks import Mark
from lessonkit.students.student import Student
from lessonkit.theory.key import Key

POSITIONS = Skill.parse("broken-chords:positions")
KEYS = tuple(map(Key.parse, ("Eb", "Db")))
LEVEL = Level("One", (Requirement(POSITIONS, KEYS, (Hand.RIGHT,), ("maj7",)),))


def marked(*items: str, times: int, rating: int = 3) -> Student:
    """A student who was marked so often, each time after a long wait."""
    marks = tuple(
        Mark(date(2026, 1, 5) + timedelta(60 * number), (Item.parse(item),), rating)
        for item in items
        for number in range(times)
    )
    return Student("AB", marks=marks)


def test_what_has_climbed_high_is_held_and_what_was_met_once_is_not() -> None:
    """Box 4 waits two weeks; one good try is not yet a skill."""
    assert student_measured(LEVEL, marked("broken-chords/Eb/right/maj7", times=1)).met == ()
    measure = student_measured(LEVEL, marked("broken-chords/Eb/right/maj7", times=5))
    assert [need.key for need, _ in measure.met] == [Key.parse("Eb")]
    assert [need.key for need in measure.unmet] == [Key.parse("Db")]


def test_hands_and_chords_count_as_they_were_marked() -> None:
    """The left hand does not stand for the right; both hands and no chord in particular stand for each."""
    assert student_measured(LEVEL, marked("broken-chords/Eb/left/maj7", times=5)).met == ()
    assert student_measured(LEVEL, marked("broken-chords/Eb/right/m7", times=5)).met == ()
    assert student_measured(LEVEL, marked("broken-chords/Eb", "broken-chords/C#", times=5)).is_reached


def test_the_lessons_that_play_what_is_due_come_first() -> None:
    """A teacher looks on the shelf for what a student needs today."""
    student = marked("broken-chords/Eb/right", "chord-jumps/D/right", times=1, rating=0)
    broken, jumps = (Drill(family(code)(), code) for code in ("broken-chords", "chord-jumps"))
    both = Drill(family("chord-jumps").from_settings({"key": "D"}), "own")
    shelf = [
        ("one", Lesson(key=Key.parse("Eb"), blocks=(broken,))),
        ("none", Lesson(key=Key.parse("G"), blocks=(jumps,))),
        ("two", Lesson(key=Key.parse("Eb"), blocks=(broken, both))),
    ]
    found = lessons_needed(coverage_of(shelf), student, date(2026, 3, 1))
    assert [(one.lesson, len(one.items)) for one in found] == [("two", 2), ("one", 1)]
    assert {place.block_id for _, place in found[0].items} == {"broken-chords", "own"}
