"""Files and what can go wrong with them: nothing is lost, and the window lives on."""

from __future__ import annotations

import os
from pathlib import Path

import pypdf
import pytest
from PySide6.QtCore import Qt

from desktop.dialogs.questions import Unsaved
from desktop.start import offer_unsaved
from lessonkit.lesson.edits import set_title
from lessonkit.lesson.lesson import Note
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.recovery import RecoveryCopy, recoverable
from tests.desktop.conftest import FIRST_NOTE, Driver, small_lesson


def change(driver: Driver) -> None:
    """An unsaved change."""
    driver.click(FIRST_NOTE)
    driver.press(Qt.Key.Key_Delete)


def test_a_saved_lesson_opens_the_same(driver: Driver, tmp_path: Path) -> None:
    """Save, new, open: what comes back is what went in."""
    change(driver)
    driver.answers.saving = driver.answers.opening = tmp_path / "evening.lesson"
    saved = driver.lesson
    assert driver.window.isWindowModified()
    driver.control(Qt.Key.Key_S)
    assert not driver.window.isWindowModified()
    assert read_lesson(tmp_path / "evening.lesson") == saved
    driver.control(Qt.Key.Key_N)
    assert driver.lesson.blocks == ()
    driver.control(Qt.Key.Key_O)
    assert driver.lesson == saved
    assert driver.notebook.desk._memory.recent == (tmp_path / "evening.lesson",)


def test_a_new_lesson_is_called_after_its_title(driver: Driver) -> None:
    """The name that is suggested can be a file's name on every system."""
    driver.notebook.open_lesson.edit("Title", set_title(driver.lesson, "ii/V: again?"))
    driver.notebook.desk.files.save()
    assert driver.answers.suggested is not None
    assert driver.answers.suggested.name == "iiV again.lesson"


@pytest.mark.parametrize(("leaving", "is_closed", "is_saved"), [
    (Unsaved.CANCEL, False, False), (Unsaved.DISCARD, True, False), (Unsaved.SAVE, True, True),
])  # fmt: skip
def test_unsaved_changes_are_asked_about(
    driver: Driver, tmp_path: Path, leaving: Unsaved, is_closed: bool, is_saved: bool
) -> None:
    """Closing never loses work without a question."""
    change(driver)
    driver.answers.leaving = leaving
    driver.answers.saving = tmp_path / "kept.lesson"
    assert driver.window.close() is is_closed
    assert driver.answers.asked[0] == "unsaved"
    assert (tmp_path / "kept.lesson").exists() is is_saved


def test_a_lesson_that_was_not_changed_closes_without_a_question(driver: Driver) -> None:
    """A question that need not be asked teaches people to answer without reading."""
    assert driver.window.close()
    assert driver.answers.asked == []


@pytest.mark.parametrize("content", [b"", b"{", b"not a lesson", b"\xff\xfe", b"[" * 100_000, b'{"format": "lesson"}'])
def test_a_file_that_is_no_lesson_costs_a_sentence(driver: Driver, tmp_path: Path, content: bytes) -> None:
    """The lesson that is open stays, and so does the file."""
    path = tmp_path / "broken.lesson"
    path.write_bytes(content)
    before = driver.lesson
    driver.answers.opening = path
    driver.control(Qt.Key.Key_O)
    assert "broken.lesson" in driver.notebook.desk.messages.sentence
    assert driver.lesson == before
    assert path.read_bytes() == content
    driver.settle()


def test_a_folder_that_cannot_be_written_to_costs_a_sentence(driver: Driver, tmp_path: Path) -> None:
    """The change stays unsaved, and the sentence offers another place."""
    change(driver)
    driver.answers.saving = tmp_path / "nowhere" / "evening.lesson"
    driver.control(Qt.Key.Key_S)
    assert "was not saved" in driver.notebook.desk.messages.sentence
    assert driver.window.isWindowModified()


def test_the_handout_is_printed_to_a_pdf(driver: Driver, tmp_path: Path) -> None:
    """Printed from the pages on the screen, with the title in the document."""
    driver.answers.printing = tmp_path / "handout.pdf"
    driver.control(Qt.Key.Key_P)
    document = pypdf.PdfReader(tmp_path / "handout.pdf")
    assert len(document.pages) == len(driver.notebook.desk.drawn.pages)
    assert "Evening lesson" in document.pages[0].extract_text()
    assert "handout.pdf" in driver.notebook.desk.messages.sentence


def test_unsaved_work_is_kept_and_offered(driver: Driver, tmp_path: Path) -> None:
    """After a crash the next start has what was there."""
    folder = tmp_path / "unsaved"
    lost = RecoveryCopy(folder)
    lesson = set_title(small_lesson(), "Lost and found")
    lost.keep(lesson, None)
    os.close(lost._lock)
    offer_unsaved(driver.notebook, folder)
    assert "Lost and found" in driver.notebook.desk.messages.sentence
    driver.notebook.desk.messages._offers[0].click()
    assert driver.lesson == lesson
    assert driver.window.isWindowModified()


def test_a_change_is_in_the_recovery_copy_soon(driver: Driver) -> None:
    """Writing happens by itself; saving in good order leaves nothing behind."""
    change(driver)
    driver.qtbot.waitUntil(lambda: driver.notebook.keeping._copy is not None, timeout=5000)
    driver.notebook.keeping.keep().result()
    copy = driver.notebook.keeping._copy
    assert copy is not None
    assert copy.copy.exists()
    driver.notebook.keeping.close()
    assert not copy.copy.exists()
    assert driver.notebook.keeping._copy is None
    assert recoverable(copy.copy.parent) == ((), ())


def test_words_from_another_program_come_as_a_note(driver: Driver) -> None:
    """What is pasted is text, never markup."""
    from PySide6.QtGui import QGuiApplication

    QGuiApplication.clipboard().setText("<b>Plain</b> words")
    driver.click(FIRST_NOTE)
    driver.control(Qt.Key.Key_V)
    block = driver.lesson.blocks[2]
    assert isinstance(block, Note)
    assert block.text == "<b>Plain</b> words"


def test_a_preset_stays_on_the_shelf(driver: Driver) -> None:
    """A block that is kept can be put into any lesson."""
    driver.click(FIRST_NOTE)
    driver.notebook.desk.keep_preset()
    assert driver.notebook.desk.shelf.shown_titles[-1] == "Note"
    assert driver.notebook.desk.entries[-1].group == "My presets"
