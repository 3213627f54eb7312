"""The window driven with the mouse and the keys, as a teacher drives it."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QComboBox, QLineEdit, QSpinBox

from desktop.forms.drill_form import DrillForm
from desktop.forms.row import Row
from desktop.preview.page_layout import PageLayout
from lessonkit.drills.family import DrillFamily, Hands, families
from lessonkit.lesson.lesson import Drill, Heading, Note
from lessonkit.pages.flow import pages_of
from lessonkit.pages.page import AIMS_PLACE, TITLE_PLACE
from lessonkit.theory.key import Key
from tests.desktop.conftest import BROKEN, FIRST_NOTE, LADDER, OPENING, Driver

NONE = Qt.KeyboardModifier.NoModifier
LEFT = Qt.MouseButton.LeftButton


def family_of(driver: Driver, block_id: str) -> DrillFamily:
    """The drill of a block."""
    block = driver.lesson.block(block_id)
    assert isinstance(block, Drill)
    return block.family


def test_the_screen_shows_the_pages_that_are_printed(driver: Driver) -> None:
    """Screen and print drift apart as soon as they come from two places."""
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)


def test_a_click_selects_a_block_and_shows_its_settings(driver: Driver) -> None:
    """The hand points at what it wants to change."""
    driver.click(BROKEN)
    assert driver.notebook.desk.selection.ids == (BROKEN,)
    shown = driver.notebook.desk.panel.form
    assert set(shown.rows) == set(family_of(driver, BROKEN).declared())  # type: ignore[attr-defined]


def test_a_click_beside_the_pages_selects_nothing(driver: Driver) -> None:
    """There must be a way back to the lesson's own settings."""
    driver.click(BROKEN)
    driver.qtbot.mouseClick(driver.notebook.desk.view.viewport(), LEFT, NONE, QPoint(4, 300))
    assert driver.notebook.desk.selection.ids == ()


def test_the_arrow_keys_go_from_block_to_block(driver: Driver) -> None:
    """Whoever cannot use a mouse selects with the keys."""
    driver.click(OPENING)
    driver.press(Qt.Key.Key_Down)
    assert driver.notebook.desk.selection.ids == (FIRST_NOTE,)
    driver.press(Qt.Key.Key_Up)
    assert driver.notebook.desk.selection.ids == (OPENING,)


def test_the_strip_changes_the_lessons_key_and_the_pages_follow(driver: Driver) -> None:
    """The main job: another key at one touch."""
    button = driver.notebook.desk.strip.button_of(Key.parse("D"))
    driver.qtbot.mouseClick(button, LEFT)
    assert driver.lesson.key == Key.parse("D")
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)
    assert driver.notebook.open_lesson.undo_label == "Key of D major"


def test_what_is_not_seen_yet_is_drawn_by_and_by(driver: Driver) -> None:
    """The old drawing stands in until the new one comes; the window is never without pages."""
    before = driver.notebook.desk.drawn.pages
    driver.qtbot.mouseClick(driver.notebook.desk.strip.button_of(Key.parse("A")), LEFT)
    assert not driver.notebook.desk.drawn.is_finished
    assert len(driver.notebook.desk.drawn.pages) == len(before)
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)


def test_the_strip_offers_the_minor_keys(driver: Driver) -> None:
    """Minor on the same tonic, as far as it can be written."""
    mode = driver.notebook.desk.strip.findChild(QComboBox)
    assert mode is not None
    mode.setFocus()
    driver.qtbot.keyClicks(mode, "mi")
    mode.activated.emit(mode.currentIndex())
    assert driver.lesson.key == Key.parse("Ebm")


def test_an_arrow_key_on_the_strip_goes_a_fifth_further(driver: Driver) -> None:
    """The strip is one stop of the Tab key; the arrows go along it."""
    driver.notebook.desk.choose_key()
    driver.press(Qt.Key.Key_Right)
    assert driver.lesson.key == Key.parse("Bb")


def test_a_setting_of_the_form_counts_at_once(driver: Driver) -> None:
    """No dialog and no button stands between a wish and the page."""
    driver.click(BROKEN)
    row = driver.notebook.desk.panel.form.rows["octaves"]  # type: ignore[attr-defined]
    box = row.findChild(QSpinBox)
    driver.qtbot.keyClick(box, Qt.Key.Key_Up)
    assert family_of(driver, BROKEN).octaves == 3
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)


def test_a_choice_of_the_form_is_one_click(driver: Driver) -> None:
    """Few options stand side by side."""
    driver.click(BROKEN)
    editor = driver.notebook.desk.panel.form.rows["hands"].editor  # type: ignore[attr-defined]
    driver.qtbot.mouseClick(editor.button_of(Hands.LEFT), LEFT)
    assert family_of(driver, BROKEN).hands is Hands.LEFT


def test_steps_of_one_setting_are_one_undo(driver: Driver) -> None:
    """Scrubbing a number to and fro is one wish."""
    driver.click(BROKEN)
    box = driver.notebook.desk.panel.form.rows["octaves"].findChild(QSpinBox)  # type: ignore[attr-defined]
    driver.qtbot.keyClick(box, Qt.Key.Key_Up)
    driver.qtbot.keyClick(box, Qt.Key.Key_Up)
    assert family_of(driver, BROKEN).octaves == 4
    driver.notebook.desk.open_lesson.undo()
    assert family_of(driver, BROKEN).octaves == 2
    assert box.value() == 2


def test_what_cannot_be_is_answered_below_its_row(driver: Driver) -> None:
    """A wrong word costs a sentence, not the drill."""
    driver.click(BROKEN)
    before = driver.lesson
    row = driver.notebook.desk.panel.form.rows["lowest"]  # type: ignore[attr-defined]
    line = row.findChild(QLineEdit)
    line.selectAll()
    driver.qtbot.keyClicks(line, "H9")
    assert "is not a pitch" in row.reason
    assert driver.lesson == before


def test_ctrl_z_in_a_field_takes_the_lessons_last_edit_back(driver: Driver) -> None:
    """A field with an undo of its own would take Ctrl+Z away from the lesson."""
    driver.click(BROKEN)
    box = driver.notebook.desk.panel.form.rows["octaves"].findChild(QSpinBox)  # type: ignore[attr-defined]
    box.setFocus()
    driver.press(Qt.Key.Key_Up)
    driver.control(Qt.Key.Key_Z)
    assert family_of(driver, BROKEN).octaves == 2


def test_a_note_is_written_in_its_place(driver: Driver) -> None:
    """The page is where one writes; what was written is on the page when writing ends."""
    driver.click(FIRST_NOTE)
    driver.click(FIRST_NOTE)
    box = driver.notebook.desk.writing.box
    assert box is not None
    assert box.hasFocus()
    driver.type(" And {V7}.")
    assert driver.lesson.block(FIRST_NOTE) == Note("The chord is {IVmaj7} today. And {V7}.", FIRST_NOTE)
    driver.press(Qt.Key.Key_Escape)
    assert driver.notebook.desk.writing.box is None
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)


def test_words_typed_in_a_row_are_one_undo(driver: Driver) -> None:
    """Undo takes back what was written, not letters."""
    driver.click(FIRST_NOTE)
    driver.press(Qt.Key.Key_Return)
    driver.type(" More.")
    driver.control(Qt.Key.Key_Z)
    assert driver.lesson.block(FIRST_NOTE) == Note("The chord is {IVmaj7} today.", FIRST_NOTE)
    box = driver.notebook.desk.writing.box
    assert box is not None
    assert box.toPlainText() == "The chord is {IVmaj7} today."


def test_a_live_word_is_answered_while_it_is_written(driver: Driver) -> None:
    """The teacher sees what a live word comes to, or why it does not."""
    driver.click("last")
    driver.press(Qt.Key.Key_Return)
    driver.type(" {IVmaj7}")
    assert "A♭maj7" in driver.notebook.desk.writing.answer
    driver.type(" {XVII}")
    assert "is not" in driver.notebook.desk.writing.answer


def test_title_and_aims_are_written_in_place(driver: Driver) -> None:
    """The head of the page is part of the page."""
    driver.click(TITLE_PLACE)
    driver.type("!")
    assert driver.lesson.title == "Evening lesson!"
    driver.press(Qt.Key.Key_Return)
    driver.click(AIMS_PLACE)
    driver.type(" Well")
    assert driver.lesson.aims == "To hear {IVmaj7}. Well"


def test_a_heading_is_written_in_place(driver: Driver) -> None:
    """Enter ends it, for a heading is one line."""
    driver.click(OPENING)
    driver.press(Qt.Key.Key_F2)
    driver.type(" now")
    driver.press(Qt.Key.Key_Return)
    assert driver.lesson.block(OPENING) == Heading("Begin here now", 1, OPENING)
    assert driver.notebook.desk.writing.box is None


def test_the_shelf_puts_a_drill_behind_the_selection(driver: Driver) -> None:
    """Found by words, put in with Enter, selected at once."""
    driver.click(FIRST_NOTE)
    driver.notebook.desk.find_on_shelf()
    driver.type("jump")
    assert driver.notebook.desk.shelf.shown_titles == ["Chord jumps"]
    driver.press(Qt.Key.Key_Return)
    block = driver.lesson.blocks[2]
    assert isinstance(block, Drill)
    assert block.family.code == "chord-jumps"
    assert driver.notebook.desk.selection.ids == (block.id,)


def test_a_new_note_is_written_at_once(driver: Driver) -> None:
    """Whoever puts a note in wants to write."""
    driver.click(BROKEN)
    driver.notebook.desk.find_on_shelf()
    driver.type("note")
    driver.press(Qt.Key.Key_Return)
    driver.type("Slowly.")
    block = driver.lesson.blocks[3]
    assert isinstance(block, Note)
    assert block.text == "Slowly."


def test_alt_and_an_arrow_move_a_block(driver: Driver) -> None:
    """The same as dragging, for the keys."""
    driver.click(FIRST_NOTE)
    driver.press(Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert [block.id for block in driver.lesson.blocks[:2]] == [FIRST_NOTE, OPENING]
    assert driver.notebook.open_lesson.undo_label == "Move note"


def test_a_block_is_dragged_to_another_place(driver: Driver) -> None:
    """Pressed, drawn over another block and let go."""
    view = driver.notebook.desk.view
    driver.click(OPENING)
    start, end = driver.point_of(OPENING), driver.point_of(BROKEN)
    driver.qtbot.mousePress(view.viewport(), LEFT, NONE, start)
    driver.qtbot.mouseMove(view.viewport(), start + QPoint(0, 30))
    driver.qtbot.mouseMove(view.viewport(), end + QPoint(0, 40))
    driver.qtbot.mouseRelease(view.viewport(), LEFT, NONE, end + QPoint(0, 40))
    assert [block.id for block in driver.lesson.blocks[:3]] == [FIRST_NOTE, BROKEN, OPENING]
    assert driver.notebook.desk.writing.box is None


def test_blocks_are_deleted_and_come_back(driver: Driver) -> None:
    """Delete selects what came after, and Undo says what it takes back."""
    driver.click(BROKEN)
    driver.press(Qt.Key.Key_Delete)
    assert BROKEN not in [block.id for block in driver.lesson.blocks]
    assert driver.notebook.desk.selection.ids == ("space",)
    assert driver.notebook.actions_table["undo"].text() == "&Undo: Delete broken chords"
    driver.control(Qt.Key.Key_Z)
    assert driver.lesson.block(BROKEN)
    assert driver.notebook.actions_table["redo"].text() == "&Redo: Delete broken chords"


def test_a_block_is_doubled_under_another_id(driver: Driver) -> None:
    """The copy is selected, ready to be changed."""
    driver.click(BROKEN)
    driver.control(Qt.Key.Key_D)
    copy = driver.notebook.desk.selection.only
    assert isinstance(copy, Drill)
    assert copy.id != BROKEN
    assert copy.family == family_of(driver, BROKEN)


def test_blocks_are_cut_and_pasted(driver: Driver) -> None:
    """Several blocks keep their order on the way through the clipboard."""
    driver.click(OPENING)
    driver.click(FIRST_NOTE, Qt.KeyboardModifier.ShiftModifier)
    driver.control(Qt.Key.Key_X)
    assert driver.lesson.blocks[0].id == BROKEN
    driver.click(BROKEN)
    driver.control(Qt.Key.Key_V)
    pasted = driver.lesson.blocks[1:3]
    assert isinstance(pasted[0], Heading)
    assert isinstance(pasted[1], Note)
    assert driver.notebook.desk.selection.ids == tuple(block.id for block in pasted)


def test_zooming_keeps_the_selected_block_in_sight(driver: Driver) -> None:
    """A larger page must not lose what one looks at."""
    driver.click(LADDER)
    before = driver.notebook.desk.view.zoom
    driver.notebook.desk.view.zoom_in()
    layout: PageLayout = driver.notebook.desk.view.page_layout
    box = driver.notebook.desk.view.box_on_viewport(LADDER)
    assert layout.zoom > before
    assert box is not None
    assert -10 < box.top < driver.notebook.desk.view.viewport().height()


def test_f6_goes_through_the_panes(driver: Driver) -> None:
    """Every part of the window can be reached without a mouse."""
    seen = []
    for _ in range(5):
        driver.press(Qt.Key.Key_F6)
        focus = driver.window.focusWidget()
        panes = [
            driver.notebook.desk.strip,
            driver.notebook.desk.shelf,
            driver.notebook.desk.view,
            driver.notebook.desk.panel,
            driver.notebook.desk.keyboard,
        ]
        seen += [place for place, pane in enumerate(panes) if pane is focus or pane.isAncestorOf(focus)]
    assert sorted(seen) == [0, 1, 2, 3, 4]


def test_scrolling_and_repainting_use_what_is_painted(driver: Driver) -> None:
    """An unchanged page is copied, never painted again."""
    view = driver.notebook.desk.view
    driver.window.grab()
    pixmaps = view._desk_painter.pixmaps
    painted = pixmaps.painted
    view.viewport().update()
    driver.window.grab()
    assert pixmaps.painted == painted


def test_a_title_is_typed_with_its_blanks(driver: Driver) -> None:
    """The lesson keeps a title without blanks at its end; the field must not take them from under the hand."""
    line = driver.notebook.desk.panel.form.rows["title"].findChild(QLineEdit)  # type: ignore[attr-defined]
    line.setFocus()
    line.selectAll()
    driver.type("Two hands now")
    assert driver.lesson.title == "Two hands now"


def test_the_hands_of_the_lesson_are_said_in_the_teachers_words(driver: Driver) -> None:
    """A span in centimetres, or by what lies comfortably (hands/profile.py knows the words)."""
    row = driver.notebook.desk.panel.form.rows["right_span"]  # type: ignore[attr-defined]
    line = row.findChild(QLineEdit)
    line.setFocus()
    line.selectAll()
    driver.type("18.5 cm")
    assert driver.lesson.house.hands.right_span == 185
    line.selectAll()
    driver.type("giant")
    assert "is not a hand" in row.reason


def test_usual_hands_are_chosen_by_their_size(driver: Driver) -> None:
    """Small, medium and large stand for published spans (hands/profile.py); measured hands are neither."""
    rows = driver.notebook.desk.panel.form.rows  # type: ignore[attr-defined]
    box = rows["size"].findChild(QComboBox)
    assert box.currentText() == "Medium, 205 mm"
    box.setFocus()
    driver.press(Qt.Key.Key_Up)
    assert (driver.lesson.house.hands.right_span, driver.lesson.house.hands.left_span) == (185, 185)
    line = rows["left_span"].findChild(QLineEdit)
    line.setFocus()
    line.selectAll()
    driver.type("19 cm")
    assert box.currentText() == "As measured"
    assert driver.lesson.house.hands.right_span == 185


def test_a_form_begins_with_what_makes_the_drill(driver: Driver) -> None:
    """What every drill has comes after it, whatever more a family says of it."""
    common = DrillFamily.declared()
    shared = {param.group for param in common.values()}
    for kind in families().values():
        names = list(DrillForm(driver.notebook.open_lesson, kind).rows)
        own = [kind.declared()[name].group in shared for name in names if name not in common]
        assert own == sorted(own), kind.title
        assert all(name in common for name in names[len(own) :]), kind.title


def test_a_long_form_fills_while_the_window_answers(driver: Driver) -> None:
    """The first rows are there with the click; the others come by themselves and show the block's values."""
    driver.click(BROKEN)
    form = driver.notebook.desk.panel.form
    assert isinstance(form, DrillForm)
    assert 0 < len(form.findChildren(Row)) < len(family_of(driver, BROKEN).declared())
    driver.qtbot.waitUntil(lambda: len(form.findChildren(Row)) == len(family_of(driver, BROKEN).declared()))
    assert form.rows["octaves"].findChild(QSpinBox).value() == family_of(driver, BROKEN).octaves
