"""A run of binders made in other processes, so that the window stays free; it can be stopped at any moment.

What is made stays; made again, a run goes on where it was stopped, since what is there and unchanged is not made anew.
"""

from __future__ import annotations

import traceback
from collections.abc import Mapping, Sequence
from dataclasses import replace
from enum import Enum
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from desktop.memory import state_folder
from desktop.mishaps import write_down
from desktop.plan.students_beside import students_in
from desktop.words import english, say
from lessonkit.curriculum.term import Term
from lessonkit.lesson.lesson import Lesson
from lessonkit.values import dataclass

if TYPE_CHECKING:
    from lessonkit.binder.jobs import BinderJob
    from lessonkit.students.student import Student

PROCESSES = 2
"""As many binders are made at once; with one alone the work would be done in the window's own process."""


class For(Enum):
    """Whom a binder is for."""

    EACH = english("All students, a binder each")
    TOGETHER = english("All students, one file")
    TEACHER = english("The teacher")
    STUDENT = english("One student")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be bound. ``code`` is the student's for whom alone it is; ``draw`` draws an assessment's keys."""

    whom: For
    code: str = ""
    is_by_lesson: bool = False
    has_answers: bool = False
    has_parent_notes: bool = False
    draw: int | None = None
    makes_anew: bool = False
    begins_right: bool = False


@dataclass(frozen=True, slots=True)
class Came:
    """What came of one binder: its files, or the sentence that says why there is none."""

    who: str
    paths: tuple[Path, ...] = ()
    pages: int = 0
    is_old: bool = False
    problem: str = ""


class BinderRun(QObject):
    """One run."""

    began = Signal(int)
    """So many binders are to be made."""

    came = Signal(Came)
    """One binder is made, or why not."""

    ended = Signal(bool)
    """Nothing more comes; says whether it was stopped before the end."""

    def __init__(
        self, term: Term, lessons: Mapping[str, Lesson], wanted: Wanted, folder: Path, students: Sequence[Path]
    ) -> None:
        super().__init__()
        placed = {one.lesson for _, one in term.placements}
        self._term = term
        self._lessons = {name: lesson for name, lesson in lessons.items() if name in placed}
        self._wanted = wanted
        self._folder = folder
        self._student_folders = students
        self._is_stopped = Event()
        self._thread = Thread(target=self._run, name="binders", daemon=True)

    def begin(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> None:
        """Begin nothing more; what is begun is finished."""
        self._is_stopped.set()

    def close(self) -> None:
        """Stop, and wait until what is begun is finished."""
        self.stop()
        if self._thread.is_alive():
            self._thread.join()

    # Beside the window's thread

    def _run(self) -> None:
        from lessonkit.binder.jobs import make_binders

        count = 0
        try:
            jobs = self._jobs()
            self.began.emit(len(jobs))
            for outcome in make_binders(jobs, PROCESSES, self._is_stopped.is_set, self._wanted.makes_anew):
                count += 1
                made, who = outcome.made, outcome.job.who
                self.came.emit(
                    Came(who, problem=outcome.problem)
                    if made is None
                    else Came(who, made.paths, made.pages, made.is_old)
                )
            self.ended.emit(count < len(jobs))
        except Exception:  # A process that dies takes its pool along; it is told as any other problem.
            write_down(traceback.format_exc(), state_folder() / "problems.log")
            self.came.emit(Came("", problem=say("Not all binders were made; “Go on” makes those that are missing")))
            self.ended.emit(True)

    def _jobs(self) -> list[BinderJob]:
        from lessonkit.binder.jobs import BinderJob, Form, jobs_for, teacher_job
        from lessonkit.binder.section import Contents

        wanted, folder, draw = self._wanted, self._folder, self._wanted.draw
        form = Form.A_LESSON if wanted.is_by_lesson else Form.ONE_FILE
        if wanted.whom is For.TEACHER:
            job = teacher_job(self._term, self._lessons, folder, draw)
            contents = replace(job.contents, begins_right=wanted.begins_right)
            return [BinderJob(job.term, job.lessons, (), folder, contents, form, draw)]
        contents = Contents(wanted.has_answers, False, wanted.has_parent_notes, begins_right=wanted.begins_right)
        students = [one for one in self._students() if wanted.whom is not For.STUDENT or one.code == wanted.code]
        jobs = jobs_for(self._term, self._lessons, students, folder, contents, form, draw)
        if wanted.whom is For.TOGETHER and jobs:
            together = tuple(student for job in jobs for student in job.students)
            return [BinderJob(self._term, self._lessons, together, folder, contents, form, draw)]
        return list(jobs)

    def _students(self) -> list[Student]:
        students, problems = students_in(self._student_folders, self._term.everybody)
        for problem in problems:
            self.came.emit(Came("", problem=problem))
        return students
