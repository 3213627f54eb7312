"""Lessons beside the open one: those of a folder, those kept as a start for others, and one to compare with."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QMenu, QWidget

from desktop.files import NOT_IN_NAMES, Asked, LessonFiles, Tell
from desktop.lesson_documents import read_document
from desktop.memory import Memory
from desktop.open_lesson import OpenLesson
from desktop.selection import Selection
from desktop.spoken import name_of
from desktop.words import say
from lessonkit.lesson.lesson import Drill
from lessonkit.storage.lesson_file import SUFFIX, LessonFileError, read_lesson, save_lesson

if TYPE_CHECKING:
    from desktop.dialogs.comparing import Comparison
    from desktop.dialogs.lesson_shelf import LessonShelf


class LessonChoice(QObject):
    """What can be done with other lessons. Its windows are made when they are asked for."""

    def __init__(
        self,
        open_lesson: OpenLesson,
        selection: Selection,
        files: LessonFiles,
        memory: Memory,
        asked: Asked,
        tell: Tell,
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._open_lesson = open_lesson
        self._selection = selection
        self._files = files
        self._memory = memory
        self._asked = asked
        self._tell = tell
        self._parent = parent
        self.shelf: LessonShelf | None = None
        self.comparison: Comparison | None = None

    def show_folder(self) -> None:
        """Show the lessons of the folder one works in."""
        from desktop.dialogs.lesson_shelf import LessonShelf

        path = self._open_lesson.path
        self.shelf = LessonShelf(self._parent.window(), path.parent if path is not None else self._memory.folder)
        self.shelf.chosen.connect(self._files.open_recent)
        self.shelf.open()

    def keep_as_start(self) -> None:
        """Keep the lesson as a start for others, under its title."""
        lesson, folder = self._open_lesson.lesson, self._memory.starts
        name = "".join(sign for sign in lesson.title if sign not in NOT_IN_NAMES).strip(" .") or say("Lesson")
        target = folder / f"{name}{SUFFIX}"
        is_there = target.exists()
        try:
            folder.mkdir(parents=True, exist_ok=True)
            save_lesson(lesson, target)
        except (LessonFileError, OSError) as error:
            self._tell(say("The lesson was not kept as a start: {error}.", error=error))
            return
        again = say(" in the place of the one that was called so") if is_there else ""
        self._tell(say("“{name}” is kept as a start{again}. It stands under Lesson, New from.", name=name, again=again))

    def fill_starts(self, menu: QMenu) -> None:
        """The lessons kept as a start."""
        for path in sorted(self._memory.starts.glob(f"*{SUFFIX}")):
            action = menu.addAction(path.stem.replace("&", "&&"))
            action.triggered.connect(lambda checked=False, path=path: self.begin_from(path))

    def begin_from(self, path: Path) -> None:
        """Begin a lesson with what a start holds; the start itself stays as it is."""
        try:
            lesson = read_lesson(path)
        except LessonFileError as error:
            self._tell(say("The start was not opened. {error}", error=error))
            return
        if self._files.may_leave():
            self._open_lesson.open(lesson, None, is_unsaved=True)

    def copy(self) -> None:
        """Copy the lesson into other keys."""
        from desktop.copies import Copies

        Copies(self._open_lesson, self._files, self._asked, self._tell).make()

    def for_class(self) -> None:
        """Begin a lesson with the selected drill in three tiers that can be played together, and the teacher's part."""
        from lessonkit.curriculum.group import group_lesson

        lesson, drill = self._open_lesson.lesson, self._selection.only
        if not isinstance(drill, Drill):
            return
        title = say("{title}, for a class", title=say(drill.family.title))
        try:
            made = group_lesson(drill.family, lesson, title)
        except ValueError as error:
            self._tell(say("No parts were made: {error}.", error=error))
            return
        if self._files.may_leave():
            self._open_lesson.open(made, None, is_unsaved=True)

    def bring_into_house_style(self) -> None:
        """Let the open lesson agree with the house style that the terms room had open last, in one step."""
        from lessonkit.curriculum.house import POINTS, deviations, mended
        from lessonkit.storage.house_file import read_house

        words = self._memory.words("house style")
        if not words:
            self._tell(say("There is no house style yet; the terms room has a part for it."))
            return
        try:
            style = read_house(Path(words))
        except LessonFileError as error:
            self._tell(say("The house style was not opened. {error}", error=error))
            return
        lesson = self._open_lesson.lesson
        found = deviations(lesson, style)
        if not found:
            self._tell(say("The lesson agrees with the house style “{name}”.", name=style.name))
            return
        self._open_lesson.edit(say("House style"), mended(lesson, style))
        told = ", ".join(say(POINTS[one.point].words) for one in found)
        self._tell(say("Brought into the house style “{name}”: {told}.", name=style.name, told=told))

    def compare(self) -> None:
        """Ask for another lesson and say what differs in the one that is open."""
        path = self._asked.lesson_to_open(self._memory.folder)
        if path is None:
            return
        from desktop.dialogs.comparing import Comparison
        from lessonkit.lesson.comparing import differences

        try:
            other, _ = read_document(path)
        except LessonFileError as error:
            self._tell(say("The lessons were not compared. {error}", error=error))
            return
        mine = self._open_lesson.lesson
        found = differences(other, mine, name_of)
        self.comparison = Comparison(
            self._parent.window(), path.name, say("{title} (open here)", title=mine.title), found
        )
        self.comparison.chosen.connect(self._go)
        self.comparison.show()

    def _go(self, block_id: str) -> None:
        self._selection.select(block_id)
