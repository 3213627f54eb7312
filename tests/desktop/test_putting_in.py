"""The palette where the caret is: found by words, settings said in the search, live pictures, a note parted in two."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from desktop.editing.fitting import found
from desktop.editing.insertable import insertables
from desktop.editing.palette import Palette
from lessonkit.drills.choices import Hands
from lessonkit.lesson.lesson import Drill, Note
from lessonkit.theory.key import Key
from tests.desktop.conftest import BROKEN, FIRST_NOTE, Driver

LEFT = Qt.MouseButton.LeftButton


def opened(driver: Driver) -> Palette:
    """The palette, opened by its key."""
    driver.settle()
    driver.control(Qt.Key.Key_Return)
    palette = driver.notebook.desk.putting_in.palette
    assert palette is not None
    assert palette.search.hasFocus()
    return palette


def drill_of(search: str, title: str) -> Drill:
    entry = next(entry for entry in found(tuple(insertables()), search) if entry.title == title)
    block = entry.make()
    assert isinstance(block, Drill)
    return block


@pytest.mark.parametrize(
    ("search", "title"),
    [("ii V", "Two–five–one chains"), ("inversion", "Broken chords"), ("left hand", "Shell voicings")],
)
def test_drills_are_found_by_the_words_of_the_trade(search: str, title: str) -> None:
    """A teacher thinks in what is played, not in what a family is called."""
    assert title in [entry.title for entry in found(tuple(insertables()), search)]


def test_a_search_says_settings_too(driver: Driver) -> None:
    """Whoever looks for broken chords in the left hand wants them there."""
    family = drill_of("broken left hand", "Broken chords").family
    assert family.hands is Hands.LEFT
    family = drill_of("broken chords minor seventh", "Broken chords").family
    assert family.quality.words == "minor seventh"  # type: ignore[attr-defined]
    assert drill_of("broken", "Broken chords").family.hands is Hands.RIGHT


def test_a_note_is_parted_where_the_caret_is(driver: Driver) -> None:
    """What stands behind the caret stands behind the drill."""
    driver.click(FIRST_NOTE)
    driver.press(Qt.Key.Key_Return)
    driver.press(Qt.Key.Key_Home)
    for _ in "The":
        driver.press(Qt.Key.Key_Right)
    opened(driver)
    driver.type("jump")
    driver.press(Qt.Key.Key_Return)
    before, drill, after = driver.lesson.blocks[1:4]
    assert isinstance(before, Note)
    assert isinstance(drill, Drill)
    assert isinstance(after, Note)
    assert (before.text, drill.family.code, after.text) == ("The", "chord-jumps", " chord is {IVmaj7} today.")
    assert driver.notebook.desk.selection.ids == (drill.id,)
    driver.control(Qt.Key.Key_Z)
    assert driver.lesson.block(FIRST_NOTE) == Note("The chord is {IVmaj7} today.", FIRST_NOTE)


def test_at_the_end_of_a_note_nothing_is_parted(driver: Driver) -> None:
    """The common case: one has written, and a drill comes next."""
    driver.click(FIRST_NOTE)
    driver.press(Qt.Key.Key_Return)
    opened(driver)
    driver.type("broken left")
    driver.press(Qt.Key.Key_Return)
    assert driver.lesson.block(FIRST_NOTE) == Note("The chord is {IVmaj7} today.", FIRST_NOTE)
    block = driver.lesson.blocks[2]
    assert isinstance(block, Drill)
    assert block.family.hands is Hands.LEFT


def test_escape_goes_back_to_the_caret(driver: Driver) -> None:
    """Nothing is lost by looking."""
    driver.click(FIRST_NOTE)
    driver.press(Qt.Key.Key_Return)
    driver.press(Qt.Key.Key_Home)
    palette = opened(driver)
    driver.press(Qt.Key.Key_Escape)
    assert palette.isHidden()
    driver.type("So ")
    assert driver.lesson.block(FIRST_NOTE) == Note("So The chord is {IVmaj7} today.", FIRST_NOTE)


def test_an_entry_is_chosen_by_the_mouse_behind_the_selection(driver: Driver) -> None:
    """Without a caret it comes behind what is selected."""
    driver.click(BROKEN)
    palette = opened(driver)
    driver.type("stride")
    item = palette.list.item(0)
    driver.qtbot.mouseClick(palette.list.viewport(), LEFT, pos=palette.list.visualItemRect(item).center())
    block = driver.lesson.blocks[3]
    assert isinstance(block, Drill)
    assert block.family.code == "stride"


def test_a_new_note_from_the_palette_is_written_at_once(driver: Driver) -> None:
    """As from the shelf."""
    driver.click(BROKEN)
    opened(driver)
    driver.type("note")
    driver.press(Qt.Key.Key_Return)
    driver.type("Slowly.")
    assert Note("Slowly.", driver.lesson.blocks[3].id) == driver.lesson.blocks[3]


def test_pictures_are_drawn_when_they_are_seen_and_kept(driver: Driver) -> None:
    """In the lesson's key, one at a time, and not again for the same key."""
    palette = opened(driver)
    driver.type("jump")
    driver.window.grab()
    entry = palette.shown[0]
    palette.pictures.finish()
    picture = palette.pictures.picture(entry, 1.0)
    assert picture is not None
    assert palette.pictures.picture(entry, 1.0) is picture
    driver.notebook.open_lesson.edit("Key", _in_key(driver, "D"))
    assert palette.pictures.picture(entry, 1.0) is None
    palette.pictures.finish()
    other = palette.pictures.picture(entry, 1.0)
    assert other is not None
    assert other.toImage() != picture.toImage()


def test_a_search_that_nothing_answers_says_so(driver: Driver) -> None:
    """Enter then puts nothing in."""
    driver.click(BROKEN)
    palette = opened(driver)
    before = driver.lesson
    driver.type("qqq")
    assert palette.shown == ()
    driver.press(Qt.Key.Key_Return)
    assert driver.lesson == before


def _in_key(driver: Driver, key: str):  # type: ignore[no-untyped-def]
    from lessonkit.lesson.edits import set_key

    return set_key(driver.lesson, Key.parse(key))
