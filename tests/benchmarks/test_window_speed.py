"""How long the window takes to open, against a bare window of the same Qt modules. Ratios are printed, not judged.

Run with ``python -m pytest -m bench tests/benchmarks -s``.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
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
import sys
from pathlib import Path
from desktop import start
from desktop.preview.pages_view import PagesView
paint = PagesView.paintEvent
def painted(view, event):
    paint(view, event)
    if {is_whole}:
        sys.stdout.flush()
        import os
        os._exit(0)
PagesView.paintEvent = painted
start.start(Path(sys.argv[1]))
"""

SEEN = "not set(view.seen_blocks()) & set(view._drawn._waiting)"
"""All that is seen of the first page is drawn."""


def seconds(program: str, *arguments: str) -> float:
    """The shortest of several runs of a program in a process of its own."""
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    times = []
    for _ in range(9):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", program, *arguments], check=True, env=environment, capture_output=True)
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.mark.bench
def test_opening_a_lesson_against_a_bare_window(tmp_path: Path) -> None:
    """At most 2.5 times the bare window, until the first page is there."""
    lesson = three_pages(tmp_path)
    bare = seconds(BARE)
    first = seconds(FIRST_PAINT.format(is_whole="True"), str(lesson))
    whole = seconds(FIRST_PAINT.format(is_whole=SEEN), str(lesson))
    print(f"\nbare {bare * 1000:.0f} ms; first paint {first / bare:.2f}; first page complete {whole / bare:.2f}")


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
