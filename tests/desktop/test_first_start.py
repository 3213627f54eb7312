"""The first start opens a sample to try on, with three hints that go away one by one and never come again."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from desktop.first_hints import HINTS, FirstHints
from desktop.memory import Memory
from desktop.start import FIRST_HINTS, SAMPLE
from lessonkit.lesson.edits import set_key
from lessonkit.lesson.lesson import Lesson, Note
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.theory.key import Key
from tests.desktop.conftest import BROKEN, Driver

ROOT = Path(__file__).resolve().parents[2]

STARTED = """
import os, sys
from PySide6.QtCore import QTimer
from desktop import start
furnish = start.furnish
def furnished(*arguments):
    notebook = furnish(*arguments)
    def told():
        from desktop.first_hints import Hint
        lesson = notebook.open_lesson
        print(lesson.lesson.title, lesson.path, lesson.has_unsaved, sep="|")
        print(*(hint.row.name for hint in notebook.frame.findChildren(Hint)))
        for hint in notebook.frame.findChildren(Hint)[:int(sys.argv[1])]:
            hint.button.click()
        notebook.frame.close()
    QTimer.singleShot(0, told)
    return notebook
start.furnish = furnished
start.start(None)
"""


def started(folder: Path, closing: int) -> list[str]:
    """Start the notebook, close so many hints and then the window; answers what was open and hinted at."""
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME"):
        environment[name] = str(folder / name)
    command = [sys.executable, "-c", STARTED, str(closing)]
    done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=60, check=True)
    return done.stdout.split("\n")


def test_a_sample_is_open_until_all_hints_are_closed(tmp_path: Path) -> None:
    """It is a lesson without a file, so that trying changes no sample and closing asks nothing."""
    lesson, hints, *_ = started(tmp_path, 1)
    assert lesson == f"{read_lesson(SAMPLE).title}|None|False"
    assert hints.split() == list(FIRST_HINTS)
    again, hints, *_ = started(tmp_path, 2)
    assert again == lesson
    assert hints.split() == list(FIRST_HINTS[1:])
    other, hints, *_ = started(tmp_path, 0)
    assert other == f"{Lesson().title}|None|False"
    assert hints == ""


def test_the_hints_are_those_of_the_first_start() -> None:
    """Each has a place to be shown at."""
    assert tuple(row.name for row in HINTS) == FIRST_HINTS


@pytest.fixture
def hints(driver: Driver) -> FirstHints:
    """The hints over the lessons room."""
    memory = Memory()
    memory.hints_left = FIRST_HINTS
    assert driver.notebook.rooms is not None
    return FirstHints(driver.notebook.desk, memory, driver.notebook.rooms.first)


def test_a_hint_goes_when_it_is_closed(driver: Driver, hints: FirstHints) -> None:
    """By mouse or by keyboard, and only that one."""
    driver.qtbot.mouseClick(hints.hints["shelf"].button, Qt.MouseButton.LeftButton)
    assert list(hints.hints) == ["key", "panel"]
    hints.hints["key"].button.setFocus()
    driver.press(Qt.Key.Key_Space)
    assert list(hints.hints) == ["panel"]
    assert Memory().hints_left == ("panel",)


def test_a_hint_goes_when_what_it_says_was_done(driver: Driver, hints: FirstHints) -> None:
    """Who has found it need not be told."""
    driver.click(BROKEN)
    assert list(hints.hints) == ["key", "shelf"]
    driver.notebook.open_lesson.edit("Key", set_key(driver.lesson, Key.parse("A")))
    assert list(hints.hints) == ["shelf"]
    driver.notebook.desk.insert(Note("New"))
    assert not hints.hints
    assert Memory().hints_left == ()


def test_hints_lie_inside_the_room_beside_what_they_speak_of(driver: Driver, hints: FirstHints) -> None:
    """At every size; one about a part that is folded away waits until it is there."""
    for width, height in ((960, 560), (1280, 720), (2560, 1440)):
        driver.window.resize(width, height)
        driver.qtbot.waitUntil(lambda width=width: driver.window.width() == width)
        driver.qtbot.wait(10)
        for hint in hints.hints.values():
            assert hint.parentWidget().rect().contains(hint.geometry())
    desk = driver.notebook.desk
    desk.fold_shelf()
    assert hints.hints["shelf"].isHidden()
    desk.fold_shelf()
    assert not hints.hints["shelf"].isHidden()


def test_hints_take_no_focus_and_stop_nothing(driver: Driver, hints: FirstHints) -> None:
    """The work goes on beside them."""
    assert driver.notebook.desk.view.hasFocus()
    driver.control(Qt.Key.Key_A)
    assert driver.notebook.desk.selection.ids
