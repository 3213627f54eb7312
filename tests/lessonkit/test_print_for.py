"""Handouts for one student after another: what is kept for the last hands is let go before the next."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from pypdf import PdfReader

from lessonkit.forgetting import ROOMS_OF_HANDS, _caches
from lessonkit.hands.profile import HandProfile
from lessonkit.print_for import jobs_for, print_one
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.student_file import read_student
from lessonkit.students.student import Student

SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
DAY = date(2026, 3, 11)


def kept() -> int:
    """How many things are kept in the rooms of hands."""
    return sum(cache.cache_info().currsize for cache in _caches(ROOMS_OF_HANDS))


def students() -> list[Student]:
    one = read_student(SAMPLES / "m_k.student")
    return [replace(one, code=f"S{span}", hands=HandProfile().with_span(span)) for span in (176, 190, 204, 218)]


def test_what_is_kept_does_not_grow_with_the_number_of_students(tmp_path: Path) -> None:
    """Forty students need no more memory than four."""
    lesson = read_lesson(SAMPLES / "broken_chords.lesson")
    counts = []
    for job in jobs_for([("broken", lesson)], students(), DAY, tmp_path):
        print_one(job)
        counts.append(kept())
    assert counts[0] > 100
    assert max(counts) < 1.5 * min(counts)


def test_forgetting_changes_no_page(tmp_path: Path) -> None:
    """A handout is the same whoever was printed for before."""
    lesson = read_lesson(SAMPLES / "broken_chords.lesson")
    first, second = list(jobs_for([("broken", lesson)], students()[:2], DAY, tmp_path))
    print_one(second)
    alone = second.path.read_bytes()
    print_one(first)
    print_one(second)
    assert second.path.read_bytes() == alone
    assert len(PdfReader(second.path).pages) > 1
