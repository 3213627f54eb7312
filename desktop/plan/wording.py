"""Days, people and places of a term in the words of the window, whatever language the computer speaks."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from desktop.words import english, say
from lessonkit.curriculum.coverage import Place
from lessonkit.curriculum.term import WEEKDAYS, Holiday, Placement
from lessonkit.lesson.lesson import Lesson

MONTHS = (
    english("January"), english("February"), english("March"), english("April"), english("May"), english("June"),
    english("July"), english("August"), english("September"), english("October"), english("November"),
    english("December"),
)  # fmt: skip


_WEEKDAYS = (
    english("Mon"), english("Tue"), english("Wed"), english("Thu"), english("Fri"), english("Sat"), english("Sun"),
)  # fmt: skip


def day_words(day: date) -> str:
    """``Wednesday 9 September 2026``."""
    return say(
        "{weekday} {day} {month} {year}",
        weekday=say(WEEKDAYS[day.weekday()]), day=day.day, month=say(MONTHS[day.month - 1]), year=day.year,
    )  # fmt: skip


def short_day(day: date) -> str:
    """``Wed 9 Sep``."""
    return say("{weekday} {day}", weekday=say(_WEEKDAYS[day.weekday()]), day=_short(day))


def holiday_words(holiday: Holiday) -> str:
    """``Half term: 26 Oct – 30 Oct``."""
    first = _short(holiday.first)
    last = _short(holiday.last)
    return f"{holiday.name}: {first}" + (f" – {last}" if holiday.last != holiday.first else "")


def _short(day: date) -> str:
    return say("{day} {month}", day=day.day, month=say(MONTHS[day.month - 1])[:3])


def last_day_of(monday: date) -> date:
    """The Sunday of a week."""
    return monday + timedelta(6)


def title_of(name: str, lessons: Mapping[str, Lesson]) -> str:
    """A lesson's title; its file's name where it has none or is not there."""
    lesson = lessons.get(name)
    return lesson.title if lesson is not None and lesson.title else name.removesuffix(".lesson")


def who_words(placed: Placement) -> str:
    """``everybody``, or who gets a lesson."""
    return say("everybody") if placed.is_for_all else ", ".join((*placed.groups, *placed.students))


def place_words(place: Place, lessons: Mapping[str, Lesson]) -> str:
    """``Week 3: Broken chords``."""
    title = title_of(place.lesson, lessons)
    return say("Week {week}: {title}", week=place.week, title=title) if place.week else title
