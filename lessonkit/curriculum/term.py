"""A term: weeks in order, what is taught in each and for whom. Dates are worked out, so that they always agree.

A term keeps the day it starts, its holidays and the order of its weeks; the date of every handout follows from these.
Whoever moves a week or a holiday has re-dated everything behind it.
"""

from __future__ import annotations

import os
import re
from dataclasses import field
from datetime import date, timedelta

from lessonkit.lesson.lesson import check_line, check_text
from lessonkit.theory.key import Key
from lessonkit.values import dataclass

MOST_WEEKS = 60
MOST_PLACED = 40
"""The most lessons in one week."""

MOST_GROUPS, MOST_STUDENTS, MOST_HOLIDAYS = 100, 500, 60
LARGEST_TERM_SEED = 99_999
LONGEST_NAME = 40

EARLIEST, LATEST = date(1990, 1, 1), date(2199, 12, 31)
"""The days between which a term can lie."""

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

_ID = re.compile("[A-Za-z0-9_-]{1,40}")
_LESSON_FILE = re.compile(r"[^\x00-\x1f\\:]{1,250}\.lesson")


def new_id() -> str:
    """A short name for a new week or placement, not used by any other for all practical purposes."""
    return os.urandom(4).hex()


def _check_id(name: str) -> None:
    if _ID.fullmatch(name) is None:
        raise ValueError(f"{name[:41]!r} cannot name a week or a lesson; a name has 1 to 40 letters, digits, - or _")


def _check_name(name: str, what: str) -> None:
    check_line(name, what)
    if not name.strip() or len(name) > LONGEST_NAME:
        raise ValueError(f"{what} has 1 to {LONGEST_NAME} characters; {name[:50]!r} has not")


def check_day(day: date, what: str) -> None:
    """Raises ValueError with a sentence for a day on which no term can be."""
    if not EARLIEST <= day <= LATEST:
        raise ValueError(f"{what} on {day} is not between {EARLIEST} and {LATEST}")


@dataclass(frozen=True, slots=True)
class Group:
    """Students who come together, by their codes, on a day of the week (0 is Monday; None for the term's own day)."""

    name: str
    students: tuple[str, ...] = ()
    weekday: int | None = None

    def __post_init__(self) -> None:
        _check_name(self.name, "a group's name")
        for code in self.students:
            _check_name(code, "a student's code")
        if len(set(self.students)) != len(self.students):
            raise ValueError(f"a student stands twice in {self.name}; take one of them out")
        if self.weekday is not None and not 0 <= self.weekday <= 6:
            raise ValueError(f"{self.weekday} is no day of the week; 0 is Monday and 6 is Sunday")


@dataclass(frozen=True, slots=True)
class Placement:
    """A lesson in a week: its file (as seen from the term's), who gets it, and how it differs from the file.

    ``groups`` and ``students`` name those who get it; when both are empty everybody does. ``key`` is another key than
    the file's; ``seed`` deals every drill that chance has a hand in anew, 0 as in the file. ``given`` is the mark of
    the lesson as it was when it was handed out (see ``issue.py``), empty before that.
    """

    lesson: str
    groups: tuple[str, ...] = ()
    students: tuple[str, ...] = ()
    key: Key | None = None
    seed: int = 0
    given: str = ""
    id: str = field(default_factory=new_id)

    def __post_init__(self) -> None:
        _check_id(self.id)
        parts = self.lesson.split("/")
        if _LESSON_FILE.fullmatch(self.lesson) is None or {"", ".."} & set(parts):
            raise ValueError(
                f"{self.lesson[:60]!r} is not a lesson beside the term; write it like blues.lesson or new/blues.lesson"
            )
        for name in (*self.groups, *self.students):
            _check_name(name, "a name")
        if not 0 <= self.seed <= LARGEST_TERM_SEED:
            raise ValueError(f"the deal number {self.seed} is not between 0 and {LARGEST_TERM_SEED}")
        if re.fullmatch("[0-9a-f]{0,64}", self.given) is None:
            raise ValueError(f"{self.given[:20]!r} is not the mark of a lesson that was given")

    @property
    def is_for_all(self) -> bool:
        """Whether everybody gets it."""
        return not self.groups and not self.students


@dataclass(frozen=True, slots=True)
class Week:
    """A week of teaching: its lessons in order, and a note for the teacher. ``day`` moves it within its week."""

    lessons: tuple[Placement, ...] = ()
    note: str = ""
    weekday: int | None = None
    id: str = field(default_factory=new_id)

    def __post_init__(self) -> None:
        _check_id(self.id)
        check_text(self.note, "the note of a week", 2000)
        if self.weekday is not None and not 0 <= self.weekday <= 6:
            raise ValueError(f"{self.weekday} is no day of the week; 0 is Monday and 6 is Sunday")
        if len(self.lessons) > MOST_PLACED:
            raise ValueError(f"{len(self.lessons)} lessons in one week are more than {MOST_PLACED}")


@dataclass(frozen=True, slots=True)
class Holiday:
    """Days without lessons, the first and the last among them."""

    name: str
    first: date
    last: date

    def __post_init__(self) -> None:
        _check_name(self.name, "a holiday's name")
        check_day(self.first, "a holiday")
        check_day(self.last, "a holiday")
        if self.last < self.first:
            raise ValueError(f"{self.name} ends on {self.last}, before it begins on {self.first}; exchange the days")
        if (self.last - self.first).days > 366:
            raise ValueError(f"{self.name} is longer than a year; end the term before it")

    def holds(self, day: date) -> bool:
        """Whether a day lies in it."""
        return self.first <= day <= self.last


@dataclass(frozen=True, slots=True)
class DatedWeek:
    """A week of the term with its number (1 first), the Monday it begins on, and the day its lessons fall on."""

    number: int
    monday: date
    day: date
    week: Week


@dataclass(frozen=True, slots=True)
class Term:
    """A term. ``starts`` is any day of its first week; ``weekday`` the usual day of lessons (0 is Monday).

    ``students`` are codes of students taught alone. ``came_from`` is the title of the term that it was made from.
    """

    title: str = "New term"
    starts: date = date(2026, 9, 7)
    weekday: int = 0
    weeks: tuple[Week, ...] = ()
    holidays: tuple[Holiday, ...] = ()
    groups: tuple[Group, ...] = ()
    students: tuple[str, ...] = ()
    came_from: str = ""

    def __post_init__(self) -> None:
        check_line(self.title, "a title")
        check_line(self.came_from, "the title of last year's term")
        check_day(self.starts, "a term that starts")
        if not 0 <= self.weekday <= 6:
            raise ValueError(f"{self.weekday} is no day of the week; 0 is Monday and 6 is Sunday")
        for what, count, most in (
            ("weeks", len(self.weeks), MOST_WEEKS),
            ("holidays", len(self.holidays), MOST_HOLIDAYS),
            ("groups", len(self.groups), MOST_GROUPS),
            ("students", len(self.students), MOST_STUDENTS),
        ):
            if count > most:
                raise ValueError(f"{count} {what} are more than {most}; make two terms of it")
        for code in self.students:
            _check_name(code, "a student's code")
        ids = [name for week in self.weeks for name in (week.id, *(placed.id for placed in week.lessons))]
        for what, names in (
            ("weeks or lessons share one id", ids),
            ("groups share one name", [group.name for group in self.groups]),
            ("students share one code", list(self.students)),
        ):
            if len(set(names)) != len(names):
                raise ValueError(f"two {what}")

    @property
    def dated(self) -> tuple[DatedWeek, ...]:
        """The weeks with their dates: one calendar week each, leaving out those whose lesson day is a holiday."""
        found: list[DatedWeek] = []
        monday = self.starts - timedelta(self.starts.weekday())
        for number, week in enumerate(self.weeks, 1):
            weekday = self.weekday if week.weekday is None else week.weekday
            while any(holiday.holds(monday + timedelta(self.weekday)) for holiday in self.holidays):
                monday += timedelta(7)
            found.append(DatedWeek(number, monday, monday + timedelta(weekday), week))
            monday += timedelta(7)
        return tuple(found)

    @property
    def placements(self) -> tuple[tuple[int, Placement], ...]:
        """Every placed lesson with the place of its week, 0 first, in the order of teaching."""
        return tuple((place, placed) for place, week in enumerate(self.weeks) for placed in week.lessons)

    def day_for(self, dated: DatedWeek, group: str = "") -> date:
        """The day in a week on which a group has its lesson; that of the week for no group or one without a day."""
        for one in self.groups:
            if one.name == group and one.weekday is not None and dated.week.weekday is None:
                return dated.monday + timedelta(one.weekday)
        return dated.day

    def place_of_week(self, week_id: str) -> int:
        """The place of a week, 0 first; raises KeyError where there is none."""
        for place, week in enumerate(self.weeks):
            if week.id == week_id:
                return place
        raise KeyError(week_id)

    def placement(self, placement_id: str) -> Placement:
        """The placed lesson of an id; raises KeyError where there is none."""
        for _, placed in self.placements:
            if placed.id == placement_id:
                return placed
        raise KeyError(placement_id)

    def codes_of(self, placed: Placement) -> tuple[str, ...]:
        """The codes of those who get a lesson, each once, groups first."""
        if placed.is_for_all:
            return self.everybody
        named = [code for group in self.groups if group.name in placed.groups for code in group.students]
        return tuple(dict.fromkeys((*named, *placed.students)))

    @property
    def everybody(self) -> tuple[str, ...]:
        """The codes of all students, those of groups first, each once."""
        return tuple(dict.fromkeys([*(code for group in self.groups for code in group.students), *self.students]))
