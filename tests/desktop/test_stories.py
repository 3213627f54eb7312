"""Whole stories, driven by mouse and keys through the real window, with the printed PDF looked at in the end."""

from __future__ import annotations

from pathlib import Path

import pypdf
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QSpinBox

from desktop.notebook import Notebook
from lessonkit.drills.choices import Hands
from lessonkit.lesson.edits import transposed
from lessonkit.lesson.lesson import Drill, Heading, Lesson, Note
from lessonkit.pages.flow import pages_of
from lessonkit.pages.page import TITLE_PLACE
from lessonkit.storage.lesson_file import read_lesson, save_lesson
from lessonkit.theory.key import Key
from tests.desktop.conftest import Driver, small_lesson

LEFT, CONTROL = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ControlModifier


def printed(path: Path) -> list[str]:
    """The words of each page of a PDF."""
    return [page.extract_text() for page in pypdf.PdfReader(path).pages]


def put_in(driver: Driver, words: str) -> None:
    """Put something in by words."""
    driver.notebook.desk.fill()
    driver.control(Qt.Key.Key_Return)
    driver.type(words)
    driver.press(Qt.Key.Key_Return)


def drills(lesson: Lesson) -> list[Drill]:
    return [block for block in lesson.blocks if isinstance(block, Drill)]


def test_a_teacher_writes_a_lesson_from_nothing(driver: Driver, tmp_path: Path) -> None:
    """Title, a note with live words, four drills, one of them a worksheet; saved and printed."""
    driver.answers.saving = tmp_path / "Soft sevenths.lesson"
    driver.answers.printing = tmp_path / "Soft sevenths.pdf"
    driver.control(Qt.Key.Key_N)
    driver.settle()
    driver.click(TITLE_PLACE)
    driver.control(Qt.Key.Key_A)
    driver.type("Soft sevenths")
    driver.press(Qt.Key.Key_Return)
    driver.control(Qt.Key.Key_K)
    driver.type("a")
    driver.type("b")
    assert driver.lesson.key == Key.parse("Ab")
    driver.notebook.desk.view.setFocus()
    put_in(driver, "note")
    driver.type("Hear {IV")
    driver.press(Qt.Key.Key_Return)
    driver.type(" and {notes V7} in both hands.")
    for words in ("broken left", "jump", "ii V I", "diatonic ladder"):
        put_in(driver, words)
    assert [type(block) for block in driver.lesson.blocks] == [Note, Drill, Drill, Drill, Drill]
    assert drills(driver.lesson)[0].family.hands is Hands.LEFT
    driver.notebook.desk.panel.finish()
    row = driver.notebook.desk.panel.form.rows["worksheet"]  # type: ignore[attr-defined]
    driver.qtbot.keyClick(row.findChild(QComboBox), Qt.Key.Key_Down)
    assert drills(driver.lesson)[3].family.worksheet is not drills(driver.lesson)[2].family.worksheet
    driver.control(Qt.Key.Key_S)
    driver.control(Qt.Key.Key_P)
    words = printed(tmp_path / "Soft sevenths.pdf")
    assert len(words) == len(pages_of(driver.lesson))
    assert "Soft sevenths" in words[0]
    assert "E♭ G B♭ D♭ in both hands." in words[0].replace("\n", " ")
    assert read_lesson(tmp_path / "Soft sevenths.lesson") == driver.lesson
    assert not driver.notebook.open_lesson.has_unsaved


def test_a_tutor_changes_key_and_shapes_of_an_old_lesson(driver: Driver, tmp_path: Path) -> None:
    """Opened, dragged to another key, one drill changed in its form, printed."""
    path = tmp_path / "Evening.lesson"
    save_lesson(small_lesson(), path)
    driver.answers.opening = path
    driver.answers.printing = tmp_path / "Evening.pdf"
    driver.control(Qt.Key.Key_O)
    driver.settle()
    driver.qtbot.mouseClick(driver.notebook.desk.strip.button_of(Key.parse("D")), LEFT)
    driver.settle()
    driver.click("broken")
    form = driver.notebook.desk.panel.form
    box = form.rows["inversion"].findChild(QSpinBox)  # type: ignore[attr-defined]
    driver.qtbot.keyClick(box, Qt.Key.Key_Up)
    editor = form.rows["hands"].editor  # type: ignore[attr-defined]
    driver.qtbot.mouseClick(editor.button_of(Hands.BOTH), LEFT)
    driver.control(Qt.Key.Key_P)
    words = printed(tmp_path / "Evening.pdf")
    assert len(words) == 2
    assert "D major" in words[0]
    assert "The chord is Gmaj7 today." in words[0].replace("\n", " ").replace("G maj7", "Gmaj7")
    assert "both hands" in words[0]
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)
    driver.control(Qt.Key.Key_S)
    assert read_lesson(path) == driver.lesson


def test_a_studio_owner_copies_a_lesson_into_three_keys(driver: Driver, tmp_path: Path) -> None:
    """Three files beside the first; each opens and prints in its key."""
    path = tmp_path / "Evening.lesson"
    save_lesson(small_lesson(), path)
    driver.answers.opening = path
    driver.answers.keys = "C, G, F"
    driver.control(Qt.Key.Key_O)
    driver.notebook.actions_table["copies"].trigger()
    for key in ("C", "G", "F"):
        driver.answers.opening = tmp_path / f"Evening in {key} major.lesson"
        driver.answers.printing = tmp_path / f"{key}.pdf"
        driver.control(Qt.Key.Key_O)
        assert driver.lesson == transposed(small_lesson(), Key.parse(key))
        driver.control(Qt.Key.Key_P)
        assert f"{key} major" in printed(tmp_path / f"{key}.pdf")[0]
    assert read_lesson(path) == small_lesson()


def test_a_heading_typed_into_the_middle_of_a_note(driver: Driver) -> None:
    """The keys alone: write, put a heading where the caret is, go on."""
    notebook: Notebook = driver.notebook
    driver.click("last")
    driver.press(Qt.Key.Key_Return)
    put_in(driver, "small heading")
    driver.type("At home")
    driver.press(Qt.Key.Key_Return)
    assert driver.lesson.blocks[-1] == Heading("At home", 2, driver.lesson.blocks[-1].id)
    driver.settle()
    assert notebook.desk.drawn.pages == pages_of(driver.lesson)
