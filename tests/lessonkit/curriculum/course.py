"""The sample term with its lessons, read once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from lessonkit.curriculum.coverage import Coverage, coverage_of_term
from lessonkit.curriculum.term import Term
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.term_file import read_term

SAMPLES = Path(__file__).resolve().parents[3] / "sample_lessons"
TERM = SAMPLES / "twelve_keys.term"


@cache
def course() -> tuple[Term, dict[str, Lesson], Coverage]:
    """The term, its lessons by their files, and what it covers."""
    term = read_term(TERM)
    lessons = {placed.lesson: read_lesson(SAMPLES / placed.lesson) for _, placed in term.placements}
    return term, lessons, coverage_of_term(term, lessons)
