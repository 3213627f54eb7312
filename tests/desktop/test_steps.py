"""The lesson that was open last comes back; every step is in sight; notes go to other programs."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from desktop.editing.clipboard import MUSICXML_TYPE
from desktop.frame import NotebookFrame
from desktop.memory import Memory
from desktop.start import furnish
from lessonkit.lesson.lesson import Note
from lessonkit.storage.lesson_file import save_lesson
from tests.desktop.conftest import BROKEN, FIRST_NOTE, OPENING, Driver, small_lesson


def test_the_lesson_that_was_open_comes_back(driver: Driver, tmp_path: Path) -> None:
    """At the next start without a file's name; a file that is gone costs nothing."""
    path = tmp_path / "Evening.lesson"
    save_lesson(small_lesson(), path)
    driver.notebook.desk.files.open_path(path)
    driver.window.close()
    memory = Memory()
    assert memory.last_lesson == path
    frame = NotebookFrame(memory)
    notebook = furnish(frame, memory, None)
    assert notebook.open_lesson.path == path
    frame.show()
    driver.qtbot.waitUntil(lambda: notebook.desk.view.was_painted and notebook.desk.drawn.is_finished)
    notebook.desk.fill()
    driver.qtbot.wait(50)
    frame.hide()
    notebook.keeping.close()
    notebook.people.close()
    notebook.desk.listening.close()
    frame.deleteLater()
    path.unlink()
    assert Memory().last_lesson is None


def test_every_step_is_listed_and_can_be_gone_to(driver: Driver) -> None:
    """Back and on by the arrows; what was taken back stays in the list."""
    driver.click(OPENING)
    driver.press(Qt.Key.Key_Delete)
    driver.click(BROKEN)
    driver.control(Qt.Key.Key_D)
    after = driver.lesson
    driver.control(Qt.Key.Key_H)
    steps = driver.notebook.desk.looking.steps_list
    assert steps is not None
    assert steps.shown == ("As it was opened", "Delete heading", "Duplicate broken chords")
    driver.press(Qt.Key.Key_Up)
    driver.press(Qt.Key.Key_Up)
    assert driver.lesson == small_lesson()
    assert len(steps.shown) == 3
    driver.press(Qt.Key.Key_End)
    assert driver.lesson == after
    driver.press(Qt.Key.Key_Home)
    driver.press(Qt.Key.Key_Escape)
    assert steps.isHidden()
    assert driver.lesson == small_lesson()
    assert driver.notebook.open_lesson.redo_label == "Delete heading"


def test_notes_are_copied_for_other_programs(driver: Driver) -> None:
    """As MusicXML, in its own kind and as text."""
    driver.click(BROKEN)
    driver.notebook.actions_table["copy_notes"].trigger()
    content = QGuiApplication.clipboard().mimeData()
    assert content is not None
    score = ElementTree.fromstring(bytes(content.data(MUSICXML_TYPE).data()))
    assert score.tag == "score-partwise"
    assert len(score.findall(".//note")) > 20
    driver.click(FIRST_NOTE)
    driver.notebook.actions_table["copy_notes"].trigger()
    assert "no drill" in driver.notebook.desk.messages.sentence
    assert isinstance(driver.lesson.block(FIRST_NOTE), Note)
