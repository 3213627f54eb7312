"""Putting a block in where the caret is: the palette over the pages, and the place to which the hand goes back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, Signal

from desktop.commands import Commands
from desktop.editing.insertable import Insertable
from desktop.editing.writing import Writing
from desktop.open_lesson import OpenLesson
from desktop.preview.pages_view import PagesView
from lessonkit.lesson.lesson import Block, Note

if TYPE_CHECKING:
    from desktop.editing.palette import Palette


class PuttingIn(QObject):
    """Opens the palette and puts in what is chosen. The palette is made when it is first asked for."""

    put_in = Signal()
    """A block was put in and is selected."""

    def __init__(
        self,
        open_lesson: OpenLesson,
        view: PagesView,
        writing: Writing,
        commands: Commands,
        entries: Callable[[], Sequence[Insertable]],
    ) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._view = view
        self._writing = writing
        self._commands = commands
        self._entries = entries
        self._note: tuple[str, int] | None = None
        self.palette: Palette | None = None

    def begin(self) -> None:
        """Ask what is to come where the caret is, or behind what is selected."""
        self._note = self._writing.caret
        self._writing.end()
        if self.palette is None:
            # A window that never asks for it opens sooner without it.
            from desktop.editing.palette import Palette

            self.palette = Palette(self._view.viewport(), self._open_lesson)
            self.palette.chosen.connect(self._put_in)
            self.palette.closed.connect(self._go_back)
        self.palette.open(self._entries(), self._view.viewport().rect())

    def _put_in(self, block: Block) -> None:
        note = self._note
        blocks = self._open_lesson.lesson.blocks
        if note is not None and any(one.id == note[0] and isinstance(one, Note) for one in blocks):
            self._commands.insert_in_note(*note, block)
        else:
            self._commands.insert(block)
        self._view.setFocus(Qt.FocusReason.OtherFocusReason)
        self.put_in.emit()

    def _go_back(self) -> None:
        self._view.setFocus(Qt.FocusReason.OtherFocusReason)
        if self._note is not None:
            self._writing.begin(self._note[0])
            self._writing.set_caret(self._note[1])
