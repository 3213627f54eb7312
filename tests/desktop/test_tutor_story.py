"""A tutor's week with real keys and clicks: from the lesson to the handout, from the record to the next one.

Where the variable LESSONKIT_PICTURES names a folder, the window is photographed at each station; LESSONKIT_SIZE and
LESSONKIT_DARK choose how.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QDialog, QWidget

from desktop.people.changes_panel import ChangesPanel
from desktop.people.chart_part import ChartPart
from desktop.people.due_part import DuePart
from desktop.people.make_up_part import MakeUpPart
from desktop.people.people_room import PeopleRoom
from desktop.people.plan_part import PlanPart
from desktop.people.print_dialog import PrintDialog
from desktop.people.profile import Profile
from desktop.people.record_sheet import RecordPart
from desktop.people.review_part import ReviewPart
from desktop.start import make_application
from desktop.theme import DARK, apply_theme
from lessonkit.storage.student_file import read_student
from lessonkit.students.adapted import Kind
from tests.desktop.conftest import Driver
from tests.desktop.test_for_student import choose, shown
from tests.desktop.test_people import Answers, enter, work_done

LEFT = Qt.MouseButton.LeftButton
SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
PICTURES = os.environ.get("LESSONKIT_PICTURES", "")


class Station:
    """Where pictures are taken, if any are wanted."""

    def __init__(self, driver: Driver) -> None:
        self._driver = driver
        self._count = 0
        if PICTURES:
            width, height = os.environ.get("LESSONKIT_SIZE", "1280x720").split("x")
            driver.window.resize(int(width), int(height))
            if os.environ.get("LESSONKIT_DARK"):
                apply_theme(make_application(), DARK)

    def look(self, name: str, widget: QWidget | None = None) -> None:
        """Take a picture."""
        self._count += 1
        if PICTURES:
            self._driver.qtbot.wait(400)
            (widget or self._driver.window).grab().save(str(Path(PICTURES) / f"{self._count:02}_{name}.png"))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one student and a lesson."""
    shutil.copy(SAMPLES / "m_k.student", tmp_path / "m_k.student")
    shutil.copy(SAMPLES / "four_chords_in_every_key.lesson", tmp_path / "chords.lesson")
    return tmp_path


def test_a_tutors_week(driver: Driver, folder: Path) -> None:
    """Open, choose, look, refuse one, print; a week later record, look at the chart, print what is next."""
    driver.notebook._memory.students_folder = folder
    station = Station(driver)
    driver.answers.opening = folder / "chords.lesson"
    driver.control(Qt.Key.Key_O)
    driver.settle()
    before = driver.lesson
    station.look("lesson")

    pages, changes = choose(driver, "M. K.")
    assert all(card.change is not None and card.change.reason for card in changes.cards if not card.isHidden())
    station.look("for_student")
    refuse_one(driver, changes)
    assert pages.lesson.house.staff_tenths == before.house.staff_tenths
    assert driver.lesson == before
    station.look("one_refused")

    handout = print_for_student(driver, folder, station)
    text = "\n".join(page.extract_text() for page in PdfReader(handout).pages)
    for words in ("M. K.", "Plan for", "First tries"):
        assert words in text

    room = enter(driver)
    room.questions = Answers(folder)  # type: ignore[assignment]
    record_in_three_keys_a_block(driver, room, station)
    look_at_the_room(driver, room, station)
    print_what_is_next(driver, room, folder, station)
    driver.notebook.people.close()


def refuse_one(driver: Driver, changes: ChangesPanel) -> None:
    """Take the larger staff back with a click."""
    card = next(one for one in changes.cards if one.change is not None and one.change.kind is Kind.STAFF)
    driver.qtbot.mouseClick(card.button, LEFT)
    shown(driver)


def print_for_student(driver: Driver, folder: Path, station: Station) -> Path:
    """Print by the keys of printing."""
    driver.control(Qt.Key.Key_P)
    driver.qtbot.waitUntil(lambda: driver.window.findChild(QDialog) is not None, timeout=20000)
    dialog = driver.window.findChild(QDialog)
    assert isinstance(dialog, PrintDialog)
    dialog._folder = folder / "out"
    station.look("print", dialog)
    driver.qtbot.mouseClick(dialog.print, LEFT)
    driver.qtbot.waitUntil(lambda: not dialog.is_running, timeout=60000)
    station.look("printed", dialog)
    dialog.close()
    driver.window.activateWindow()
    driver.qtbot.waitUntil(driver.window.isActiveWindow)
    driver.notebook.people.studio.saving.finish()
    given = read_student(folder / "m_k.student").handouts[-1]
    assert given.title == driver.lesson.title
    return folder / "out" / "chords for M_K.pdf"


def record_in_three_keys_a_block(driver: Driver, room: PeopleRoom, station: Station) -> None:
    """A digit and a letter a block, and Enter once at the end: never more than three keys a block."""
    driver.press(Qt.Key.Key_2, Qt.KeyboardModifier.AltModifier)
    part = room.parts["Record"]
    assert isinstance(part, RecordPart)
    student = room.studio.student
    assert student is not None
    blocks = max(student.handouts, key=lambda one: one.day).blocks
    before, keys = len(student.marks), 0
    for place in range(len(blocks)):
        typed = ("3", "2t", "1h", "0r")[place % 4]
        driver.type(typed)
        keys += len(typed)
        if place == 1:
            station.look("record")
    driver.press(Qt.Key.Key_Return)
    assert keys + 1 <= 3 * len(blocks)
    done = room.studio.student
    assert done is not None
    assert len(done.marks) == before + len(blocks)
    station.look("recorded")


def look_at_the_room(driver: Driver, room: PeopleRoom, station: Station) -> None:
    """Profile, chart and due list, gone to by their keys."""
    for place, (title, kind) in enumerate(
        (("Profile", Profile), ("Record", RecordPart), ("Weak and strong", ChartPart), ("Due", DuePart)), 1
    ):  # fmt: skip
        driver.press(getattr(Qt.Key, f"Key_{place}"), Qt.KeyboardModifier.AltModifier)
        work_done(driver, room)
        part = room.parts[title]
        assert isinstance(part, kind)
        assert part.isVisible()
        if isinstance(part, DuePart) and part.tree.topLevelItemCount():
            part.tree.topLevelItem(0).setExpanded(True)  # type: ignore[union-attr]
        station.look(title.lower().replace(" ", "_"))
    driver.press(Qt.Key.Key_8, Qt.KeyboardModifier.AltModifier)
    station.look("handouts")


def print_what_is_next(driver: Driver, room: PeopleRoom, folder: Path, station: Station) -> None:
    """The day's plan as the front of the next handout, and a sheet of what was missed."""
    for key, title, kind, name in (
        (Qt.Key.Key_5, "Review page", ReviewPart, "Review page for M_K.pdf"),
        (Qt.Key.Key_6, "Plan", PlanPart, "Plan for M_K.pdf"),
        (Qt.Key.Key_7, "Make-up sheet", MakeUpPart, "Make-up sheet for M_K.pdf"),
    ):
        driver.press(key, Qt.KeyboardModifier.AltModifier)
        work_done(driver, room)
        part = room.parts[title]
        assert isinstance(part, kind)
        if isinstance(part, MakeUpPart):
            driver.qtbot.mouseClick(part.add, LEFT)
            work_done(driver, room)
        driver.qtbot.waitUntil(lambda part=part: part.drawn.is_finished, timeout=20000)  # type: ignore[misc]
        station.look(title.lower().replace(" ", "_"))
        driver.qtbot.mouseClick(part.print, LEFT, pos=QPoint(10, 10))
        driver.qtbot.waitUntil(lambda part=part: part._run is None, timeout=60000)  # type: ignore[misc]
        assert len(PdfReader(folder / name).pages) >= 1
