"""The students room driven with the mouse and the keys."""

from __future__ import annotations

import shutil
from dataclasses import fields
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QComboBox, QLabel, QLineEdit, QPlainTextEdit, QSpinBox

from desktop.memory import Memory
from desktop.people import saving
from desktop.people.chart_part import ChartPart, explained, spoken_chart
from desktop.people.due_part import DuePart
from desktop.people.handouts_part import HandoutsPart
from desktop.people.make_up_part import MakeUpPart
from desktop.people.people_room import PARTS, PeopleRoom
from desktop.people.plan_part import PlanPart
from desktop.people.profile import FIELDS, Profile, SeveralEditor
from desktop.people.record_sheet import RecordPart
from desktop.people.review_part import ReviewPart
from desktop.people.rules_window import RulesWindow
from desktop.rooms import STUDENTS
from lessonkit.drills.reach_marks import reach_marks
from lessonkit.lesson.lesson import Drill
from lessonkit.pages.flow import pages_of
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.strict import LessonFileError
from lessonkit.storage.student_file import read_student, save_student
from lessonkit.students.adapt import adapt
from lessonkit.students.explained import RULES
from lessonkit.students.handing_out import MOST_REVIEWED, plan_blocks
from lessonkit.students.items_played import given_blocks
from lessonkit.students.make_up import make_up
from lessonkit.students.marks import Cause
from lessonkit.students.session import due_on, session_on
from lessonkit.students.student import ReadingLevel, Student
from tests.desktop.conftest import Driver

LEFT = Qt.MouseButton.LeftButton
SAMPLE = Path(__file__).resolve().parents[2] / "sample_lessons" / "m_k.student"


class Answers:
    """Which folders and files the teacher of the tests names."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def students_folder(self, folder: Path) -> Path:
        return self.folder

    def page_to_print(self, suggested: Path) -> Path:
        return self.folder / suggested.name

    def lessons_missed(self, folder: Path) -> list[Path]:
        return sorted(SAMPLE.parent.glob("*.lesson"))[:2]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the sample student."""
    shutil.copy(SAMPLE, tmp_path / "m_k.student")
    return tmp_path


@pytest.fixture
def room(driver: Driver, folder: Path) -> PeopleRoom:
    """The students room with the sample student chosen."""
    driver.notebook._memory.students_folder = folder
    return enter(driver)


def enter(driver: Driver) -> PeopleRoom:
    """Go to the students room by its keys and wait until the folder is read."""
    rooms = driver.notebook.rooms
    assert rooms is not None
    driver.control(Qt.Key.Key_2)
    driver.qtbot.waitUntil(lambda: rooms.current == STUDENTS, timeout=20000)
    room = rooms.made(STUDENTS)
    assert isinstance(room, PeopleRoom)
    driver.qtbot.waitUntil(lambda: room.studio.is_read)
    return room


def on_disk(room: PeopleRoom) -> Student:
    """The chosen student as their file has them."""
    room.studio.saving.finish()
    assert room.studio.current is not None
    return read_student(room.studio.current)


def student_of(room: PeopleRoom) -> Student:
    """The chosen student."""
    assert room.studio.student is not None
    return room.studio.student


def work_done(driver: Driver, room: PeopleRoom) -> None:
    """Wait for what is worked out beside the window's thread."""
    driver.qtbot.waitUntil(lambda: room.studio.aside.waiting == 0, timeout=20000)


def test_every_field_of_a_student_has_a_row() -> None:
    """A field that cannot be set in the window can only be set by who writes files."""
    elsewhere = {"code", "label_style", "hands", "rhythm", "pain_cleared", "marks", "handouts", "handout_typed"}
    names = {field.name for field in fields(Student)} - elsewhere - {"keys_typed"}
    assert names <= {field.name for field in FIELDS}


def test_the_list_shows_who_is_in_the_folder(room: PeopleRoom) -> None:
    """The students are files in a folder, and nothing else."""
    assert [room.list.list.item(place).text() for place in range(room.list.list.count())] == ["M. K."]
    assert student_of(room).code == "M. K."


def type_code(driver: Driver, room: PeopleRoom, code: str) -> None:
    """Type over the code that is being renamed."""
    editor = room.list.list.findChild(QLineEdit)
    assert editor is not None
    driver.qtbot.keyClicks(editor, code)
    driver.qtbot.keyClick(editor, Qt.Key.Key_Return)
    driver.qtbot.waitUntil(lambda: room.list.list.findChild(QLineEdit) is None)


def test_a_new_student_is_named_at_once_and_stands_in_a_file(driver: Driver, room: PeopleRoom, folder: Path) -> None:
    """Two keys and a code: nothing else is asked."""
    driver.qtbot.mouseClick(room.list.new, LEFT)
    type_code(driver, room, "B. L.")
    assert student_of(room).code == "B. L."
    assert on_disk(room).code == "B. L."
    assert sorted(path.name for path in folder.iterdir()) == ["b_l.student", "m_k.student"]


def test_a_code_that_another_has_is_refused_in_a_sentence(driver: Driver, room: PeopleRoom) -> None:
    """Two students of one code could not be told apart on paper."""
    room.list.begin_new()
    type_code(driver, room, "M. K.")
    assert "another student is called M. K." in driver.notebook.desk.messages.sentence
    assert student_of(room).code == "New student"


def test_a_removed_student_comes_back_with_undo(driver: Driver, room: PeopleRoom, folder: Path) -> None:
    """A slip of the hand must not cost two years of marks."""
    before = student_of(room)
    room.list.list.setFocus()
    driver.control(Qt.Key.Key_Delete)
    room.studio.saving.finish()
    assert not (folder / "m_k.student").exists()
    driver.control(Qt.Key.Key_Z)
    assert on_disk(room) == before


def test_what_is_typed_in_the_profile_is_in_the_file(driver: Driver, room: PeopleRoom) -> None:
    """Nobody has to think of saving."""
    profile = room.parts["Profile"]
    assert isinstance(profile, Profile)
    line = profile.rows["right_span"].findChild(QLineEdit)
    assert line is not None
    line.selectAll()
    driver.qtbot.keyClicks(line, "20.1 cm")
    assert on_disk(room).hands.right_span == 201
    notes = profile.rows["notes"].findChild(QPlainTextEdit)
    assert notes is not None
    driver.qtbot.keyClicks(notes, "Brings a sister. ")
    assert "Brings a sister." in on_disk(room).notes
    minutes = profile.rows["minutes"].findChild(QSpinBox)
    driver.qtbot.keyClick(minutes, Qt.Key.Key_Up)
    assert on_disk(room).minutes == 16
    combo = profile.rows["reading"].findChild(QComboBox)
    assert combo is not None
    combo.setFocus()
    driver.qtbot.keyClick(combo, Qt.Key.Key_Up)
    assert on_disk(room).reading is ReadingLevel.ONE_STAFF


def test_chords_met_are_buttons_and_undo_takes_one_back(driver: Driver, room: PeopleRoom) -> None:
    """What was met is seen at a glance and is one click."""
    profile = room.parts["Profile"]
    assert isinstance(profile, Profile)
    editor = profile.rows["vocabulary"].editor
    assert isinstance(editor, SeveralEditor)
    driver.qtbot.mouseClick(editor.buttons["dim"], LEFT)
    assert "dim" in on_disk(room).vocabulary
    driver.control(Qt.Key.Key_Z)
    assert "dim" not in on_disk(room).vocabulary
    assert not editor.buttons["dim"].isChecked()


def test_a_value_that_cannot_be_is_answered_beside_it(driver: Driver, room: PeopleRoom) -> None:
    """A student practises on one day at least."""
    profile = room.parts["Profile"]
    assert isinstance(profile, Profile)
    row = profile.rows["days"]
    assert isinstance(row.editor, SeveralEditor)
    for day in range(5):
        driver.qtbot.mouseClick(row.editor.buttons[day], LEFT)
    assert "one day" in row.reason
    assert student_of(room).rhythm.days == {4}


def record_of_room(driver: Driver, room: PeopleRoom) -> RecordPart:
    """The record, gone to by its keys."""
    room.show_part("Record")
    part = room.parts["Record"]
    assert isinstance(part, RecordPart)
    assert driver.window.focusWidget() is part.sheet
    return part


def test_a_record_is_two_keys_a_block_and_nothing_typed_is_lost(driver: Driver, room: PeopleRoom) -> None:
    """Ten seconds at the door; the file has each key as soon as it is typed."""
    part = record_of_room(driver, room)
    driver.type("32h1")
    assert on_disk(room).keys_typed == "32H1"
    assert part.sheet.place == 2
    driver.press(Qt.Key.Key_Backspace)
    driver.press(Qt.Key.Key_Backspace)
    assert on_disk(room).keys_typed == "32"
    assert "why" in part.sheet.accessibleDescription()


def test_undo_takes_back_one_key_of_a_record_and_redo_brings_it(driver: Driver, room: PeopleRoom) -> None:
    """Whoever presses Ctrl+Z after a slip must not lose the whole record."""
    record_of_room(driver, room)
    driver.type("2h1t3")
    driver.control(Qt.Key.Key_Z)
    assert on_disk(room).keys_typed == "2H1T"
    driver.control(Qt.Key.Key_Z)
    assert on_disk(room).keys_typed == "2H1"
    driver.press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    assert on_disk(room).keys_typed == "2H1T"


def test_a_key_that_says_nothing_is_answered_and_not_taken(driver: Driver, room: PeopleRoom) -> None:
    """A slip on the keys must not become a mark."""
    record_of_room(driver, room)
    driver.type("7")
    assert student_of(room).keys_typed == ""


def test_a_record_taken_in_becomes_marks_of_today(driver: Driver, room: PeopleRoom) -> None:
    """One mark for each block that was heard; a stroke passes one over."""
    record_of_room(driver, room)
    before = len(student_of(room).marks)
    driver.type("3-1t")
    driver.press(Qt.Key.Key_Return)
    found = on_disk(room)
    assert [(mark.day, mark.rating, mark.cause) for mark in found.marks[before:]] == [
        (date.today(), 3, None),
        (date.today(), 1, Cause.TIME),
    ]
    assert (found.handout_typed, found.keys_typed) == ("", "")
    driver.control(Qt.Key.Key_Z)
    assert student_of(room).keys_typed == "3-1T"
    assert len(student_of(room).marks) == before


def test_a_record_can_be_clicked(driver: Driver, room: PeopleRoom) -> None:
    """Who holds a mouse need not look for keys."""
    part = record_of_room(driver, room)
    for key in ("1", "R"):
        point = part.sheet.key_box(part.sheet.place, key).center().toPoint()
        driver.qtbot.mouseClick(part.sheet, LEFT, pos=point)
    assert student_of(room).keys_typed == "1R"


def test_the_chart_is_the_engines_and_says_what_it_rests_on(driver: Driver, room: PeopleRoom) -> None:
    """A teacher trusts a dot only when it can be asked why."""
    room.show_part("Weak and strong")
    work_done(driver, room)
    part = room.parts["Weak and strong"]
    assert isinstance(part, ChartPart)
    chart = student_of(room).chart(date.today())
    assert part.picture.accessibleDescription() == spoken_chart(chart)
    row = part.picture.row_at(part.picture.row_box(0, 0).center())
    assert row == chart.keys[0]
    assert "÷" in explained(row)
    assert row.rests_on in explained(row)


def test_the_due_list_unfolds_into_how_an_item_came_there(driver: Driver, room: PeopleRoom) -> None:
    """Why is the first question of every teacher."""
    room.show_part("Due")
    work_done(driver, room)
    part = room.parts["Due"]
    assert isinstance(part, DuePart)
    first = part.tree.topLevelItem(0)
    assert first is not None
    assert "Broken chords" in first.text(0)
    assert first.childCount() >= 1
    assert "box" in first.child(0).text(1)


def test_handouts_show_what_was_in_them_and_one_can_be_taken_out(driver: Driver, room: PeopleRoom) -> None:
    """A handout that was never given must not ask for marks."""
    room.show_part("Handouts")
    part = room.parts["Handouts"]
    assert isinstance(part, HandoutsPart)
    top = part.tree.topLevelItem(0)
    assert top is not None
    assert top.childCount() == len(student_of(room).handouts[0].blocks)
    driver.qtbot.mouseClick(part.take_out, LEFT)
    assert on_disk(room).handouts == ()


def test_another_folder_is_opened_and_remembered(driver: Driver, room: PeopleRoom, tmp_path_factory: Any) -> None:
    """Studios keep their students where they like."""
    other = tmp_path_factory.mktemp("other")
    save_student(Student("Z."), other / "z.student")
    room.questions = Answers(other)  # type: ignore[assignment]
    driver.qtbot.mouseClick(room.list.folder, LEFT)
    driver.qtbot.waitUntil(lambda: room.studio.is_read)
    assert student_of(room).code == "Z."
    assert Memory().students_folder == other


def test_the_review_page_is_printed_and_can_be_marked(driver: Driver, room: PeopleRoom, folder: Path) -> None:
    """What is due is written out within reach, and stands in the record the week after."""
    room.questions = Answers(folder)  # type: ignore[assignment]
    before = student_of(room)
    room.show_part("Review page")
    work_done(driver, room)
    part = room.parts["Review page"]
    assert isinstance(part, ReviewPart)
    assert part.sheet is not None
    due = due_on(before, date.today())
    written = [block for block in part.sheet.lesson.blocks if isinstance(block, Drill)]
    assert 0 < len(written) <= MOST_REVIEWED
    for block in written:
        assert reach_marks(block.family, part.sheet.lesson.setting) == ()
    assert due[0].item.words in part.said.text()
    driver.qtbot.mouseClick(part.print, LEFT)
    driver.qtbot.waitUntil(lambda: part._run is None, timeout=60000)
    assert (folder / "Review page for M_K.pdf").exists()
    last = on_disk(room).handouts[-1]
    assert last.title == "Review"
    assert [block.block_id for block in last.blocks] == [block.id for block in written]


def test_the_plan_is_a_page_with_its_reasons(driver: Driver, room: PeopleRoom, folder: Path) -> None:
    """What the engine plans is what is seen and printed; why stands beside it and never on paper."""
    room.show_part("Plan")
    work_done(driver, room)
    part = room.parts["Plan"]
    assert isinstance(part, PlanPart)
    assert part.sheet is not None
    student, today = student_of(room), date.today()
    adapted = adapt(driver.lesson, student, today).lesson
    new = [item for block in given_blocks(adapted) for item in block.items]
    session = session_on(student, today, new)
    assert part.sheet.lesson.blocks == plan_blocks(session)
    driver.qtbot.waitUntil(lambda: part.drawn.is_finished)
    assert part.drawn.pages == pages_of(part.sheet.lesson)
    assert all(slot.why[1:] in part.sheet.beside for slot in session.slots)
    room.questions = Answers(folder)  # type: ignore[assignment]
    driver.qtbot.mouseClick(part.print, LEFT)
    driver.qtbot.waitUntil(lambda: part.print.isEnabled(), timeout=60000)
    words = "".join(page.extract_text() for page in PdfReader(folder / "Plan for M_K.pdf").pages)
    assert "Plan for" in words


def test_a_make_up_sheet_is_cut_to_the_minutes_and_written_down(driver: Driver, room: PeopleRoom, folder: Path) -> None:
    """Two lessons missed become one sheet that fits into the time."""
    room.show_part("Make-up sheet")
    work_done(driver, room)
    part = room.parts["Make-up sheet"]
    assert isinstance(part, MakeUpPart)
    assert part.list.item(0).text() == "Evening lesson"
    room.questions = Answers(folder)  # type: ignore[assignment]
    driver.qtbot.mouseClick(part.add, LEFT)
    work_done(driver, room)
    work_done(driver, room)
    assert part.list.count() == 2
    part.minutes.setValue(5)
    work_done(driver, room)
    lessons = [read_lesson(path) for path in sorted(SAMPLE.parent.glob("*.lesson"))[:2]]
    made = make_up(lessons, student_of(room), date.today(), 5)
    assert part.sheet is not None
    assert part.said.text().startswith(f"The drills take about {made.minutes} of 5 minutes.")
    assert made.left_out
    assert made.left_out[0] in part.said.text()
    before = len(student_of(room).handouts)
    driver.qtbot.mouseClick(part.print, LEFT)
    driver.qtbot.waitUntil(lambda: len(student_of(room).handouts) > before, timeout=60000)
    assert on_disk(room).handouts[-1].title == "Make-up sheet"
    assert (folder / "Make-up sheet for M_K.pdf").exists()


def test_a_file_changed_by_another_program_is_kept_aside(driver: Driver, room: PeopleRoom, folder: Path) -> None:
    """The command line marks into the same files; neither side's marks may be lost."""
    path = folder / "m_k.student"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("Likes to begin", "Loves to begin"), encoding="utf-8")
    profile = room.parts["Profile"]
    minutes = profile.rows["minutes"].findChild(QSpinBox)  # type: ignore[attr-defined]
    driver.qtbot.keyClick(minutes, Qt.Key.Key_Up)
    room.studio.saving.finish()
    driver.qtbot.waitUntil(lambda: "another program" in driver.notebook.desk.messages.sentence)
    assert read_student(path).minutes == 16
    kept = list(room.studio.saving._aside_folder.iterdir())
    assert len(kept) == 1
    assert "Loves" in kept[0].read_text(encoding="utf-8")


def test_what_cannot_be_saved_is_said_once_and_saved_as_soon_as_it_can(
    driver: Driver, room: PeopleRoom, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk must not cost what was typed while it was full."""

    def refuse(student: Student, path: Path) -> None:
        raise LessonFileError(f"{path.name} was not saved: the disk is full")

    studio, profile = room.studio, room.parts["Profile"]
    minutes = profile.rows["minutes"].findChild(QSpinBox)  # type: ignore[attr-defined]
    told: list[str] = []
    studio.told.connect(told.append)
    with monkeypatch.context() as patched:
        patched.setattr(saving, "save_student", refuse)
        for _ in range(3):
            driver.qtbot.keyClick(minutes, Qt.Key.Key_Up)
        studio.saving.finish()
        driver.qtbot.waitUntil(lambda: bool(told))
        driver.notebook.leave()
        assert driver.window.isVisible()
        assert [path.name for path in studio.saving.unsaved] == ["m_k.student"]
    assert len([sentence for sentence in told if "disk is full" in sentence]) == 1
    assert on_disk(room).minutes == 18
    assert studio.saving.unsaved == ()


def test_a_file_that_cannot_be_read_costs_a_sentence(driver: Driver, folder: Path) -> None:
    """The others are there all the same."""
    (folder / "bad.student").write_text("{", encoding="utf-8")
    driver.notebook._memory.students_folder = folder
    room = enter(driver)
    assert len(room.studio.students) == 1
    assert "bad.student" in driver.notebook.desk.messages.sentence


def test_the_lesson_is_untouched_by_the_keys_of_this_room(driver: Driver, room: PeopleRoom) -> None:
    """Delete and undo belong to the room that is entered."""
    before = driver.lesson
    driver.notebook.desk.selection.select("broken")
    driver.press(Qt.Key.Key_Delete)
    driver.control(Qt.Key.Key_Z)
    assert driver.lesson == before


def test_every_control_of_the_room_has_a_name(driver: Driver, room: PeopleRoom) -> None:
    """A screen reader says a name or nothing."""
    for title, _ in PARTS:
        room.show_part(title)
        work_done(driver, room)
    kinds = (QAbstractButton, QLineEdit, QComboBox, QSpinBox, QPlainTextEdit, QAbstractItemView)
    for kind in kinds:
        for widget in room.findChildren(kind):
            if not widget.isVisible() or widget.objectName().startswith("qt_"):
                continue
            text = widget.text() if isinstance(widget, QAbstractButton) else ""
            parent = widget.parentWidget()
            named = widget.accessibleName() or text or (parent.accessibleName() if parent else "")
            assert named, f"{kind.__name__} in {type(parent).__name__}"


def test_ctrl_f1_shows_how_every_number_is_worked_out(driver: Driver, room: PeopleRoom) -> None:
    """The rules of the help are those that the numbers are checked against."""
    driver.control(Qt.Key.Key_F1)
    driver.qtbot.waitUntil(lambda: driver.window.findChild(RulesWindow) is not None)
    window = driver.window.findChild(RulesWindow)
    assert isinstance(window, RulesWindow)
    said = {label.text() for label in window.findChildren(QLabel)}
    assert set(RULES.values()) <= said
    window.close()
