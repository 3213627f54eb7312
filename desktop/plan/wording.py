"""Days, people and places of a term in the words of the window, whatever language the computer speaks."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from lessonkit.curriculum.coverage import Place
from lessonkit.curriculum.term import WEEKDAYS, Holiday, Placement
from lessonkit.lesson.lesson import Lesson

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def day_words(day: date) -> str:
    """``Wednesday 9 September 2026``."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"


def short_day(day: date) -> str:
    """``Wed 9 Sep``."""
    return f"{WEEKDAYS[day.weekday()][:3]} {day.day} {MONTHS[day.month - 1][:3]}"


def holiday_words(holiday: Holiday) -> str:
    """``Half term: 26 Oct – 30 Oct``."""
    first = f"{holiday.first.day} {MONTHS[holiday.first.month - 1][:3]}"
    last = f"{holiday.last.day} {MONTHS[holiday.last.month - 1][:3]}"
    return f"{holiday.name}: {first}" + (f" – {last}" if holiday.last != holiday.first else "")


def last_day_of(monday: date) -> date:
    """The Sunday of a week."""
    return monday + timedelta(6)


def title_of(name: str, lessons: Mapping[str, Lesson]) -> str:
    """A lesson's title; its file's name where it has none or is not there."""
    lesson = lessons.get(name)
    return lesson.title if lesson is not None and lesson.title else name.removesuffix(".lesson")


def who_words(placed: Placement) -> str:
    """``everybody``, or who gets a lesson."""
    return "everybody" if placed.is_for_all else ", ".join((*placed.groups, *placed.students))


def place_words(place: Place, lessons: Mapping[str, Lesson]) -> str:
    """``Week 3: Broken chords``."""
    title = title_of(place.lesson, lessons)
    return f"Week {place.week}: {title}" if place.week else title
