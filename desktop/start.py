"""A notebook window on the screen: painted at once, then furnished, then asked about what was left unsaved."""

from __future__ import annotations

import gc
import signal
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QApplication

from desktop.frame import NotebookFrame
from desktop.language import speak
from desktop.memory import Memory, state_folder
from desktop.theme import STYLE, dress_application
from desktop.words import say

if TYPE_CHECKING:
    from desktop.first_pages import FirstPages
    from desktop.notebook import Notebook
    from lessonkit.storage.recovery import Recoverable

HEARTBEAT = 200
"""Milliseconds after which the window notices that it is asked to end."""


SAMPLE = Path(__file__).resolve().parents[1] / "sample_lessons" / "three_chords_make_a_home.lesson"
"""What is open at the first start."""

FIRST_HINTS = ("key", "shelf", "panel")
"""What is hinted at then."""


def make_application() -> QApplication:
    """Qt's application, ours in name."""
    application = QApplication.instance()
    if application is None:
        # Asked for a style here, Qt hands no style object to Python, which would take a while to get to know it.
        application = QApplication(["lessonkit", "-style", STYLE])
        application.setProperty("style", STYLE)
    assert isinstance(application, QApplication)
    application.setApplicationName("lessonkit")
    application.setApplicationDisplayName("lessonkit")
    application.setDesktopFileName("lessonkit")
    return application


def start(lesson_path: Path | None) -> int:
    """Open a window and stay until it is closed; answers the exit code."""
    # While everything is being fetched there is nothing to collect, and what was fetched stays to the end.
    gc.disable()
    leave_sources_unread()
    application = make_application()
    memory = Memory()
    speak(memory.language)
    dress_application(memory.appearance, memory.larger)
    frame = NotebookFrame(memory)
    frame.when_seen(lambda: begin(frame, memory, lesson_path))
    frame.show()
    # Python sees a signal only when it runs; the heartbeat lets it.
    signal.signal(signal.SIGTERM, lambda number, stack: frame.close())
    heartbeat = QTimer(frame)
    heartbeat.timeout.connect(lambda: None)
    heartbeat.start(HEARTBEAT)
    answer = application.exec()
    # Fetched only now, because the room is painted before what fills it is fetched.
    from desktop.editing.clipboard import leave_words

    leave_words()
    return answer


def leave_sources_unread() -> None:
    """Keep PySide from reading the source of each module that is loaded, which takes a tenth of the start.

    It looks there for the wish to have Qt's methods under other names, which nobody has here. Where a version of PySide
    does otherwise, nothing is changed.
    """
    feature = sys.modules.get("PySide6.support.feature") or sys.modules.get("shibokensupport.feature")
    if hasattr(feature, "_mod_uses_pyside"):
        setattr(feature, "_mod_uses_pyside", lambda module: False)  # noqa: B010


def begin(frame: NotebookFrame, memory: Memory, lesson_path: Path | None) -> FirstPages:
    """Show the pages of the lesson first, and fetch all else of the notebook once they are seen."""
    from desktop.first_pages import FirstPages, lesson_of

    path = lesson_path or memory.last_lesson
    if not memory.was_started and path is None:
        memory.hints_left = FIRST_HINTS
    if path is None and memory.hints_left:
        # This lesson is there to be tried on; it has no file, so that the sample stays as it is.
        path = SAMPLE
    lesson = lesson_of(path) if path is not None else None
    pages = FirstPages(lesson)
    if lesson is None:
        furnish(frame, memory, lesson_path, pages)
    else:
        frame.show_pages(pages.view)
        pages.when_seen(lambda: furnish(frame, memory, lesson_path, pages))
    return pages


def furnish(
    frame: NotebookFrame, memory: Memory, lesson_path: Path | None, pages: FirstPages | None = None
) -> Notebook:
    """Fetch the parts of the notebook, put them into the frame and open the lesson."""
    from desktop.mishaps import catch_mishaps
    from desktop.notebook import Notebook
    from desktop.one_undo import OneUndo

    notebook = Notebook(frame, memory, pages=pages)
    application = QApplication.instance()
    assert isinstance(application, QObject)
    application.installEventFilter(OneUndo(notebook))
    catch_mishaps(state_folder() / "problems.log", notebook.tell)
    path = lesson_path or memory.last_lesson
    if path is not None:
        notebook.desk.files.open_path(path)
    notebook.furnish(memory.room)
    if memory.hints_left and notebook.rooms is not None:
        from desktop.first_hints import FirstHints

        FirstHints(notebook.desk, memory, notebook.rooms.first)
    gc.freeze()
    gc.enable()
    QTimer.singleShot(0, lambda: offer_unsaved(notebook, state_folder() / "unsaved"))
    return notebook


def offer_unsaved(notebook: Notebook, folder: Path) -> None:
    """Offer what a program that ended unexpectedly left unsaved."""
    from lessonkit.storage.recovery import recoverable

    found, sentences = recoverable(folder)
    if found:
        latest = found[0]
        title = latest.lesson.title or say("a lesson without a title")
        notebook.desk.messages.tell(
            say("The notebook ended before “{title}” was saved. It is still here.", title=title),
            (say("Open it"), lambda: _recover(notebook, latest)),
            (say("Throw it away"), lambda: _throw_away(notebook, latest, folder)),
        )
    elif sentences:
        notebook.tell(say("Unsaved work could not be read. {sentences}", sentences=sentences[0]))


def _recover(notebook: Notebook, found: Recoverable) -> None:
    from desktop.lesson_documents import recovered_beside
    from lessonkit.storage.strict import LessonFileError

    try:
        beside = recovered_beside(found.beside)
    except LessonFileError as error:
        notebook.tell(say("Where this student's lesson came from could not be read. {error}", error=error))
        beside = None
    if notebook.desk.files.may_leave():
        notebook.open_lesson.open(found.lesson, found.path, is_unsaved=True, beside=beside)
        notebook.keeping.keep().add_done_callback(lambda kept: _let_go(found, kept.result()))


def _let_go(found: Recoverable, is_kept: bool) -> None:
    """The old copy goes only when another one has been written in its place."""
    from lessonkit.storage.recovery import discard

    if is_kept:
        discard(found.copy)


def _throw_away(notebook: Notebook, found: Recoverable, folder: Path) -> None:
    from lessonkit.storage.recovery import discard

    discard(found.copy)
    offer_unsaved(notebook, folder)
