"""The form: numbers drawn by their words, marks where a block departs from the usual or the lesson, and ways back."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QLabel

from desktop.forms.row import Row
from desktop.forms.scrub_label import PIXELS_A_STEP, ScrubLabel
from lessonkit.drills.family import DrillFamily
from lessonkit.lesson.lesson import Drill
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from tests.desktop.conftest import BROKEN, FIRST_NOTE, Driver

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


def row(driver: Driver, name: str) -> Row:
    found: Row = driver.notebook.desk.panel.form.rows[name]  # type: ignore[attr-defined]
    return found


def family(driver: Driver, block_id: str = BROKEN) -> DrillFamily:
    block = driver.lesson.block(block_id)
    assert isinstance(block, Drill)
    return block.family


def draw(driver: Driver, name: str, steps: int) -> None:
    """Draw the words of a row so many steps to the right, one after the other."""
    words = row(driver, name).findChild(ScrubLabel)
    start = QPoint(10, 8)
    driver.qtbot.mousePress(words, LEFT, NONE, start)
    way = 1 if steps > 0 else -1
    for step in range(1, abs(steps) + 1):
        driver.qtbot.mouseMove(words, start + QPoint(way * step * PIXELS_A_STEP, 0))
    driver.qtbot.mouseRelease(words, LEFT, NONE, start)


def test_a_number_is_drawn_by_its_words_and_is_one_undo(driver: Driver) -> None:
    """The page follows under the hand; one wish is one step back."""
    driver.click(BROKEN)
    draw(driver, "octaves", 2)
    assert family(driver).octaves == 4
    draw(driver, "octaves", -1)
    assert family(driver).octaves == 3
    driver.control(Qt.Key.Key_Z)
    assert family(driver).octaves == 4
    driver.control(Qt.Key.Key_Z)
    assert family(driver).octaves == 2


def test_a_number_is_drawn_no_further_than_it_goes(driver: Driver) -> None:
    """The ends of the setting hold."""
    driver.click(BROKEN)
    draw(driver, "octaves", 9)
    assert family(driver).octaves == 4


def test_a_pitch_is_drawn_by_semitones(driver: Driver) -> None:
    """As with Up and Down in the field."""
    driver.click(BROKEN)
    driver.notebook.desk.panel.finish()
    lowest = family(driver).lowest
    draw(driver, "lowest", 2)
    assert family(driver).lowest.midi == lowest.midi + 2
    assert isinstance(family(driver).lowest, Pitch)


def test_a_block_that_departs_is_marked_and_reset(driver: Driver) -> None:
    """What was chosen here can be told from what is usual, and goes back at one click."""
    driver.click(BROKEN)
    assert not row(driver, "octaves").departs
    draw(driver, "octaves", 1)
    assert row(driver, "octaves").departs
    assert row(driver, "octaves").reset.toolTip() == "As usual again"
    driver.qtbot.mouseClick(row(driver, "octaves").reset, LEFT)
    assert family(driver).octaves == 2
    assert not row(driver, "octaves").departs
    driver.control(Qt.Key.Key_Z)
    assert family(driver).octaves == 3


def test_a_key_of_its_own_goes_back_to_the_lessons(driver: Driver) -> None:
    """An inherited setting says whom it follows."""
    driver.click(BROKEN)
    strip = driver.notebook.desk.strip
    driver.qtbot.mouseClick(strip.drill_button, LEFT)
    driver.qtbot.mouseClick(strip.button_of(Key.parse("D")), LEFT)
    assert row(driver, "key").departs
    assert row(driver, "key").reset.toolTip() == "The same as the lesson again"
    driver.qtbot.mouseClick(row(driver, "key").reset, LEFT)
    assert family(driver).key is None


def test_all_settings_are_reset_at_once(driver: Driver) -> None:
    """One edit, named by the drill; where nothing departs it is not offered."""
    action = driver.notebook.actions_table["reset"]
    driver.click(BROKEN)
    assert not action.isEnabled()
    draw(driver, "octaves", 1)
    draw(driver, "inversion", 1)
    assert action.isEnabled()
    action.trigger()
    assert family(driver) == type(family(driver))()
    assert driver.notebook.open_lesson.undo_label == "Reset broken chords"
    driver.click(FIRST_NOTE)
    assert not action.isEnabled()


def test_the_words_of_a_choice_are_no_handle(driver: Driver) -> None:
    """Only what has a next value is drawn."""
    driver.click(BROKEN)
    driver.notebook.desk.panel.finish()
    assert row(driver, "hands").findChild(ScrubLabel) is None
    assert row(driver, "hands").findChild(QLabel) is not None
