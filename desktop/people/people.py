"""The students as the whole window knows them. Nothing about them is fetched before somebody asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from desktop.memory import Memory, state_folder

if TYPE_CHECKING:
    from desktop.people.studio import Studio


class People(QObject):
    """The studio, made when it is first wanted."""

    told = Signal(str)
    """Something the teacher should know."""

    def __init__(self, memory: Memory, parent: QObject) -> None:
        super().__init__(parent)
        self._memory = memory
        self._studio: Studio | None = None

    @property
    def studio(self) -> Studio:
        """The studio. Whoever asks first has fetched what it needs beside the window's thread."""
        if self._studio is None:
            from desktop.people.aside import Aside
            from desktop.people.saving import Saving
            from desktop.people.studio import Studio

            self._studio = Studio(Aside(), Saving(state_folder() / "removed students"))
            self._studio.told.connect(self.told)
        return self._studio

    def close(self) -> None:
        """Everything is written before the window goes."""
        if self._studio is not None:
            self._studio.close()
