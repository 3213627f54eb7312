"""The keyboard along the bottom edge: it steps through the selected drill, names keys and folds away."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt

from desktop.keyboard.keys_painter import key_at, key_rects
from lessonkit.drills.family import family
from lessonkit.drills.moments import moments
from lessonkit.lesson.edits import set_drill_setting
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.pages.blocks import built
from tests.desktop.conftest import BROKEN, LADDER, Driver

LEFT = Qt.MouseButton.LeftButton


def keys_now(driver: Driver) -> list[str]:
    moment = driver.notebook.desk.keyboard.moment
    return [] if moment is None else [str(down.pitch) for down in moment.keys if down.is_struck]


def test_the_arrows_step_through_the_selected_drill(driver: Driver) -> None:
    """Note by note, as it is written, to the end and back."""
    driver.click(BROKEN)
    keyboard = driver.notebook.desk.keyboard
    block = driver.lesson.block(BROKEN)
    assert isinstance(block, Drill)
    all_moments = moments(built(block.family, driver.lesson.setting))  # type: ignore[arg-type]
    keyboard.keys.setFocus()
    driver.press(Qt.Key.Key_Right)
    for moment in all_moments:
        assert keys_now(driver) == [str(down.pitch) for down in moment.keys if down.is_struck]
        driver.press(Qt.Key.Key_Right)
    assert keyboard.moment == all_moments[-1]
    driver.press(Qt.Key.Key_Home)
    assert keyboard.moment == all_moments[0]
    assert keyboard.words.startswith("Bar 1, beat 1  ·  E♭maj7")


def test_the_notes_of_the_moment_are_marked_on_the_page(driver: Driver) -> None:
    """Only once somebody steps, and within the drill's own place."""
    driver.click(LADDER)
    desk = driver.notebook.desk
    assert desk.moment_marks.boxes(desk.view.page_layout) == []
    driver.qtbot.mouseClick(desk.keyboard.on, LEFT)
    boxes = desk.moment_marks.boxes(desk.view.page_layout)
    assert len(boxes) == len(keys_now(driver)) > 0
    block = desk.view.page_layout.first_box(LADDER)
    assert block is not None
    assert all(block.left < box.center().x() < block.right and box.top() > block.top for box in boxes)


def test_a_clicked_key_tells_its_name_and_degree(driver: Driver) -> None:
    """In the chord and in the key of that moment."""
    driver.click(BROKEN)
    keys = driver.notebook.desk.keyboard.keys
    left, top, width, height = keys.rect_of(70)
    driver.qtbot.mouseClick(keys, LEFT, pos=QPoint(int(left + width / 2), int(top + height / 2)))
    assert driver.notebook.desk.keyboard.words == "B♭: 5 of E♭maj7, degree 5 of E♭ major"
    driver.press(Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    assert driver.notebook.desk.keyboard.words.startswith("Bar 1")


def test_without_a_drill_the_keyboard_says_what_it_is_for(driver: Driver) -> None:
    """An empty keyboard explains itself."""
    driver.press(Qt.Key.Key_Escape)
    assert "Select a drill" in driver.notebook.desk.keyboard.words


def test_the_keyboard_follows_an_edit_and_stays_at_its_step(driver: Driver) -> None:
    """A changed setting shows at once in the same place."""
    driver.click(BROKEN)
    driver.notebook.desk.keyboard.go_to(4)
    driver.notebook.open_lesson.edit("Octaves", set_drill_setting(driver.lesson, BROKEN, "octaves", 3))
    assert "step 5 of" in driver.notebook.desk.keyboard.words


def test_the_keyboard_folds_away_and_stays_folded(driver: Driver) -> None:
    """At the next start too."""
    driver.press(Qt.Key.Key_F10)
    assert driver.notebook.desk.keyboard.isHidden()
    assert not driver.notebook.desk.shows_keyboard
    driver.press(Qt.Key.Key_F10)
    assert not driver.notebook.desk.keyboard.isHidden()


def test_black_keys_lie_above_white_ones() -> None:
    """A click where both are means the black one; below it the white one. 88 keys from A0 to C8."""
    rects = key_rects(1200.0, 72.0)
    assert len(rects) == 88
    black = rects[61].center()
    assert key_at(black, rects) == 61
    assert key_at(rects[60].center() + QPoint(0, 30), rects) == 60
    assert min(rect.left() for rect in rects.values()) > -0.1
    assert max(rect.right() for rect in rects.values()) <= 1200.1


def test_what_the_student_is_to_find_is_not_shown(driver: Driver) -> None:
    """A drill by ear shows no key, in words neither, until the answers are shown; then it shows all."""
    ear = Drill(family("by-ear")(), id="ear")
    driver.notebook.open_lesson.open(Lesson(blocks=(ear,)), None)
    driver.settle()
    driver.click("ear")
    keyboard = driver.notebook.desk.keyboard
    keyboard.keys.setFocus()
    for _ in range(3):
        driver.press(Qt.Key.Key_Right)
        assert keyboard.down == ()
        assert "♭" not in keyboard.words
        assert "to be found" in keyboard.words
    assert not keyboard.used
    keyboard.tell(60)
    assert "degree" not in keyboard.words
    driver.press(Qt.Key.Key_F8)
    driver.settle()
    assert keyboard.down
    assert keyboard.used
    driver.press(Qt.Key.Key_F8)
    assert keyboard.down == ()
