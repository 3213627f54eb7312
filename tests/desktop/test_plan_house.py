"""The house style of a studio in the terms room: what lessons agree on, where they differ, mending them."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from desktop.plan.house_form import HOLDS
from desktop.plan.house_part import HousePart
from desktop.plan.house_pieces import PIECES
from desktop.plan.plan_room import PlanRoom
from lessonkit.curriculum.house import POINTS, Binding, HouseStyle, deviations
from lessonkit.lesson.lesson import Lesson, Paper
from lessonkit.storage.house_file import read_house
from lessonkit.storage.lesson_file import read_lesson, save_lesson
from lessonkit.theory.label_style import LabelStyle
from tests.desktop.conftest import Driver
from tests.desktop.test_plan import LEFT, SAMPLES, TAKEN, Answers, folder, opened, part_of
from tests.lessonkit.lesson.test_letterhead import picture

__all__ = ["folder"]


class HouseAnswers(Answers):
    """Which house style the teacher of the tests names."""

    def house_to_open(self, folder: Path) -> Path | None:
        return self.opening

    def where_to_keep_house(self, suggested: Path) -> Path | None:
        return self.saving


def spoil(path: Path) -> Lesson:
    """Let a lesson differ in what is locked and in what is advised."""
    lesson = read_lesson(path)
    house = replace(lesson.house, label_style=LabelStyle(half_diminished="ø7"), staff_tenths=90)
    lesson = replace(lesson, author="Somebody", house=house)
    save_lesson(lesson, path)
    return lesson


@pytest.fixture
def room(driver: Driver, folder: Path) -> Iterator[PlanRoom]:
    """The terms room with a house style, and two lessons that differ."""
    shutil.copy(SAMPLES / "lantern_street.house", folder)
    for name in TAKEN[:2]:
        spoil(folder / name)
    yield from opened(driver, folder)


@pytest.fixture
def part(driver: Driver, room: PlanRoom) -> HousePart:
    """The house style, seen."""
    part = part_of(driver, room, "House style")
    assert isinstance(part, HousePart)
    driver.qtbot.waitUntil(lambda: part.list.count() > 0)
    return part


def on_disk(part: HousePart) -> HouseStyle:
    """The house style as its file has it."""
    part.house.saving.finish()
    assert part.house.path is not None
    return read_house(part.house.path)


def texts(part: HousePart) -> list[str]:
    """What is said of each lesson that differs."""
    return [part.list.item(at).text() for at in range(part.list.count())]


def test_every_point_can_be_edited() -> None:
    """A point without a row could be locked by nobody."""
    assert set(PIECES) == set(POINTS)
    assert [binding for _, binding in HOLDS] == list(Binding)


@pytest.mark.parametrize("name", POINTS)
def test_the_editors_of_a_point_show_and_set_its_value(name: str) -> None:
    """What an editor sets is what it shows afterwards, and nothing else is touched."""
    plain = Lesson()
    for piece in PIECES[name][1]:
        assert piece.to(plain, piece.of(plain)) == plain
    other = replace(plain, author="Studio", paper=Paper.LETTER)
    for piece in PIECES[name][1]:
        assert piece.of(piece.to(plain, piece.of(other))) == piece.of(other)


def test_what_differs_is_listed_the_locked_first(part: HousePart) -> None:
    """In the order of teaching, each difference a line."""
    first, second = texts(part)
    assert first.startswith("Three chords make a home\n")
    assert second.startswith("Climbing the scale\n")
    told = first.splitlines()[1:]
    assert told[0] == "The name at the head: Somebody; has to be Lantern Street Piano Room"
    assert told[-1] == "The height of the staff: 9 mm; better 7 mm"


def test_one_lesson_is_mended_in_its_file_and_back(driver: Driver, folder: Path, part: HousePart) -> None:
    """One step, one undo; the other lesson stays."""
    before = [read_lesson(folder / name) for name in TAKEN]
    driver.qtbot.mouseClick(part.mend_one, LEFT)
    part.mending.finish()
    mended = read_lesson(folder / TAKEN[0])
    assert deviations(mended, part.house.style) == ()
    assert mended.blocks == before[0].blocks
    assert read_lesson(folder / TAKEN[1]) == before[1]
    driver.qtbot.waitUntil(lambda: part.list.count() == 1)
    driver.control(Qt.Key.Key_Z)
    part.mending.finish()
    assert [read_lesson(folder / name) for name in TAKEN] == before
    driver.qtbot.waitUntil(lambda: part.list.count() == 2)


def test_all_are_mended_at_once_but_only_what_is_locked(driver: Driver, folder: Path, part: HousePart) -> None:
    """A tick keeps what is only advised; redo makes again what undo took back."""
    driver.qtbot.mouseClick(part.only_locked, LEFT)
    assert all("has to be" in words and "better" not in words for words in texts(part))
    driver.qtbot.mouseClick(part.mend_each, LEFT)
    part.mending.finish()
    found = [read_lesson(folder / name) for name in TAKEN[:2]]
    assert [one.author for one in found] == ["Lantern Street Piano Room"] * 2
    assert [one.house.staff_tenths for one in found] == [90, 90]
    assert part.house.undo_label == "Bring 2 lessons into house style"
    driver.control(Qt.Key.Key_Z)
    driver.press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    part.mending.finish()
    assert [read_lesson(folder / name) for name in TAKEN[:2]] == found
    driver.qtbot.waitUntil(lambda: "agrees" in part._said.text())


def test_a_lesson_that_was_changed_meanwhile_is_not_written_over(driver: Driver, folder: Path, part: HousePart) -> None:
    """Undo takes back what it did, and nothing that somebody did since."""
    driver.qtbot.mouseClick(part.mend_each, LEFT)
    part.mending.finish()
    changed = replace(read_lesson(folder / TAKEN[0]), aims="Typed since.")
    save_lesson(changed, folder / TAKEN[0])
    driver.control(Qt.Key.Key_Z)
    part.mending.finish()
    assert read_lesson(folder / TAKEN[0]) == changed
    assert read_lesson(folder / TAKEN[1]).author == "Somebody"
    driver.qtbot.waitUntil(lambda: "stays as it is" in driver.notebook.desk.messages.sentence)


def test_the_lesson_that_is_open_is_mended_where_it_is_open(
    driver: Driver, room: PlanRoom, folder: Path, part: HousePart
) -> None:
    """What is typed there and not saved is kept, and its teacher saves it."""
    path = folder / TAKEN[0]
    assert driver.notebook.desk.files.open_path(path)
    opened = driver.notebook.open_lesson
    opened.edit("Aims", replace(opened.lesson, aims="Not saved."))
    on_file = path.read_bytes()
    part.show_deviations()
    driver.qtbot.mouseClick(part.mend_each, LEFT)
    part.mending.finish()
    assert opened.lesson.aims == "Not saved."
    assert opened.lesson.author == "Lantern Street Piano Room"
    assert opened.has_unsaved
    assert path.read_bytes() == on_file
    driver.qtbot.waitUntil(lambda: "open in the lessons room" in driver.notebook.desk.messages.sentence)
    driver.control(Qt.Key.Key_Z)
    assert opened.lesson.author == "Somebody"
    driver.settle()


def test_points_are_locked_and_set_saved_and_taken_back(driver: Driver, part: HousePart) -> None:
    """Each is a step of undo and in the file at once."""
    before = part.house.style
    staff = part.form.points["staff_tenths"]
    staff.holds.setFocus()
    driver.press(Qt.Key.Key_Up)
    assert on_disk(part).binding("staff_tenths") is Binding.LOCKED
    assert "has to be 7 mm" in texts(part)[0]
    [(_, editor)] = staff.editors
    editor.focus.setFocus()
    driver.press(Qt.Key.Key_Down)
    assert on_disk(part).model.house.staff_tenths == 75
    name = part.form.points["letterhead"].editors[0][1].focus
    name.setFocus()
    name.selectAll()  # type: ignore[attr-defined]
    driver.type("Quay Street")
    assert on_disk(part).model.author == "Quay Street"
    while part.house.undo_label:
        driver.control(Qt.Key.Key_Z)
    assert on_disk(part) == before


def test_a_picture_is_chosen_for_the_head(driver: Driver, folder: Path, part: HousePart) -> None:
    """It goes into every lesson that is mended; what is no picture is refused in a sentence."""
    row = part.form.points["letterhead_picture"]
    [(_, editor)] = row.editors
    wrong, right = folder / "wrong.png", folder / "right.png"
    wrong.write_bytes(b"no picture")
    right.write_bytes(picture("PNG"))
    editor.ask = lambda: wrong  # type: ignore[attr-defined]
    driver.qtbot.mouseClick(editor.choose, LEFT)  # type: ignore[attr-defined]
    assert row.reason.text().startswith("This is neither a PNG nor a JPEG picture")
    editor.ask = lambda: right  # type: ignore[attr-defined]
    driver.qtbot.mouseClick(editor.choose, LEFT)  # type: ignore[attr-defined]
    assert row.reason.text() == ""
    row.holds.setFocus()
    driver.press(Qt.Key.Key_Up)
    assert on_disk(part).binding("letterhead_picture") is Binding.ADVISED
    driver.qtbot.mouseClick(part.mend_each, LEFT)
    part.mending.finish()
    letterhead = read_lesson(folder / TAKEN[2]).house.letterhead
    assert letterhead is not None
    assert letterhead.content == picture("PNG")


def test_the_house_takes_over_from_a_lesson(driver: Driver, part: HousePart) -> None:
    """Whoever likes one lesson makes it the measure of the others."""
    driver.qtbot.mouseClick(part.as_lesson, LEFT)
    style = on_disk(part)
    assert style.model.author == "Somebody"
    assert style.binding("label_style") is Binding.LOCKED
    assert len(texts(part)) == 1


def test_a_new_house_style_begins_as_the_first_lesson_is(
    driver: Driver, room: PlanRoom, folder: Path, part: HousePart
) -> None:
    """All of it advised, in a file of its own, remembered."""
    answers = HouseAnswers()
    answers.saving = folder / "Ours.house"
    room.questions = answers  # type: ignore[assignment]
    part.new_house()
    style = on_disk(part)
    assert (style.name, style.model.author) == ("Ours", "Somebody")
    assert {binding for _, binding in style.bindings} == {Binding.ADVISED}
    assert driver.notebook._memory.words("house style") == str(answers.saving)
