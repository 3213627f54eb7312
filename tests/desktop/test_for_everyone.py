"""The window for those who see little, see nothing or use no mouse: names, roles, focus that shows, and its order."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractScrollArea,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QTextEdit,
    QWidget,
)

from desktop.people.people_room import PARTS as OF_STUDENTS
from desktop.people.people_room import PeopleRoom
from desktop.plan.plan_room import PARTS as OF_TERMS
from desktop.plan.plan_room import PlanRoom
from desktop.rooms import STUDENTS, TERMS
from desktop.spoken import spoken
from tests.desktop.conftest import BROKEN, FIRST_NOTE, Driver

SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
CONTROLS = (QAbstractButton, QComboBox, QAbstractSpinBox, QLineEdit, QPlainTextEdit, QTextEdit, QAbstractItemView)


def controls(window: QWidget) -> Iterator[QWidget]:
    """What can be used of a window now, without the parts that Qt puts into a control and speaks for."""
    for widget in window.findChildren(QWidget):
        inner = isinstance(widget.parent(), QComboBox | QAbstractSpinBox | QLineEdit | QAbstractItemView)
        if widget.isVisible() and not inner and not widget.objectName().startswith("qt_"):
            can_focus = widget.focusPolicy() & Qt.FocusPolicy.TabFocus and not isinstance(widget, QAbstractScrollArea)
            if isinstance(widget, CONTROLS) or can_focus:
                yield widget


def silent(window: QWidget) -> list[str]:
    """The controls that a screen reader cannot name, or of which it cannot say what they are."""
    found = []
    for widget in controls(window):
        told = QAccessible.queryAccessibleInterface(widget)
        name = told.text(QAccessible.Text.Name) if told is not None else ""
        if told is None or not name.strip() or told.role() is QAccessible.Role.NoRole:
            found.append(f"{type(widget).__name__} {widget.objectName()} in {type(widget.parent()).__name__}")
    return found


def test_every_control_of_the_lessons_room_says_its_name_and_what_it_is(driver: Driver) -> None:
    """With every kind of block selected, with help, find, palette, outline, steps and controls for playing open."""
    desk = driver.notebook.desk
    for block in driver.lesson.blocks:
        desk.selection.select(block.id)
        assert silent(driver.window) == []
    desk.hands.unfold()
    desk.looking.find()
    desk.helping.list_actions()
    desk.listening._unfold()
    driver.qtbot.wait(20)
    assert silent(driver.window) == []
    for opened in (desk.helping.explain, desk.looking.go_to, desk.looking.steps, desk.put_in):
        opened()
        assert silent(driver.window) == []


def test_every_control_of_the_other_rooms_says_its_name_and_what_it_is(driver: Driver, tmp_path: Path) -> None:
    """In each part of a student and of a term."""
    for name in ("m_k.student", "twelve_keys.term", "three_chords_make_a_home.lesson", "broken_chords.lesson"):
        shutil.copy(SAMPLES / name, tmp_path / name)
    driver.notebook._memory.students_folder = tmp_path
    driver.notebook._memory.term = tmp_path / "twelve_keys.term"
    rooms = driver.notebook.rooms
    assert rooms is not None
    driver.notebook.enter(STUDENTS)
    driver.qtbot.waitUntil(lambda: rooms.current == STUDENTS, timeout=60000)
    people = rooms.made(STUDENTS)
    assert isinstance(people, PeopleRoom)
    driver.qtbot.waitUntil(lambda: people.studio.is_read, timeout=60000)
    for title, _ in OF_STUDENTS:
        people.show_part(title)
        driver.qtbot.waitUntil(lambda: people.studio.aside.waiting == 0, timeout=60000)
        assert silent(driver.window) == [], title
    driver.notebook.enter(TERMS)
    driver.qtbot.waitUntil(lambda: rooms.current == TERMS, timeout=60000)
    plan = rooms.made(TERMS)
    assert isinstance(plan, PlanRoom)
    driver.qtbot.waitUntil(lambda: plan.beside.is_read and plan.counting.is_judged, timeout=60000)
    for title, _ in OF_TERMS:
        plan.show_part(title)
        driver.qtbot.wait(20)
        assert silent(driver.window) == [], title
    driver.notebook.plan.close()


def test_each_block_is_spoken_when_it_is_selected(driver: Driver) -> None:
    """What is on the page reaches whoever cannot see it."""
    for block in driver.lesson.blocks:
        driver.notebook.desk.selection.select(block.id)
        words = spoken(block, driver.lesson.setting)
        assert words
        told = QAccessible.queryAccessibleInterface(driver.notebook.desk.view)
        assert told is not None
        assert told.text(QAccessible.Text.Description) == words


def in_tab_order(driver: Driver) -> list[QWidget]:
    """What Tab goes through from the strip of keys until it comes back, by the keys that are pressed."""
    driver.notebook.desk.strip.focus_key()
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    first, found = application.focusWidget(), []
    assert first is not None
    widget: QWidget | None = first
    while widget is not None and widget not in found and len(found) < 400:
        found.append(widget)
        driver.qtbot.keyClick(widget, Qt.Key.Key_Tab)
        widget = application.focusWidget()
    assert widget is first
    return found


@pytest.mark.parametrize("block", ["", BROKEN, FIRST_NOTE])
def test_tab_goes_through_all_panes_from_left_to_right_and_comes_back(driver: Driver, block: str) -> None:
    """Strip, shelf, pages, settings, keyboard: as they are read, and nobody is caught in one."""
    desk = driver.notebook.desk
    if block:
        desk.selection.select(block)
    driver.qtbot.wait(20)
    panes: list[QWidget] = [desk.strip, desk.shelf, desk.view, desk.panel]
    passed = [
        place for widget in in_tab_order(driver) for place, pane in enumerate(panes)
        if pane is widget or pane.isAncestorOf(widget)
    ]  # fmt: skip
    # The strip is entered in its midst and left off where it began.
    inside = [place for place in passed if place]
    assert set(passed) == {0, 1, 2, 3}
    assert inside == sorted(inside)


def test_the_focus_shows_wherever_it_is(driver: Driver) -> None:
    """A control looks another way while the keys go to it (Web Content Accessibility Guidelines 2.1, 2.4.7)."""
    driver.notebook.desk.selection.select(BROKEN)
    driver.notebook.desk.helping.list_actions()
    driver.qtbot.wait(50)
    unseen = []
    for widget in in_tab_order(driver):
        # A blinking caret shows where one types; here it may be in its dark half.
        if not widget.isVisible() or isinstance(widget, QLineEdit | QPlainTextEdit | QTextEdit | QAbstractSpinBox):
            continue
        widget.setFocus(Qt.FocusReason.TabFocusReason)
        QApplication.processEvents()
        focused = widget.grab().toImage()
        widget.clearFocus()
        QApplication.processEvents()
        if widget.grab().toImage() == focused:
            unseen.append(f"{type(widget).__name__} {widget.objectName()} {widget.accessibleName()}")
    assert unseen == []
