"""Killed at any moment while a record or a note is typed, at most two seconds of it are lost, and the file is whole."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest

from lessonkit.storage.student_file import read_student, save_student
from lessonkit.students.item import Item
from lessonkit.students.student import GivenBlock, Handout, Student
from tests.desktop.record_robot import EVERY, TYPED

ROOT = Path(__file__).resolve().parents[2]

MOST_LOST = 2000 // EVERY
"""The keys of two seconds."""

HANDOUT = Handout(
    "long", date(2026, 3, 4), "A long one",
    tuple(GivenBlock(f"b{place}", f"Drill {place}", (Item.parse("broken-chords/C"),)) for place in range(300)),
)  # fmt: skip


def keys_before_the_kill(folder: Path, where: str, after: float) -> int:
    """Let the robot type, kill it; answers how many keys it had pressed."""
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME"):
        environment[name] = str(folder / name)
    arguments = [sys.executable, "-m", "tests.desktop.record_robot", str(folder / "students"), where]
    with subprocess.Popen(arguments, env=environment, cwd=ROOT, stdout=subprocess.PIPE, text=True) as robot:
        assert robot.stdout is not None
        robot.stdout.readline()
        time.sleep(after)
        robot.send_signal(signal.SIGKILL)
        said = robot.stdout.read().split()
    return int(said[-1]) if said else 1


def kill_often(folder: Path, where: str, times: int) -> None:
    chance = random.Random(11)
    for number in range(times):
        students = folder / str(number) / "students"
        students.mkdir(parents=True)
        save_student(Student("S. T.", handouts=(HANDOUT,)), students / "s_t.student")
        pressed = keys_before_the_kill(folder / str(number), where, chance.uniform(0.05, 2.5))
        found = read_student(students / "s_t.student")
        typed = found.keys_typed if where == "record" else found.notes
        assert pressed - len(typed) <= MOST_LOST
        assert len(typed) <= pressed + 1
        whole = TYPED * len(typed) if where == "record" else "x" * len(typed)
        assert whole.startswith(typed)


@pytest.mark.parametrize("where", ["record", "notes"])
def test_killed_while_typing(tmp_path: Path, where: str) -> None:
    """A real key, a real window, a real kill."""
    kill_often(tmp_path, where, 2)


@pytest.mark.whole
@pytest.mark.parametrize("where", ["record", "notes"])
def test_killed_a_hundred_times_while_typing(tmp_path: Path, where: str) -> None:
    """The same at many more moments."""
    kill_often(tmp_path, where, 100)
