"""The house style that is open, with the lessons that were mended by it: one past for both, so that Undo takes either
back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Signal

from desktop.plan.file_saving import FileSaving
from desktop.plan.open_file import OpenFile
from desktop.words import say
from lessonkit.curriculum.house import HouseStyle
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.house_file import read_house, save_house
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Mend:
    """A lesson's file, and the lesson before and after it was mended; turned round, a mending taken back."""

    path: Path
    before: Lesson
    after: Lesson

    @property
    def turned_round(self) -> Mend:
        """From what is now to what was."""
        return Mend(self.path, self.after, self.before)


@dataclass(frozen=True, slots=True)
class Agreed:
    """A house style, and what has been mended by it since it was opened, in order."""

    style: HouseStyle
    mends: tuple[Mend, ...] = ()


class OpenHouse(OpenFile):
    """The open house style."""

    to_mend = Signal(tuple)
    """Lessons are to be brought from one state to another."""

    def __init__(self, saving: FileSaving) -> None:
        self._mended: tuple[Mend, ...] = ()
        super().__init__(saving, Agreed(HouseStyle()), say("The house style was not opened."))

    @property
    def style(self) -> HouseStyle:
        """The house style as it is now."""
        return self._agreed.style

    def attempt(self, label: str, edit: Callable[[HouseStyle], HouseStyle], merge_key: str = "") -> str:
        """Change the style; answers why it cannot be, or nothing where it is changed."""
        try:
            style = edit(self.style)
        except ValueError as error:
            return str(error)
        self.edit(label, replace(self._agreed, style=style), merge_key)
        return ""

    def mend(self, label: str, mends: Sequence[Mend]) -> None:
        """Mend lessons, in one step of undo."""
        if mends:
            self.edit(label, replace(self._agreed, mends=(*self._agreed.mends, *mends)))

    @property
    def _agreed(self) -> Agreed:
        found = self.value
        assert isinstance(found, Agreed)
        return found

    def _begin(self, value: Agreed, path: Path) -> None:
        self._mended = value.mends
        super()._begin(value, path)

    def _tell(self) -> None:
        before, now = self._mended, self._agreed.mends
        self._mended = now
        same = 0
        while same < min(len(before), len(now)) and before[same] is now[same]:
            same += 1
        steps = (*(one.turned_round for one in reversed(before[same:])), *now[same:])
        super()._tell()
        if steps:
            self.to_mend.emit(steps)


def read_agreed(path: Path) -> Agreed:
    """The house style in a file, with nothing mended yet."""
    return Agreed(read_house(path))


def saving_of_houses(aside_folder: Path) -> FileSaving:
    """For house styles."""
    return FileSaving(read_agreed, save_agreed, aside_folder, "house files")


def save_agreed(agreed: Agreed, path: Path) -> None:
    """Write the house style."""
    save_house(agreed.style, path)
