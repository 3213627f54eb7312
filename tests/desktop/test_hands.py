"""Fingers, reach and difficulty in the window, driven with the mouse and the keys as a teacher drives them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QApplication, QLabel, QToolTip

from desktop.hands.finger_places import finger_places
from desktop.hands.judging import PAUSE
from lessonkit.drills.difficulty import difficulty
from lessonkit.drills.easier_drills import easier_drills
from lessonkit.drills.exercise import FingersShown
from lessonkit.drills.family import DrillFamily, FingersHold, family
from lessonkit.drills.reach_marks import reach_marks
from lessonkit.drills.realise import realise
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson.edits import replace_block, set_house, take_runner_up
from lessonkit.lesson.lesson import Drill, Lesson, Note
from lessonkit.pages.flow import pages_of
from lessonkit.theory.key import Key
from tests.desktop.conftest import BROKEN, FIRST_NOTE, Driver

LEFT = Qt.MouseButton.LeftButton
RUN, TENTHS, KEYS = "run", "tenths", "keys"


def small_hands() -> Lesson:
    """A hard run, tenths that are too wide, and a progression through keys, for small hands."""
    hard = family("arpeggio-run")().with_text("degree", "4")
    return Lesson(
        title="For small hands",
        key=Key.parse("Eb"),
        house=replace(Lesson().house, hands=HandProfile(185, 165)),
        blocks=(
            Note("Play slowly.", id="words"),
            Drill(hard, id=RUN),
            Drill(family("left-hand-tenths")().with_text("touch", "solid"), id=TENTHS),
            Drill(family("progression-through-keys")(), id=KEYS),
        ),
    )


def open_small_hands(driver: Driver) -> None:
    driver.notebook.open_lesson.open(small_hands(), None)
    wait(driver)


def wait(driver: Driver) -> None:
    """Wait until everything that is seen is drawn and judged, as time goes in the window."""
    driver.qtbot.waitUntil(lambda: driver.notebook.desk.judging.is_finished)


def family_of(driver: Driver, block_id: str) -> DrillFamily:
    block = driver.lesson.block(block_id)
    assert isinstance(block, Drill)
    return block.family


def finger_point(driver: Driver, block_id: str, event: int, pitch: int = 0) -> QPoint:
    """Where a finger number stands on the screen."""
    view = driver.notebook.desk.view
    view.show_block(block_id)
    place = finger_places(view.page_layout, block_id)[event, pitch]
    return view.on_viewport(place.box).center().toPoint()


def click_finger(driver: Driver, block_id: str, event: int, pitch: int = 0) -> None:
    view = driver.notebook.desk.view
    point = finger_point(driver, block_id, event, pitch)
    driver.qtbot.mouseClick(view.viewport(), LEFT, Qt.KeyboardModifier.NoModifier, point)


def tip_at(driver: Driver, point: QPointF) -> str:
    """What the window says where the hand rests."""
    view = driver.notebook.desk.view
    QToolTip.hideText()
    event = QHelpEvent(QHelpEvent.Type.ToolTip, point.toPoint(), view.viewport().mapToGlobal(point.toPoint()))
    QApplication.sendEvent(view.viewport(), event)
    return QToolTip.text()


def test_a_click_on_a_finger_number_edits_it(driver: Driver) -> None:
    """The number is where the teacher wants to type the number."""
    click_finger(driver, BROKEN, 2)
    assert driver.notebook.desk.selection.ids == (BROKEN,)
    assert driver.notebook.desk.fingering.field is not None
    driver.press(Qt.Key.Key_4)
    assert family_of(driver, BROKEN).right_fingers == (0, 0, 4)
    assert driver.notebook.open_lesson.undo_label.startswith("Finger 4 on ")
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)


def test_a_typed_finger_goes_back_to_the_program(driver: Driver) -> None:
    """What was typed by mistake is not typed for ever."""
    found = realise(family_of(driver, BROKEN), driver.lesson.setting).events[1].fingers
    click_finger(driver, BROKEN, 1)
    driver.press(Qt.Key.Key_5)
    assert realise(family_of(driver, BROKEN), driver.lesson.setting).events[1].fingers == (5,)
    driver.press(Qt.Key.Key_Delete)
    assert not any(family_of(driver, BROKEN).right_fingers)
    assert realise(family_of(driver, BROKEN), driver.lesson.setting).events[1].fingers == found
    assert driver.lesson.block(BROKEN), "Delete is the field's key and not the block's"


def test_nothing_typed_is_nothing_to_give_back(driver: Driver) -> None:
    """0 on a finger that the program found is no edit."""
    click_finger(driver, BROKEN, 0)
    driver.press(Qt.Key.Key_0)
    assert not driver.notebook.open_lesson.has_unsaved


def test_the_arrows_go_from_finger_to_finger(driver: Driver) -> None:
    """A row of fingers is typed without the mouse."""
    click_finger(driver, BROKEN, 0)
    driver.press(Qt.Key.Key_2)
    driver.press(Qt.Key.Key_Right)
    driver.press(Qt.Key.Key_3)
    driver.press(Qt.Key.Key_Left)
    driver.press(Qt.Key.Key_1)
    assert family_of(driver, BROKEN).right_fingers == (1, 3)
    driver.press(Qt.Key.Key_Escape)
    assert driver.notebook.desk.fingering.field is None
    assert driver.notebook.desk.view.hasFocus()


def test_the_field_asks_where_typed_fingers_hold(driver: Driver) -> None:
    """In every key or in this one only: the teacher says which, at the number."""
    click_finger(driver, BROKEN, 0)
    driver.press(Qt.Key.Key_2)
    assert family_of(driver, BROKEN).fingers_hold is FingersHold.ONE_KEY
    assert family_of(driver, BROKEN).fingers_key == Key.parse("Eb")
    field = driver.notebook.desk.fingering.field
    assert field is not None
    driver.qtbot.mouseClick(field.hold_button(in_every_key=True), LEFT)
    assert family_of(driver, BROKEN).fingers_hold is FingersHold.EVERY_KEY
    assert driver.notebook.open_lesson.undo_label.endswith(" in every key")
    driver.qtbot.mouseClick(field.button_of(0), LEFT)
    assert not any(family_of(driver, BROKEN).right_fingers)


def test_where_they_hold_can_be_said_before_the_first_one(driver: Driver) -> None:
    """The question is there from the start; its answer goes with the first finger."""
    click_finger(driver, BROKEN, 0)
    field = driver.notebook.desk.fingering.field
    assert field is not None
    driver.qtbot.mouseClick(field.hold_button(in_every_key=True), LEFT)
    assert not driver.notebook.open_lesson.has_unsaved
    driver.qtbot.mouseClick(field.button_of(3), LEFT)
    assert family_of(driver, BROKEN).fingers_hold is FingersHold.EVERY_KEY


def test_each_key_has_fingers_of_its_own(driver: Driver) -> None:
    """What is put right in one key stays as it is in the others, and more keys can be put right."""
    open_small_hands(driver)
    exercise = realise(family_of(driver, KEYS), driver.lesson.setting)
    second = next(bar.onset for bar in exercise.bars[1:] if bar.key is not None)
    there = next(index for index, event in enumerate(exercise.events) if event.onset >= second and event.pitches)
    click_finger(driver, KEYS, 0)
    driver.press(Qt.Key.Key_2)
    driver.press(Qt.Key.Key_Escape)
    click_finger(driver, KEYS, there)
    driver.press(Qt.Key.Key_3)
    now = realise(family_of(driver, KEYS), driver.lesson.setting)
    assert [(event.fingers[0], event.pinned) for event in (now.events[0], now.events[there])] == [(2, {0}), (3, {0})]
    assert sum(len(event.pinned) for event in now.events) == 2
    field = driver.notebook.desk.fingering.field
    assert field is not None
    assert field.hold_button(in_every_key=False).text() == "In B♭ major only"
    driver.qtbot.mouseClick(field.hold_button(in_every_key=True), LEFT)
    now = realise(family_of(driver, KEYS), driver.lesson.setting)
    assert now.events[0].fingers[0] == 2, "a finger of one key goes before that of every key"
    assert sum(len(event.pinned) for event in now.events) == len([bar for bar in now.bars if bar.key is not None])


def test_fingers_that_cannot_be_are_answered_and_the_rest_keeps_its_own(driver: Driver) -> None:
    """Bad input costs a sentence at its place, never the drill's other fingers."""
    usual = realise(family_of(driver, BROKEN), driver.lesson.setting)
    click_finger(driver, BROKEN, 0)
    for finger in (Qt.Key.Key_5, Qt.Key.Key_1, Qt.Key.Key_5, Qt.Key.Key_1):
        driver.press(finger)
        driver.press(Qt.Key.Key_Right)
    driver.press(Qt.Key.Key_Left)
    field = driver.notebook.desk.fingering.field
    assert field is not None
    assert "cannot be taken" in field.reason
    now = realise(family_of(driver, BROKEN), driver.lesson.setting)
    assert [event.fingers for event in now.events[:4]] == [(5,), (1,), (5,), (1,)]
    assert [event.fingers for event in now.events[4:]] == [event.fingers for event in usual.events[4:]]
    driver.press(Qt.Key.Key_Escape)
    driver.notebook.desk.hands.unfold()
    wait(driver)
    assert any("cannot be taken" in line for line in driver.notebook.desk.hands.sentences)


def test_the_field_follows_the_page_and_closes_with_its_drill(driver: Driver) -> None:
    """A field beside a number that is gone would edit something else."""
    click_finger(driver, BROKEN, 0)
    field = driver.notebook.desk.fingering.field
    assert field is not None
    was = field.y()
    driver.notebook.desk.view.verticalScrollBar().setValue(driver.notebook.desk.view.verticalScrollBar().value() + 40)
    assert field.y() == was - 40
    driver.notebook.desk.selection.select(FIRST_NOTE)
    assert driver.notebook.desk.fingering.field is None
    assert driver.notebook.desk.view.hasFocus()


def test_undo_works_at_the_number(driver: Driver) -> None:
    """The field shows what the lesson is, and stays open."""
    click_finger(driver, BROKEN, 0)
    driver.press(Qt.Key.Key_4)
    driver.control(Qt.Key.Key_Z)
    assert not any(family_of(driver, BROKEN).right_fingers)
    field = driver.notebook.desk.fingering.field
    assert field is not None
    assert not field.button_of(4).isChecked()
    driver.press(Qt.Key.Key_3)
    assert family_of(driver, BROKEN).right_fingers == (3,)


def test_a_drill_that_prints_no_fingers_says_so(driver: Driver) -> None:
    """A finger that is typed and not seen would be typed again."""
    hidden = replace(family_of(driver, BROKEN), fingers_shown=FingersShown.NONE)
    driver.notebook.open_lesson.edit("Fingers", replace_block(driver.lesson, Drill(hidden, BROKEN)))
    driver.click(BROKEN)
    driver.press(Qt.Key.Key_F4)
    field = driver.notebook.desk.fingering.field
    assert field is not None
    assert "prints no fingers" in field.reason
    driver.press(Qt.Key.Key_2)
    assert family_of(driver, BROKEN).right_fingers == (2,)


def test_the_keys_alone_reach_the_fingers(driver: Driver) -> None:
    """Whoever cannot use a mouse edits fingers too."""
    driver.click(BROKEN)
    driver.press(Qt.Key.Key_F4)
    driver.press(Qt.Key.Key_3)
    assert family_of(driver, BROKEN).right_fingers == (3,)


def test_the_band_stands_in_the_margin_and_not_on_the_page(driver: Driver) -> None:
    """How hard a drill is can be kept off the handout and is seen in the window all the same."""
    open_small_hands(driver)
    desk = driver.notebook.desk
    layout = desk.view.page_layout
    tags = {tag.block_id: tag for tag in desk.tags.tags(layout, 0, layout.size[1])}
    found = difficulty(family_of(driver, RUN), driver.lesson.setting)
    assert tags[RUN].lines == (found.band.value,)
    assert tags[RUN].area.right() > layout.page_boxes[0].right, "it hangs over the edge of the page"
    assert desk.drawn.pages == pages_of(driver.lesson)
    point = tags[RUN].area.center() - QPointF(0, desk.view.verticalScrollBar().value())
    said = tip_at(driver, point)
    assert found.reasons
    assert all(reason[1:] in said for reason in found.reasons)
    driver.qtbot.mouseClick(desk.view.viewport(), LEFT, Qt.KeyboardModifier.NoModifier, point.toPoint())
    assert desk.selection.ids == (RUN,)
    assert not desk.hands.is_folded


def test_what_is_printed_is_not_said_twice(driver: Driver) -> None:
    """Where the lesson prints the band, the margin need not."""
    open_small_hands(driver)
    house = replace(driver.lesson.house, shows_difficulty=True)
    driver.notebook.open_lesson.edit("Difficulty", set_house(driver.lesson, house))
    wait(driver)
    layout = driver.notebook.desk.view.page_layout
    assert not list(driver.notebook.desk.tags.tags(layout, 0, layout.size[1]))


def test_easier_ways_are_one_tap_and_undone_in_one(driver: Driver) -> None:
    """Best first, each with its gain and why."""
    open_small_hands(driver)
    desk = driver.notebook.desk
    driver.click(RUN)
    desk.hands.unfold()
    wait(driver)
    ways = easier_drills(family_of(driver, RUN), driver.lesson.setting)
    lines = desk.hands.sentences
    place = next(number for number, line in enumerate(lines) if line == "Easier instead")
    assert lines[place + 1].lower() == ways[0].what.lower()
    assert "easier" in lines[place + 2]
    button = next(one for one in desk.hands.buttons if ways[0].what[1:] in one.accessibleName())
    driver.qtbot.mouseClick(button, LEFT)
    assert family_of(driver, RUN) == ways[0].drill
    assert driver.notebook.open_lesson.undo_label == f"Easier: {ways[0].what}"
    driver.control(Qt.Key.Key_Z)
    assert driver.lesson == small_hands()


def test_the_other_fingers_are_one_tap(driver: Driver) -> None:
    """The runner-up is offered in words and swapped in, and the page shows it."""
    driver.click(BROKEN)
    driver.notebook.desk.hands.unfold()
    wait(driver)
    wanted = take_runner_up(driver.lesson, BROKEN, Hand.RIGHT)
    button = driver.notebook.desk.hands.button("Take them")
    assert "instead of" in button.accessibleName()
    driver.qtbot.mouseClick(button, LEFT)
    assert driver.lesson == wanted
    assert driver.notebook.open_lesson.undo_label == "Other fingers, right hand"


def test_what_is_too_wide_is_outlined_and_mended_in_one_tap(driver: Driver) -> None:
    """The reason in words where the notes are, and something to do about it."""
    open_small_hands(driver)
    desk = driver.notebook.desk
    marks = reach_marks(family_of(driver, TENTHS), driver.lesson.setting)
    assert marks
    driver.click(TENTHS)
    desk.hands.unfold()
    wait(driver)
    area, mark = next(iter(desk.outlines.outlines(desk.view.page_layout)))
    assert mark.sentence[1:] in tip_at(driver, area.center() - QPointF(0, desk.view.verticalScrollBar().value()))
    assert any(marks[0].sentence[1:] in line for line in desk.hands.sentences)
    button = next(one for one in desk.hands.buttons if "Roll it" in one.accessibleName())
    driver.qtbot.mouseClick(button, LEFT)
    assert not reach_marks(family_of(driver, TENTHS), driver.lesson.setting)
    assert driver.notebook.open_lesson.undo_label == "Within reach: roll it"


def test_a_stale_offer_changes_nothing(driver: Driver) -> None:
    """An offer for the drill as it was must not take back what was changed since."""
    open_small_hands(driver)
    driver.click(RUN)
    driver.notebook.desk.hands.unfold()
    wait(driver)
    button = driver.notebook.desk.hands.button("Take it")
    family_now = replace(family_of(driver, RUN), octaves=3)
    changed = replace(
        driver.lesson, blocks=(driver.lesson.blocks[0], Drill(family_now, RUN), *driver.lesson.blocks[2:])
    )
    driver.notebook.open_lesson.edit("Octaves", changed)
    button.click()
    assert family_of(driver, RUN) == family_now


def test_the_hands_part_is_folded_until_it_is_wanted(driver: Driver) -> None:
    """Settings come first; the panel stays quiet and remembers how it was left."""
    driver.click(BROKEN)
    wait(driver)
    hands = driver.notebook.desk.hands
    assert hands.is_folded
    assert not hands.sentences or not any(label.isVisible() for label in hands.body.findChildren(QLabel))
    hands.unfold()
    from desktop.memory import Memory

    assert not Memory().folds_hands
    driver.click(FIRST_NOTE)
    assert not hands.isVisible()


def test_nothing_is_judged_while_a_hand_types(driver: Driver, monkeypatch: pytest.MonkeyPatch) -> None:
    """The typing path draws and does nothing else; judging waits for a pause."""
    judged: list[str] = []
    judging = driver.notebook.desk.judging
    wait(driver)
    judging.judged.connect(lambda: judged.append("judged"))
    spin = driver.notebook.desk.strip.button_of(Key.parse("D"))
    driver.qtbot.mouseClick(spin, LEFT)
    assert not judged
    driver.settle()
    driver.qtbot.wait(PAUSE)
    wait(driver)
    assert judged
