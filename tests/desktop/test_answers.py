"""The answers to worksheets in the window."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt

from lessonkit.drills.family import family
from lessonkit.lesson.edits import set_key
from lessonkit.lesson.lesson import Drill
from lessonkit.pages.flow import pages_of
from lessonkit.theory.key import Key
from tests.desktop.conftest import Driver, small_lesson


def test_the_answers_are_shown_as_they_are_printed(driver: Driver) -> None:
    """What is printed with answers can be seen before it is printed, and follows every change."""
    sheet = Drill(family("degree-detective")(), id="sheet")
    driver.notebook.open_lesson.open(replace(small_lesson(), blocks=(*small_lesson().blocks, sheet)), None)
    driver.settle()
    plain = driver.notebook.desk.drawn.pages
    driver.press(Qt.Key.Key_F8)
    driver.settle()
    assert driver.notebook.actions_table["answers"].isChecked()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson, shows_answers=True)
    assert len(driver.notebook.desk.drawn.pages) > len(plain)
    assert driver.notebook.desk.view.page_number == driver.notebook.desk.drawn.first_answer_page
    driver.notebook.open_lesson.edit("Key", set_key(driver.lesson, Key.parse("A")))
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson, shows_answers=True)
    driver.press(Qt.Key.Key_F8)
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)
    assert not driver.notebook.actions_table["answers"].isChecked()


def test_a_lesson_without_worksheets_says_that_it_has_no_answers(driver: Driver) -> None:
    """A switch that does nothing would look broken."""
    driver.press(Qt.Key.Key_F8)
    assert "no answers" in driver.notebook.desk.messages.sentence
    assert not driver.notebook.actions_table["answers"].isChecked()
