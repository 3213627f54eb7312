"""The terms room driven with the mouse and the keys: weeks, lessons in them, new terms."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAction, QMouseEvent
from PySide6.QtWidgets import QAbstractButton, QAbstractSpinBox, QApplication, QComboBox, QLineEdit, QWidget

from desktop.dialogs.questions import Unsaved
from desktop.plan.lesson_shelf import LessonShelf
from desktop.plan.new_term import LAST_YEAR, NewTerm
from desktop.plan.plan_room import PlanRoom
from desktop.plan.week_rows import Kind
from desktop.rooms import LESSONS, TERMS
from lessonkit.curriculum.seen import counted
from lessonkit.curriculum.term import Holiday, Term
from lessonkit.curriculum.term_edits import add_holiday, remove_lesson
from lessonkit.curriculum.term_edits import set_title as set_term_title
from lessonkit.drills.difficulty import by_hand
from lessonkit.drills.exercise import Hand
from lessonkit.hands.difficulty import band_of
from lessonkit.lesson.edits import set_title
from lessonkit.lesson.lesson import Drill
from lessonkit.storage.lesson_file import save_lesson
from lessonkit.storage.student_file import save_student
from lessonkit.storage.term_file import read_term, save_term
from lessonkit.students.item import Item
from lessonkit.students.marks import Mark
from lessonkit.students.student import Student
from lessonkit.theory.key import Key
from tests.desktop.conftest import Driver

LEFT = Qt.MouseButton.LeftButton
SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
TAKEN = ("three_chords_make_a_home.lesson", "climbing_the_scale.lesson", "broken_chords.lesson")


class Answers:
    """Which files the teacher of the tests names."""

    def __init__(self) -> None:
        self.opening: Path | None = None
        self.saving: Path | None = None
        self.table: Path | None = None

    def term_to_open(self, folder: Path) -> Path | None:
        return self.opening

    def where_to_save(self, suggested: Path) -> Path | None:
        return self.saving

    def where_to_save_table(self, suggested: Path) -> Path | None:
        return self.table


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with three lessons and the sample term."""
    for name in (*TAKEN, "twelve_keys.term"):
        shutil.copy(SAMPLES / name, tmp_path / name)
    return tmp_path


@pytest.fixture
def room(driver: Driver, folder: Path) -> Iterator[PlanRoom]:
    """The terms room with the sample term open and its lessons read."""
    yield from opened(driver, folder)


def opened(driver: Driver, folder: Path) -> Iterator[PlanRoom]:
    """The terms room with the term of a folder open and its lessons read; closed when it is asked for the next."""
    driver.notebook._memory.term = folder / "twelve_keys.term"
    room = enter(driver)
    driver.qtbot.waitUntil(lambda: room.beside.is_read and room.counting.is_judged, timeout=60000)
    yield room
    driver.notebook.plan.close()


def part_of(driver: Driver, room: PlanRoom, title: str) -> QWidget:
    """A part of the room, gone to by its button."""
    driver.qtbot.mouseClick(room._row._group.button(room._row._titles.index(title)), LEFT)
    return room.parts[title]


def enter(driver: Driver) -> PlanRoom:
    """Go to the terms room by its keys."""
    rooms = driver.notebook.rooms
    assert rooms is not None
    driver.control(Qt.Key.Key_3)
    driver.qtbot.waitUntil(lambda: rooms.current == TERMS, timeout=60000)
    room = rooms.made(TERMS)
    assert isinstance(room, PlanRoom)
    return room


def on_disk(room: PlanRoom) -> Term:
    """The term as its file has it."""
    room.open_term.saving.finish()
    assert room.open_term.path is not None
    return read_term(room.open_term.path)


def files_of(term: Term) -> list[list[str]]:
    """The lessons of each week."""
    return [[placed.lesson for placed in week.lessons] for week in term.weeks]


def row_point(room: PlanRoom, id: str, part: float = 0.5) -> QPoint:
    """A point of a row, so far down."""
    view = room.weeks.view
    place = [row.id for row in view.rows].index(id)
    view.scrollToItem(view.item(place))
    rect = view.visualItemRect(view.item(place))
    return QPoint(rect.left() + 260, rect.top() + round(rect.height() * part))


def click(driver: Driver, room: PlanRoom, id: str) -> None:
    """Click the row of a week or of a lesson."""
    driver.qtbot.mouseClick(room.weeks.view.viewport(), LEFT, pos=row_point(room, id))


def carry(source: QWidget, start: QPoint, target: QWidget, end: QPoint) -> None:
    """Drag from a point of one widget to a point of another, as the mouse does while one holds it."""
    last = source.mapFromGlobal(target.mapToGlobal(end))
    for kind, point, held in (
        (QMouseEvent.Type.MouseButtonPress, start, LEFT),
        (QMouseEvent.Type.MouseMove, start + QPoint(0, 30), LEFT),
        (QMouseEvent.Type.MouseMove, last, LEFT),
        (QMouseEvent.Type.MouseButtonRelease, last, Qt.MouseButton.NoButton),
    ):
        button = Qt.MouseButton.NoButton if kind is QMouseEvent.Type.MouseMove else LEFT
        on_screen = QPointF(source.mapToGlobal(point))
        QApplication.sendEvent(
            source, QMouseEvent(kind, QPointF(point), on_screen, button, held, Qt.KeyboardModifier.NoModifier)
        )
        QApplication.processEvents()


def shelf_point(shelf: LessonShelf, title: str) -> QPoint:
    """The middle of a lesson on the shelf."""
    items = [shelf.list.item(place) for place in range(shelf.list.count())]
    item = next(item for item in items if item.text() == title)
    return shelf.list.visualItemRect(item).center()


def test_weeks_lessons_and_holidays_stand_under_each_other(room: PlanRoom) -> None:
    """The list is the term: nothing of it is hidden, and the half term stands where no lessons are."""
    rows = room.weeks.view.rows
    term = room.open_term.term
    assert [row.id for row in rows if row.kind is Kind.WEEK] == [week.id for week in term.weeks]
    assert [row.id for row in rows if row.kind is Kind.LESSON] == [placed.id for _, placed in term.placements]
    holidays = [place for place, row in enumerate(rows) if row.kind is Kind.HOLIDAY]
    assert [rows[place].words for place in holidays] == [
        "Half term: 26 Oct – 30 Oct",
        "Winter holidays: 21 Dec – 5 Jan",
    ]
    assert (rows[holidays[0] - 1].label, rows[holidays[0] + 1].label) == ("Week 7", "Week 8")
    assert rows[0].words == "Wed 9 Sep"


def test_a_lesson_is_dragged_from_the_shelf_into_a_week(driver: Driver, room: PlanRoom) -> None:
    """The gesture that plans a term; one undo takes it back, in the file too."""
    before = room.open_term.term
    shelf = room.weeks.shelf
    carry(shelf.list.viewport(), shelf_point(shelf, "Climbing the scale"), room.weeks.view.viewport(),
          row_point(room, "lesson-01", 0.9))  # fmt: skip
    assert files_of(room.open_term.term)[0] == [TAKEN[0], TAKEN[1]]
    assert room.open_term.undo_label == "Put Climbing the scale into week 1"
    assert on_disk(room) == room.open_term.term
    driver.control(Qt.Key.Key_Z)
    assert on_disk(room) == before


def test_a_lesson_is_found_on_the_shelf_and_placed_by_keys(driver: Driver, room: PlanRoom) -> None:
    """Nothing in the room needs a mouse."""
    click(driver, room, "week-07")
    driver.control(Qt.Key.Key_F)
    driver.type("inversions")
    assert room.weeks.shelf.list.count() == 1
    driver.press(Qt.Key.Key_Down)
    driver.press(Qt.Key.Key_Return)
    assert files_of(room.open_term.term)[6] == ["broken_chords.lesson"]
    assert "weeks 3, 7" in str(room.weeks.shelf.list.item(0).data(Qt.ItemDataRole.AccessibleTextRole))


def test_the_shelf_is_searched_by_what_lessons_hold(driver: Driver, room: PlanRoom) -> None:
    """A drill's name finds the lessons that have it."""
    driver.control(Qt.Key.Key_F)
    driver.type("nothing has these words")
    assert room.weeks.shelf.list.count() == 0
    assert room.weeks.shelf._empty.text() == "No lesson has all these words."
    room.weeks.shelf.search.selectAll()
    driver.type("diatonic ladder")
    assert 0 < room.weeks.shelf.list.count() <= len(TAKEN)


def test_the_shelf_is_searched_by_what_drills_contain(driver: Driver, room: PlanRoom) -> None:
    """A key that stands in no title finds the lessons whose drills are in it."""
    shelf = room.weeks.shelf
    driver.control(Qt.Key.Key_F)
    driver.type("left hand in Ab")
    driver.qtbot.waitUntil(lambda: shelf._help.text() == "Searched for keys: A♭ major; hands: left.", timeout=60000)
    shown = {str(shelf.list.item(place).toolTip()) for place in range(shelf.list.count())}
    wanted = {
        name
        for name, lesson in room.beside.lessons.items()
        if any(
            one.hand is Hand.LEFT and one.key == Key.parse("Ab")
            for block in lesson.blocks
            if isinstance(block, Drill)
            for one in counted(block.family, lesson.setting).seen
        )
    }
    assert shown == wanted
    assert 0 < len(wanted) < len(TAKEN)


def test_the_shelf_is_ordered_by_difficulty(driver: Driver, room: PlanRoom) -> None:
    """The easiest first, each with how hard it is, by the hardest of its drills."""
    shelf = room.weeks.shelf
    shelf.order.setFocus()
    driver.press(Qt.Key.Key_Down)
    driver.qtbot.waitUntil(lambda: len(shelf._ranks.ranks) == len(TAKEN), timeout=60000)
    hardest = {}
    for name, lesson in room.beside.lessons.items():
        drills = [block.family for block in lesson.blocks if isinstance(block, Drill)]
        hardest[name] = max(one.score for drill in drills for one in by_hand(drill, lesson.setting).values())
    shown = [shelf.list.item(place).toolTip() for place in range(shelf.list.count())]
    assert shown == sorted(hardest, key=lambda name: hardest[name])
    said = str(shelf.list.item(0).data(Qt.ItemDataRole.AccessibleTextRole))
    assert f", {band_of(hardest[shown[0]]).value} · in week " in said
    shelf.order.setFocus()
    driver.press(Qt.Key.Key_Up)
    driver.qtbot.waitUntil(lambda: not shelf._ranks.ranks)
    titles = [shelf.list.item(place).text() for place in range(shelf.list.count())]
    assert titles == sorted(titles)


def test_the_shelf_is_ordered_by_what_a_student_needs(driver: Driver, room: PlanRoom, folder: Path) -> None:
    """From the marks in the student's file; what plays most of what is due stands first."""
    item = Item.parse("broken-chords/Ab/right")
    save_student(Student("MT", marks=(Mark(date(2026, 1, 5), (item,), 0),)), folder / "mt.student")
    shelf = room.weeks.shelf
    wishes = [shelf.order.itemText(place) for place in range(shelf.order.count())]
    assert wishes == [
        "By title",
        "The easiest first",
        *(f"What {code} needs first" for code in room.open_term.term.everybody),
    ]
    shelf.order.setFocus()
    for _ in range(wishes.index("What MT needs first")):
        driver.press(Qt.Key.Key_Down)
    driver.qtbot.waitUntil(lambda: shelf._ranks.wish.code == "MT", timeout=60000)
    first = shelf.list.item(0)
    assert first.toolTip() == "broken_chords.lesson"
    assert str(first.data(Qt.ItemDataRole.AccessibleTextRole)).split(", ")[1].startswith("plays one thing that is due")
    assert shelf.list.count() == len(TAKEN)


def test_a_lesson_is_dragged_into_another_week(driver: Driver, room: PlanRoom) -> None:
    """It leaves its week; every lesson is still there."""
    view = room.weeks.view
    end = row_point(room, "week-03")
    carry(view.viewport(), row_point(room, "lesson-01"), view.viewport(), end)
    weeks = files_of(room.open_term.term)
    assert weeks[0] == []
    assert TAKEN[0] in weeks[2]
    assert len(room.open_term.term.placements) == 12
    assert room.open_term.undo_label == "Move Three chords make a home to week 3"


def test_escape_gives_a_drag_up(driver: Driver, room: PlanRoom) -> None:
    """A hand that thought better of it changes nothing."""
    view = room.weeks.view
    before = room.open_term.term
    driver.qtbot.mousePress(view.viewport(), LEFT, pos=row_point(room, "lesson-01"))
    driver.qtbot.mouseMove(view.viewport(), row_point(room, "week-03"))
    assert view.is_carrying
    driver.qtbot.keyClick(view, Qt.Key.Key_Escape)
    driver.qtbot.mouseRelease(view.viewport(), LEFT, pos=row_point(room, "week-03"))
    assert room.open_term.term == before


def test_a_week_is_dragged_and_the_dates_follow(driver: Driver, room: PlanRoom) -> None:
    """The week that moves takes the date of its new place, and the ones between move up."""
    view = room.weeks.view
    term = room.open_term.term
    carry(view.viewport(), row_point(room, "week-01"), view.viewport(), row_point(room, "lesson-03", 0.9))
    after = room.open_term.term
    assert [week.id for week in after.weeks[:4]] == ["week-02", "week-03", "week-01", "week-04"]
    assert [one.day for one in after.dated] == [one.day for one in term.dated]


def test_alt_and_the_arrows_move_what_is_chosen(driver: Driver, room: PlanRoom) -> None:
    """Down past the end of a week is into the next one; a week changes places with its neighbour."""
    click(driver, room, "lesson-01")
    driver.press(Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    assert files_of(room.open_term.term)[:2] == [[], [TAKEN[0], TAKEN[1]]]
    assert room.weeks.view.row is not None
    assert room.weeks.view.row.id == "lesson-01"
    click(driver, room, "week-02")
    driver.press(Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert [week.id for week in room.open_term.term.weeks[:2]] == ["week-02", "week-01"]


def test_what_is_removed_comes_back_with_undo(driver: Driver, room: PlanRoom) -> None:
    """Week, lesson and holiday alike."""
    before = room.open_term.term
    click(driver, room, "lesson-02")
    driver.press(Qt.Key.Key_Delete)
    click(driver, room, "week-04")
    driver.press(Qt.Key.Key_Delete)
    holiday = next(row for row in room.weeks.view.rows if row.kind is Kind.HOLIDAY)
    click(driver, room, holiday.id)
    driver.press(Qt.Key.Key_Delete)
    term = room.open_term.term
    assert (len(term.weeks), len(term.placements), len(term.holidays)) == (13, 10, 1)
    for _ in range(3):
        driver.control(Qt.Key.Key_Z)
    assert on_disk(room) == before
    assert room.open_term.redo_label == "Take Climbing the scale out of week 2"


def test_an_inserted_week_moves_those_behind_it(driver: Driver, room: PlanRoom) -> None:
    """Re-dating is nobody's work."""
    day = room.open_term.term.dated[2].day
    click(driver, room, "week-02")
    driver.control(Qt.Key.Key_Return)
    assert room.open_term.term.weeks[3].id == "week-03"
    assert room.open_term.term.dated[2].day == day
    assert room.weeks.view.row is not None
    assert room.weeks.view.row.label == "Week 3"


def test_a_note_is_one_step_of_undo(driver: Driver, room: PlanRoom) -> None:
    """A sentence is not forty edits."""
    click(driver, room, "week-01")
    note = room.weeks.week_form.note
    driver.qtbot.mouseClick(note.viewport(), LEFT)
    driver.type("Bring a pencil")
    assert on_disk(room).weeks[0].note == "Bring a pencil"
    driver.control(Qt.Key.Key_Z)
    assert room.open_term.term.weeks[0].note == ""
    assert note.toPlainText() == ""


def test_for_whom_a_lesson_is_is_ticked(driver: Driver, room: PlanRoom) -> None:
    """One tick narrows it from everybody to one group."""
    click(driver, room, "lesson-01")
    who = room.weeks.placement_form.who
    who.setFocus()
    who.setCurrentRow(0)
    driver.press(Qt.Key.Key_Space)
    assert room.open_term.term.placement("lesson-01").groups == ("Saturday trio",)
    row = room.weeks.view.row
    assert row is not None
    assert row.second == "Saturday trio · on Sat 12 Sep"


def test_a_lesson_changed_since_it_was_given_is_marked(driver: Driver, room: PlanRoom, folder: Path) -> None:
    """Whoever gives it again should know that it is better now."""
    click(driver, room, "lesson-01")
    driver.qtbot.mouseClick(room.weeks.placement_form.given, LEFT, pos=QPoint(8, 12))
    assert room.open_term.term.placement("lesson-01").given
    path = folder / TAKEN[0]
    text = path.read_text(encoding="utf-8").replace("Three chords make a home", "Three chords make a house")
    path.write_text(text, encoding="utf-8")
    driver.control(Qt.Key.Key_1)
    driver.control(Qt.Key.Key_3)
    wanted = "changed since it was given"
    driver.qtbot.waitUntil(lambda: any(row.second == wanted for row in room.weeks.view.rows), timeout=60000)


def test_a_lesson_opens_in_the_lessons_room(driver: Driver, room: PlanRoom) -> None:
    """Double click is the way from the plan to the page."""
    click(driver, room, "lesson-01")
    driver.qtbot.mouseDClick(room.weeks.view.viewport(), LEFT, pos=row_point(room, "lesson-01"))
    assert driver.notebook.room == LESSONS
    assert driver.lesson.title == "Three chords make a home"
    driver.settle()


def test_an_unsaved_lesson_is_not_lost_for_another(driver: Driver, room: PlanRoom) -> None:
    """The room asks as opening always asks."""
    driver.notebook.open_lesson.edit("Change", driver.lesson.__class__(title="Mine"))
    driver.answers.leaving = Unsaved.CANCEL
    click(driver, room, "lesson-01")
    driver.press(Qt.Key.Key_Return)
    assert driver.answers.asked == ["unsaved"]
    assert driver.notebook.room == TERMS
    assert driver.lesson.title == "Mine"
    driver.settle()


def test_a_holiday_is_added_and_refused_in_a_sentence(driver: Driver, room: PlanRoom) -> None:
    """The weeks behind it move; a holiday that ends before it begins is none."""
    form = room.weeks.term_form
    driver.qtbot.mouseClick(room.weeks.show_term_form, LEFT)
    form.holiday_first.show_day(date(2026, 9, 14))
    form.holiday_last.show_day(date(2026, 9, 18))
    driver.qtbot.mouseClick(form.holiday_name, LEFT)
    driver.type("Harvest")
    driver.press(Qt.Key.Key_Return)
    assert Holiday("Harvest", date(2026, 9, 14), date(2026, 9, 18)) in on_disk(room).holidays
    assert room.open_term.term.dated[1].day == date(2026, 9, 23)
    form.holiday_first.show_day(date(2026, 9, 30))
    form.holiday_last.show_day(date(2026, 9, 29))
    form.holiday_name.setFocus()
    driver.press(Qt.Key.Key_Return)
    assert "exchange the days" in driver.notebook.desk.messages.sentence


def test_the_window_is_called_by_what_its_room_shows(driver: Driver, room: PlanRoom) -> None:
    """Two windows side by side are told apart by their terms; the lesson's name comes back with its room."""
    title = driver.window.windowTitle
    assert title() == "Twelve lessons, twelve keys[*] · twelve_keys.term"
    room.weeks.term_form.name.setFocus()
    room.weeks.term_form.name.selectAll()
    driver.type("Autumn")
    assert title() == "Autumn[*] · twelve_keys.term"
    driver.control(Qt.Key.Key_Z)
    assert title().startswith("Twelve lessons")
    driver.notebook.open_lesson.edit("Title", set_title(driver.lesson, "Morning lesson"))
    assert not driver.window.isWindowModified()
    driver.control(Qt.Key.Key_1)
    assert title() == "Morning lesson[*]"
    assert driver.window.isWindowModified()


def begin(driver: Driver, room: PlanRoom, path: Path) -> NewTerm:
    """Ask for a new term that is kept in a file."""
    answers = Answers()
    answers.saving = path
    room.questions = answers  # type: ignore[assignment]
    driver.qtbot.waitUntil(lambda: room.findChild(NewTerm) is None)
    driver.window.activateWindow()
    driver.qtbot.waitUntil(driver.window.isActiveWindow)
    driver.control(Qt.Key.Key_N)
    dialog = room.findChild(NewTerm)
    assert dialog is not None
    driver.qtbot.waitUntil(dialog.isVisible)
    return dialog


def test_what_keeps_a_term_from_being_taught_is_told(driver: Driver, room: PlanRoom) -> None:
    """A group that would come in a holiday, a lesson that is not there; each with its week."""
    form = room.weeks.term_form
    said = form.to_look_at.text().splitlines()
    assert said[0] == "To look at:"
    assert said[1].startswith("Week 4, ladder_of_sevenths.lesson: there is no such lesson beside the term")
    assert said[-1].startswith("… and ")
    assert len(room.counting.judged.problems) == 9
    term = room.open_term.term
    for _, placed in reversed(term.placements):
        if placed.lesson not in room.beside.lessons:
            term = remove_lesson(term, placed.id)
    room.open_term.edit("Fewer", term)
    driver.qtbot.waitUntil(lambda: room.counting.is_judged, timeout=60000)
    assert form.to_look_at.isHidden()
    saturday = Holiday("Fair", date(2026, 9, 12), date(2026, 9, 12))
    room.open_term.edit("Fair", add_holiday(room.open_term.term, saturday))
    driver.qtbot.waitUntil(lambda: room.counting.is_judged, timeout=60000)
    assert "Saturday trio comes on 12 September, which is in Fair" in form.to_look_at.text()


def test_last_years_term_begins_anew(driver: Driver, room: PlanRoom, folder: Path) -> None:
    """New dates and new deals; last year's file stays as it was."""
    old = room.open_term.term
    dialog = begin(driver, room, folder / "next.term")
    dialog.way.setCurrentIndex(dialog.way.findData(LAST_YEAR))
    dialog.starts.show_day(date(2027, 9, 8))
    dialog.name.setFocus()
    dialog.name.selectAll()
    driver.qtbot.keyClicks(dialog.name, "Next year")
    driver.qtbot.mouseClick(dialog.begin, LEFT)
    term = on_disk(room)
    assert room.open_term.path == folder / "next.term"
    assert (term.title, term.came_from, term.starts) == ("Next year", old.title, date(2027, 9, 8))
    assert files_of(term) == files_of(old)
    assert {placed.seed for _, placed in term.placements} == {1}
    assert read_term(folder / "twelve_keys.term") == old
    assert driver.notebook._memory.term == folder / "next.term"


def test_what_was_improved_since_last_year_is_told(driver: Driver, room: PlanRoom, folder: Path) -> None:
    """All lessons are noted as given by one command, one of them is improved, and the new term says which."""
    room.weeks.commands.mark_all_given()
    given = [placed.lesson for _, placed in on_disk(room).placements if placed.given]
    assert sorted(given) == sorted(TAKEN)
    assert room.open_term.undo_label == "All lessons given"
    save_lesson(set_title(room.beside.lessons[TAKEN[1]], "Climbing higher"), folder / TAKEN[1])
    dialog = begin(driver, room, folder / "next.term")
    answers = Answers()
    answers.opening = folder / "twelve_keys.term"
    dialog._questions = answers  # type: ignore[assignment]
    dialog.way.setFocus()
    driver.qtbot.keyClick(dialog.way, Qt.Key.Key_Down)
    assert dialog.way.currentData() == LAST_YEAR
    driver.qtbot.mouseClick(dialog.choose_last, LEFT)
    assert dialog._last_words.text().endswith("Changed since last year’s were given: Climbing higher.")
    assert dialog._last_words.height() >= dialog._last_words.heightForWidth(dialog._last_words.width())
    driver.qtbot.mouseClick(dialog.begin, LEFT)
    assert room.open_term.path == folder / "next.term"
    marked = {placed.lesson for _, placed in on_disk(room).placements if placed.given}
    assert marked == set(TAKEN)
    wanted = "changed since it was given"
    room.beside.look(folder)
    driver.qtbot.waitUntil(lambda: any(wanted in row.second for row in room.weeks.view.rows), timeout=60000)


def test_a_blank_term_and_a_spread_one(driver: Driver, room: PlanRoom, folder: Path) -> None:
    """A term begins with weeks, or with the lessons that are there, two weeks each."""
    dialog = begin(driver, room, folder / "blank.term")
    dialog.weeks.setValue(5)
    driver.qtbot.mouseClick(dialog.begin, LEFT)
    assert files_of(on_disk(room)) == [[]] * 5
    dialog = begin(driver, room, folder / "spread.term")
    dialog.way.setCurrentIndex(dialog.way.findText("Two weeks for each lesson"))
    dialog.taken.item(0).setCheckState(Qt.CheckState.Unchecked)
    dialog.taken.setCurrentRow(1)
    driver.qtbot.mouseClick(dialog.later, LEFT)
    driver.qtbot.mouseClick(dialog.begin, LEFT)
    names = sorted(TAKEN)
    assert files_of(on_disk(room)) == [[names[2]], [], [names[1]], []]


def test_a_file_of_another_program_is_laid_aside(driver: Driver, room: PlanRoom) -> None:
    """What somebody else wrote meanwhile is in a folder of its own, and that is said."""
    path = room.open_term.path
    assert path is not None
    save_term(Term(title="Written elsewhere"), path)
    click(driver, room, "lesson-01")
    driver.press(Qt.Key.Key_Delete)
    room.open_term.saving.finish()
    driver.qtbot.waitUntil(lambda: "kept as" in driver.notebook.desk.messages.sentence)
    kept = Path(driver.notebook.desk.messages.sentence.partition("kept as ")[2].removesuffix("."))
    assert read_term(kept).title == "Written elsewhere"
    assert len(read_term(path).placements) == 11


def test_save_says_that_it_is_saved(driver: Driver, room: PlanRoom) -> None:
    """Whoever presses Ctrl+S wants to hear that nothing can be lost."""
    click(driver, room, "lesson-01")
    driver.press(Qt.Key.Key_Delete)
    driver.control(Qt.Key.Key_S)
    assert driver.notebook.desk.messages.sentence.startswith("twelve_keys.term is saved.")
    assert on_disk(room) == room.open_term.term


def test_a_term_that_cannot_be_written_finds_another_file(driver: Driver, room: PlanRoom, folder: Path) -> None:
    """The window does not go before the term is in a file."""
    (folder / "blocked").write_text("a file where a folder should be")
    room.open_term.path = folder / "blocked" / "a.term"
    click(driver, room, "lesson-01")
    driver.press(Qt.Key.Key_Delete)
    answers = Answers()
    room.questions = answers  # type: ignore[assignment]
    assert not room.may_close()
    assert not room.open_path(folder / "twelve_keys.term")
    answers.saving = folder / "saved.term"
    assert room.may_close()
    assert len(read_term(folder / "saved.term").placements) == 11


def test_without_a_term_the_room_offers_to_begin(driver: Driver, tmp_path: Path) -> None:
    """A file that is none costs a sentence; the room stays as it was."""
    room = enter(driver)
    assert room.begin_new.isVisible()
    answers = Answers()
    answers.opening = tmp_path / "bad.term"
    answers.opening.write_text("{")
    room.questions = answers  # type: ignore[assignment]
    driver.qtbot.mouseClick(room.begin_open, LEFT)
    assert driver.notebook.desk.messages.sentence.startswith("The term was not opened. bad.term")
    assert not room.open_term.is_open
    driver.notebook.plan.close()


def test_f6_goes_through_the_panes(driver: Driver, room: PlanRoom) -> None:
    """Shelf, weeks, form, and round again; backwards with Shift."""
    weeks = room.weeks
    click(driver, room, "week-01")
    driver.press(Qt.Key.Key_F6)
    assert driver.window.focusWidget() is weeks.week_form.day
    driver.press(Qt.Key.Key_F6)
    assert driver.window.focusWidget() is weeks.shelf.search
    driver.press(Qt.Key.Key_F6)
    assert driver.window.focusWidget() is weeks.view
    driver.press(Qt.Key.Key_F6, Qt.KeyboardModifier.ShiftModifier)
    assert driver.window.focusWidget() is weeks.shelf.search


def test_every_control_of_the_room_has_a_name(driver: Driver, room: PlanRoom) -> None:
    """A screen reader says names, not places."""
    for place in range(len(room._row._titles)):
        driver.qtbot.mouseClick(room._row._group.button(place), LEFT)
    for kind in (QAbstractButton, QComboBox, QLineEdit, QAbstractSpinBox):
        for widget in room.findChildren(kind):
            if not widget.objectName().startswith("qt_") and not isinstance(
                widget.parent(), QComboBox | QAbstractSpinBox
            ):
                is_inner = isinstance(widget.parent(), QLineEdit) or "calendar" in widget.objectName().lower()
                assert is_inner or widget.accessibleName() or getattr(widget, "text", str)(), widget


def test_a_long_title_gives_way_to_the_parts(driver: Driver, room: PlanRoom) -> None:
    """The window stays as narrow as it may be, and the tool tip has the title whole."""
    title = "A term of improvising in all keys for everybody who comes to Lantern Street on Wednesdays and Saturdays"
    driver.window.resize(1280, 720)
    room.open_term.edit("Title", set_term_title(room.open_term.term, title))
    driver.qtbot.waitUntil(lambda: room._name.is_cut)
    assert room._name.toolTip() == room._name.accessibleName() == title
    assert driver.window.width() == 1280
    assert driver.window.minimumSizeHint().width() <= 1280


def test_the_plan_is_saved_as_a_table(driver: Driver, room: PlanRoom, tmp_path: Path) -> None:
    """By the menu; what stands in the way is a sentence."""
    answers = Answers()
    room.questions = answers
    table = next(action for action in driver.window.findChildren(QAction) if "as a &table" in action.text())
    answers.table = tmp_path / "plan.csv"
    table.trigger()
    assert answers.table.read_text(encoding="utf-8-sig").startswith("Week,Date,Day,For,Lesson,File,Key,Drills,Note")
    assert driver.notebook.desk.messages.sentence == f"The plan is saved as a table in {answers.table}"
    (tmp_path / "taken").write_text("words")
    answers.table = tmp_path / "taken" / "plan.csv"
    table.trigger()
    assert "was not saved" in driver.notebook.desk.messages.sentence
