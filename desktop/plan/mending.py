"""Lessons brought into house style in their files, beside the window's thread; none is written over that is another."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QObject, Signal

from desktop.plan.open_house import Mend
from desktop.words import say
from desktop.writer import Writer
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import read_lesson, save_lesson
from lessonkit.storage.strict import LessonFileError


class LessonsRoom(Protocol):
    """What the lessons room has open."""

    def lesson_at(self, path: Path) -> Lesson | None: ...
    def edit_lesson(self, label: str, lesson: Lesson) -> None: ...


class Mending(QObject):
    """Carries mendings out. The lesson that is open in the lessons room is edited there, and saved by its teacher."""

    done = Signal(tuple)
    """A mending is carried out; sentences about what was not, or is not saved yet."""

    def __init__(self, lessons_room: LessonsRoom) -> None:
        super().__init__()
        self._lessons_room = lessons_room
        self._writer = Writer("house style")

    def carry_out(self, mends: Sequence[Mend]) -> None:
        """Bring each lesson from its state before to the one after, where it still is as it was."""
        told: list[str] = []
        on_disk = [one for one in mends if not self._is_open(one, told)]
        self._writer.submit(self._write, on_disk, told)

    def finish(self) -> None:
        """Wait until everything is written."""
        self._writer.finish()

    def close(self) -> None:
        """Everything is written before the window goes."""
        self._writer.close()

    def _is_open(self, mend: Mend, told: list[str]) -> bool:
        found = self._lessons_room.lesson_at(mend.path)
        if found is None:
            return False
        if found == mend.before:
            self._lessons_room.edit_lesson(say("House style"), mend.after)
            told.append(
                say("{name} is open in the lessons room and is changed there; save it there.", name=mend.path.name)
            )
        elif found != mend.after:
            told.append(_changed(mend.path))
        return True

    # In the writer's thread

    def _write(self, mends: Sequence[Mend], told: list[str]) -> None:
        for one in mends:
            try:
                found = read_lesson(one.path)
                if found == one.before:
                    save_lesson(one.after, one.path)
                elif found != one.after:
                    told.append(_changed(one.path))
            except LessonFileError as error:
                told.append(f"{error}.")
        self.done.emit(tuple(told))


def _changed(path: Path) -> str:
    return say("{name} was changed meanwhile, so it stays as it is.", name=path.name)
