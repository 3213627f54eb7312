"""Binders made from the terms room, driven with the mouse; the PDFs are read back."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt

from desktop.plan.binder_part import BinderPart
from desktop.plan.binder_run import For
from desktop.plan.plan_room import PlanRoom
from lessonkit.curriculum.term_edits import remove_week, set_students
from tests.desktop.conftest import Driver
from tests.desktop.test_plan import LEFT, Answers, folder, room

__all__ = ["folder", "room"]


class WithFolder(Answers):
    """Answers with a folder for binders too."""

    def __init__(self, out: Path) -> None:
        super().__init__()
        self.out = out

    def where_to_bind(self, folder: Path) -> Path | None:
        return self.out


@pytest.fixture
def part(driver: Driver, room: PlanRoom, tmp_path: Path) -> BinderPart:
    """The binder of a term of one week, for two students."""
    term = room.open_term.term
    for week in term.weeks[1:]:
        term = remove_week(term, week.id)
    room.open_term.edit("One week", set_students(term, ("JP",)))
    room.questions = WithFolder(tmp_path / "binders")  # type: ignore[assignment]
    driver.qtbot.keyClick(driver.window, Qt.Key.Key_4, Qt.KeyboardModifier.AltModifier)
    part = room.parts["Binder"]
    assert isinstance(part, BinderPart)
    return part


def bind(driver: Driver, part: BinderPart) -> list[str]:
    """Press Bind and wait; the lines that tell what came."""
    driver.qtbot.mouseClick(part.bind, LEFT)
    driver.qtbot.waitUntil(lambda: not part.is_running, timeout=120000)
    return [part.list.item(place).text() for place in range(part.list.count())]


def test_whom_it_can_be_for_follows_the_term(room: PlanRoom, part: BinderPart) -> None:
    """A student who is new in the term can be chosen at once."""
    room.open_term.edit("Students", set_students(room.open_term.term, ("JP", "ZZ")))
    assert part.whom.findText("ZZ") > 0
    assert part.wanted.whom is For.EACH


def test_a_binder_for_one_student_is_made_and_not_made_twice(driver: Driver, room: PlanRoom, part: BinderPart) -> None:
    """One PDF with its bookmarks; made again it is there already."""
    part.whom.setCurrentIndex(part.whom.findText("JP"))
    lines = bind(driver, part)
    assert len(lines) == 1
    name, _, pages = lines[0].partition(", ")
    path = next((room.beside.path_of("binders") or Path()).glob("*.pdf"))
    assert path.name == name
    with path.open("rb") as file:
        reader = PdfReader(file)
        assert pages == f"{len(reader.pages)} pages"
        assert reader.outline
    assert part.said.text().startswith("One binder in ")
    assert bind(driver, part)[0].endswith("there already and unchanged")


def test_a_stopped_run_goes_on(driver: Driver, room: PlanRoom, part: BinderPart) -> None:
    """What was made stays, and only the rest is made; a file that cannot be written is told."""
    part.whom.setCurrentIndex(0)
    driver.qtbot.mouseClick(part.bind, LEFT)
    driver.qtbot.waitUntil(part.stop.isVisible)
    driver.qtbot.mouseClick(part.stop, LEFT)
    driver.qtbot.waitUntil(lambda: not part.is_running, timeout=120000)
    made = part.list.count()
    if part.go_on.isVisible():
        assert part.said.text().startswith(f"Stopped: {made} of 4 binders")
        driver.qtbot.mouseClick(part.go_on, LEFT)
        driver.qtbot.waitUntil(lambda: not part.is_running, timeout=120000)
    assert part.list.count() == 4
    assert part.said.text().startswith("4 binders in ")


def test_a_folder_that_cannot_be_is_told(driver: Driver, room: PlanRoom, part: BinderPart, tmp_path: Path) -> None:
    """One sentence, and the room goes on."""
    (tmp_path / "binders").write_text("a file where a folder should be")
    part.whom.setCurrentIndex(part.whom.findText(For.TEACHER.value))
    lines = bind(driver, part)
    assert len(lines) == 1
    assert lines[0].startswith("The binder for the teacher was not made: ")
    assert part.bind.isEnabled()


def test_each_lesson_can_begin_on_a_right_hand_page(driver: Driver, part: BinderPart) -> None:
    """What is ticked is asked for."""
    assert not part.wanted.begins_right
    part.right.click()
    assert part.wanted.begins_right
