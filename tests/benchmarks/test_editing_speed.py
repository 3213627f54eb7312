"""How long a hand's edits take in a lesson of two hundred blocks, against what cannot be had for less.

A letter is held against one typed into a bare box of words of the same size; an edit against the same one in a lesson
of three blocks; opening against opening three blocks; scrolling against copying the same pixels. The time counted is
the processor's in the window's thread, the middle of several tries. Ratios are printed, not judged.

Run with ``python -m pytest -m bench tests/benchmarks/test_editing_speed.py -s``.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPlainTextEdit

from lessonkit.drills.family import families
from lessonkit.lesson import edits
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note
from lessonkit.storage.lesson_file import save_lesson
from lessonkit.theory.key import Key
from tests.benchmarks.test_window_speed import FIRST_PAGE, seconds
from tests.desktop.conftest import Driver, driver

__all__ = ["driver"]

TRIES = 15


def lesson_of(count: int) -> Lesson:
    """Headings, notes and drills of all families in turn."""
    kinds = list(families().values())
    blocks: list[Block] = []
    for number in range(count):
        match number % 4:
            case 0:
                blocks.append(Heading(f"Part {number}", id=f"b{number}"))
            case 1:
                blocks.append(Note("Play {V7} slowly and listen to {IVmaj7} here.", id=f"b{number}"))
            case _:
                blocks.append(Drill(kinds[number * 7 % len(kinds)](), id=f"b{number}"))
    return Lesson("Long", key=Key.parse("Eb"), blocks=tuple(blocks))


def spent(action: Callable[[], object]) -> float:
    """Seconds of the processor in this thread, with all that the event loop does in its wake."""
    start = time.thread_time()
    action()
    QApplication.processEvents()
    return time.thread_time() - start


def middle(action: Callable[[int], object], driver: Driver) -> float:
    """The middle of several tries, between which whatever was put off is done."""
    times = []
    for number in range(TRIES):
        times.append(spent(lambda number=number: action(number)))
        driver.qtbot.wait(120)
    return median(times)


def opened(driver: Driver, count: int) -> None:
    driver.notebook.open_lesson.open(lesson_of(count), None)
    driver.settle()
    # What is judged and read ahead when nobody asks is done.
    driver.qtbot.wait(6000 if count > 3 else 500)


def edit_times(driver: Driver, note: str, at: int) -> dict[str, float]:
    """The edits that lay out something anew, none of which is an engraving."""
    door = driver.notebook.open_lesson
    return {
        "words of a note": middle(
            lambda number: door.edit("Note", edits.set_note_text(door.lesson, note, f"Words {number}")), driver
        ),
        "title": middle(lambda number: door.edit("Title", edits.set_title(door.lesson, f"Title {number}")), driver),
        "insert": middle(
            lambda number: door.edit("Insert", edits.insert_block(door.lesson, at, Note(f"{number}"))), driver
        ),
        "delete": middle(
            lambda number: door.edit("Delete", edits.delete_blocks(door.lesson, [door.lesson.blocks[at].id])), driver
        ),
    }


def letter(driver: Driver, note: str) -> list[float]:
    """What each letter costs that is typed into a note; new lines come among them."""
    driver.notebook.desk.view.show_at_top(note)
    driver.notebook.desk.selection.select(note)
    driver.notebook.desk.writing.begin(note)
    box = driver.notebook.desk.writing.box
    assert box is not None
    times = []
    driver.qtbot.wait(200)
    for sign in "Play it slowly and listen to every note of it before the next one; then sing it. " * 2:
        times.append(spent(lambda sign=sign: QTest.keyClicks(box, sign)))
        driver.qtbot.wait(5)
    driver.notebook.desk.writing.end()
    return times


@pytest.mark.bench
def test_edits_in_a_long_lesson(driver: Driver) -> None:
    """An edit of two hundred blocks costs little more than one of three; a letter little more than anywhere."""
    opened(driver, 3)
    few = edit_times(driver, "b1", 2)
    opened(driver, 200)
    many = edit_times(driver, "b101", 100)
    typed = letter(driver, "b105")
    bare = QPlainTextEdit()
    bare.resize(600, 120)
    bare.show()
    floor = median(spent(lambda: QTest.keyClicks(bare, "a")) for _ in range(60))
    print()
    for name, time_taken in many.items():
        print(f"{name}: {time_taken * 1000:.1f} ms, {time_taken / few[name]:.2f} of the same among three blocks")
    usual, worst = median(typed), max(typed)
    print(f"a letter: {usual * 1000:.1f} ms, at most {worst * 1000:.1f}; {usual / floor:.1f} of a bare box of words")


@pytest.mark.bench
def test_scrolling_a_long_lesson(driver: Driver) -> None:
    """The first time through and the second, a screen at a time, against copying a screen of pixels once."""
    opened(driver, 200)
    view = driver.notebook.desk.view
    bar = view.verticalScrollBar()
    screen = QPixmap(view.viewport().size())
    screen.fill(Qt.GlobalColor.white)
    target = QPixmap(screen.size())

    def copy() -> None:
        painter = QPainter(target)
        painter.drawPixmap(0, 0, screen)
        painter.end()

    floor = median(spent(copy) for _ in range(60))
    for time_through in ("first", "second"):
        times = []
        for number in range(40):
            times.append(spent(lambda number=number: bar.setValue(number * view.viewport().height() // 2)))
            driver.qtbot.wait(150)
        usual, worst = median(times), max(times)
        print(
            f"\nscrolling half a screen the {time_through} time: {usual * 1000:.1f} ms, at most {worst * 1000:.1f}; "
            f"{usual / floor:.1f} of copying a screen"
        )
        bar.setValue(0)


@pytest.mark.bench
def test_opening_a_long_lesson(tmp_path: Path) -> None:
    """Until all that is seen of the first page is drawn: two hundred blocks against three, each in a new process."""
    for count in (3, 200):
        save_lesson(lesson_of(count), tmp_path / f"{count}.lesson")
    compiled = tmp_path / "compiled"
    few, many = (seconds(FIRST_PAGE, compiled, str(tmp_path / f"{count}.lesson")) for count in (3, 200))
    print(f"\nthree blocks {few * 1000:.0f} ms; two hundred {many / few:.2f} of it")
