"""What is bound: one lesson after another, each with its pages, as a student or the teacher gets it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date

from lessonkit.curriculum.issue import issued
from lessonkit.curriculum.seen import Axis, counted, plain_key
from lessonkit.curriculum.term import DatedWeek, Placement, Term
from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.passages import key_onsets
from lessonkit.drills.realise import realise
from lessonkit.lesson import prose
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.pages.blocks import look_of
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.pages.flow import pages_of
from lessonkit.pages.flowing import ANSWERS
from lessonkit.pages.page import Page
from lessonkit.students.adapt import adapt
from lessonkit.students.student import Student
from lessonkit.theory.key import Key
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Contents:
    """What goes into a binder beside the lessons themselves."""

    has_answers: bool = False
    is_for_teacher: bool = False
    has_parent_notes: bool = False
    has_index: bool = True
    tells_key: bool = True
    """Whether key and tempo stand at the head, as they do not where each task has its own."""
    begins_right: bool = False
    """Whether each lesson begins on a right-hand page, as it was laid out to be turned."""


STUDENT, TEACHER = Contents(), Contents(has_answers=True, is_for_teacher=True)


@dataclass(frozen=True, eq=False)
class Section:
    """One lesson in a binder: its title as printed, what is told of it (its week and day), and its pages."""

    title: str
    told: str
    lesson: Lesson
    pages: tuple[Page, ...]

    def found(self, axis: Axis) -> Iterator[tuple[object, int]]:
        """What its drills contain along an axis, each with the place of a page (0 first) on which it stands.

        A drill stands where it begins, a key on every page that has notes in it. Of a key whose notes are not printed,
        as on a worksheet, it is the page on which its drill begins.
        """
        places = self._places
        for block in self.lesson.blocks:
            if not isinstance(block, Drill) or block.id not in places:
                continue
            own = places[block.id]
            found = {value for value, _ in counted(block.family, self.lesson.setting).cells(axis, axis)}
            if axis is Axis.KEY:
                printed = self._keys_printed(block, own)
                for place, keys in printed:
                    yield from ((key, place) for key in keys & found)
                found = found.difference(*(keys for _, keys in printed))
            yield from ((value, own[0][0]) for value in found)

    @property
    def _places(self) -> dict[str, list[tuple[int, Drawing]]]:
        """For each block the drawings of it, each with the place of its page; the answers are not counted."""
        found: dict[str, list[tuple[int, Drawing]]] = {}
        for place, page in enumerate(self.pages):
            if any(entry.text == ANSWERS for entry in page.outline):
                break
            for part in page.parts:
                if part.block_id:
                    found.setdefault(part.block_id, []).append((place, part.placed.drawing))
        return found

    def _keys_printed(self, drill: Drill, drawings: list[tuple[int, Drawing]]) -> list[tuple[int, set[Key]]]:
        """The keys in which each drawing of a drill has notes."""
        try:
            exercise = realise(drill.family, self.lesson.setting)
        except ValueError:
            return []
        begins = key_onsets(exercise)
        onsets = [onset for onset, _ in begins]
        if len(begins) < 2:
            return [(drawings[0][0], {plain_key(key) for _, key in begins})]
        found: list[tuple[int, set[Key]]] = []
        for place, drawing in drawings:
            events = {int(mark.name.partition(".")[0]) for mark in drawing.marks if mark.kind == "note"}
            sections = {bisect_right(onsets, exercise.events[event].onset) - 1 for event in events}
            found.append((place, {plain_key(begins[section][1]) for section in sections if section >= 0}))
        return found


def section_of(lesson: Lesson, told: str, contents: Contents = STUDENT) -> Section:
    """A lesson as it is bound."""
    look = replace(look_of(lesson), tells_key=contents.tells_key)
    pages = pages_of(lesson, contents.has_answers, look, contents.is_for_teacher, is_numbered=False)
    if contents.has_parent_notes:
        pages += edition_pages(lesson, Edition.PARENT)
    title = prose.plain_line(prose.read_line(lesson.title, lesson.setting), lesson.house.label_style)
    return Section(title or "Lesson", told, lesson, pages)


def day_words(day: date) -> str:
    """A day for people: 9 September 2026."""
    return f"{day.day} {day:%B} {day.year}"


def placed_for(term: Term, student: Student | None) -> Iterator[tuple[DatedWeek, date, Placement]]:
    """What a student gets in a term, in order, with its day; everything for the teacher (None)."""
    for dated in term.dated:
        for placed in dated.week.lessons:
            if student is None or student.code in term.codes_of(placed):
                group = next(
                    (one.name for one in term.groups
                     if student is not None and student.code in one.students
                     and (placed.is_for_all or one.name in placed.groups)),
                    "",
                )  # fmt: skip
                yield dated, term.day_for(dated, group), placed


def lesson_for(lesson: Lesson, placed: Placement, student: Student | None, day: date) -> Lesson:
    """A lesson as its week gives it out, adapted to the student."""
    given = issued(lesson, placed)
    return adapt(given, student, day).lesson if student is not None else given


def sections_for(
    term: Term, lessons: Mapping[str, Lesson], student: Student | None, contents: Contents = STUDENT
) -> Iterator[Section]:
    """The sections of a binder, worked out one by one; lessons that are not there are left out."""
    for dated, day, placed in placed_for(term, student):
        if placed.lesson in lessons:
            lesson = lesson_for(lessons[placed.lesson], placed, student, day)
            yield section_of(lesson, f"Week {dated.number} · {day_words(day)}", contents)
