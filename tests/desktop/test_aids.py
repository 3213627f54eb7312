"""Aids in the window: a page around a drill in one step, aids that follow their drill, notes kept for the teacher."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QLabel

from lessonkit.drills.family import Hands
from lessonkit.lesson.edits import insert_blocks, set_drill_setting
from lessonkit.lesson.lesson import Aid, Drill, Note, UnknownAid
from lessonkit.pages.flow import pages_of
from tests.desktop.conftest import BROKEN, FIRST_NOTE, Driver


def words(driver: Driver) -> str:
    """All that is said on the pages on the screen."""
    pages = driver.notebook.desk.drawn.pages
    marks = (mark for page in pages for part in page.parts for mark in part.placed.drawing.marks)
    return "\n".join(mark.detail for mark in marks if mark.kind == "text")


def test_a_page_is_made_around_a_drill_and_taken_back_in_one_step(driver: Driver) -> None:
    """One command, one undo."""
    before = driver.lesson
    driver.click(BROKEN)
    driver.notebook.desk.commands.page_around()
    driver.settle()
    assert sum(isinstance(block, Aid) for block in driver.lesson.blocks) > 5
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)
    driver.notebook.open_lesson.undo()
    assert driver.lesson == before


def test_aids_follow_the_drill_that_they_belong_to(driver: Driver) -> None:
    """An aim that names the other hand would be worse than none."""
    driver.click(BROKEN)
    driver.notebook.desk.commands.page_around()
    open_lesson = driver.notebook.open_lesson
    open_lesson.edit("Hand", set_drill_setting(driver.lesson, BROKEN, "hands", Hands.LEFT))
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)
    (aim,) = [line for line in words(driver).splitlines() if line.startswith("Play ")][:1]
    assert "left hand" in words(driver)[words(driver).index(aim) :].split("Keys today")[0]


def test_the_form_of_an_aid_changes_it(driver: Driver) -> None:
    """What is typed stands on the page at once."""
    driver.click(BROKEN)
    driver.notebook.desk.commands.page_around()
    driver.settle()
    aid = next(block for block in driver.lesson.blocks if isinstance(block, Aid) and block.shows.code == "now-use-it")
    driver.notebook.desk.selection.select(aid.id)
    driver.notebook.desk.panel.form.rows["text"].editor.edited.emit("Make up a lullaby.")  # type: ignore[attr-defined]
    driver.settle()
    assert "Make up a lullaby." in words(driver)


def test_a_note_kept_for_the_teacher_is_seen_and_not_printed(driver: Driver) -> None:
    """The window belongs to the teacher, the handout to the student."""
    note = driver.lesson.block(FIRST_NOTE)
    assert isinstance(note, Note)
    driver.notebook.desk.selection.select(FIRST_NOTE)
    driver.notebook.desk.panel.form.rows["for_teacher"].editor.edited.emit(True)  # type: ignore[attr-defined]
    driver.settle()
    assert driver.lesson.block(FIRST_NOTE) == replace(note, for_teacher=True)
    assert "For the teacher" in words(driver)
    ids = {part.block_id for page in pages_of(driver.lesson) for part in page.parts}
    assert FIRST_NOTE not in ids
    assert any(isinstance(block, Drill) for block in driver.lesson.blocks)


def test_an_aid_of_another_version_is_told_of_moved_and_kept(driver: Driver) -> None:
    """It can be put elsewhere like any block, and nothing of it changes."""
    unknown = UnknownAid("sticker-chart", '{"rows":3.50}', "u")
    driver.notebook.open_lesson.edit("Put in", insert_blocks(driver.lesson, 1, (unknown,)))
    driver.settle()
    assert "Unknown aid “sticker-chart”" in words(driver)
    driver.click("u")
    labels = driver.notebook.desk.panel.form.findChildren(QLabel)
    assert any("It stays in the lesson as it is" in label.text() for label in labels)
    driver.notebook.desk.commands.move_down()
    assert driver.lesson.blocks[2] == unknown
