"""How long the window takes to open, against a bare window of the same Qt modules. Ratios are printed, not judged.

Run with ``python -m pytest -m bench tests/benchmarks -s``.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

BARE = """
import sys
from PySide6 import QtCore, QtGui, QtSvg, QtWidgets
class Page(QtWidgets.QWidget):
    def paintEvent(self, event):
        painter = QtGui.QPainter(self)
        painter.drawText(40, 40, "A page")
        painter.end()
        QtCore.QTimer.singleShot(0, QtWidgets.QApplication.quit)
application = QtWidgets.QApplication(sys.argv)
window = QtWidgets.QMainWindow()
window.setCentralWidget(Page())
window.resize(1440, 900)
window.show()
application.exec()
"""

FIRST_PAINT = """
import os, sys
from pathlib import Path
from PySide6.QtCore import QTimer
from desktop import frame, start
paint = frame.EmptyRoom.paintEvent
def painted(room, event):
    paint(room, event)
    os._exit(0)
frame.EmptyRoom.paintEvent = painted
start.start(Path(sys.argv[1]))
"""
"""Until the room is seen."""

FIRST_PAGE = """
import os, sys
from pathlib import Path
from desktop import start
begin = start.begin
def begun(*arguments):
    pages = begin(*arguments)
    paint = type(pages.view).paintEvent
    def painted(view, event):
        paint(view, event)
        if not pages.drawn.waits_for(view.seen_blocks()):
            os._exit(0)
    type(pages.view).paintEvent = painted
    return pages
start.begin = begun
start.start(Path(sys.argv[1]))
"""
"""Until all that is seen of the first page is drawn."""


def seconds(program: str, compiled: Path, *arguments: str) -> float:
    """The shortest of several runs of a program in a process of its own, its modules compiled as they are at home."""
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    environment["PYTHONPYCACHEPREFIX"] = str(compiled)
    times = []
    for _ in range(9):
        start = spent()
        subprocess.run([sys.executable, "-c", program, *arguments], check=True, env=environment, capture_output=True)
        times.append(spent() - start)
    return min(times)


def spent() -> float:
    """The processor's time that finished child processes took, in seconds; a busy machine counts less in it."""
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return children.ru_utime + children.ru_stime


@pytest.mark.bench
def test_opening_a_lesson_against_a_bare_window(tmp_path: Path) -> None:
    """At most 2.5 times the bare window; the first page follows while the window already answers."""
    lesson = three_pages(tmp_path)
    compiled = tmp_path / "compiled"
    bare = seconds(BARE, compiled)
    first = seconds(FIRST_PAINT, compiled, str(lesson))
    whole = seconds(FIRST_PAGE, compiled, str(lesson))
    print(f"\nbare {bare * 1000:.0f} ms; room painted {first / bare:.2f}; first page complete {whole / bare:.2f}")


def three_pages(folder: Path) -> Path:
    """A lesson of three pages made of the beginning of a sample lesson."""
    from dataclasses import replace

    from lessonkit.pages.flow import pages_of
    from lessonkit.storage.lesson_file import read_lesson, save_lesson

    lesson = read_lesson(ROOT / "sample_lessons" / "broken_chords.lesson")
    while len(pages_of(lesson)) > 3:
        lesson = replace(lesson, blocks=lesson.blocks[:-1])
    save_lesson(lesson, folder / "three.lesson")
    return folder / "three.lesson"
