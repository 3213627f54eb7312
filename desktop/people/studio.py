"""The students of a folder. This is the one door through which the window changes a student; each change is saved."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from desktop.aside import Aside
from desktop.people.saving import Saving
from desktop.words import say
from lessonkit.storage.strict import LessonFileError
from lessonkit.storage.student_file import SUFFIX
from lessonkit.students.student import Student
from lessonkit.values import dataclass

_NO_SIGN = re.compile(r"[^\w-]+")

Students = Mapping[Path, Student]


@dataclass(frozen=True, slots=True)
class _Moment:
    """All students at one time, and the edit that led there; the first has no label."""

    students: Students
    label: str = ""
    merge_key: str = ""


class Studio(QObject):
    """The students, which of them is chosen, and what was changed. Undo is a list of old states."""

    changed = Signal()
    """There are other students, or one is another than before."""

    chosen = Signal()
    """Another student is chosen."""

    told = Signal(str)
    """Something the teacher should know."""

    def __init__(self, aside: Aside, saving: Saving) -> None:
        super().__init__()
        self.aside = aside
        self.saving = saving
        self.folder = Path()
        self.current: Path | None = None
        self.is_read = False
        self._past = [_Moment({})]
        self._place = 0
        saving.failed.connect(self.told)

    @property
    def students(self) -> Students:
        """The students by their files, in the order of their codes."""
        return self._past[self._place].students

    @property
    def student(self) -> Student | None:
        """The student who is chosen."""
        return None if self.current is None else self.students.get(self.current)

    @property
    def undo_label(self) -> str:
        """What Undo would take back; empty where there is nothing."""
        return self._past[self._place].label

    @property
    def redo_label(self) -> str:
        """What Redo would bring back; empty where there is nothing."""
        return self._past[self._place + 1].label if self._place + 1 < len(self._past) else ""

    def open_folder(self, folder: Path, wanted: Path | None = None) -> None:
        """Read the students of a folder, and choose one."""
        self.folder, self.is_read = folder, False
        self.aside.ask("folder", lambda: self._read(folder), lambda found: self._take_in(found, wanted))

    def look_again(self) -> None:
        """Read anew what other programs changed in the folder."""
        if self.is_read and (
            set(_files(self.folder)) != set(self.students)
            or not all(self.saving.is_known(path) for path in self.students)
        ):
            self.saving.finish()
            self.open_folder(self.folder, self.current)

    def choose(self, path: Path | None) -> None:
        """Choose a student; None for nobody."""
        if path != self.current:
            self.current = path
            self.chosen.emit()

    def edit(self, label: str, student: Student, merge_key: str = "") -> None:
        """Change the chosen student; edits in a row with one merge key are one step of undo."""
        if self.current is not None:
            self.edit_one(self.current, label, student, merge_key and f"{self.current} {merge_key}")

    def edit_one(self, path: Path, label: str, student: Student, merge_key: str = "") -> None:
        """Change a student."""
        self._go({**self.students, path: student}, label, merge_key)

    def add(self, code: str = "New student") -> Path:
        """A new student, chosen; the code is made one that nobody has."""
        taken = {student.code for student in self.students.values()}
        number = 1
        found = code
        while found in taken:
            number += 1
            found = f"{code} {number}"
        path = self._path_for(found)
        self._go({**self.students, path: Student(found)}, say("New student {found}", found=found))
        return path

    def rename(self, path: Path, code: str) -> None:
        """Call a student otherwise, the file too; raises ValueError with a sentence where that cannot be."""
        code = " ".join(code.split())
        student = self.students[path]
        if code == student.code:
            return
        if any(other.code == code for other in self.students.values()):
            raise ValueError(say("another student is called {code}; take a code of its own", code=code))
        renamed = replace(student, code=code)
        there = self._path_for(code)
        others = {place: one for place, one in self.students.items() if place != path}
        self._go({**others, there: renamed}, say("Rename {code}", code=student.code))

    def remove(self, path: Path) -> None:
        """Take a student out; the file goes into the folder of removed ones."""
        left = {place: one for place, one in self.students.items() if place != path}
        label = say("Remove {code}", code=self.students[path].code)
        if self.current == path:
            order = list(self.students)
            place = order.index(path)
            self.current = next(iter([*order[place + 1 :], *reversed(order[:place])]), None)
        self._go(left, label)
        self.chosen.emit()

    def undo(self) -> None:
        """Take the last change back."""
        if self._place:
            self._show(self._place - 1)

    def redo(self) -> None:
        """Make the change again that was taken back."""
        if self._place + 1 < len(self._past):
            self._show(self._place + 1)

    def close(self) -> None:
        """Everything is written before the window goes."""
        self.aside.close()
        self.saving.close()

    def _go(self, students: Students, label: str, merge_key: str = "") -> None:
        if students == self.students:
            return
        now = self._past[self._place]
        moment = _Moment(_sorted(students), label, merge_key)
        del self._past[self._place + 1 :]
        if merge_key and merge_key == now.merge_key and self._place:
            self._past[self._place] = moment
            self._write(now.students)
            self.changed.emit()
            return
        self._past.append(moment)
        self._show(self._place + 1)

    def _show(self, place: int) -> None:
        before = self.students
        self._place = place
        self._write(before)
        # Who came back is chosen; where the chosen one is gone, the next best.
        new = [path for path in self.students if path not in before]
        chosen = self.current
        if new or chosen not in self.students:
            self.current = next(iter([*new, *self.students]), None)
        self.changed.emit()
        if self.current != chosen:
            self.chosen.emit()

    def _write(self, before: Students) -> None:
        for path, student in self.students.items():
            if before.get(path) is not student and before.get(path) != student:
                self.saving.keep(path, student)
        for path in before:
            if path not in self.students:
                self.saving.keep(path, None)

    def _path_for(self, code: str) -> Path:
        stem = _NO_SIGN.sub("_", code).strip("_").lower() or "student"
        number = 1
        path = self.folder / f"{stem}{SUFFIX}"
        while path in self.students or path.exists():
            number += 1
            path = self.folder / f"{stem}_{number}{SUFFIX}"
        return path

    def _read(self, folder: Path) -> tuple[dict[Path, Student], list[str]]:
        found: dict[Path, Student] = {}
        problems = []
        for path in _files(folder):
            try:
                found[path] = self.saving.read(path)
            except LessonFileError as error:
                problems.append(str(error))
        return found, problems

    def _take_in(self, found: tuple[dict[Path, Student], list[str]], wanted: Path | None) -> None:
        students, problems = found
        self.is_read = True
        self._past, self._place = [_Moment(_sorted(students))], 0
        self.current = wanted if wanted in self.students else next(iter(self.students), None)
        self.changed.emit()
        self.chosen.emit()
        if problems:
            self.told.emit(
                f"{problems[0]}." + (say(" So it is with {n} more.", n=len(problems) - 1) if problems[1:] else "")
            )


def _files(folder: Path) -> list[Path]:
    try:
        return sorted(path for path in folder.iterdir() if path.suffix == SUFFIX)
    except OSError:
        return []


def _sorted(students: Students) -> Students:
    return dict(sorted(students.items(), key=lambda one: (one[1].code.casefold(), one[0])))
