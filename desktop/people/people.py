"""The students as the whole window knows them. Nothing about them is fetched before somebody asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from desktop.memory import Memory, own_students_folder, state_folder
from desktop.rooms import Fetching
from desktop.words import say

if TYPE_CHECKING:
    from desktop.people.studio import Studio


class People(QObject):
    """The studio, made when it is first wanted."""

    told = Signal(str)
    """Something the teacher should know."""

    opened = Signal()
    """The studio is there, and the students of its folder are being read or read already."""

    def __init__(self, memory: Memory, parent: QObject) -> None:
        super().__init__(parent)
        self._memory = memory
        self._studio: Studio | None = None
        self._was_warned = False

    @property
    def studio(self) -> Studio:
        """The studio. Whoever asks first has fetched what it needs beside the window's thread."""
        if self._studio is None:
            from desktop.aside import Aside
            from desktop.people.saving import Saving
            from desktop.people.studio import Studio

            self._studio = Studio(Aside(), Saving(state_folder() / "removed students"))
            self._studio.told.connect(self.told)
        return self._studio

    @property
    def is_open(self) -> bool:
        """Whether the studio is there and has a folder."""
        return self._studio is not None and bool(self._studio.folder.parts)

    def open(self) -> None:
        """Fetch what the students need beside the window's thread, then open their folder; ``opened`` tells."""
        if self._studio is None:
            fetching = Fetching(self, "students", ("desktop.people.studio", "lessonkit.students.handing_out"))
            fetching.done.connect(self.open_folder)
            fetching.begin()
        else:
            self.open_folder()

    def open_folder(self) -> None:
        """Open the folder of the students, or look whether something changed in it."""
        if self.is_open:
            self.studio.look_again()
        else:
            self.studio.open_folder(self._memory.students_folder or own_students_folder())
        self.opened.emit()

    def may_close(self) -> bool:
        """Whether everything is written; where it cannot be, that is said once, and the next answer is yes."""
        if self._studio is None or self._was_warned:
            return True
        self._studio.saving.finish()
        unsaved = self._studio.saving.unsaved
        if unsaved:
            self._was_warned = True
            names = ", ".join(path.name for path in unsaved)
            self.told.emit(
                say("{names} could not be saved. Make room or mend the folder; closing again gives it up.", names=names)
            )
        return not unsaved

    def close(self) -> None:
        """Everything is written before the window goes."""
        if self._studio is not None:
            self._studio.close()
