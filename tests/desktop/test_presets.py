"""The teacher's own presets on the shelf: kept, renamed, deleted, brought back."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QLineEdit, QListWidget, QMenu, QPushButton

from desktop.memory import presets_file
from lessonkit.storage.preset_file import read_presets
from tests.desktop.conftest import FIRST_NOTE, Driver, small_lesson


def preset_on_shelf(driver: Driver) -> QListWidget:
    """The shelf with one preset, which has the keys."""
    driver.click(FIRST_NOTE)
    driver.notebook.desk.keep_preset()
    shelf = driver.notebook.desk.shelf
    shelf.search.setText("My presets")
    shelf.list.setCurrentRow(1)
    shelf.list.setFocus()
    return shelf.list


def test_a_preset_is_renamed_in_its_place(driver: Driver) -> None:
    """Three notes called Note are of no use; the name counts at once and stays in the file."""
    shelf = preset_on_shelf(driver)
    driver.qtbot.keyClick(shelf, Qt.Key.Key_F2)
    assert driver.notebook.desk.writing.box is None, "on a preset F2 is the shelf's key"
    editor = shelf.findChild(QLineEdit)
    driver.qtbot.keyClicks(editor, "Words to begin with")
    driver.qtbot.keyClick(editor, Qt.Key.Key_Return)
    driver.qtbot.waitUntil(lambda: driver.notebook.desk.entries[-1].title == "Words to begin with")
    assert [one.name for one in read_presets(presets_file())] == ["Words to begin with"]


def test_two_presets_of_one_name_are_refused(driver: Driver) -> None:
    """One would take the other's place."""
    shelf = preset_on_shelf(driver)
    driver.notebook.desk.keep_preset()
    driver.notebook.desk.presets.rename("Note 2", "note")
    assert "already" in driver.notebook.desk.messages.sentence
    driver.notebook.desk.presets.rename("Note 2", "   ")
    assert "needs a name" in driver.notebook.desk.messages.sentence
    assert [one.name for one in read_presets(presets_file())] == ["Note", "Note 2"]
    assert shelf.count() == 3


def test_a_preset_is_deleted_and_brought_back(driver: Driver) -> None:
    """Deleting is no accident that cannot be mended."""
    shelf = preset_on_shelf(driver)
    driver.qtbot.keyClick(shelf, Qt.Key.Key_Delete)
    assert driver.lesson == small_lesson(), "the selected block stays"
    assert read_presets(presets_file()) == ()
    button = next(
        one for one in driver.notebook.desk.messages.findChildren(QPushButton) if one.text() == "Bring it back"
    )
    driver.qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert [one.name for one in read_presets(presets_file())] == ["Note"]


def test_the_dots_of_a_preset_open_its_menu(driver: Driver) -> None:
    """What can be done with a preset is found with the mouse alone; the rest of its row puts it in."""
    shelf = preset_on_shelf(driver)
    row = shelf.visualItemRect(shelf.item(1))
    driver.qtbot.mouseClick(
        shelf.viewport(),
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
        row.center() + QPoint(row.width() // 2 - 12, 0),
    )
    menu = driver.notebook.desk.shelf.findChild(QMenu, "presetMenu")
    assert [action.text() for action in menu.actions()] == ["&Rename", "&Delete"]
    assert driver.lesson == small_lesson()
    menu.close()
