"""Starting: from the command line to a window, each run in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtGui import QImage

from desktop.memory import state_folder
from desktop.mishaps import catch_mishaps
from lessonkit.storage.lesson_file import save_lesson
from tests.desktop.conftest import small_lesson

ROOT = Path(__file__).resolve().parents[2]


def desktop(*arguments: str, **variables: str) -> subprocess.CompletedProcess[str]:
    """Run the notebook from the command line."""
    environment = {**os.environ, **variables}
    for name in [name for name, value in variables.items() if not value]:
        del environment[name]
    command = [sys.executable, "-m", "desktop", *arguments]
    return subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=60, check=False)


@pytest.fixture
def lesson_file(tmp_path: Path) -> Path:
    """The small lesson in a file."""
    save_lesson(small_lesson(), tmp_path / "small.lesson")
    return tmp_path / "small.lesson"


def test_without_a_screen_one_sentence_is_said(lesson_file: Path) -> None:
    """Qt alone would abort the process."""
    done = desktop(str(lesson_file), QT_QPA_PLATFORM="", DISPLAY="", WAYLAND_DISPLAY="")
    assert done.returncode == 1
    assert len(done.stderr.strip().splitlines()) == 1
    assert "no screen" in done.stderr


@pytest.mark.parametrize("dress", [[], ["--dark"]])
def test_a_picture_of_the_window_is_saved(lesson_file: Path, tmp_path: Path, dress: list[str]) -> None:
    """Of the size that was asked for, with something on it."""
    out = tmp_path / "window.png"
    done = desktop("--picture", str(out), "--size", "1280x720", *dress, str(lesson_file))
    assert done.returncode == 0
    picture = QImage(str(out))
    assert (picture.width(), picture.height()) == (1280, 720)
    colours = {picture.pixel(x, y) for x in range(0, 1280, 7) for y in range(0, 720, 7)}
    assert len(colours) > 20


def test_a_picture_of_no_lesson_is_refused_in_a_sentence(tmp_path: Path) -> None:
    """The exit code of a lesson that cannot be read."""
    done = desktop("--picture", str(tmp_path / "window.png"), str(tmp_path / "missing.lesson"))
    assert done.returncode == 1
    assert "missing.lesson" in done.stderr


@pytest.mark.parametrize("size", ["big", "10x10", "99999x99999"])
def test_a_size_that_cannot_be_is_wrong_use(tmp_path: Path, size: str) -> None:
    """Wrong use has an exit code of its own."""
    done = desktop("--picture", str(tmp_path / "window.png"), "--size", size)
    assert done.returncode == 2
    assert len(done.stderr.strip().splitlines()) == 1


OPENED = """
import os, sys
from pathlib import Path
from PySide6.QtCore import QTimer
from desktop import frame, start
HEAVY = {"music21", "verovio", "reportlab", "markdown_it", "msgspec"}
LATER = {"music21", "reportlab", "lessonkit.students.student", "lessonkit.curriculum.term", "desktop.plan.plan_room"}
LATER |= {"mido", "lessonkit.sound.performance", "lessonkit.sound.rendering", "PySide6.QtMultimedia"}
paint = frame.EmptyRoom.paintEvent
def painted(room, event):
    paint(room, event)
    if "desktop.first_pages" not in sys.modules:
        print("room", *sorted(HEAVY & set(sys.modules)))
frame.EmptyRoom.paintEvent = painted
begin, furnish = start.begin, start.furnish
def begun(*arguments):
    pages = begin(*arguments)
    paint = type(pages.view).paintEvent
    def painted(view, event):
        paint(view, event)
        if "desktop.notebook" not in sys.modules:
            print("pages", *sorted(LATER & set(sys.modules)))
    type(pages.view).paintEvent = painted
    return pages
def furnished(*arguments):
    notebook = furnish(*arguments)
    def looked():
        if notebook.desk.view.isVisible() and notebook.desk.panel.isVisible():
            print("notebook", *sorted(LATER & set(sys.modules)))
            sys.stdout.flush()
            os._exit(0)
        QTimer.singleShot(5, looked)
    looked()
start.begin, start.furnish = begun, furnished
start.start(Path(sys.argv[1]))
"""


def test_the_first_paint_waits_for_no_heavy_library(lesson_file: Path) -> None:
    """music21 alone takes longer to load than the whole window. Neither it nor students, terms, sound show one."""
    command = [sys.executable, "-c", OPENED, str(lesson_file)]
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=60, check=True)
    lines = done.stdout.split()
    assert lines[0] == "room"
    assert lines[-1] == "notebook"
    assert set(lines[1:-1]) == {"pages"}


def test_a_mishap_is_written_down_and_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody loses a lesson to a mistake of ours."""
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    told: list[str] = []
    record = state_folder() / "problems.log"
    catch_mishaps(record, told.append)
    error = RuntimeError("a mistake of ours")
    sys.excepthook(RuntimeError, error, None)
    assert len(told) == 1
    assert "a mistake of ours" in record.read_text(encoding="utf-8")
