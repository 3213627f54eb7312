"""A student's lesson kept as a file of its own: edited as any lesson, brought up to its improved original."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QPushButton

from desktop.keeping import Keeping
from desktop.lesson_facts import facts_of, lesson_files
from desktop.people.carry_over import CarryOver
from desktop.people.changes_panel import ChangesPanel
from desktop.people.own_lesson import OwnLesson
from desktop.people.own_lesson_bars import CHANGES, OwnLessonBanner, OwnLessonSide
from desktop.people.print_dialog import PrintDialog
from desktop.start import _recover
from lessonkit.lesson import edits
from lessonkit.lesson.lesson import Note
from lessonkit.storage.adapted_file import read_adapted
from lessonkit.storage.lesson_file import read_lesson, save_lesson
from lessonkit.storage.recovery import recoverable
from lessonkit.storage.student_file import read_student
from lessonkit.students.adapt import adapt
from lessonkit.students.adapted import Kind
from lessonkit.theory.key import Key
from tests.desktop.conftest import FIRST_NOTE, LADDER, Driver, small_lesson
from tests.desktop.test_for_student import choose, folder, mine  # noqa: F401

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def kept(mine: Driver, folder: Path) -> Driver:  # noqa: F811
    """The small lesson saved, looked at for M. K., kept as a lesson of its own, and that one open."""
    mine.answers.saving = folder / "evening.lesson"
    mine.control(Qt.Key.Key_S)
    _, changes = choose(mine, "M. K.")
    mine.answers.saving = folder / "evening for M_K.adapted"
    mine.qtbot.mouseClick(changes.keep, LEFT)
    mine.settle()
    return mine


def own_of(driver: Driver) -> OwnLesson:
    return driver.notebook.own_lesson


def wait(driver: Driver) -> None:
    """Wait for what is worked out beside the window's thread."""
    people = driver.notebook.people
    driver.qtbot.waitUntil(
        lambda: people.is_open and people.studio.is_read and people.studio.aside.waiting == 0, timeout=20000
    )
    driver.settle()


def changes_of(driver: Driver) -> ChangesPanel:
    """Go to the changes by their button."""
    side = driver.window.findChild(OwnLessonSide)
    assert isinstance(side, OwnLessonSide)
    driver.qtbot.mouseClick(side.row._group.button(1), LEFT)
    assert side.row.title == CHANGES
    assert side.changes is not None
    panel = side.changes
    driver.qtbot.waitUntil(lambda: panel.is_finished, timeout=20000)
    return panel


def improve(folder: Path) -> None:  # noqa: F811
    """Somebody makes the original better: other words, one more note, another title."""
    better = edits.set_note_text(small_lesson(), FIRST_NOTE, "Better words.")
    better = edits.insert_block(better, 2, Note("One more.", "more"))
    save_lesson(replace(better, title="Late lesson"), folder / "evening.lesson")


def carrying(driver: Driver) -> CarryOver:
    """The points that may come over, asked for with the button above the pages."""
    banner = driver.window.findChild(OwnLessonBanner)
    assert isinstance(banner, OwnLessonBanner)
    driver.qtbot.mouseClick(banner.carry, LEFT)
    driver.qtbot.waitUntil(lambda: own_of(driver).carrying is not None, timeout=20000)
    found = own_of(driver).carrying
    assert found is not None
    return found


def test_it_is_saved_with_its_original_and_opened_in_its_place(kept: Driver, folder: Path) -> None:  # noqa: F811
    """The student's lesson remembers where it came from, and nothing of the original is touched."""
    path = folder / "evening for M_K.adapted"
    found = read_adapted(path)
    assert kept.answers.suggested == folder / "evening for M_K.adapted"
    assert found.original == small_lesson()
    assert found.from_file is not None
    assert found.from_file.resolve() == (folder / "evening.lesson").resolve()
    assert kept.notebook.open_lesson.path == path
    assert kept.lesson == found.lesson
    assert kept.lesson != small_lesson()
    banner = kept.window.findChild(OwnLessonBanner)
    assert isinstance(banner, OwnLessonBanner)
    assert banner.isVisible()
    assert banner._whose.text() == "for M. K."
    assert not kept.notebook.open_lesson.has_unsaved
    assert read_lesson(folder / "evening.lesson") == small_lesson()


def test_its_pages_are_edited_as_those_of_any_lesson(kept: Driver, folder: Path) -> None:  # noqa: F811
    """Words are typed on the page, Ctrl+S saves them, Ctrl+Z takes them back; the original stays."""
    kept.click(FIRST_NOTE)
    kept.press(Qt.Key.Key_F2)
    kept.control(Qt.Key.Key_A)
    kept.type("Only for you.")
    kept.press(Qt.Key.Key_Escape)
    assert kept.lesson.block(FIRST_NOTE) == Note("Only for you.", FIRST_NOTE)
    kept.control(Qt.Key.Key_S)
    found = read_adapted(folder / "evening for M_K.adapted")
    assert found.lesson.block(FIRST_NOTE) == Note("Only for you.", FIRST_NOTE)
    assert found.made.block(FIRST_NOTE) == small_lesson().block(FIRST_NOTE)
    assert read_lesson(folder / "evening.lesson") == small_lesson()
    kept.control(Qt.Key.Key_Z)
    assert kept.lesson.block(FIRST_NOTE) == small_lesson().block(FIRST_NOTE)


def test_it_is_opened_again_as_it_was(kept: Driver, folder: Path) -> None:  # noqa: F811
    """Another lesson is opened between, then this one from the recent ones."""
    lesson, changes = kept.lesson, own_of(kept).adapted
    assert changes is not None
    kept.notebook.desk.files.open_path(folder / "evening.lesson")
    assert own_of(kept).adapted is None
    assert not kept.window.findChild(OwnLessonBanner).isVisible()  # type: ignore[union-attr]
    kept.notebook.desk.files.open_path(folder / "evening for M_K.adapted")
    again = own_of(kept).adapted
    assert again is not None
    assert (kept.lesson, again.changes) == (lesson, changes.changes)


def test_a_change_is_taken_back_with_the_mouse_and_brought_again_by_undo(kept: Driver) -> None:
    """What was written by hand stays, and the choice is undone with the pages."""
    open_lesson = kept.notebook.open_lesson
    open_lesson.edit("Write", edits.set_note_text(kept.lesson, FIRST_NOTE, "For you."))
    panel = changes_of(kept)
    card = next(one for one in panel.cards if one.change is not None and one.change.kind is Kind.STAFF)
    kept.qtbot.mouseClick(card.button, LEFT)
    wait(kept)
    assert kept.lesson.house.staff_tenths == small_lesson().house.staff_tenths
    assert kept.lesson.block(FIRST_NOTE) == Note("For you.", FIRST_NOTE)
    assert card.change is not None
    assert not card.change.is_applied
    assert open_lesson.undo_label.startswith("Take back: a staff of")
    kept.control(Qt.Key.Key_Z)
    assert kept.lesson.house.staff_tenths == 75
    assert card.change is not None
    assert card.change.is_applied


def test_a_change_is_taken_back_and_made_again_with_keys_alone(kept: Driver) -> None:
    """The buttons of the changes are reached with Tab and pressed with Space."""
    panel = changes_of(kept)
    card = next(one for one in panel.cards if one.change is not None and one.change.kind is Kind.STAFF)
    panel.print.setFocus()
    for _ in range(40):
        if kept.window.focusWidget() is card.button:
            break
        kept.press(Qt.Key.Key_Tab)
    assert kept.window.focusWidget() is card.button
    kept.press(Qt.Key.Key_Space)
    wait(kept)
    assert kept.lesson.house.staff_tenths == small_lesson().house.staff_tenths
    assert kept.window.focusWidget() is card.button
    kept.press(Qt.Key.Key_Space)
    wait(kept)
    assert kept.lesson.house.staff_tenths == 75


def test_an_improvement_is_told_when_the_lesson_is_opened(kept: Driver, folder: Path) -> None:  # noqa: F811
    improve(folder)
    kept.notebook.desk.files.open_path(folder / "evening for M_K.adapted")
    kept.qtbot.waitUntil(lambda: bool(kept.notebook.desk.messages.sentence), timeout=20000)
    assert "“evening” was changed since this lesson was made for M. K." in kept.notebook.desk.messages.sentence


def test_an_improvement_is_carried_over_point_by_point_and_undone(kept: Driver, folder: Path) -> None:  # noqa: F811
    """The teacher refuses the title, takes the better words in place of those of their own, and may undo it all."""
    mine_words = edits.set_note_text(kept.lesson, FIRST_NOTE, "For you.")
    kept.notebook.open_lesson.edit("Write", mine_words)
    before = kept.lesson
    improve(folder)
    dialog = carrying(kept)
    decisions = dialog.decisions
    assert decisions == {"head:title": True, "new:more": True, f"block:{FIRST_NOTE}": False}
    for key in ("head:title", f"block:{FIRST_NOTE}"):
        dialog.list.setCurrentItem(dialog.item_of(key))
        kept.qtbot.keyClick(dialog.list, Qt.Key.Key_Space)
    assert dialog.decisions == {"head:title": False, "new:more": True, f"block:{FIRST_NOTE}": True}
    assert kept.notebook.desk.selection.ids == (FIRST_NOTE,)
    kept.qtbot.mouseClick(dialog.carry, LEFT)
    kept.settle()
    assert kept.lesson.title == small_lesson().title
    assert kept.lesson.block("more") == Note("One more.", "more")
    assert kept.lesson.block(FIRST_NOTE) == Note("Better words.", FIRST_NOTE)
    adapted = own_of(kept).adapted
    assert adapted is not None
    assert adapted.original == read_lesson(folder / "evening.lesson")
    kept.window.activateWindow()
    kept.qtbot.waitUntil(kept.window.isActiveWindow)
    kept.control(Qt.Key.Key_Z)
    assert kept.lesson == before
    undone = own_of(kept).adapted
    assert undone is not None
    assert undone.original == small_lesson()


def test_nothing_comes_over_when_the_hand_thinks_better_of_it(kept: Driver, folder: Path) -> None:  # noqa: F811
    before = kept.lesson
    improve(folder)
    dialog = carrying(kept)
    kept.qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert kept.lesson == before


def test_an_original_that_is_as_it_was_brings_nothing(kept: Driver) -> None:
    banner = kept.window.findChild(OwnLessonBanner)
    assert isinstance(banner, OwnLessonBanner)
    kept.qtbot.mouseClick(banner.carry, LEFT)
    wait(kept)
    assert "holds nothing that this lesson does not have" in kept.notebook.desk.messages.sentence


def test_it_is_printed_as_it_is_and_written_down_for_its_student(kept: Driver, folder: Path) -> None:  # noqa: F811
    """It is not adapted once more: what was written by hand is on the paper."""
    kept.notebook.open_lesson.edit("Write", edits.set_note_text(kept.lesson, FIRST_NOTE, "Only for you."))
    kept.control(Qt.Key.Key_P)
    kept.qtbot.waitUntil(lambda: kept.window.findChild(PrintDialog) is not None, timeout=20000)
    dialog = kept.window.findChild(QDialog)
    assert isinstance(dialog, PrintDialog)
    assert [dialog.list.item(place).text() for place in range(dialog.list.count())] == ["M. K."]
    dialog._folder = folder / "out"
    kept.qtbot.mouseClick(dialog.print, LEFT)
    kept.qtbot.waitUntil(lambda: not dialog.is_running, timeout=60000)
    kept.notebook.people.studio.saving.finish()
    text = "".join(page.extract_text() for page in PdfReader(folder / "out" / "evening for M_K.pdf").pages)
    assert "Only for you." in text
    assert read_student(folder / "m_k.student").handouts[-1].title == "Evening lesson"
    dialog.close()


def test_a_student_who_is_not_there_is_told(kept: Driver, folder: Path) -> None:  # noqa: F811
    """The lesson can still be edited; only what needs the student waits."""
    studio = kept.notebook.people.studio
    studio.remove(folder / "m_k.student")
    own_of(kept).set_choice("staff", False)
    wait(kept)
    assert "No student called M. K." in kept.notebook.desk.messages.sentence


def test_unsaved_work_in_it_is_recovered_with_its_original(kept: Driver, tmp_path: Path) -> None:
    """After a crash neither the words nor where the lesson came from are lost."""
    keeping = Keeping(kept.notebook.open_lesson, tmp_path / "unsaved")
    kept.notebook.open_lesson.edit("Write", edits.set_note_text(kept.lesson, FIRST_NOTE, "For you."))
    assert keeping.keep().result()
    assert keeping._copy is not None
    copy = keeping._copy.copy
    # As the system does when a program dies: its lock is let go, the copy stays.
    import os

    os.close(keeping._copy._lock)
    keeping._copy._lock = -1
    (found,), _ = recoverable(tmp_path / "unsaved")
    assert found.copy == copy
    lesson, adapted = kept.lesson, own_of(kept).adapted
    kept.notebook.open_lesson.mark_saved(kept.notebook.open_lesson.path or tmp_path)
    kept.notebook.desk.files.new()
    _recover(kept.notebook, found)
    again = own_of(kept).adapted
    assert again is not None
    assert adapted is not None
    assert (kept.lesson, again.changes, again.original) == (lesson, adapted.changes, adapted.original)
    assert kept.notebook.open_lesson.has_unsaved


def test_the_key_of_the_lesson_is_followed_by_the_changes(kept: Driver) -> None:
    """An edit of the student's lesson is an edit like any other."""
    kept.qtbot.mouseClick(kept.notebook.desk.strip.button_of(Key.parse("D")), LEFT)
    kept.settle()
    assert kept.lesson.key == Key.parse("D")
    adapted = own_of(kept).adapted
    assert adapted is not None
    assert adapted.original.key == Key.parse("Eb")
    assert adapted.made == adapt(small_lesson(), _student(kept), adapted.day).made
    assert kept.lesson.block(LADDER).id == LADDER


def _student(driver: Driver):  # type: ignore[no-untyped-def]
    return next(one for one in driver.notebook.people.studio.students.values() if one.code == "M. K.")


def test_the_panel_offers_to_keep_only_what_is_not_kept(kept: Driver) -> None:
    panel = changes_of(kept)
    assert isinstance(panel.keep, QPushButton)
    assert not panel.keep.isVisible()


def test_it_stands_among_the_lessons_of_its_folder(kept: Driver, folder: Path) -> None:  # noqa: F811
    """It is found where lessons are looked for, and opened from there."""
    found = {facts.path.name: facts for facts in facts_of(lesson_files(folder))}
    assert set(found) == {"evening.lesson", "evening for M_K.adapted"}
    assert found["evening for M_K.adapted"].lesson == kept.lesson
