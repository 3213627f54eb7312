"""The questions of the students room that only a dialog can ask. Tests answer them in our stead."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from desktop.words import say


class PeopleQuestions:
    """Asks whoever sits before the window."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def students_folder(self, folder: Path) -> Path | None:
        """The folder of students to open; None when the hand thought better of it."""
        name = QFileDialog.getExistingDirectory(self._parent, say("Open a folder of students"), str(folder))
        return Path(name) if name else None

    def lessons_missed(self, folder: Path) -> list[Path]:
        """The lessons that were missed."""
        names, _ = QFileDialog.getOpenFileNames(
            self._parent, say("Lessons that were missed"), str(folder), say("Lessons (*.lesson)")
        )
        return [Path(name) for name in names]

    def where_to_print(self, folder: Path) -> Path | None:
        """The folder to print handouts into."""
        name = QFileDialog.getExistingDirectory(self._parent, say("Print into the folder"), str(folder))
        return Path(name) if name else None

    def page_to_print(self, suggested: Path) -> Path | None:
        """The file to print a page to."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, say("Print to PDF"), str(suggested), say("PDF documents (*.pdf)")
        )
        if not name:
            return None
        return Path(name) if name.lower().endswith(".pdf") else Path(name + ".pdf")
