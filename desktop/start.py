"""A notebook window on the screen: Qt, the remembered looks, the lesson, and what was left unsaved the last time."""

from __future__ import annotations

import signal
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from desktop.memory import Memory, state_folder
from desktop.mishaps import catch_mishaps
from desktop.one_undo import OneUndo
from desktop.window import NotebookWindow, dress_application
from lessonkit.storage.recovery import Recoverable, discard, recoverable

HEARTBEAT = 200
"""Milliseconds after which the window notices that it is asked to end."""


def make_application() -> QApplication:
    """Qt's application, ours in name."""
    application = QApplication.instance() or QApplication(["lessonkit"])
    assert isinstance(application, QApplication)
    application.setApplicationName("lessonkit")
    application.setApplicationDisplayName("lessonkit")
    application.setDesktopFileName("lessonkit")
    return application


def start(lesson_path: Path | None) -> int:
    """Open a window and stay until it is closed; answers the exit code."""
    application = make_application()
    memory = Memory()
    dress_application(memory.appearance)
    window = NotebookWindow(memory)
    one_undo = OneUndo(window)
    application.installEventFilter(one_undo)
    catch_mishaps(state_folder() / "problems.log", window.tell)
    if lesson_path is not None:
        window.desk.files.open_path(lesson_path)
    window.show()
    QTimer.singleShot(0, lambda: offer_unsaved(window, state_folder() / "unsaved"))
    # Python sees a signal only when it runs; the heartbeat lets it.
    signal.signal(signal.SIGTERM, lambda number, frame: window.close())
    heartbeat = QTimer(window)
    heartbeat.timeout.connect(lambda: None)
    heartbeat.start(HEARTBEAT)
    return application.exec()


def offer_unsaved(window: NotebookWindow, folder: Path) -> None:
    """Offer what a program that ended unexpectedly left unsaved."""
    found, sentences = recoverable(folder)
    if found:
        latest = found[0]
        title = latest.lesson.title or "a lesson without a title"
        window.desk.messages.tell(
            f"The notebook ended before “{title}” was saved. It is still here.",
            ("Open it", lambda: _recover(window, latest)),
            ("Throw it away", lambda: _throw_away(window, latest, folder)),
        )
    elif sentences:
        window.tell(f"Unsaved work could not be read. {sentences[0]}")


def _recover(window: NotebookWindow, found: Recoverable) -> None:
    if window.desk.files.may_leave():
        window.open_lesson.open(found.lesson, found.path, is_unsaved=True)
        # The copy goes only when another one has been written in its place.
        window.keeping.keep().add_done_callback(lambda done: discard(found.copy))


def _throw_away(window: NotebookWindow, found: Recoverable, folder: Path) -> None:
    discard(found.copy)
    offer_unsaved(window, folder)
