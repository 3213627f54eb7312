"""The levels that are open: the one door through which the window changes a curriculum; each change is saved."""

from __future__ import annotations

from collections.abc import Callable

from desktop.plan.file_saving import FileSaving
from desktop.plan.open_file import OpenFile
from desktop.words import say
from lessonkit.curriculum.levels import Curriculum


class OpenLevels(OpenFile):
    """The open curriculum."""

    def __init__(self, saving: FileSaving) -> None:
        super().__init__(saving, Curriculum(), say("The levels were not opened."))

    @property
    def curriculum(self) -> Curriculum:
        """The curriculum as it is now."""
        found = self.value
        assert isinstance(found, Curriculum)
        return found

    def attempt(self, label: str, edit: Callable[[Curriculum], Curriculum], merge_key: str = "") -> str:
        """Make an edit; answers why it cannot be, or nothing where it is made."""
        try:
            curriculum = edit(self.curriculum)
        except ValueError as error:
            return f"{str(error)[:1].upper()}{str(error)[1:]}."
        self.edit(label, curriculum, merge_key)
        return ""
