"""Killed at any moment nothing is lost but two seconds; after thousands of edits the lesson is the right one."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from desktop.open_lesson import OpenLesson
from lessonkit.drills.family import DrillFamily
from lessonkit.lesson import edits
from lessonkit.lesson.history import History
from lessonkit.lesson.lesson import Drill, Heading, Lesson, Note
from lessonkit.pages.flow import pages_of
from lessonkit.storage.lesson_file import read_lesson, save_lesson
from lessonkit.storage.recovery import recoverable
from lessonkit.theory.key import MAJOR_KEYS
from tests.desktop.conftest import Driver, small_lesson
from tests.desktop.robot import EVERY

ROOT = Path(__file__).resolve().parents[2]

MOST_LOST = 2000 // EVERY
"""The edits of two seconds."""


def killed(folder: Path, seed: int, first: int, after: float) -> int:
    """Let the robot edit, kill it; answers the number of the last edit that it made."""
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME"):
        environment[name] = str(folder / name)
    arguments = [sys.executable, "-m", "tests.desktop.robot", str(folder / "robot.lesson"), str(seed), str(first)]
    with subprocess.Popen(arguments, env=environment, cwd=ROOT, stdout=subprocess.PIPE, text=True) as robot:
        assert robot.stdout is not None
        robot.stdout.readline()
        time.sleep(after)
        robot.send_signal(signal.SIGKILL)
        said = robot.stdout.read().split()
    return int(said[-1]) if said else first


def newest(folder: Path) -> int:
    """The number of the newest edit that the file or a recovery copy holds; every one of them can be read."""
    lessons = [read_lesson(folder / "robot.lesson")]
    found, sentences = recoverable(folder / "XDG_STATE_HOME" / "lessonkit" / "unsaved")
    assert not sentences
    lessons += [one.lesson for one in found]
    return max(int(lesson.title.split()[-1]) for lesson in lessons)


def kill_often(folder: Path, times: int) -> None:
    chance, last = random.Random(7), 0
    save_lesson(replace(small_lesson(), title="Edit 0"), folder / "robot.lesson")
    for seed in range(times):
        last = killed(folder, seed, last, chance.uniform(0.05, 3.0))
        assert last - newest(folder) <= MOST_LOST


def test_killed_while_editing_and_saving(tmp_path: Path) -> None:
    """The file stays readable, and the recovery copy is at most two seconds behind."""
    kill_often(tmp_path, 3)


@pytest.mark.whole
def test_killed_two_hundred_times(tmp_path: Path) -> None:
    """The same at many more moments."""
    kill_often(tmp_path, 200)


def random_edit(lesson: Lesson, chance: random.Random, kinds: list[type[DrillFamily]]) -> tuple[str, Lesson]:
    """One of the edits that a teacher makes, anywhere in the lesson."""
    blocks = lesson.blocks
    at = chance.randrange(len(blocks) + 1)
    one = chance.choice(blocks) if blocks else None
    match chance.randrange(9):
        case 0 if len(blocks) < 40:
            return "Insert note", edits.insert_block(lesson, at, Note(f"{{V7}} {chance.random()}"))
        case 1 if len(blocks) < 40:
            return "Insert drill", edits.insert_block(lesson, at, Drill(chance.choice(kinds)()))
        case 2 if one is not None and len(blocks) > 4:
            return "Delete", edits.delete_blocks(lesson, (one.id,))
        case 3 if one is not None:
            return "Move", edits.move_blocks(lesson, (one.id,), at)
        case 4 if one is not None and len(blocks) < 40:
            return "Duplicate", edits.duplicate_blocks(lesson, (one.id,))
        case 5:
            return "Key", edits.set_key(lesson, chance.choice(MAJOR_KEYS))
        case 6 if isinstance(one, Note):
            return "Write", edits.set_note_text(lesson, one.id, f"{one.text[:60]} {chance.randrange(99)}")
        case 7 if isinstance(one, Heading):
            return "Heading", edits.replace_block(lesson, replace(one, text=f"Heading {chance.randrange(99)}"))
        case _:
            return "Title", edits.set_title(lesson, f"Title {chance.random()}")


def edit_often(driver: Driver, times: int) -> int:
    """Edit, undo and redo in the window and beside it; answers the memory halfway in pages of the system."""
    from lessonkit.drills.family import family

    chance = random.Random(11)
    kinds = [family("broken-chords"), family("stride"), family("chord-jumps")]
    opened: OpenLesson = driver.notebook.open_lesson
    twin, halfway = History(driver.lesson), 0
    for count in range(times):
        if count == times // 2:
            halfway = memory_pages()
        step = chance.random()
        if step < 0.15:
            opened.undo()
            twin.undo()
        elif step < 0.25:
            opened.redo()
            twin.redo()
        else:
            label, lesson = random_edit(twin.lesson, chance, kinds)
            opened.edit(label, lesson)
            twin.edit(label, lesson)
        if count % 10 == 0:
            driver.qtbot.wait(1)
        assert opened.lesson is twin.lesson or opened.lesson == twin.lesson
        assert (opened.undo_label, opened.redo_label) == (twin.undo_label, twin.redo_label)
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(twin.lesson)
    return halfway


def memory_pages() -> int:
    return int(Path("/proc/self/statm").read_text().split()[1])


def test_many_edits_leave_the_lesson_that_they_make(driver: Driver) -> None:
    """Undo and redo among them; the pages in the end are those of the same lesson without a window."""
    edit_often(driver, 150)


@pytest.mark.whole
@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="the system does not say how much memory is used")
def test_ten_thousand_edits_keep_to_their_memory(driver: Driver) -> None:
    """What is drawn is kept only as long as it is worth it."""
    halfway = edit_often(driver, 10_000)
    assert memory_pages() < 1.1 * halfway
