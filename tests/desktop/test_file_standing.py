"""Two hands on one file: what somebody else saved is noticed and never written over unasked."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QPushButton

from lessonkit.lesson.edits import set_title, transposed
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import read_lesson, save_lesson
from lessonkit.theory.key import Key
from tests.desktop.conftest import Driver

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def path(driver: Driver, tmp_path: Path) -> Path:
    """The small lesson saved and open."""
    driver.answers.saving = tmp_path / "Evening.lesson"
    assert driver.notebook.desk.files.save()
    return tmp_path / "Evening.lesson"


def offer(driver: Driver, words: str) -> None:
    """Click an offer of the message."""
    buttons = driver.notebook.desk.messages.findChildren(QPushButton)
    next(button for button in buttons if button.text() == words).click()


def other_hand(path: Path) -> Lesson:
    """Another window, or a friend's computer, saves the file."""
    other = replace(read_lesson(path), title="Theirs")
    save_lesson(other, path)
    os.utime(path, ns=(1, 1))
    return other


def edit(driver: Driver) -> None:
    driver.notebook.open_lesson.edit("Title", set_title(driver.lesson, "Mine"))


def test_a_save_does_not_write_over_what_somebody_else_saved(driver: Driver, path: Path) -> None:
    """Both lessons survive: theirs in the file, ours in the window."""
    theirs = other_hand(path)
    edit(driver)
    assert not driver.notebook.desk.files.save()
    assert read_lesson(path) == theirs
    assert driver.lesson.title == "Mine"
    assert "changed outside" in driver.notebook.desk.messages.sentence


def test_one_can_save_over_it_all_the_same(driver: Driver, path: Path) -> None:
    """After having been told."""
    other_hand(path)
    edit(driver)
    driver.notebook.desk.files.save()
    offer(driver, "Save over it")
    assert read_lesson(path).title == "Mine"
    assert not driver.notebook.open_lesson.has_unsaved


def test_the_file_is_read_anew_and_undo_brings_ours_back(driver: Driver, path: Path) -> None:
    """Nothing is lost by looking at theirs."""
    other_hand(path)
    edit(driver)
    driver.notebook.desk.files.standing.look()
    offer(driver, "Read it anew")
    assert driver.lesson.title == "Theirs"
    assert not driver.notebook.open_lesson.has_unsaved
    driver.notebook.open_lesson.undo()
    assert driver.lesson.title == "Mine"
    assert driver.notebook.desk.files.save()


def test_a_change_is_told_once(driver: Driver, path: Path) -> None:
    """And not again at each look."""
    other_hand(path)
    driver.notebook.desk.files.standing.look()
    assert "changed outside" in driver.notebook.desk.messages.sentence
    driver.notebook.desk.messages.clear()
    driver.notebook.desk.files.standing.look()
    assert driver.notebook.desk.messages.sentence == ""


def test_a_file_that_was_only_touched_is_no_other(driver: Driver, path: Path) -> None:
    """Copying programs change times."""
    os.utime(path, ns=(5, 5))
    driver.notebook.desk.files.standing.look()
    assert driver.notebook.desk.messages.sentence == ""
    edit(driver)
    assert driver.notebook.desk.files.save()


def test_a_lesson_is_copied_into_three_keys(driver: Driver, path: Path) -> None:
    """Each in a file of its own beside it; a name that is taken is left alone."""
    taken = path.with_name("Evening in D major.lesson")
    taken.write_text("mine")
    driver.answers.keys = "D, f Bb"
    driver.notebook.actions_table["copies"].trigger()
    lesson = driver.lesson
    for key, name in (("D", "Evening in D major 2"), ("F", "Evening in F major"), ("Bb", "Evening in B♭ major")):
        assert read_lesson(path.with_name(f"{name}.lesson")) == transposed(lesson, Key.parse(key))
    assert taken.read_text() == "mine"
    assert "3 copies" in driver.notebook.desk.messages.sentence


def test_what_is_no_key_makes_no_copy(driver: Driver, path: Path) -> None:
    """One sentence, no file."""
    driver.answers.keys = "D, H"
    driver.notebook.actions_table["copies"].trigger()
    assert "is no major key" in driver.notebook.desk.messages.sentence
    assert [one.name for one in path.parent.glob("*.lesson")] == ["Evening.lesson"]


HOLDING = """
import sys
from pathlib import Path
from desktop.open_mark import OpenMark
mark = OpenMark()
mark.put_on(Path(sys.argv[1]))
print(mark.is_elsewhere, flush=True)
sys.stdin.read()
"""


@contextmanager
def open_elsewhere(path: Path) -> Iterator[subprocess.Popen[str]]:
    """Another program that has the file open, until it is ended or killed; says first whether it is open here."""
    command = [sys.executable, "-c", HOLDING, str(path)]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, cwd=ROOT, env={**os.environ}, stdin=pipe, stdout=pipe, text=True) as other:
        yield other
        other.kill()


def said(other: subprocess.Popen[str]) -> str:
    assert other.stdout is not None
    return other.stdout.readline().strip()


def test_a_second_window_says_at_once_that_the_file_is_open_in_another(driver: Driver, tmp_path: Path) -> None:
    """Not only when both have changed it; after the other one was killed nothing is said."""
    path = tmp_path / "Shared.lesson"
    save_lesson(driver.lesson, path)
    with open_elsewhere(path) as other:
        assert said(other) == "False"
        assert driver.notebook.desk.files.open_path(path)
        assert "open in another window" in driver.notebook.desk.messages.sentence
        driver.notebook.desk.messages.clear()
        edit(driver)
        assert driver.notebook.desk.files.save()
        # Once is enough.
        assert driver.notebook.desk.messages.sentence == ""
    assert driver.notebook.desk.files.open_path(path)
    assert driver.notebook.desk.messages.sentence == ""


def test_a_window_marks_the_file_that_it_has_open_and_only_that(driver: Driver, path: Path) -> None:
    """The other window is told the same; a file that was left is free."""
    with open_elsewhere(path) as other:
        assert said(other) == "True"
    driver.notebook.desk.files.new()
    with open_elsewhere(path) as other:
        assert said(other) == "False"


def test_no_mark_stands_beside_a_lesson(driver: Driver, path: Path) -> None:
    """The teacher's folder holds lessons."""
    assert [one.name for one in path.parent.iterdir() if one.is_file()] == [path.name]
