"""A studio owner's afternoon, with the mouse and the keys: last year's term for this year, until it lies on paper."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pypdf
from PySide6.QtCore import Qt

from desktop.plan.binder_part import BinderPart
from desktop.plan.coverage_part import CoveragePart
from desktop.plan.house_part import HousePart
from desktop.plan.new_term import LAST_YEAR
from desktop.rooms import LESSONS
from lessonkit.curriculum.seen import counted
from lessonkit.curriculum.term_edits import remove_week
from lessonkit.lesson.lesson import Drill
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.term_file import read_term, save_term
from tests.desktop.conftest import Driver
from tests.desktop.test_plan import (
    LEFT,
    SAMPLES,
    TAKEN,
    Answers,
    begin,
    carry,
    enter,
    folder,
    part_of,
    row_point,
    shelf_point,
)
from tests.desktop.test_plan_coverage import click_cell
from tests.desktop.test_plan_house import spoil

__all__ = ["folder"]


class Owner(Answers):
    """Where the owner keeps things."""

    binders = Path()

    def where_to_bind(self, folder: Path) -> Path | None:
        return self.binders


def test_last_years_term_becomes_this_years_binder(driver: Driver, folder: Path, tmp_path: Path) -> None:
    """New dates, a holiday, a lesson more, a gap filled, all in house style; then one student's binder, read back."""
    term = read_term(folder / "twelve_keys.term")
    for week in term.weeks[3:]:
        term = remove_week(term, week.id)
    save_term(term, folder / "twelve_keys.term")
    shutil.copy(SAMPLES / "lantern_street.house", folder)
    spoil(folder / TAKEN[0])
    driver.notebook._memory.term = folder / "twelve_keys.term"
    room = enter(driver)
    driver.qtbot.waitUntil(lambda: room.beside.is_read and room.counting.is_judged, timeout=60000)

    dialog = begin(driver, room, folder / "this_year.term")
    dialog.way.setFocus()
    while dialog.way.currentData() != LAST_YEAR:
        driver.qtbot.keyClick(dialog.way, Qt.Key.Key_Down)
    dialog.name.setFocus()
    dialog.name.selectAll()
    driver.qtbot.keyClicks(dialog.name, "Spring in Lantern Street")
    dialog.starts.show_day(date(2027, 1, 13))
    driver.qtbot.mouseClick(dialog.begin, LEFT)
    driver.window.activateWindow()
    driver.qtbot.waitUntil(driver.window.isActiveWindow)
    driver.qtbot.waitUntil(lambda: room.counting.is_judged, timeout=60000)
    assert driver.window.windowTitle() == "Spring in Lantern Street[*] · this_year.term"

    form = room.weeks.term_form
    form.holiday_first.show_day(date(2027, 1, 18))
    form.holiday_last.show_day(date(2027, 1, 22))
    driver.qtbot.mouseClick(form.holiday_name, LEFT)
    driver.type("Frost")
    driver.press(Qt.Key.Key_Return)
    assert [one.day for one in room.open_term.term.dated] == [date(2027, 1, 13), date(2027, 1, 27), date(2027, 2, 3)]
    shelf = room.weeks.shelf
    second = room.open_term.term.weeks[1].lessons[0].id
    carry(shelf.list.viewport(), shelf_point(shelf, "Three chords make a home"), room.weeks.view.viewport(),
          row_point(room, second, 0.9))  # fmt: skip
    assert [placed.lesson for placed in room.open_term.term.weeks[1].lessons] == [TAKEN[1], TAKEN[0]]

    house = part_of(driver, room, "House style")
    assert isinstance(house, HousePart)
    driver.qtbot.waitUntil(lambda: house.list.count() == 1)
    driver.qtbot.mouseClick(house.mend_each, LEFT)
    house.mending.finish()
    driver.qtbot.waitUntil(lambda: house.list.count() == 0)
    assert read_lesson(folder / TAKEN[0]).author == "Lantern Street Piano Room"

    driver.qtbot.waitUntil(lambda: room.counting.is_judged, timeout=60000)
    coverage = part_of(driver, room, "Coverage")
    assert isinstance(coverage, CoveragePart)
    driver.qtbot.waitUntil(lambda: bool(coverage.grid.grid.rows), timeout=60000)
    click_cell(driver, coverage, is_gap=True)
    gap, axes = coverage.grid.cell, coverage.axes
    driver.qtbot.mouseClick(coverage.places.fill, LEFT)
    driver.qtbot.waitUntil(coverage.places.put_in.isVisible, timeout=60000)
    driver.qtbot.mouseClick(coverage.places.put_in, LEFT)
    assert driver.notebook.room == LESSONS
    driver.settle()
    driver.control(Qt.Key.Key_S)
    path = driver.notebook.open_lesson.path
    assert path is not None
    saved = read_lesson(path)
    new = next(block for block in saved.blocks if block.id == driver.notebook.desk.selection.ids[0])
    assert isinstance(new, Drill)
    assert gap in counted(new.family, saved.setting).cells(*axes)

    driver.control(Qt.Key.Key_3)
    driver.qtbot.waitUntil(
        lambda: room.counting.is_covered and bool(room.counting.coverage.counts(*axes).get(gap)), timeout=60000
    )
    binder = part_of(driver, room, "Binder")
    assert isinstance(binder, BinderPart)
    owner = Owner()
    owner.binders = tmp_path / "binders"
    room.questions = owner  # type: ignore[assignment]
    binder.whom.setFocus()
    while binder.whom.currentText() != "JP":
        driver.press(Qt.Key.Key_Down)
    driver.qtbot.mouseClick(binder.bind, LEFT)
    driver.qtbot.waitUntil(lambda: binder.run is None and binder.list.count() > 0, timeout=120000)
    [made] = (tmp_path / "binders").glob("*.pdf")
    texts = [page.extract_text() for page in pypdf.PdfReader(made).pages]
    assert texts[0].startswith("Spring in Lantern Street")
    contents = texts[0]
    for words in ("Week 1 · 13 January 2027", "Week 2 · 27 January 2027", "Week 3 · 3 February 2027"):
        assert words in contents
    assert not any("Somebody" in text for text in texts)
    assert sum("Three chords make a home" in text and "♩" in text for text in texts) >= 2
    driver.notebook.plan.close()
