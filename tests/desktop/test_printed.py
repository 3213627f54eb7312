"""How the lesson will be printed: editions, papers and sheets are seen as they are printed, and printed as seen."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QPushButton

from desktop.printed.print_preview import EDITIONS, PAPERS, READINGS, SHEETS, PrintPreview
from lessonkit.handout.imposition import Imposition, imposed
from lessonkit.handout.pdf import pdf_bytes
from lessonkit.lesson.edits import set_paper, set_title
from lessonkit.lesson.lesson import Note, Paper, Space
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.pages.flow import pages_of
from lessonkit.pages.page_look import Reading
from tests.desktop.conftest import FIRST_NOTE, Driver


def preview(driver: Driver) -> PrintPreview:
    """What is seen after Ctrl+E."""
    driver.control(Qt.Key.Key_E)
    found = driver.notebook.preview
    assert found is not None
    assert found.preview is not None
    assert found.preview.isVisible()
    return found.preview


def choose(driver: Driver, box: QComboBox, steps: int) -> None:
    """Go down a list with the arrow key."""
    box.setFocus()
    for _ in range(steps):
        driver.qtbot.keyClick(box, Qt.Key.Key_Down)


def test_the_lists_are_whole() -> None:
    """What can be printed can be seen first."""
    assert set(EDITIONS) == set(Edition)
    assert set(READINGS) == set(Reading)
    assert set(PAPERS) == {None, *Paper}
    assert set(SHEETS) == set(Imposition)


def test_each_edition_is_seen_and_printed_as_it_is_seen(driver: Driver, tmp_path: Path) -> None:
    """The file has the very pages that are on the screen."""
    seen = preview(driver)
    assert seen.pages == pages_of(driver.lesson)
    driver.answers.printing = tmp_path / "seen.pdf"
    for number, edition in enumerate(EDITIONS):
        choose(driver, seen.edition, 1 if number else 0)
        assert seen.edition.currentData() is edition
        assert seen.pages == edition_pages(driver.lesson, edition)
        driver.control(Qt.Key.Key_P)
        content = (tmp_path / "seen.pdf").read_bytes()
        assert content == pdf_bytes(seen.pages, driver.lesson.title, driver.lesson.author)
        assert driver.answers.suggested is not None
        tail = "" if edition is Edition.STUDENT else f"-{edition.value}"
        assert driver.answers.suggested.name.endswith(f"{tail}.pdf")


def test_readings_papers_and_booklets_are_seen_and_the_lesson_stays(driver: Driver, tmp_path: Path) -> None:
    """Another paper is tried without an edit; a booklet shows its sides in the order of the printer."""
    before = driver.lesson
    seen = preview(driver)
    choose(driver, seen.reading, 1)
    assert seen.pages == edition_pages(before, Edition.STUDENT, Reading.LETTERS)
    choose(driver, seen.paper, list(PAPERS).index(Paper.A5))
    choose(driver, seen.sheets, list(SHEETS).index(Imposition.BOOKLET))
    on_a5 = set_paper(before, Paper.A5)
    assert seen.pages == edition_pages(on_a5, Edition.STUDENT, Reading.LETTERS)
    assert seen.view.sheets == imposed(seen.pages, Imposition.BOOKLET)
    driver.answers.printing = tmp_path / "booklet.pdf"
    button = next(one for one in seen.findChildren(QPushButton) if one.text() == "Print to PDF …")
    driver.qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    expected = pdf_bytes(seen.pages, before.title, before.author, imposition=Imposition.BOOKLET)
    assert (tmp_path / "booklet.pdf").read_bytes() == expected
    assert driver.lesson == before
    assert not driver.notebook.open_lesson.has_unsaved


def test_an_edit_is_followed_and_escape_goes_back(driver: Driver, tmp_path: Path) -> None:
    """The settings at the right still change the lesson; afterwards everything prints as before."""
    seen = preview(driver)
    driver.notebook.open_lesson.edit("Title", set_title(driver.lesson, "Another name"))
    driver.qtbot.waitUntil(lambda: seen.pages == pages_of(driver.lesson))
    driver.notebook.desk.write()
    assert "go back to the lesson" not in driver.notebook.desk.messages.sentence
    driver.notebook.desk.selection.select(FIRST_NOTE)
    driver.notebook.desk.write()
    assert "go back to the lesson" in driver.notebook.desk.messages.sentence
    choose(driver, seen.edition, 3)
    seen.view.setFocus()
    driver.press(Qt.Key.Key_Escape)
    assert not seen.isVisible()
    assert driver.notebook.desk.view.hasFocus()
    driver.answers.printing = tmp_path / "usual.pdf"
    driver.control(Qt.Key.Key_P)
    usual = pdf_bytes(pages_of(driver.lesson), driver.lesson.title, driver.lesson.author)
    assert (tmp_path / "usual.pdf").read_bytes() == usual


def test_the_keys_for_zooming_act_on_what_is_seen(driver: Driver) -> None:
    """Larger, smaller and back to the window's width."""
    seen = preview(driver)
    fitted = seen.view.zoom
    driver.notebook.actions_table["zoom_in"].trigger()
    assert seen.view.zoom > fitted
    driver.notebook.actions_table["fit_width"].trigger()
    assert seen.view.zoom == fitted


def test_what_saves_a_page_is_offered_and_done_when_chosen(driver: Driver) -> None:
    """Never unasked: the menu itself changes nothing."""
    seen = preview(driver)
    for height in range(60, 250, 5):
        short = replace(driver.lesson, blocks=(Note("word " * 300, "n"), Space(height, "s"), driver.lesson.blocks[2]))
        driver.notebook.open_lesson.edit("Try", short)
        driver.settle()
        if len(pages_of(short)) == 2:
            seen.follow()
            seen.fit_menu.aboutToShow.emit()
            offers = [action for action in seen.fit_menu.actions() if "instead of" in action.text()]
            if offers:
                assert driver.lesson == short
                offers[0].trigger()
                assert len(pages_of(driver.lesson)) == 1
                assert len(seen.pages) == 1
                driver.notebook.open_lesson.undo()
                assert driver.lesson == short
                return
    pytest.fail("no lesson was a little too long")
