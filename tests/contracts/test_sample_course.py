"""The sample lessons as a course: the sample term teaches them in an order that a teacher can answer for."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from lessonkit.curriculum.coverage import TWELVE_MAJOR, Coverage, coverage_of_term, unwritten
from lessonkit.curriculum.introduced import too_early
from lessonkit.curriculum.seen import Axis
from lessonkit.curriculum.term import Term
from lessonkit.drills.exercise import Hand
from lessonkit.lesson.lesson import Drill, Lesson, Note
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.term_file import read_term, term_to_bytes

SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
TERM = SAMPLES / "twelve_keys.term"


@cache
def course() -> tuple[Term, dict[str, Lesson], Coverage]:
    term = read_term(TERM)
    lessons = {placed.lesson: read_lesson(SAMPLES / placed.lesson) for _, placed in term.placements}
    return term, lessons, coverage_of_term(term, lessons)


def test_the_sample_term_is_in_canonical_form() -> None:
    """Opening and saving it must not change a byte."""
    assert term_to_bytes(read_term(TERM)) == TERM.read_bytes()


def test_the_term_teaches_every_sample_lesson_once_in_a_key_of_its_own() -> None:
    """Twelve lessons, twelve keys."""
    term, lessons, _ = course()
    assert sorted(placed.lesson for _, placed in term.placements) == sorted(
        path.name for path in SAMPLES.glob("*.lesson")
    )
    assert len(lessons) >= 12
    assert {lesson.key for lesson in lessons.values()} >= set(TWELVE_MAJOR)


def test_the_course_meets_every_key_both_hands_and_the_chords_of_its_levels() -> None:
    """Measured by its own coverage, from the notes of its drills."""
    _, _, coverage = course()
    assert coverage.missing(Axis.KEY, TWELVE_MAJOR) == ()
    assert coverage.missing(Axis.HAND, Hand) == ()
    chords = ("maj", "m", "dim", "maj7", "7", "m7", "m7b5", "dim7", "7sus4", "6", "m6", "maj9", "m9", "9", "13")
    assert coverage.missing(Axis.QUALITY, chords) == ()
    assert len(coverage.values(Axis.FAMILY)) >= 30
    assert unwritten(coverage) == ()


def test_nothing_in_the_course_is_used_before_it_is_introduced() -> None:
    """A half-diminished chord in a drill before anybody has named one is the mistake that a plan is made against."""
    _, _, coverage = course()
    assert [str(problem) for problem in too_early(coverage)] == []


def test_the_lessons_are_words_as_well_as_drills() -> None:
    """A lesson that a teacher hands out explains itself: at least forty-five words to each drill."""
    _, lessons, _ = course()
    for name, lesson in lessons.items():
        words = sum(len(block.text.split()) for block in lesson.blocks if isinstance(block, Note))
        drills = sum(isinstance(block, Drill) for block in lesson.blocks)
        assert words >= 45 * drills, name
