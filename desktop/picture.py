"""A picture of the window as it looks with a lesson open and its first drill selected; no screen is needed."""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from desktop.memory import Memory
from desktop.start import make_application
from desktop.theme import DARK, LIGHT, apply_theme
from desktop.window import NotebookWindow
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.strict import LessonFileError


def take_picture(lesson_path: Path | None, out: Path, size: tuple[int, int], is_dark: bool) -> int:
    """Save a picture of the window; answers the exit code."""
    try:
        lesson = read_lesson(lesson_path) if lesson_path is not None else Lesson()
    except LessonFileError as error:
        print(f"desktop: {error}", file=sys.stderr)
        return 1
    application = make_application()
    apply_theme(application, DARK if is_dark else LIGHT)
    window = NotebookWindow(Memory())
    window.open_lesson.open(lesson, lesson_path)
    window.resize(*size)
    window.show()
    drills = [block.id for block in lesson.blocks if isinstance(block, Drill)]
    if drills:
        window.desk.selection.select(drills[0])
    settle(application, window)
    if not window.grab().save(str(out)):
        print(
            f"desktop: {out} cannot be written; give a name ending in .png in a folder there is",
            file=sys.stderr,
        )
        return 1
    window.keeping.close()
    return 0


def settle(application: QApplication, window: NotebookWindow) -> None:
    """Let everything be drawn."""
    for _ in range(3):
        application.processEvents()
        window.desk.drawn.finish()
    application.processEvents()
