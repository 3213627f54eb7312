"""A notebook window for tests: driven as a hand drives it, with questions answered by the test."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from desktop.dialogs.questions import Unsaved
from desktop.editing.clipboard import leave_words
from desktop.frame import NotebookFrame
from desktop.memory import Memory
from desktop.notebook import Notebook
from desktop.one_undo import OneUndo
from desktop.start import leave_sources_unread, make_application
from desktop.theme import LIGHT, apply_theme
from lessonkit.drills.family import family
from lessonkit.lesson.lesson import Drill, Heading, Lesson, Note, PageBreak, Space
from lessonkit.theory.key import Key


@dataclass
class Answers:
    """What the teacher of the tests answers, and what was asked."""

    opening: Path | None = None
    saving: Path | None = None
    printing: Path | None = None
    excerpt: Path | None = None
    exporting: Path | None = None
    keys: str | None = None
    leaving: Unsaved = Unsaved.CANCEL
    asked: list[str] = field(default_factory=list)
    suggested: Path | None = None

    def lesson_to_open(self, folder: Path) -> Path | None:
        self.asked.append("open")
        return self.opening

    def where_to_save(self, suggested: Path) -> Path | None:
        self.asked.append("save")
        self.suggested = suggested
        return self.saving

    def where_to_print(self, suggested: Path) -> Path | None:
        self.asked.append("print")
        self.suggested = suggested
        return self.printing

    def excerpt_to_open(self, folder: Path) -> Path | None:
        self.asked.append("excerpt")
        return self.excerpt

    def where_to_export(self, suggested: Path) -> Path | None:
        self.asked.append("export")
        self.suggested = suggested
        return self.exporting

    def keys_of_copies(self, key: Key) -> str | None:
        self.asked.append("keys")
        return self.keys

    def folder_for_sound(self, folder: Path) -> Path | None:
        self.asked.append("sound")
        return self.saving

    def unsaved(self, title: str) -> Unsaved:
        self.asked.append("unsaved")
        return self.leaving


@dataclass
class Driver:
    """A window and the hand that drives it."""

    window: NotebookFrame
    notebook: Notebook
    answers: Answers
    qtbot: QtBot

    @property
    def lesson(self) -> Lesson:
        return self.notebook.open_lesson.lesson

    def settle(self) -> None:
        """Wait until everything is drawn."""
        self.notebook.desk.fill()
        self.qtbot.waitUntil(lambda: self.notebook.desk.drawn.is_finished)

    def point_of(self, place: str) -> QPoint:
        """The middle of a block's first stretch on the screen."""
        self.notebook.desk.view.show_block(place)
        box = self.notebook.desk.view.box_on_viewport(place)
        assert box is not None
        return QPointF(box.left + min(60.0, (box.right - box.left) / 2), (box.top + box.bottom) / 2).toPoint()

    def click(self, place: str, keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        """Click a block."""
        view = self.notebook.desk.view
        self.qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, keys, self.point_of(place))

    def press(self, key: Qt.Key, keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        """Press a key where the focus is."""
        self.qtbot.keyClick(self.window.focusWidget() or self.window, key, keys)

    def control(self, key: Qt.Key) -> None:
        """Press a key with Ctrl."""
        self.press(key, Qt.KeyboardModifier.ControlModifier)

    def type(self, text: str) -> None:
        """Type words where the focus is."""
        focus = self.window.focusWidget()
        assert focus is not None
        self.qtbot.keyClicks(focus, text)


BROKEN, LADDER, FIRST_NOTE, OPENING = "broken", "ladder", "note", "opening"


def small_lesson() -> Lesson:
    """A heading, a note with a live word, two drills, a space and a second page."""
    return Lesson(
        title="Evening lesson",
        aims="To hear {IVmaj7}.",
        key=Key.parse("Eb"),
        blocks=(
            Heading("Begin here", id=OPENING),
            Note("The chord is {IVmaj7} today.", id=FIRST_NOTE),
            Drill(family("broken-chords")(), id=BROKEN),
            Space(20, id="space"),
            PageBreak(id="break"),
            Drill(family("diatonic-ladder")(), id=LADDER),
            Note("Goodbye.", id="last"),
        ),
    )


@pytest.fixture
def driver(qtbot: QtBot) -> Iterator[Driver]:
    """A window with the small lesson, active and drawn."""
    # As at the start of the program: a thread that loads modules must not meet PySide's reading of their sources.
    leave_sources_unread()
    application = make_application()
    apply_theme(application, LIGHT)
    answers = Answers()
    memory = Memory()
    window = NotebookFrame(memory)
    notebook = Notebook(window, memory, answers)
    one_undo = OneUndo(notebook)
    application.installEventFilter(one_undo)
    notebook.open_lesson.open(small_lesson(), None)
    notebook.furnish()
    window.resize(1440, 900)
    window.show()
    qtbot.waitActive(window).__enter__()
    qtbot.waitUntil(lambda: window.isActiveWindow())
    notebook.desk.view.setFocus()
    driver = Driver(window, notebook, answers, qtbot)
    driver.settle()
    yield driver
    leave_words()
    # What a test put there itself would crash Qt at the end of the run, after Python has gone.
    QGuiApplication.clipboard().setText("")
    application.removeEventFilter(one_undo)
    notebook.desk.writing.end()
    notebook.keeping.close()
    notebook.desk.listening.close()
    window.hide()
    window.deleteLater()
