"""What the actions act on: the open lesson and the parts of the window around it, put together once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QMenu, QWidget

from desktop.commands import Commands
from desktop.editing.insertable import Insertable, insertables
from desktop.editing.key_strip import KeyStrip
from desktop.editing.shelf import Shelf
from desktop.editing.writing import Writing
from desktop.files import Asked, LessonFiles
from desktop.forms.side_panel import SidePanel
from desktop.memory import Memory, presets_file
from desktop.message_bar import MessageBar
from desktop.open_lesson import OpenLesson
from desktop.preview.drawn_pages import DrawnPages
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from desktop.spoken import name_of
from lessonkit.lesson.lesson import Block, Heading, Note
from lessonkit.lesson.presets import Preset, with_preset
from lessonkit.storage.preset_file import read_presets, save_presets
from lessonkit.storage.strict import LessonFileError


class Room(Protocol):
    """What only the whole window can do."""

    @property
    def appearance(self) -> str: ...
    def dress(self, appearance: str) -> None: ...
    def leave(self) -> None: ...


class Desk(QObject):
    """The parts of the lessons room. Parts know the open lesson and each other's signals, never the window."""

    def __init__(self, open_lesson: OpenLesson, memory: Memory, asked: Asked, room: Room) -> None:
        super().__init__()
        self._room = room
        self._memory = memory
        self.open_lesson = open_lesson
        self.selection = Selection(open_lesson)
        self.drawn = DrawnPages(open_lesson)
        self.messages = MessageBar()
        self.commands = Commands(open_lesson, self.selection, self.messages.tell)
        self.files = LessonFiles(open_lesson, memory, asked, self.messages.tell)
        self.strip = KeyStrip(open_lesson)
        self.shelf = Shelf()
        self.view = PagesView(open_lesson, self.selection, self.drawn)
        self.panel = SidePanel(open_lesson, self.selection)
        self.writing = Writing(open_lesson, self.selection, self.view, self.drawn)
        self._presets: tuple[Preset, ...] = ()
        self.shelf.setVisible(memory.shows_shelf)
        self.shelf.chosen.connect(self.insert)
        self.writing.form_asked.connect(self.panel.focus_form)
        open_lesson.replaced.connect(self.messages.clear)
        self._read_presets()

    @property
    def appearance(self) -> str:
        """``light``, ``dark`` or ``system``."""
        return self._room.appearance

    @property
    def shows_shelf(self) -> bool:
        """Whether the shelf is unfolded."""
        return not self.shelf.isHidden()

    @property
    def entries(self) -> Sequence[Insertable]:
        """What can be put in."""
        return insertables(self._presets)

    def insert(self, block: Block) -> None:
        """Put a block in; words are written at once."""
        self.commands.insert(block)
        if isinstance(block, Note | Heading) and self.selection.only is not None:
            self.writing.begin(self.selection.ids[0], selects_all=True)
        else:
            self.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def save(self) -> None:
        """Save the lesson."""
        self.files.save()

    def save_as(self) -> None:
        """Save the lesson in another file."""
        self.files.save_as()

    def write(self) -> None:
        """Write in the selected block, or go to its form."""
        if self.selection.only is not None:
            self.writing.begin(self.selection.ids[0])

    def close(self) -> None:
        """End the program, asking about unsaved changes."""
        self._room.leave()

    def dress(self, appearance: str) -> None:
        """Light, dark, or as the computer is."""
        self._room.dress(appearance)

    def fold_shelf(self) -> None:
        """Fold the shelf away, or unfold it."""
        self.shelf.setVisible(not self.shows_shelf)
        self._memory.shows_shelf = self.shows_shelf

    def find_on_shelf(self) -> None:
        """Go to the shelf's search, unfolding the shelf if need be."""
        if not self.shows_shelf:
            self.fold_shelf()
        self.shelf.focus_search()

    def choose_key(self) -> None:
        """Go to the strip of keys."""
        self.strip.focus_key()

    def next_pane(self) -> None:
        """Go to the next part of the window."""
        self._go(1)

    def last_pane(self) -> None:
        """Go to the part of the window before."""
        self._go(-1)

    def keep_preset(self) -> None:
        """Keep the selected block on the shelf, under its name and a number where the name is taken."""
        block = self.selection.only
        if block is None:
            return
        taken = {preset.name.casefold() for preset in self._presets}
        name, number = name_of(block), 2
        while name.casefold() in taken:
            name, number = f"{name_of(block)} {number}", number + 1
        presets = with_preset(self._presets, Preset(name, block))
        try:
            save_presets(presets, presets_file())
        except LessonFileError as error:
            self.messages.tell(f"{error}.")
            return
        self._presets = presets
        self.shelf.show_entries(self.entries)
        self.messages.tell(f"Kept on the shelf as “{name}”.")

    def fill_recent(self, menu: QMenu) -> None:
        """The recent lessons."""
        for path in self._memory.recent:
            action = menu.addAction(path.stem.replace("&", "&&"))
            action.setToolTip(str(path))
            action.triggered.connect(lambda checked=False, path=path: self.files.open_recent(path))

    def fill_insert(self, menu: QMenu, groups: Sequence[str]) -> None:
        """What can be put in, of these groups of the shelf."""
        for entry in self.entries:
            if entry.group in groups:
                action = menu.addAction(entry.title.replace("&", "&&"))
                action.setToolTip(entry.about)
                action.triggered.connect(lambda checked=False, entry=entry: self.insert(entry.make()))

    def _go(self, by: int) -> None:
        panes: list[QWidget] = [self.strip, self.view, self.panel]
        if self.shows_shelf:
            panes.insert(1, self.shelf)
        focus = self.strip.window().focusWidget()
        inside = [place for place, pane in enumerate(panes) if focus is not None and _holds(pane, focus)]
        place = (inside[0] + by) % len(panes) if inside else 0
        go: dict[QWidget, Callable[[], None]] = {
            self.strip: self.strip.focus_key,
            self.shelf: self.shelf.focus_search,
            self.view: self.view.setFocus,
            self.panel: self.panel.focus_form,
        }
        go[panes[place]]()

    def _read_presets(self) -> None:
        try:
            self._presets = read_presets(presets_file())
        except LessonFileError as error:
            self.messages.tell(f"Your presets were not read. {error}")
        self.shelf.show_entries(self.entries)


def _holds(pane: QWidget, widget: QWidget) -> bool:
    return pane is widget or pane.isAncestorOf(widget)
