"""Lessons printed for students, one or many: each adapted, with the day's plan and what is due, as a PDF of its own."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from pathlib import Path

from lessonkit.forgetting import forget_hands
from lessonkit.handout.batch import Outcome, done_one_by_one
from lessonkit.handout.how_printed import HowPrinted, printed_pages
from lessonkit.handout.pdf import pdf_bytes
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson.lesson import Lesson
from lessonkit.pages.flow import pages_of
from lessonkit.pages.page import Page
from lessonkit.pages.talking import talking_score
from lessonkit.storage.safe_write import safe_write
from lessonkit.students.adapt import adapt
from lessonkit.students.adapted import Adapted
from lessonkit.students.handing_out import HandedOut, around, from_adapted
from lessonkit.students.student import Handout, Student
from lessonkit.values import dataclass

NO_SIGN = re.compile(r"[^\w-]+")
"""What has no place in the name of a file."""


@dataclass(frozen=True, slots=True)
class PrintJob:
    """One handout to be printed: which lesson, for whom, on which day, and into which file.

    ``choices`` are changes that the teacher took back and questions that were answered, as ``adapt`` takes them;
    ``has_around`` is for the plan in front, the review and the strip behind, ``has_name`` for whom it is. ``own`` is a
    lesson that was adapted and kept before; it is printed as it is.
    """

    lesson: Lesson
    student: Student
    day: date
    path: Path
    shows_answers: bool = False
    choices: tuple[tuple[str, bool], ...] = ()
    has_around: bool = True
    has_name: bool = True
    how: HowPrinted = HowPrinted()
    own: Adapted | None = None


@dataclass(frozen=True, slots=True)
class Printed:
    """A handout that was printed: where it is, what was given, how many changes were made for the student."""

    path: Path
    handout: Handout
    changes: int


def pages_for(made: HandedOut, shows_answers: bool = False, how: HowPrinted | None = None) -> tuple[Page, ...]:
    """The pages of a student's handout."""
    return printed_pages(made.lesson, shows_answers, how or HowPrinted())


class _LastHands:
    """For whose hands this process has printed last."""

    hands: HandProfile | None = None


def print_one(job: PrintJob) -> Printed:
    """Print one handout; its file is the whole new one or, whatever happens, the old one."""
    if job.student.hands != _LastHands.hands:
        forget_hands()
        _LastHands.hands = job.student.hands
    adapted = job.own or adapt(job.lesson, job.student, job.day, dict(job.choices))
    made = from_adapted(adapted, job.student, job.day, around(job.has_around, job.has_name))
    pages = pages_for(made, job.shows_answers, job.how)
    job.path.parent.mkdir(parents=True, exist_ok=True)
    title = f"{made.lesson.title} for {job.student.code}"
    safe_write(job.path, pdf_bytes(pages, title, made.lesson.author, imposition=job.how.imposition))
    if job.how.is_told:
        safe_write(job.path.with_suffix(".txt"), talking_score(made.lesson).encode("utf-8"))
    return Printed(job.path, made.handout, sum(change.is_applied for change in made.adapted.changes))


def print_all(
    jobs: Iterable[PrintJob], processes: int = 1, is_stopped: Callable[[], bool] = lambda: False
) -> Iterator[Outcome[PrintJob, Printed]]:
    """Print many handouts; each is told as soon as it is done."""
    return done_one_by_one(jobs, print_one, processes, is_stopped)


def jobs_for(
    lessons: Sequence[tuple[str, Lesson]], students: Sequence[Student], day: date, folder: Path
) -> Iterator[PrintJob]:
    """Every lesson for every student, one student after another: ``folder/ladder for M_K.pdf``."""
    for student in students:
        for name, lesson in lessons:
            yield PrintJob(lesson, student, day, folder / file_name(name, student))


def file_name(name: str, student: Student) -> str:
    """The name of a handout's file."""
    code = NO_SIGN.sub("_", student.code).strip("_") or "student"
    return f"{name} for {code}.pdf"


@dataclass(frozen=True, slots=True)
class SheetJob:
    """A sheet to be printed just as it is, without adapting it once more."""

    lesson: Lesson
    path: Path
    title: str


def print_sheet(job: SheetJob) -> Path:
    """Print one sheet; its file is the whole new one or, whatever happens, the old one."""
    job.path.parent.mkdir(parents=True, exist_ok=True)
    safe_write(job.path, pdf_bytes(pages_of(job.lesson), job.title, job.lesson.author))
    return job.path
