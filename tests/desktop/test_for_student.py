"""The open lesson looked at for one student, and printed for several."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QDialog

from desktop.people.changes_panel import ChangesPanel
from desktop.people.print_dialog import PrintDialog
from desktop.people.student_chooser import StudentChooser
from desktop.people.student_pages import StudentPages
from desktop.people.student_view import StudentView
from lessonkit.pages.flow import pages_of
from lessonkit.storage.student_file import read_student, save_student
from lessonkit.students.adapt import adapt
from lessonkit.students.adapted import Kind
from lessonkit.students.handing_out import FOR_WHOM, from_adapted
from lessonkit.students.student import Student
from lessonkit.theory.key import Key
from tests.desktop.conftest import BROKEN, Driver

LEFT = Qt.MouseButton.LeftButton
SAMPLE = Path(__file__).resolve().parents[2] / "sample_lessons" / "m_k.student"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with two students."""
    shutil.copy(SAMPLE, tmp_path / "m_k.student")
    save_student(Student("A. B."), tmp_path / "a_b.student")
    return tmp_path


@pytest.fixture
def mine(driver: Driver, folder: Path) -> Iterator[Driver]:
    """A window whose students are those two."""
    driver.notebook._memory.students_folder = folder
    yield driver
    driver.notebook.people.close()


def view_of(driver: Driver) -> StudentView:
    """What puts the student's pages before the lesson's."""
    found = driver.notebook.desk.findChild(StudentView)
    assert isinstance(found, StudentView)
    return found


def choose(driver: Driver, code: str) -> tuple[StudentPages, ChangesPanel]:
    """Choose a student from the menu above the settings and wait for the pages."""
    chooser = driver.window.findChild(StudentChooser)
    assert isinstance(chooser, StudentChooser)
    chooser.menu.aboutToShow.emit()
    wanted = [code]
    driver.qtbot.waitUntil(lambda: wanted[0] in [action.text() for action in chooser.menu.actions()], timeout=20000)
    next(action for action in chooser.menu.actions() if action.text() == code).trigger()
    return shown(driver)


def shown(driver: Driver) -> tuple[StudentPages, ChangesPanel]:
    """The student's pages and changes, once they are there."""
    view, studio = view_of(driver), driver.notebook.people.studio
    driver.qtbot.waitUntil(lambda: view.changes is not None and studio.aside.waiting == 0, timeout=20000)
    pages, changes = view.student_pages, view.changes
    assert pages is not None
    assert changes is not None
    driver.qtbot.waitUntil(lambda: driver.notebook.desk.view_in_sight is pages.view, timeout=20000)
    driver.qtbot.waitUntil(lambda: pages.drawn.is_finished and changes.is_finished, timeout=20000)
    return pages, changes


def test_the_pages_become_the_students_and_the_lesson_stays(mine: Driver, folder: Path) -> None:
    """What is seen is what the engine makes of the lesson for this student."""
    before = mine.lesson
    pages, changes = choose(mine, "M. K.")
    student = read_student(folder / "m_k.student")
    adapted = adapt(before, student, date.today())
    assert pages.lesson == from_adapted(adapted, student, date.today()).lesson
    assert pages.drawn.pages == pages_of(pages.lesson)
    assert pages.isVisible()
    assert "M. K." in pages.view.accessibleName()
    assert mine.lesson == before
    assert [card.change for card in changes.cards] == list(adapted.changes)


def test_another_key_on_the_strip_is_followed_at_once(mine: Driver) -> None:
    """The student's pages live as the lesson's do."""
    pages, _ = choose(mine, "M. K.")
    mine.qtbot.mouseClick(mine.notebook.desk.strip.button_of(Key.parse("D")), LEFT)
    shown(mine)
    assert pages.lesson.key == Key.parse("D")


def test_a_change_is_taken_back_and_made_again_by_its_button(mine: Driver) -> None:
    """Every change has a reason and a way back."""
    pages, changes = choose(mine, "M. K.")
    card = next(one for one in changes.cards if one.change is not None and one.change.kind is Kind.STAFF)
    mine.qtbot.mouseClick(card.button, LEFT)
    shown(mine)
    assert pages.lesson.house.staff_tenths == mine.lesson.house.staff_tenths
    assert card.change is not None
    assert not card.change.is_applied
    mine.qtbot.mouseClick(card.button, LEFT)
    shown(mine)
    assert pages.lesson.house.staff_tenths == 75


def test_a_change_is_taken_back_and_made_again_with_keys_alone(mine: Driver) -> None:
    """Tab goes from change to change, Space takes one back; the pages follow and the focus stays."""
    pages, changes = choose(mine, "M. K.")
    card = next(one for one in changes.cards if one.change is not None and one.change.kind is Kind.STAFF)
    changes.print.setFocus()
    for _ in range(40):
        if mine.window.focusWidget() is card.button:
            break
        mine.press(Qt.Key.Key_Tab)
    assert mine.window.focusWidget() is card.button
    assert card.button.accessibleDescription() == card.change.reason  # type: ignore[union-attr]
    for staff in (mine.lesson.house.staff_tenths, 75):
        mine.press(Qt.Key.Key_Space)
        shown(mine)
        assert pages.lesson.house.staff_tenths == staff
        assert pages.drawn.pages == pages_of(pages.lesson)
        assert mine.window.focusWidget() is card.button


def test_f6_leads_to_the_changes_and_on(mine: Driver) -> None:
    """Every pane that is seen is reached by the same key; what is hidden is not."""
    pages, changes = choose(mine, "M. K.")
    pages.view.setFocus()
    mine.press(Qt.Key.Key_F6)
    assert changes.isAncestorOf(mine.window.focusWidget())
    mine.press(Qt.Key.Key_F6)
    assert not changes.isAncestorOf(mine.window.focusWidget())
    mine.press(Qt.Key.Key_F6, Qt.KeyboardModifier.ShiftModifier)
    assert changes.isAncestorOf(mine.window.focusWidget())


def test_for_whom_it_is_can_be_left_out(mine: Driver) -> None:
    """What is seen is what is printed, with the code or without."""
    pages, changes = choose(mine, "M. K.")
    assert any(block.id == FOR_WHOM for block in pages.lesson.blocks)
    mine.qtbot.mouseClick(changes.name, LEFT, pos=QPoint(8, changes.name.height() // 2))
    shown(mine)
    assert not any(block.id == FOR_WHOM for block in pages.lesson.blocks)
    dialog = dialog_of(mine, Path("nowhere"))
    assert not dialog.name.isChecked()
    dialog.close()


def test_one_click_goes_back_to_nobody(mine: Driver) -> None:
    """The lesson's own pages are where they were."""
    pages, _ = choose(mine, "M. K.")
    chooser = mine.window.findChild(StudentChooser)
    assert isinstance(chooser, StudentChooser)
    mine.qtbot.mouseClick(chooser.back, LEFT)
    assert not pages.isVisible()
    assert mine.notebook.desk.view.isVisible()
    assert mine.notebook.desk.view_in_sight is mine.notebook.desk.view


def test_a_block_clicked_on_the_students_page_is_selected_in_the_lesson(mine: Driver) -> None:
    """Keys that act on the selection act on what is seen."""
    pages, changes = choose(mine, "M. K.")
    changes.pointed.emit(BROKEN)
    assert mine.notebook.desk.selection.ids == (BROKEN,)
    assert pages.selection.ids == (BROKEN,)


def test_words_are_not_written_behind_the_students_pages(mine: Driver) -> None:
    """What is typed must be seen where it is typed."""
    choose(mine, "M. K.")
    mine.notebook.desk.selection.select("note")
    mine.press(Qt.Key.Key_F2)
    assert "go back to nobody" in mine.notebook.desk.messages.sentence


def test_the_profile_changed_in_its_room_is_followed(mine: Driver) -> None:
    """A hand that was measured anew is seen on the page at once."""
    pages, _ = choose(mine, "A. B.")
    studio = mine.notebook.people.studio
    path = next(path for path, student in studio.students.items() if student.code == "A. B.")
    from dataclasses import replace

    studio.edit_one(path, "Staff at least", replace(studio.students[path], staff_tenths=90))
    shown(mine)
    assert pages.lesson.house.staff_tenths == 90


def dialog_of(driver: Driver, folder: Path) -> PrintDialog:
    """The dialog of printing, opened by its key."""
    driver.press(Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    driver.qtbot.waitUntil(lambda: driver.window.findChild(QDialog) is not None)
    dialog = driver.window.findChild(QDialog)
    assert isinstance(dialog, PrintDialog)
    dialog._folder = folder / "out"
    return dialog


def test_printing_for_all_writes_whole_files_and_notes_the_handouts(mine: Driver, folder: Path) -> None:
    """What was given is what is asked for next week."""
    choose(mine, "M. K.")
    dialog = dialog_of(mine, folder)
    assert dialog.print.text() == "Print for M. K."
    mine.qtbot.mouseClick(dialog.all, LEFT)
    mine.qtbot.mouseClick(dialog.print, LEFT)
    mine.qtbot.waitUntil(lambda: not dialog.is_running, timeout=60000)
    assert "2 handouts printed" in dialog.sentence
    mine.notebook.people.studio.saving.finish()
    for name, stem in (("m_k", "M_K"), ("a_b", "A_B")):
        pdf = folder / "out" / f"Evening lesson for {stem}.pdf"
        assert "Evening lesson" in PdfReader(pdf).pages[0].extract_text()
        last = read_student(folder / f"{name}.student").handouts[-1]
        assert (last.title, last.day) == ("Evening lesson", date.today())
        assert any("Broken chords" in block.title for block in last.blocks)
    mine.notebook.people.studio.undo()
    mine.notebook.people.studio.saving.finish()
    assert read_student(folder / "a_b.student").handouts == ()
    dialog.close()


def test_a_stopped_run_says_so_and_leaves_whole_files(mine: Driver, folder: Path) -> None:
    """Stop means stop, and nothing is torn."""
    for number in range(12):
        save_student(Student(f"S{number:02}"), folder / f"s{number:02}.student")
    choose(mine, "M. K.")
    dialog = dialog_of(mine, folder)
    mine.qtbot.mouseClick(dialog.all, LEFT)
    mine.qtbot.mouseClick(dialog.print, LEFT)
    mine.qtbot.waitUntil(lambda: dialog.bar.value() > 0, timeout=60000)
    mine.qtbot.mouseClick(dialog.stop, LEFT)
    mine.qtbot.waitUntil(lambda: not dialog.is_running, timeout=60000)
    assert dialog.sentence.startswith("Stopped")
    files = list((folder / "out").iterdir())
    assert 0 < len(files) < 14
    for file in files:
        assert len(PdfReader(file).pages) >= 1
    dialog.close()
