"""The lessons that lie beside a term: read beside the window's thread, and read again only when a file has changed."""

from __future__ import annotations

import time
from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from desktop.aside import Aside
from desktop.words import say
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.strict import LessonFileError

Stamp = tuple[int, int]
Kept = Mapping[str, tuple[Stamp, Lesson | None]]

MOST_LESSONS = 5000
"""So many lessons of a folder are looked at; more are no shelf."""


class LessonsBeside(QObject):
    """Every lesson of a folder and of the folders in it, by its name as a term writes it."""

    changed = Signal()
    """Other lessons are there, or one is another than before."""

    told = Signal(str)
    """A lesson cannot be read."""

    def __init__(self, aside: Aside) -> None:
        super().__init__()
        self._aside = aside
        self._folder: Path | None = None
        self._kept: Kept = {}
        self.lessons: dict[str, Lesson] = {}
        self.is_read = False

    def look(self, folder: Path | None) -> None:
        """Look at a folder, or look again; what has not changed is not read again."""
        if folder != self._folder:
            self._folder, self._kept, self.lessons, self.is_read = folder, {}, {}, False
            self.changed.emit()
        if folder is not None:
            kept = self._kept
            self._aside.ask("lessons", lambda: _read(folder, kept), self._take_in)

    @property
    def folder(self) -> Path | None:
        """The folder that is looked at."""
        return self._folder

    def path_of(self, name: str) -> Path | None:
        """The file of a lesson."""
        return None if self._folder is None else self._folder / name

    def _take_in(self, found: tuple[Kept, list[str]]) -> None:
        kept, problems = found
        was_read, self.is_read = self.is_read, True
        lessons = {name: lesson for name, (_, lesson) in kept.items() if lesson is not None}
        is_other = list(lessons) != list(self.lessons) or any(
            self.lessons[name] is not one for name, one in lessons.items()
        )
        self._kept, self.lessons = kept, lessons
        if is_other or not was_read:
            self.changed.emit()
        if problems:
            more = say(" So it is with {n} more.", n=len(problems) - 1) if problems[1:] else ""
            self.told.emit(
                say("A lesson of the folder cannot be used. {problems}.{more}", problems=problems[0], more=more)
            )


def lesson_paths(folder: Path) -> list[tuple[str, Path]]:
    """The lessons of a folder and of the folders in it, each with its name as a term writes it."""
    found = sorted([*folder.glob("*.lesson"), *folder.glob("*/*.lesson")])[:MOST_LESSONS]
    return [(path.relative_to(folder).as_posix(), path) for path in found]


def _read(folder: Path, known: Kept) -> tuple[Kept, list[str]]:
    kept: dict[str, tuple[Stamp, Lesson | None]] = {}
    problems: list[str] = []
    for name, path in lesson_paths(folder):
        try:
            status = path.stat()
        except OSError:
            continue
        stamp = (status.st_mtime_ns, status.st_size)
        if name in known and known[name][0] == stamp:
            kept[name] = known[name]
            continue
        try:
            kept[name] = (stamp, read_lesson(path))
        except LessonFileError as error:
            kept[name] = (stamp, None)
            problems.append(str(error))
        # The window's thread comes before ours.
        time.sleep(0)
    return kept, problems
