"""The strip of keys: dragged along, typed, for the lesson or for one drill, with how hard the drill is in each key."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from desktop.editing.key_button import KeyButton
from desktop.editing.keys import typed_key
from lessonkit.drills.difficulty import difficulty
from lessonkit.drills.setting import Setting
from lessonkit.lesson.lesson import Drill
from lessonkit.pages.flow import pages_of
from lessonkit.theory.key import MAJOR_KEYS, Key, Mode
from tests.desktop.conftest import BROKEN, Driver

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


def button(driver: Driver, key: str) -> KeyButton:
    return driver.notebook.desk.strip.button_of(Key.parse(key))


def drag(driver: Driver, *keys: str) -> list[Key]:
    """Press on the first key, draw over the others; answers the lesson's key at each."""
    first, passed = button(driver, keys[0]), []
    driver.qtbot.mousePress(first, LEFT, NONE, first.rect().center())
    passed.append(driver.lesson.key)
    for key in keys[1:]:
        over = button(driver, key)
        point = QPointF(first.mapFromGlobal(over.mapToGlobal(over.rect().center() + QPoint(0, 90))))
        move = QMouseEvent(QMouseEvent.Type.MouseMove, point, first.mapToGlobal(point), LEFT, LEFT, NONE)
        QApplication.sendEvent(first, move)
        passed.append(driver.lesson.key)
    driver.qtbot.mouseRelease(first, LEFT, NONE, first.rect().center())
    return passed


def test_a_drag_shows_each_key_as_it_passes_and_is_one_undo(driver: Driver) -> None:
    """The teacher hears and sees keys by sliding; taking it back leads to where the hand began."""
    assert drag(driver, "Bb", "F", "C", "G") == [Key.parse(key) for key in ("Bb", "F", "C", "G")]
    assert driver.notebook.open_lesson.undo_label == "Key of G major"
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)
    driver.control(Qt.Key.Key_Z)
    assert driver.lesson.key == Key.parse("Eb")


def test_two_drags_are_two_edits(driver: Driver) -> None:
    """Each is a wish of its own."""
    drag(driver, "Bb", "F")
    drag(driver, "C", "G")
    driver.control(Qt.Key.Key_Z)
    assert driver.lesson.key == Key.parse("F")


@pytest.mark.parametrize(
    ("typed", "mode", "key"),
    [("eb", Mode.MAJOR, "Eb"), ("F#", Mode.MAJOR, "F#"), ("c#m", Mode.MAJOR, "C#m"), ("b", Mode.MAJOR, "B")],
)
def test_a_key_is_read_as_it_is_typed(typed: str, mode: Mode, key: str) -> None:
    """Small letters and signs from any keyboard."""
    assert typed_key(typed, mode) == Key.parse(key)


def test_what_is_no_key_is_none() -> None:
    """H and a key of nine sharps are not on the strip."""
    assert typed_key("h", Mode.MAJOR) is None
    assert typed_key("G#", Mode.MAJOR) is None


def test_a_key_is_typed_on_the_strip(driver: Driver) -> None:
    """Ctrl+K, then its name."""
    driver.control(Qt.Key.Key_K)
    for letter in ("b", "b"):
        driver.type(letter)
    assert driver.lesson.key == Key.parse("Bb")
    driver.type("m")
    assert driver.lesson.key == Key.parse("Bbm")
    driver.type("g")
    assert driver.lesson.key == Key.parse("G")
    driver.control(Qt.Key.Key_Z)


def test_the_strip_chooses_the_key_of_one_drill(driver: Driver) -> None:
    """The lesson stays where it is; the next selection begins with the lesson again."""
    strip = driver.notebook.desk.strip
    assert strip.drill_button.isHidden()
    driver.click(BROKEN)
    driver.qtbot.mouseClick(strip.drill_button, LEFT)
    driver.qtbot.mouseClick(button(driver, "D"), LEFT)
    block = driver.lesson.block(BROKEN)
    assert isinstance(block, Drill)
    assert block.family.key == Key.parse("D")
    assert driver.lesson.key == Key.parse("Eb")
    assert button(driver, "D").isChecked()
    driver.click("ladder")
    assert button(driver, "Eb").isChecked()


def test_each_key_tells_how_hard_the_selected_drill_is_in_it(driver: Driver) -> None:
    """As the drill itself is judged in that key, and only while a drill is selected."""
    driver.click(BROKEN)
    driver.notebook.desk.strip.bands.finish()
    block = driver.lesson.block(BROKEN)
    assert isinstance(block, Drill)
    for key in MAJOR_KEYS:
        setting = Setting(key, hands=driver.lesson.house.hands)
        assert driver.notebook.desk.strip.button_of(key).band is difficulty(block.family, setting).band
    assert "the selected drill is" in button(driver, "D").accessibleDescription()
    driver.press(Qt.Key.Key_Escape)
    assert button(driver, "D").band is None


def test_bands_come_by_themselves_while_nobody_types(driver: Driver) -> None:
    """Key by key, after a pause."""
    driver.click(BROKEN)
    driver.qtbot.waitUntil(lambda: button(driver, "C").band is not None)


def turns(driver: Driver) -> list[str]:
    block = driver.lesson.block(BROKEN)
    assert isinstance(block, Drill)
    return [key.ascii for key in block.family.carried_keys(driver.lesson.setting)]


def begin_turns(driver: Driver) -> None:
    driver.click(BROKEN)
    driver.qtbot.mouseClick(driver.notebook.desk.strip.turns_button, LEFT)


def test_keys_are_clicked_one_after_another_for_a_drill_that_goes_through_them(driver: Driver) -> None:
    """In the order of the clicks, each numbered; another click takes a key away."""
    begin_turns(driver)
    for key in ("Eb", "Bb", "F", "C"):
        driver.qtbot.mouseClick(button(driver, key), LEFT)
    assert turns(driver) == ["Eb", "Bb", "F", "C"]
    assert [button(driver, key).turn for key in ("Eb", "Bb", "F", "C", "G")] == [1, 2, 3, 4, 0]
    assert [button(driver, key).isChecked() for key in ("Eb", "G")] == [True, False]
    driver.qtbot.mouseClick(button(driver, "Bb"), LEFT)
    assert turns(driver) == ["Eb", "F", "C"]
    assert "number 2 of the drill's keys" in button(driver, "F").accessibleDescription()
    driver.control(Qt.Key.Key_Z)
    assert turns(driver) == ["Eb", "Bb", "F", "C"]


def test_without_a_key_in_turn_the_drill_follows_the_lesson(driver: Driver) -> None:
    """What was clicked away leaves no empty list behind."""
    begin_turns(driver)
    driver.qtbot.mouseClick(button(driver, "A"), LEFT)
    assert turns(driver) == ["A"]
    driver.qtbot.mouseClick(button(driver, "A"), LEFT)
    assert turns(driver) == ["Eb"]


def test_keys_in_turn_are_typed(driver: Driver) -> None:
    """With commas between them, and are one step of undo; Backspace takes the last one away."""
    begin_turns(driver)
    button(driver, "C").setFocus()
    driver.type("eb, Bb, f#m")
    assert turns(driver) == ["Eb", "Bb", "F#m"]
    driver.press(Qt.Key.Key_Backspace)
    assert turns(driver) == ["Eb", "Bb"]
    driver.control(Qt.Key.Key_Z)
    driver.control(Qt.Key.Key_Z)
    assert turns(driver) == ["Eb"]


def test_keys_in_turn_are_chosen_by_the_keyboard(driver: Driver) -> None:
    """The space bar on a key is a click on it."""
    begin_turns(driver)
    for key in ("G", "D"):
        button(driver, key).setFocus()
        driver.press(Qt.Key.Key_Space)
    assert turns(driver) == ["G", "D"]


def test_keys_of_another_mode_join_the_list(driver: Driver) -> None:
    """The mode chooses which keys are offered; those that are listed stay."""
    begin_turns(driver)
    driver.qtbot.mouseClick(button(driver, "G"), LEFT)
    strip = driver.notebook.desk.strip
    strip._mode.setCurrentIndex(strip._mode.findData(Mode.MINOR))
    strip._mode.activated.emit(strip._mode.currentIndex())
    driver.qtbot.mouseClick(button(driver, "Em"), LEFT)
    assert turns(driver) == ["G", "Em"]
    assert driver.lesson.key == Key.parse("Eb")
