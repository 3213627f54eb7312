"""Finding words, going to places, two pages at once, larger words."""

from __future__ import annotations

import pytest
import shiboken6
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desktop.looking.find_bar import FindBar
from desktop.looking.go_to import GoTo
from desktop.memory import Memory
from desktop.open_lesson import OpenLesson
from desktop.preview.drawn_pages import DrawnPages
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from desktop.theme import LIGHT, apply_theme
from lessonkit.drills.family import families
from lessonkit.lesson.lesson import Drill, Lesson, Note
from tests.desktop.conftest import FIRST_NOTE, LADDER, OPENING, Driver

LEFT = Qt.MouseButton.LeftButton


def bar(driver: Driver) -> FindBar:
    driver.control(Qt.Key.Key_F)
    found = driver.notebook.desk.looking.bar
    assert found is not None
    assert found.words.hasFocus()
    return found


def outline(driver: Driver) -> GoTo:
    driver.control(Qt.Key.Key_G)
    found = driver.notebook.desk.looking.outline
    assert found is not None
    return found


def test_words_are_found_one_after_the_other(driver: Driver) -> None:
    """Enter goes on, Shift+Enter back, and the place is told with what stands around it."""
    find = bar(driver)
    driver.type("the chord")
    assert find.told.text().startswith("1 of 1: The chord is {IVmaj7}")
    assert driver.notebook.desk.selection.ids == (FIRST_NOTE,)
    find.words.clear()
    driver.type("g")
    first = find.told.text()
    driver.press(Qt.Key.Key_Return)
    assert find.told.text() != first
    driver.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)
    assert find.told.text() == first


def test_escape_writes_where_the_words_are(driver: Driver) -> None:
    """They are selected, so that typing replaces them."""
    bar(driver)
    driver.type("today")
    driver.press(Qt.Key.Key_Escape)
    driver.type("tonight")
    assert driver.lesson.block(FIRST_NOTE) == Note("The chord is {IVmaj7} tonight.", FIRST_NOTE)


def test_words_are_replaced_singly_and_all_at_once(driver: Driver) -> None:
    """Each is one undo."""
    find = bar(driver)
    driver.type("o")
    count = len(find._found)
    find.others.setFocus()
    driver.type("0")
    driver.press(Qt.Key.Key_Return)
    assert len(find._found) == count - 1
    driver.qtbot.mouseClick(find.all, LEFT)
    assert "o" not in driver.lesson.title + driver.lesson.aims
    assert driver.lesson.block("last") == Note("G00dbye.", "last")
    assert driver.notebook.open_lesson.undo_label == "Replace words"
    driver.notebook.open_lesson.undo()
    driver.notebook.open_lesson.undo()
    assert driver.lesson.block("last") == Note("Goodbye.", "last")


def test_words_that_are_nowhere_say_so(driver: Driver) -> None:
    """And nothing can be replaced."""
    find = bar(driver)
    driver.type("xyz")
    assert find.told.text() == "Nothing found"
    assert not find.all.isEnabled()


def test_the_outline_goes_to_headings_drills_and_pages(driver: Driver) -> None:
    """By words or by number."""
    places = outline(driver)
    assert [place.block_id for place in places.shown] == [OPENING, "broken", LADDER]
    driver.type("seventh")
    driver.press(Qt.Key.Key_Escape)
    places = outline(driver)
    driver.type("2")
    assert places.shown[0].words == "Page 2"
    driver.press(Qt.Key.Key_Return)
    assert driver.notebook.desk.view.page_number == 2
    places = outline(driver)
    driver.type("begin")
    driver.press(Qt.Key.Key_Return)
    assert driver.notebook.desk.selection.ids == (OPENING,)


def test_two_pages_stand_side_by_side(driver: Driver) -> None:
    """Where they would not by themselves, at the zoom at which both fit; and back again."""
    view = driver.notebook.desk.view
    assert view.page_layout.columns == 1
    driver.control(Qt.Key.Key_8)
    assert view.page_layout.columns == 2
    first, second = view.page_layout.page_boxes[:2]
    assert first.top == second.top
    assert second.right <= view.viewport().width()
    driver.control(Qt.Key.Key_8)
    assert view.page_layout.columns == 1


def test_the_windows_words_grow(driver: Driver) -> None:
    """All of them, and remembered."""
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    before = application.font().pointSizeF()
    for size in (120, 150, 200):
        driver.notebook.actions_table[f"words_{size}"].trigger()
        assert application.font().pointSizeF() == pytest.approx(before * size / 100)
        assert driver.notebook.actions_table[f"words_{size}"].isChecked()
        assert Memory().larger == size / 100
    driver.notebook.actions_table["words_100"].trigger()
    assert application.font().pointSizeF() == before
    apply_theme(application, LIGHT)


def test_drawing_ends_with_the_desk(qtbot: QtBot) -> None:
    """A desk that goes while much is to be drawn leaves no drawing behind that asks it what is seen."""
    drills = tuple(Drill(kind()) for kind in list(families().values())[:20])
    open_lesson = OpenLesson(Lesson(blocks=drills))
    drawn = DrawnPages(open_lesson)
    view = PagesView(open_lesson, Selection(open_lesson), drawn)
    view.show()
    assert not drawn.is_finished
    with qtbot.captureExceptions() as caught:
        shiboken6.delete(view)
        qtbot.wait(50)
    assert not caught
    assert not shiboken6.isValid(drawn)
