"""The levels of a studio in the terms room: what they ask for, what comes first, who reaches them."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt

from desktop.plan.levels_desk import ORDER
from desktop.plan.levels_part import LevelsPart
from desktop.plan.levels_words import need_words, told_words
from desktop.plan.measuring import Kind
from desktop.plan.plan_room import PlanRoom
from desktop.rooms import LESSONS
from lessonkit.curriculum.coverage import TWELVE_MAJOR, coverage_of
from lessonkit.curriculum.level_edits import add_before
from lessonkit.curriculum.levels import Curriculum, Requirement, measured, measured_all
from lessonkit.curriculum.seen import Skill
from lessonkit.drills.exercise import Hand
from lessonkit.storage.curriculum_file import read_curriculum
from lessonkit.students.against_level import student_measured
from lessonkit.students.student import Student
from lessonkit.theory.key import Key
from tests.desktop.conftest import Driver
from tests.desktop.test_plan import LEFT, SAMPLES, Answers, folder, opened, part_of

__all__ = ["folder"]


class LevelAnswers(Answers):
    """Which file of levels the teacher of the tests names."""

    def levels_to_open(self, folder: Path) -> Path | None:
        return self.opening

    def where_to_keep_levels(self, suggested: Path) -> Path | None:
        return self.saving


@pytest.fixture
def room(driver: Driver, folder: Path) -> Iterator[PlanRoom]:
    """The terms room with the sample term and its levels."""
    shutil.copy(SAMPLES / "three_levels.curriculum", folder)
    yield from opened(driver, folder)


@pytest.fixture
def part(driver: Driver, room: PlanRoom) -> LevelsPart:
    """The levels, seen and measured."""
    part = part_of(driver, room, "Levels")
    assert isinstance(part, LevelsPart)
    driver.qtbot.waitUntil(lambda: bool(part.measuring.measures) and bool(part._skills), timeout=60000)
    return part


def press(driver: Driver, part: LevelsPart, name: str) -> None:
    """Click a button of the part."""
    driver.qtbot.mouseClick(part.buttons[name], LEFT)


def on_disk(part: LevelsPart) -> Curriculum:
    """The levels as their file has them."""
    part.levels.saving.finish()
    assert part.levels.path is not None
    return read_curriculum(part.levels.path)


def choose(driver: Driver, part: LevelsPart, level: int, place: int) -> None:
    """Click a level, then what it asks for."""
    for rows, at in ((part.desk.levels, level), (part.desk.asked, place)):
        rows.scrollToItem(rows.item(at))
        driver.qtbot.mouseClick(rows.viewport(), LEFT, pos=rows.visualItemRect(rows.item(at)).center())


def test_what_is_asked_is_told_in_words() -> None:
    """Twelve keys are not twelve names; what may be anything is not told, but for the key."""
    skill = Skill.parse("stride:bass")
    assert told_words(Requirement(skill)) == "any key"
    asked = Requirement(skill, (*TWELVE_MAJOR, Key.parse("Am")), (Hand.LEFT,), ("m7",), 66)
    assert told_words(asked) == "all major keys, A minor; left hand; minor seventh chord; at 66"
    assert need_words(asked.needs[0]) == "minor seventh chord, in G♭ major, left hand, at 66"
    assert need_words(Requirement(skill).needs[0]) == skill.words


def test_each_level_tells_how_much_of_it_the_term_covers(room: PlanRoom, part: LevelsPart) -> None:
    """The numbers are those of the engine."""
    curriculum = part.levels.curriculum
    for at, level in enumerate(curriculum.levels):
        measure = measured(level, room.counting.coverage)
        words = part.desk.levels.item(at).text()
        assert words.startswith(level.name)
        count = len(measure.met) + len(measure.unmet)
        assert (f"{len(measure.met)} of {count} met" in words) is not measure.is_reached


def test_what_is_met_leads_to_its_drill(driver: Driver, room: PlanRoom, part: LevelsPart) -> None:
    """A claim that can be looked at."""
    choose(driver, part, 0, 0)
    needs = part.desk.needs
    met = [needs.item(at) for at in range(needs.count()) if needs.item(at).text().startswith("Met")]
    assert met
    place = met[0].data(Qt.ItemDataRole.UserRole)
    needs.setCurrentItem(met[0])
    needs.setFocus()
    driver.press(Qt.Key.Key_Return)
    assert driver.notebook.room == LESSONS
    assert driver.notebook.desk.selection.ids == (place.block_id,)
    driver.settle()


def test_a_lesson_and_a_student_are_measured_too(driver: Driver, room: PlanRoom, part: LevelsPart) -> None:
    """What one lesson gives, and what one student holds."""
    whom = part.desk.whom
    for at in range(whom.count()):
        wanted = whom.itemData(at)
        if wanted.kind is Kind.LESSON:
            lesson = room.beside.lessons[wanted.name]
            expected = measured_all(part.levels.curriculum.levels, coverage_of([(wanted.name, lesson)]))
        elif wanted.kind is Kind.STUDENT:
            expected = tuple(student_measured(one, Student(wanted.name)) for one in part.levels.curriculum.levels)
        else:
            continue
        part.measuring.measures = ()
        whom.setCurrentIndex(at)
        whom.activated.emit(at)
        driver.qtbot.waitUntil(lambda: bool(part.measuring.measures), timeout=60000)
        assert part.measuring.measures == expected


def test_a_level_is_edited_saved_and_taken_back(driver: Driver, room: PlanRoom, part: LevelsPart) -> None:
    """Keys, hands, chords and tempo, each a step of undo, each in the file at once."""
    before = part.levels.curriculum
    choose(driver, part, 0, 1)
    form = part.form
    driver.qtbot.mouseClick(form.keys.all_major, LEFT)
    driver.qtbot.mouseClick(form.left, LEFT, pos=QPoint(8, 12))
    item = form.qualities.item(1)
    form.qualities.setCurrentItem(item)
    form.qualities.setFocus()
    driver.press(Qt.Key.Key_Space)
    form.tempo.setFocus()
    form.tempo.selectAll()
    driver.type("72")
    driver.press(Qt.Key.Key_Return)
    asked = on_disk(part).levels[0].requirements[1]
    assert asked.keys == TWELVE_MAJOR
    assert asked.hands == (Hand.LEFT,)
    assert asked.qualities == ("maj", "m")
    assert asked.tempo == 72
    driver.qtbot.waitUntil(
        lambda: bool(part.measuring.measures) and part.measuring.measures[0].level == part.levels.curriculum.levels[0],
        timeout=60000,
    )
    assert "all major keys" in part.desk.asked.item(1).text()
    while part.levels.undo_label:
        driver.control(Qt.Key.Key_Z)
    assert on_disk(part) == before
    assert room.open_term.undo_label == ""


def test_levels_come_go_and_change_places(driver: Driver, part: LevelsPart) -> None:
    """Each by one button."""
    names = [level.name for level in part.levels.curriculum.levels]
    choose(driver, part, 0, 0)
    press(driver, part, "add")
    assert part.form.name.hasFocus()
    driver.type("Bridge")
    assert [level.name for level in on_disk(part).levels] == [names[0], "Bridge", *names[1:]]
    press(driver, part, "later")
    assert [level.name for level in on_disk(part).levels] == [names[0], names[1], "Bridge", names[2]]
    press(driver, part, "ask for")
    asked = on_disk(part).levels[2].requirements
    assert len(asked) == 1
    press(driver, part, "ask not")
    assert on_disk(part).levels[2].requirements == ()
    press(driver, part, "take out")
    assert [level.name for level in on_disk(part).levels] == names


def test_a_name_that_another_level_has_is_refused_in_a_sentence(driver: Driver, part: LevelsPart) -> None:
    """What was typed stays to be mended."""
    choose(driver, part, 1, 0)
    form = part.form
    form.name.setFocus()
    form.name.selectAll()
    driver.type("First level")
    assert form.reason.text() == "Two levels share one name."
    driver.type("s")
    assert form.reason.text() == ""
    assert on_disk(part).levels[1].name == "First levels"


def test_a_loop_is_refused_by_the_names_of_its_skills(driver: Driver, room: PlanRoom, part: LevelsPart) -> None:
    """The picture never shows a way that nobody could begin."""
    part.desk.show_way(ORDER)
    first, then = part.levels.curriculum.before[0]
    before = part.levels.curriculum
    box = next(mark.box for mark in part.desk.picture.drawing.marks if mark.name == first.ascii)
    scale = part.desk.picture.scale
    point = QPoint(round((box.left + box.right) / 2 * scale + 16), round((box.top + box.bottom) / 2 * scale + 16))
    driver.qtbot.mouseClick(part.desk.picture, LEFT, pos=point)
    assert part.desk.picture.chosen == first.ascii
    form = part.form
    form.first.setCurrentIndex(form.first.findData(then.ascii))
    driver.qtbot.mouseClick(form.add_first, LEFT)
    assert "wait for each other in a loop" in form.loop.text()
    assert first.words in form.loop.text()
    assert then.words in form.loop.text()
    assert part.levels.curriculum == before


def test_what_comes_first_is_added_and_taken_out(driver: Driver, part: LevelsPart) -> None:
    """An arrow more in the picture and in the file; one undo away from not being there."""
    part.desk.show_way(ORDER)
    skill = Skill.parse("call-and-response:line")
    part.choose_skill(skill.ascii)
    first = part.levels.curriculum.levels[0].requirements[0].skill
    form = part.form
    form.first.setCurrentIndex(form.first.findData(first.ascii))
    driver.qtbot.mouseClick(form.add_first, LEFT)
    assert (first, skill) in on_disk(part).before
    boxes = {mark.name: mark.box for mark in part.desk.picture.drawing.marks}
    assert boxes[first.ascii].bottom < boxes[skill.ascii].top
    line = form._before.itemAt(0).widget()
    driver.qtbot.mouseClick(line.button, LEFT)  # type: ignore[union-attr]
    assert (first, skill) not in on_disk(part).before


def test_new_levels_begin_in_a_file_of_their_own(driver: Driver, room: PlanRoom, part: LevelsPart) -> None:
    """They are remembered for the next time; a file that is none costs a sentence."""
    answers = LevelAnswers()
    folder = room.open_term.folder
    assert folder is not None
    answers.saving = folder / "Mine.curriculum"
    room.questions = answers  # type: ignore[assignment]
    press(driver, part, "new")
    assert on_disk(part).title == "Mine"
    assert driver.notebook._memory.words("levels") == str(answers.saving)
    answers.opening = folder / "bad.curriculum"
    answers.opening.write_text('{"format": "curriculum"')
    press(driver, part, "open")
    assert driver.notebook.desk.messages.sentence.startswith("The levels were not opened. bad.curriculum")
    assert part.levels.path == answers.saving


def test_what_comes_first_judges_the_weeks(driver: Driver, room: PlanRoom, part: LevelsPart) -> None:
    """An arrow that the term does not keep is told where the weeks are judged."""
    skills = [one.skill for one in part.levels.curriculum.levels[0].requirements]
    before = {one.what for one in room.counting.judged.too_early}
    assert not part.levels.attempt("Never", lambda one: add_before(one, Skill.parse("of-tomorrow:line"), skills[0]))
    driver.qtbot.waitUntil(lambda: room.counting.is_judged, timeout=60000)
    told = {one.what for one in room.counting.judged.too_early}
    assert told - before == {skills[0].words}
