"""A picture of the window as it looks with a lesson open and its first drill selected; no screen is needed."""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from desktop.frame import NotebookFrame
from desktop.language import speak
from desktop.lesson_documents import read_document
from desktop.memory import Memory
from desktop.notebook import Notebook
from desktop.start import make_application
from desktop.theme import DARK, LIGHT, apply_theme
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.storage.strict import LessonFileError


def take_picture(
    lesson_path: Path | None, out: Path, size: tuple[int, int], is_dark: bool, language: str = "en"
) -> int:
    """Save a picture of the window; answers the exit code."""
    try:
        lesson, beside = read_document(lesson_path) if lesson_path is not None else (Lesson(), None)
    except LessonFileError as error:
        print(f"desktop: {error}", file=sys.stderr)
        return 1
    application = make_application()
    speak(language)
    apply_theme(application, DARK if is_dark else LIGHT)
    memory = Memory()
    frame = NotebookFrame(memory)
    notebook = Notebook(frame, memory)
    notebook.open_lesson.open(lesson, lesson_path, beside=beside)
    notebook.furnish()
    frame.resize(*size)
    frame.show()
    drills = [block.id for block in lesson.blocks if isinstance(block, Drill)]
    if drills:
        notebook.desk.selection.select(drills[0])
    settle(application, notebook)
    if not frame.grab().save(str(out)):
        print(
            f"desktop: {out} cannot be written; give a name ending in .png in a folder there is",
            file=sys.stderr,
        )
        return 1
    notebook.keeping.close()
    notebook.desk.listening.close()
    return 0


def settle(application: QApplication, notebook: Notebook) -> None:
    """Let everything be drawn."""
    notebook.desk.fill()
    for _ in range(3):
        application.processEvents()
        notebook.desk.drawn.finish()
        notebook.desk.judging.finish()
        notebook.desk.strip.bands.finish()
        notebook.desk.panel.finish()
    application.processEvents()
