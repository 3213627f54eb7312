"""Help beside the pages: every action with its keys, a page for every drill, what is new; a part of the window."""

from __future__ import annotations

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QImage, QTextDocument
from PySide6.QtWidgets import QApplication

from desktop.actions import MENUS, Menu, Row
from desktop.helping.help_part import NEWS, HelpPart
from desktop.helping.listed_actions import listed_actions, plain_words
from lessonkit.drills.family import DrillFamily, families
from lessonkit.lesson.edits import set_key
from lessonkit.lesson.page_aid import page_aids
from lessonkit.theory.key import Key
from tests.desktop.conftest import BROKEN, FIRST_NOTE, LADDER, Driver

SHIFT = Qt.KeyboardModifier.ShiftModifier


def part(driver: Driver) -> HelpPart:
    found = driver.notebook.desk.helping.part
    assert found is not None
    return found


def picture(driver: Driver) -> QImage:
    image = part(driver).page.document().resource(QTextDocument.ResourceType.ImageResource, QUrl("picture"))
    assert isinstance(image, QImage)
    return image


def rows_of(menus: tuple[Menu, ...]) -> list[Row]:
    return [row for _, rows in menus for row in rows if isinstance(row, Row)]


def test_nothing_of_the_help_is_made_before_it_is_wanted(driver: Driver) -> None:
    """It would cost the start."""
    assert driver.notebook.desk.helping.part is None
    assert driver.notebook.desk.helping.place.isHidden()


def test_f1_on_a_drill_explains_its_family(driver: Driver) -> None:
    """What it is for, how it goes, a picture in the lesson's key, and every setting."""
    driver.click(BROKEN)
    driver.press(Qt.Key.Key_F1)
    help = part(driver)
    text, kind = help.page.toPlainText(), families()["broken-chords"]
    assert help.stack.currentWidget() is help.page
    assert text.startswith(kind.title)
    assert kind.about() in text
    for param in kind.declared().values():
        assert param.label in text
        assert param.help in text
    assert "E♭ major" in text
    assert not picture(driver).isNull()


def test_the_help_stands_beside_the_pages_and_stops_nothing(driver: Driver) -> None:
    """A teacher reads and sets at once; the shelf makes room and comes back."""
    driver.click(BROKEN)
    driver.press(Qt.Key.Key_F1)
    assert QApplication.activeModalWidget() is None
    assert QApplication.activePopupWidget() is None
    assert part(driver).isVisible()
    assert not driver.notebook.desk.shows_shelf
    driver.click(LADDER)
    assert driver.notebook.desk.selection.ids == (LADDER,)
    part(driver).search.setFocus()
    part(driver).shut()
    assert driver.notebook.desk.helping.place.isHidden()
    assert driver.notebook.desk.shows_shelf


def test_the_picture_follows_the_key(driver: Driver) -> None:
    """It is drawn by the program and not kept in a file."""
    driver.click(BROKEN)
    driver.press(Qt.Key.Key_F1)
    before = picture(driver)
    driver.notebook.open_lesson.edit("Key", set_key(driver.lesson, Key.parse("E")))
    assert picture(driver) != before
    assert "In E major" in part(driver).page.toPlainText()


def test_without_a_drill_f1_lists_everything(driver: Driver) -> None:
    """Actions of all rooms, drills and aids."""
    driver.click(FIRST_NOTE)
    driver.press(Qt.Key.Key_F1)
    help = part(driver)
    from desktop.people.people_menus import MENUS as OF_STUDENTS
    from desktop.plan.plan_menus import MENUS as OF_TERMS

    wanted = {plain_words(row.text) for menus in (MENUS, OF_STUDENTS, OF_TERMS) for row in rows_of(menus)}
    wanted |= {kind.title for kind in families().values()} | {kind.title for kind in page_aids().values()}
    driver.qtbot.waitUntil(lambda: wanted <= set(help.topics))


def test_every_action_with_keys_tells_them() -> None:
    """The list is made from the table, so that a key that changes there changes here."""
    rows = rows_of(MENUS)
    listed = list(listed_actions(MENUS))
    assert [one.name for one in listed] == [row.name for row in rows]
    assert all(one.keys for one, row in zip(listed, rows, strict=True) if row.keys)
    keys = {one.name: one.keys for one in listed}
    assert (keys["save"], keys["play"], keys["key"], keys["help"]) == ("Ctrl+S", "Space", "Ctrl+K", "F1")


def test_the_list_is_searched_by_words_and_by_keys(driver: Driver) -> None:
    """A teacher knows one or the other."""
    driver.press(Qt.Key.Key_F1, SHIFT)
    driver.type("inversions")
    assert "Broken chords" in part(driver).topics
    part(driver).search.setText("ctrl+k")
    assert part(driver).topics == ["Choose the key"]
    part(driver).search.setText("zzz")
    assert part(driver).topics == []


def test_enter_does_the_action_and_a_click_does_not(driver: Driver) -> None:
    """To look something up must never change a lesson."""
    driver.click(BROKEN)
    driver.press(Qt.Key.Key_F1, SHIFT)
    driver.type("duplicate")
    help, count = part(driver), len(driver.lesson.blocks)
    item = help.list.currentItem()
    assert item is not None
    at = help.list.visualItemRect(item).center()
    driver.qtbot.mouseClick(help.list.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert len(driver.lesson.blocks) == count
    help.search.setFocus()
    driver.press(Qt.Key.Key_Return)
    assert len(driver.lesson.blocks) == count + 1


def test_an_action_that_is_not_possible_gets_a_sentence(driver: Driver) -> None:
    """Nothing happens silently."""
    driver.notebook.desk.selection.clear()
    driver.press(Qt.Key.Key_F1, SHIFT)
    driver.type("edit fingers")
    driver.press(Qt.Key.Key_Return)
    assert "cannot be done" in driver.notebook.desk.messages.sentence


def test_escape_goes_back_to_the_list_and_then_away(driver: Driver) -> None:
    """One step at a time, by the keyboard alone."""
    driver.click(BROKEN)
    driver.press(Qt.Key.Key_F1)
    driver.press(Qt.Key.Key_Escape)
    assert part(driver).stack.currentWidget() is part(driver).list
    driver.press(Qt.Key.Key_Escape)
    assert driver.notebook.desk.helping.place.isHidden()


def test_the_news_are_told(driver: Driver) -> None:
    """In the teacher's words, from a file that is written as the work goes on."""
    driver.notebook.desk.helping.tell_news()
    first = next(line for line in NEWS.read_text("utf-8").splitlines() if line.startswith("- "))
    assert first.removeprefix("- ").replace("**", "") in part(driver).page.toPlainText()


def test_every_family_and_aid_has_a_page(driver: Driver) -> None:
    """A new one is explained the day it appears, a drill with a picture."""
    driver.notebook.desk.helping.list_actions()
    for kind in (*families().values(), *page_aids().values()):
        part(driver).show_kind(kind)
        assert kind.about() in part(driver).page.toPlainText()
        if issubclass(kind, DrillFamily):
            assert picture(driver).height() > 60, kind.title
