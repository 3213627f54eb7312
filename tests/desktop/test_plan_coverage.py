"""What the term covers and how hard it is, in the terms room driven with the mouse and the keys."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt

from desktop.memory import counts_file
from desktop.plan.axes import ACROSS, DOWN, TITLES, values_along
from desktop.plan.coverage_part import CoveragePart
from desktop.plan.hardness_part import HardnessPart, hardest_words
from desktop.plan.plan_room import PlanRoom
from desktop.rooms import LESSONS, TERMS
from lessonkit.curriculum.coverage import TWELVE_MAJOR, Coverage, coverage_of
from lessonkit.curriculum.issue import issued
from lessonkit.curriculum.seen import OF, Axis, counted
from lessonkit.curriculum.term_edits import place_lesson
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import family
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.storage.lesson_file import save_lesson
from lessonkit.theory.key import Key
from tests.desktop.conftest import Driver
from tests.desktop.test_plan import LEFT, click, folder, room

__all__ = ["folder", "room"]


@pytest.fixture
def part(driver: Driver, room: PlanRoom) -> CoveragePart:
    """The grid, seen."""
    driver.qtbot.keyClick(driver.window, Qt.Key.Key_2, Qt.KeyboardModifier.AltModifier)
    part = room.parts["Coverage"]
    assert isinstance(part, CoveragePart)
    driver.qtbot.waitUntil(lambda: bool(part.grid.grid.rows))
    return part


def click_cell(driver: Driver, part: CoveragePart, is_gap: bool) -> QPoint:
    """Click the first cell with drills, or the first gap."""
    grid = part.grid.grid
    row, column = next(
        (row, column)
        for row in range(len(grid.rows))
        for column in range(len(grid.columns))
        if bool(grid.counts.get((grid.rows[row], grid.columns[column]))) is not is_gap
    )
    index = grid.index(row, column)
    part.grid.scrollTo(index)
    point = part.grid.visualRect(index).center()
    driver.qtbot.mouseClick(part.grid.viewport(), LEFT, pos=point)
    return point


def test_every_side_can_be_chosen() -> None:
    """What can be counted along can be looked at."""
    assert set(Axis) == set(TITLES) == set(DOWN) | set(ACROSS)


def test_the_numbers_are_those_of_the_drills(room: PlanRoom, part: CoveragePart) -> None:
    """Counted again by hand: each drill once for each cell that something in it belongs to."""
    expected: Counter[tuple[object, object]] = Counter()
    for _, placed in room.open_term.term.placements:
        if placed.lesson in room.beside.lessons:
            lesson = issued(room.beside.lessons[placed.lesson], placed)
            for block in lesson.blocks:
                if isinstance(block, Drill):
                    seen = counted(block.family, lesson.setting).seen
                    expected.update({(OF[Axis.SKILL](one), OF[Axis.KEY](one)) for one in seen})
    grid = part.grid.grid
    shown = {
        (row, column): int(grid.data(grid.index(down, across)))
        for down, row in enumerate(grid.rows)
        for across, column in enumerate(grid.columns)
    }
    assert {cell: count for cell, count in shown.items() if count} == dict(expected)
    assert set(TWELVE_MAJOR) <= set(grid.columns)


@pytest.mark.parametrize("columns", ACROSS)
def test_the_choosers_change_what_is_shown(driver: Driver, part: CoveragePart, columns: Axis) -> None:
    """By keys, and every cell is told in words."""
    part.across.setFocus()
    part.across.setCurrentIndex(ACROSS.index(columns))
    driver.press(Qt.Key.Key_Down if columns is ACROSS[0] else Qt.Key.Key_Up)
    driver.press(Qt.Key.Key_Up if columns is ACROSS[0] else Qt.Key.Key_Down)
    assert part.axes == (Axis.SKILL, columns)
    grid = part.grid.grid
    assert grid.columns == values_along(part._counting.coverage, columns)
    said = grid.data(grid.index(0, 0), Qt.ItemDataRole.AccessibleTextRole)
    assert said.startswith(f"{grid.row_words[0]}, {grid.column_names[0]}: ")


def test_a_cell_tells_first_and_last_and_opens_a_drill(driver: Driver, room: PlanRoom, part: CoveragePart) -> None:
    """From the number to the very drill, with the block selected."""
    click_cell(driver, part, is_gap=False)
    assert part.grid.cell is not None
    found = room.counting.coverage.places(*part.axes, part.grid.cell)
    assert part.places.list.count() == len(found) > 0
    assert f"week {found[0].week} (" in part.places.said.text()
    part.places.list.setFocus()
    part.places.list.setCurrentRow(0)
    driver.press(Qt.Key.Key_Return)
    assert driver.notebook.room == LESSONS
    assert driver.notebook.open_lesson.path == room.beside.path_of(found[0].lesson)
    assert driver.notebook.desk.selection.ids == (found[0].block_id,)
    driver.settle()


def test_a_gap_is_filled_by_a_proposed_drill(driver: Driver, room: PlanRoom, part: CoveragePart) -> None:
    """The drill stands in its lesson, selected, one undo away from not being there; it does fill the gap."""
    click_cell(driver, part, is_gap=True)
    cell, axes = part.grid.cell, part.axes
    assert part.places.said.text().startswith("A gap")
    driver.qtbot.mouseClick(part.places.fill, LEFT)
    driver.qtbot.waitUntil(part.places.put_in.isVisible, timeout=60000)
    assert part.places.why.text().splitlines()[-1].startswith("Week ")
    driver.qtbot.mouseClick(part.places.put_in, LEFT)
    assert driver.notebook.room == LESSONS
    block = driver.notebook.desk.selection.only
    assert isinstance(block, Drill)
    assert cell in counted(block.family, driver.lesson.setting).cells(*axes)
    assert driver.notebook.open_lesson.undo_label.startswith("Insert ")
    driver.control(Qt.Key.Key_Z)
    assert not driver.notebook.open_lesson.has_unsaved
    driver.settle()


def test_an_edit_of_the_term_is_counted_anew(driver: Driver, room: PlanRoom, part: CoveragePart) -> None:
    """A lesson that is placed twice counts twice, and the chosen cell stays chosen."""
    click_cell(driver, part, is_gap=False)
    cell = part.grid.cell
    assert cell is not None
    before = dict(part.grid.grid.counts)
    place = room.counting.coverage.places(*part.axes, cell)[0]
    term = room.open_term.term
    room.open_term.edit("Place again", place_lesson(term, term.weeks[-1].id, place.lesson))
    driver.qtbot.waitUntil(lambda: part.grid.grid.counts.get(cell, 0) > before[cell], timeout=60000)
    assert part.grid.cell == cell
    driver.control(Qt.Key.Key_Z)
    driver.qtbot.waitUntil(lambda: dict(part.grid.grid.counts) == before, timeout=60000)


def test_lessons_that_are_not_placed_can_be_counted_too(
    driver: Driver, room: PlanRoom, part: CoveragePart, folder: Path
) -> None:
    """One choice; a lesson that is saved meanwhile is counted anew, and the counts are kept outside of the folder."""
    loose = folder / "loose.lesson"
    stride = Lesson("Loose", key=Key.parse("E"), blocks=(Drill(family("stride")(), "s"),))
    save_lesson(stride, loose)
    before = sorted(folder.iterdir())
    part.which.setFocus()
    driver.press(Qt.Key.Key_Down)
    driver.qtbot.waitUntil(lambda: any(one.name == "loose.lesson" for one in part.coverage.lessons), timeout=60000)
    term = room.counting.coverage
    own = {one.name for one in term.lessons}
    others = [
        (name, room.beside.lessons.get(name) or stride) for name in sorted({*room.beside.lessons, loose.name} - own)
    ]
    expected = Coverage((*term.lessons, *coverage_of(others).lessons))
    assert dict(part.grid.grid.counts) == dict(expected.counts(*part.axes))
    skill = next(one for one in expected.values(Axis.SKILL) if one.family == "stride")
    part.grid.choose((skill, Key.parse("E")))
    assert "in “Loose”" in part.places.said.text() or "in “loose”" in part.places.said.text()
    save_lesson(replace(stride, blocks=()), loose)
    driver.control(Qt.Key.Key_1)
    driver.control(Qt.Key.Key_3)
    driver.qtbot.waitUntil(lambda: skill not in part.grid.grid.rows, timeout=60000)
    driver.qtbot.waitUntil(counts_file().exists)
    assert sorted(folder.iterdir()) == before
    part.which.setFocus()
    driver.press(Qt.Key.Key_Up)
    assert part.coverage is room.counting.coverage


def test_the_chart_and_its_lists_open_drills(driver: Driver, room: PlanRoom) -> None:
    """A dot tells what it is; a double click goes to the drill that is so hard."""
    driver.qtbot.keyClick(driver.window, Qt.Key.Key_3, Qt.KeyboardModifier.AltModifier)
    part = room.parts["Difficulty"]
    assert isinstance(part, HardnessPart)
    driver.qtbot.waitUntil(lambda: room.counting.is_judged, timeout=60000)
    judged = room.counting.judged
    assert part.jumps.count() == len(judged.jumps)
    assert part.early.count() == len(judged.too_early)
    dots = [mark for mark in part.chart.drawing.marks if mark.kind == "week dot"]
    assert len(dots) == sum(len(hands) for hands in judged.weeks.values())
    mark = dots[0]
    x, y = (mark.box.left + mark.box.right) / 2, (mark.box.top + mark.box.bottom) / 2
    point = QPoint(round(x * 4 / 3 + 16), round(y * 4 / 3 + 16))
    hardest = part.chart.hardest_at(point.toPointF())
    assert hardest is not None
    assert hardest.hand in (Hand.RIGHT, Hand.LEFT)
    assert hardest_words(hardest).startswith(f"Week {hardest.place.week}, {hardest.hand.value} hand: ")
    driver.qtbot.mouseDClick(part.chart, LEFT, pos=point)
    assert driver.notebook.room == LESSONS
    assert driver.notebook.desk.selection.ids == (hardest.place.block_id,)
    driver.settle()


def test_what_comes_too_early_is_listed(driver: Driver, room: PlanRoom) -> None:
    """A term that begins with its last lesson uses what nothing has introduced, or there is nothing to tell."""
    click(driver, room, "lesson-03")
    for _ in range(4):
        driver.press(Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    driver.qtbot.waitUntil(lambda: room.counting.is_judged, timeout=60000)
    driver.qtbot.keyClick(driver.window, Qt.Key.Key_3, Qt.KeyboardModifier.AltModifier)
    part = room.parts["Difficulty"]
    assert isinstance(part, HardnessPart)
    said = [part.early.item(place).text() for place in range(part.early.count())]
    assert len(said) == len(room.counting.judged.too_early)
    assert all(one.what in words for one, words in zip(room.counting.judged.too_early, said, strict=True))
    weeks = [one.place.week for one in room.counting.judged.too_early]
    assert all(first <= then for first, then in pairwise(weeks))


def test_going_through_the_parts_keeps_the_room(driver: Driver, room: PlanRoom, part: CoveragePart) -> None:
    """Another room and back: the part that was looked at is still there."""
    driver.control(Qt.Key.Key_1)
    driver.control(Qt.Key.Key_3)
    assert driver.notebook.room == TERMS
    assert room.part == "Coverage"
    assert part.isVisible()
    assert isinstance(room.counting.coverage, Coverage)
