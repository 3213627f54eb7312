"""The rooms of the window and the way from one to the other."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from desktop.rooms import LESSONS, STUDENTS, TERMS, Rooms
from tests.desktop.conftest import BROKEN, Driver


def test_a_room_is_made_when_it_is_first_entered(qtbot: QtBot) -> None:
    """Whoever writes lessons only never waits for the other rooms."""
    made: list[str] = []

    def make() -> QLabel:
        made.append(STUDENTS)
        return QLabel("students")

    rooms = Rooms(QLabel("lessons"), {STUDENTS: (("json",), make)})
    qtbot.addWidget(rooms)
    assert made == []
    with qtbot.waitSignal(rooms.entered):
        rooms.go(STUDENTS)
    rooms.go(LESSONS)
    rooms.go(STUDENTS)
    assert made == [STUDENTS]
    assert rooms.current == STUDENTS


def test_only_rooms_that_can_be_made_have_a_button(qtbot: QtBot) -> None:
    """A button that leads nowhere is worse than none."""
    rooms = Rooms(QLabel("lessons"), {STUDENTS: ((), lambda: QLabel("students"))})
    qtbot.addWidget(rooms)
    assert rooms.names == (LESSONS, STUDENTS)
    with pytest.raises(ValueError, match=TERMS):
        rooms.row.button_of(TERMS)


def test_the_lessons_room_keeps_its_commands_to_itself(driver: Driver) -> None:
    """Delete pressed in another room must never take a block out of the lesson behind it."""
    table = driver.notebook.actions_table
    driver.click(BROKEN)
    rooms = driver.notebook.rooms
    assert rooms is not None
    rooms.current = STUDENTS
    table.refresh()
    assert not table["delete"].isEnabled()
    assert not table["undo"].isEnabled()
    assert table["quit"].isEnabled()
    driver.press(Qt.Key.Key_Delete)
    assert driver.lesson.block(BROKEN)
    rooms.current = LESSONS
    table.refresh()
    assert table["delete"].isEnabled()
