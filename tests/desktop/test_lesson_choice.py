"""Other lessons: those of a folder with their pictures, starts for new ones, two compared."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMenu

from desktop.dialogs.questions import Unsaved
from lessonkit.curriculum.house import house_of
from lessonkit.drills.family import family
from lessonkit.lesson.edits import delete_blocks, replace_block, set_drill_setting, set_key, set_title
from lessonkit.lesson.lesson import Drill, Lesson, Paper
from lessonkit.storage.house_file import save_house
from lessonkit.storage.lesson_file import read_lesson, save_lesson
from lessonkit.theory.key import Key
from tests.desktop.conftest import BROKEN, LADDER, OPENING, Driver, small_lesson


def test_the_folder_shows_its_lessons_and_opens_one(driver: Driver, tmp_path: Path) -> None:
    """With title, keys, drills and a picture; a broken file says so and stops nothing."""
    save_lesson(small_lesson(), tmp_path / "Evening.lesson")
    save_lesson(Lesson(title="Morning", key=Key.parse("D")), tmp_path / "Morning.lesson")
    (tmp_path / "Broken.lesson").write_text("{")
    driver.notebook.desk.files.open_path(tmp_path / "Morning.lesson")
    driver.notebook.actions_table["folder"].trigger()
    shelf = driver.notebook.desk.choice.shelf
    assert shelf is not None
    shelf.finish()
    shown = {facts.title: facts for facts in shelf.shown}
    assert set(shown) == {"Evening lesson", "Morning", "Broken"}
    assert shown["Evening lesson"].families == ("Broken chords", "Diatonic ladder")
    assert "Broken.lesson" in shown["Broken"].problem
    evening, morning = (shelf.picture(shown[name]) for name in ("Evening lesson", "Morning"))
    assert evening is not None
    assert morning is not None
    assert evening.toImage() != morning.toImage()
    driver.qtbot.keyClicks(shelf.search, "ladder eb")
    assert [facts.title for facts in shelf.shown] == ["Evening lesson"]
    driver.qtbot.keyClick(shelf.search, Qt.Key.Key_Return)
    assert driver.lesson == small_lesson()
    assert driver.notebook.open_lesson.path == tmp_path / "Evening.lesson"


def test_a_lesson_is_kept_as_a_start_for_others(driver: Driver) -> None:
    """What begins from it is a new lesson; the start is never written over by it."""
    driver.notebook.actions_table["start"].trigger()
    menu = QMenu()
    driver.notebook.desk.choice.fill_starts(menu)
    assert [action.text() for action in menu.actions()] == ["Evening lesson"]
    driver.notebook.open_lesson.open(Lesson(), None)
    menu.actions()[0].trigger()
    assert driver.lesson == small_lesson()
    assert driver.notebook.open_lesson.path is None
    assert driver.notebook.open_lesson.has_unsaved


def test_two_lessons_are_compared(driver: Driver, tmp_path: Path) -> None:
    """Every difference is a sentence, and the lesson that is open stays as it is."""
    path = tmp_path / "Evening.lesson"
    save_lesson(small_lesson(), path)
    lesson = set_drill_setting(set_key(driver.lesson, Key.parse("D")), BROKEN, "octaves", 3)
    driver.notebook.open_lesson.edit("All", delete_blocks(lesson, [OPENING]))
    driver.answers.opening = path
    driver.notebook.actions_table["compare"].trigger()
    comparison = driver.notebook.desk.choice.comparison
    assert comparison is not None
    said = [comparison.list.item(row).text() for row in range(comparison.list.count())]
    assert said == [
        "Key: E♭ major → D major",
        "Only in the first: Heading “Begin here”",
        "Broken chords: octaves 2 → 3",
    ]
    comparison.list.itemClicked.emit(comparison.list.item(2))
    assert driver.notebook.desk.selection.ids == (BROKEN,)
    comparison.close()
    assert read_lesson(path) == small_lesson()


def test_lessons_that_say_the_same_say_so(driver: Driver, tmp_path: Path) -> None:
    """An empty window would leave one in doubt."""
    save_lesson(small_lesson(), tmp_path / "same.lesson")
    driver.answers.opening = tmp_path / "same.lesson"
    driver.notebook.actions_table["compare"].trigger()
    comparison = driver.notebook.desk.choice.comparison
    assert comparison is not None
    assert comparison.list.item(0).text() == "The two lessons say the same."
    comparison.close()


def test_a_drill_becomes_parts_for_a_class(driver: Driver) -> None:
    """Three tiers and the teacher's part as a lesson of their own, not saved yet; the lesson before is asked about."""
    driver.click(LADDER)
    driver.notebook.open_lesson.edit("Title", set_title(driver.lesson, "Changed"))
    driver.answers.leaving = Unsaved.CANCEL
    driver.notebook.actions_table["for_class"].trigger()
    assert driver.answers.asked == ["unsaved"]
    assert driver.lesson.title == "Changed"
    driver.answers.leaving = Unsaved.DISCARD
    driver.notebook.actions_table["for_class"].trigger()
    assert driver.lesson.title == "Diatonic ladder, for a class"
    assert sum(isinstance(block, Drill) for block in driver.lesson.blocks) == 4
    assert driver.notebook.open_lesson.path is None
    assert driver.notebook.open_lesson.has_unsaved
    driver.settle()


def test_a_drill_that_a_class_cannot_play_costs_a_sentence(driver: Driver) -> None:
    """In free time nobody could begin together."""
    free = family("broken-chords").from_settings({"metre": "free"})
    driver.notebook.open_lesson.edit("Free", replace_block(driver.lesson, Drill(free, BROKEN)))
    driver.click(BROKEN)
    before = driver.lesson
    driver.notebook.actions_table["for_class"].trigger()
    assert driver.notebook.desk.messages.sentence.startswith("No parts were made: a class needs a metre")
    assert driver.lesson == before
    driver.settle()


def test_the_open_lesson_is_brought_into_house_style_in_one_step(driver: Driver, tmp_path: Path) -> None:
    """By the style that the terms room had open last; where there is none, or all is well, a sentence says so."""
    act, said = driver.notebook.actions_table["house_style"].trigger, driver.notebook.desk.messages
    act()
    assert said.sentence.startswith("There is no house style yet")
    model = Lesson(author="Lantern Street Piano Room", paper=Paper.LETTER)
    save_house(house_of(model, "Lantern Street"), tmp_path / "a.house")
    driver.notebook._memory.keep_words("house style", str(tmp_path / "a.house"))
    before = driver.lesson
    act()
    assert (driver.lesson.author, driver.lesson.paper) == (model.author, model.paper)
    assert said.sentence == "Brought into the house style “Lantern Street”: the name at the head, the paper."
    driver.settle()
    act()
    assert said.sentence == "The lesson agrees with the house style “Lantern Street”."
    driver.control(Qt.Key.Key_Z)
    assert driver.lesson == before
    (tmp_path / "a.house").write_text("{")
    act()
    assert said.sentence.startswith("The house style was not opened. a.house")
    driver.settle()
