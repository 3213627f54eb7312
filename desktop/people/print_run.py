"""A run of handouts printed in other processes, so that the window stays free; it can be stopped at any moment."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from desktop.words import say
from lessonkit.lesson.lesson import Lesson
from lessonkit.students.student import Student
from lessonkit.values import dataclass

if TYPE_CHECKING:
    from lessonkit.print_for import Printed
    from lessonkit.students.adapted import Adapted

PROCESSES = 2


@dataclass(frozen=True, slots=True)
class Wanted:
    """One handout that is wanted: for whom, into which file, with which changes taken back."""

    student_path: Path
    student: Student
    out: Path
    choices: tuple[tuple[str, bool], ...] = ()


class PrintRun(QObject):
    """Prints a lesson for several students."""

    printed = Signal(object, object)
    """What was wanted, and what was made of it."""

    failed = Signal(object, str)
    """What was wanted, and why it was not printed."""

    finished = Signal()
    """Nothing more comes."""

    def __init__(
        self, lesson: Lesson, wanted: Sequence[Wanted], day: date, around: tuple[bool, bool] = (False, False),
        own: Adapted | None = None
    ) -> None:  # fmt: skip
        super().__init__()
        self._lesson = lesson
        self._wanted = tuple(wanted)
        self._day = day
        self._has_around, self._has_name = around
        self._own = own
        self._stop = Event()
        self._thread = Thread(target=self._run, name="handouts")

    @property
    def is_stopped(self) -> bool:
        """Whether nothing more is begun."""
        return self._stop.is_set()

    def begin(self) -> None:
        """Begin to print."""
        self._thread.start()

    def stop(self) -> None:
        """Begin nothing more; what has been begun is finished, so that no file is torn."""
        self._stop.set()

    def wait(self) -> None:
        """Wait until nothing more comes."""
        self._thread.join()

    # In a thread of its own

    def _run(self) -> None:
        try:
            self._print()
        except Exception as error:  # A process that died must not leave the window waiting.
            left = self._wanted[0]
            self.failed.emit(left, say("printing was broken off ({error}); print once more", error=error))
        self.finished.emit()

    def _print(self) -> None:
        from lessonkit.print_for import PrintJob, print_all

        by_out = {one.out: one for one in self._wanted}
        jobs = (
            PrintJob(
                self._lesson, one.student, self._day, one.out, choices=one.choices, has_around=self._has_around,
                has_name=self._has_name,
                own=self._own,
            )
            for one in self._wanted
        )  # fmt: skip
        for outcome in print_all(jobs, PROCESSES, self._stop.is_set):
            wanted = by_out[outcome.job.path]
            made: Printed | None = outcome.made
            if made is None:
                self.failed.emit(wanted, outcome.problem)
            else:
                self.printed.emit(wanted, made)
