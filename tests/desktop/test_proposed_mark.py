"""What playing in proposes is written into the chosen student's record with one key, and taken back with it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from PySide6.QtCore import Qt

from lessonkit.storage.student_file import read_student
from lessonkit.students.items_played import items_of
from lessonkit.students.marks import Mark, Source
from tests.desktop.conftest import BROKEN, Driver
from tests.desktop.test_for_student import choose, folder, mine  # noqa: F401
from tests.desktop.test_own_lesson import kept  # noqa: F401
from tests.desktop.test_playing_in import RecordedKeyboard, hear_drill, keyboard, recorded, say  # noqa: F401


def marks_in(folder: Path, driver: Driver) -> tuple[Mark, ...]:  # noqa: F811
    driver.notebook.people.studio.saving.finish()
    return read_student(folder / "m_k.student").marks


def play(driver: Driver, keyboard: RecordedKeyboard) -> None:  # noqa: F811
    """Play the broken chords of the lesson."""
    hear_drill(driver)
    keyboard.play(driver, recorded("broken-chords", driver))


def test_one_key_writes_the_mark_into_the_record_and_takes_it_back(
    mine: Driver, folder: Path, keyboard: RecordedKeyboard  # noqa: F811
) -> None:  # fmt: skip
    choose(mine, "M. K.")
    before = marks_in(folder, mine)
    play(mine, keyboard)
    assert "Proposed for a first try: 3" in say(mine)
    assert marks_in(folder, mine) == before
    mine.control(Qt.Key.Key_M)
    drill = mine.lesson.block(BROKEN)
    items = items_of(drill.family, mine.lesson.setting)  # type: ignore[union-attr]
    assert marks_in(folder, mine) == (*before, Mark(date.today(), items, 3, Source.TEACHER))
    assert say(mine) == "Written down for M. K.: Broken chords in E♭ major, 3 right at tempo."
    mine.control(Qt.Key.Key_M)
    assert marks_in(folder, mine) == before
    mine.control(Qt.Key.Key_M)
    assert len(marks_in(folder, mine)) == len(before) + 1


def test_the_mark_of_a_lesson_of_its_own_goes_to_its_student(
    kept: Driver, folder: Path, keyboard: RecordedKeyboard  # noqa: F811
) -> None:  # fmt: skip
    before = marks_in(folder, kept)
    play(kept, keyboard)
    kept.control(Qt.Key.Key_M)
    assert len(marks_in(folder, kept)) == len(before) + 1


def test_nothing_is_offered_while_nobody_is_chosen(driver: Driver, keyboard: RecordedKeyboard) -> None:  # noqa: F811
    """A mark without a student is nobody's."""
    play(driver, keyboard)
    assert "Proposed for a first try: 3" in say(driver)
    assert not driver.notebook.actions_table["take_mark"].isEnabled()


def test_a_mark_is_not_written_for_who_is_chosen_afterwards(
    mine: Driver, keyboard: RecordedKeyboard  # noqa: F811
) -> None:  # fmt: skip
    """What one student played is not the next one's."""
    choose(mine, "M. K.")
    play(mine, keyboard)
    choose(mine, "A. B.")
    assert not mine.notebook.proposed_mark.is_possible
