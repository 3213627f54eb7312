"""A term as rows, one under the other: weeks, the lessons in them, holidays between them. Values only."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import date, timedelta
from enum import Enum

from desktop.plan.wording import day_words, holiday_words, short_day, title_of, who_words
from desktop.words import say
from lessonkit.curriculum.term import DatedWeek, Holiday, Placement, Term
from lessonkit.lesson.lesson import Lesson
from lessonkit.values import dataclass


class Kind(Enum):
    """What stands in a row."""

    WEEK = "week"
    LESSON = "lesson"
    HOLIDAY = "holiday"


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One row. ``id`` is that of the week or the placed lesson, or the holiday's words; ``at`` the lesson's place in
    its week, 0 first; ``words`` and ``second`` are shown, ``spoken`` is read aloud.
    """

    kind: Kind
    id: str
    week_id: str
    at: int
    words: str
    second: str
    spoken: str
    label: str = ""


def rows_of(term: Term, lessons: Mapping[str, Lesson], improved: Collection[str] = ()) -> tuple[PlanRow, ...]:
    """The rows of a term. ``improved`` are the ids of lessons that are better than when they were given."""
    return tuple(_rows(term, lessons, improved))


def _rows(term: Term, lessons: Mapping[str, Lesson], improved: Collection[str]) -> Iterator[PlanRow]:
    waiting = list(term.holidays)
    for dated in term.dated:
        while waiting and waiting[0].first < dated.monday + timedelta(7) and waiting[0].first <= dated.day:
            yield _holiday_row(waiting.pop(0))
        yield _week_row(dated, len(dated.week.lessons))
        for at, placed in enumerate(dated.week.lessons):
            yield _lesson_row(term, dated, at, placed, lessons, placed.id in improved)
    for holiday in waiting:
        yield _holiday_row(holiday)


def _week_row(dated: DatedWeek, count: int) -> PlanRow:
    note = " ".join(dated.week.note.split())
    second = note or ("" if count else say("Nothing yet"))
    lessons = {0: say("no lesson"), 1: say("one lesson")}.get(count, say("{count} lessons", count=count))
    spoken = say(
        "Week {number}, {day_words}, {lessons}", number=dated.number, day_words=day_words(dated.day), lessons=lessons
    ) + (f". {note}" if note else "")
    return PlanRow(
        Kind.WEEK,
        dated.week.id,
        dated.week.id,
        -1,
        short_day(dated.day),
        second,
        spoken,
        say("Week {number}", number=dated.number),
    )


def _lesson_row(
    term: Term, dated: DatedWeek, at: int, placed: Placement, lessons: Mapping[str, Lesson], is_improved: bool
) -> PlanRow:
    title = title_of(placed.lesson, lessons)
    parts = []
    if not placed.is_for_all:
        parts.append(who_words(placed))
        parts += [f"on {short_day(day)}" for day in _own_days(term, dated, placed)]
    if placed.key is not None:
        parts.append(f"in {placed.key}")
    if placed.seed:
        parts.append(say("deal {seed}", seed=placed.seed))
    if placed.lesson not in lessons:
        parts.append(say("no such lesson beside the term"))
    elif is_improved:
        parts.append(say("changed since it was given"))
    elif placed.given:
        parts.append("given")
    second = " · ".join(parts)
    spoken = say(
        "{title}, week {number}, for {who_words}", title=title, number=dated.number, who_words=who_words(placed)
    ) + (f", {', '.join(parts)}" if parts else "")
    return PlanRow(
        Kind.LESSON, placed.id, dated.week.id, at, title, second, spoken, say("Week {number}", number=dated.number)
    )


def _own_days(term: Term, dated: DatedWeek, placed: Placement) -> list[date]:
    days = {term.day_for(dated, name) for name in placed.groups} if placed.groups and not placed.students else set()
    return sorted(days - {dated.day})


def _holiday_row(holiday: Holiday) -> PlanRow:
    words = holiday_words(holiday)
    return PlanRow(Kind.HOLIDAY, words, "", -1, words, "", say("Holiday. {words}", words=words))
