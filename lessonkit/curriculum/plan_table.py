"""A term plan as a table that every spreadsheet opens: a row for each day on which a lesson is taught."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from datetime import date

from lessonkit.curriculum.issue import issued
from lessonkit.curriculum.term import WEEKDAYS, DatedWeek, Placement, Term
from lessonkit.lesson import prose
from lessonkit.lesson.lesson import Drill, Lesson

COLUMNS = ("Week", "Date", "Day", "For", "Lesson", "File", "Key", "Drills", "Note")
_BYTE_ORDER_MARK = "\ufeff"
"""Spreadsheets take a file without it for an old encoding and print ♭ as three letters."""

Row = tuple[str, ...]


def plan_csv(term: Term, lessons: Mapping[str, Lesson]) -> bytes:
    """The plan as comma-separated values (RFC 4180, in UTF-8); ``lessons`` are those that could be read, by file."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for row in _rows(term, lessons):
        writer.writerow([_harmless(cell) for cell in row])
    return (_BYTE_ORDER_MARK + out.getvalue()).encode()


def _rows(term: Term, lessons: Mapping[str, Lesson]) -> Iterator[Row]:
    dated: list[tuple[date, Row]] = []
    for week in term.dated:
        if not week.week.lessons:
            dated.append((week.day, (*_when(week, week.day), "", "", "", "", "", week.week.note)))
        for placed in week.week.lessons:
            for day, who in _days(term, week, placed):
                dated.append((day, (*_when(week, day), who, *_what(placed, lessons), week.week.note)))
    for holiday in term.holidays:
        told = f"{holiday.name}, until {holiday.last.isoformat()}"
        dated.append((holiday.first, ("", *_day(holiday.first), "", "", "", "", "", told)))
    dated.sort(key=lambda item: item[0])
    return (row for _, row in dated)


def _days(term: Term, week: DatedWeek, placed: Placement) -> Iterator[tuple[date, str]]:
    """On which days a lesson of a week is taught, and to whom on each."""
    by_day: dict[date, list[str]] = {}
    groups = [group.name for group in term.groups if placed.is_for_all or group.name in placed.groups]
    alone = term.students if placed.is_for_all else placed.students
    for name in groups:
        by_day.setdefault(term.day_for(week, name), []).append(name)
    for code in alone:
        by_day.setdefault(week.day, []).append(code)
    for day, names in sorted(by_day.items()) or [(week.day, [])]:
        yield day, ", ".join(names)


def _what(placed: Placement, lessons: Mapping[str, Lesson]) -> tuple[str, str, str, str]:
    lesson = lessons.get(placed.lesson)
    if lesson is None:
        return "", placed.lesson, str(placed.key or ""), ""
    lesson = issued(lesson, placed)
    setting = lesson.setting
    title = prose.plain_line(prose.read_line(lesson.title, setting), lesson.house.label_style)
    drills = [block.family.in_one_line(setting) for block in lesson.blocks if isinstance(block, Drill)]
    return title, placed.lesson, str(lesson.key), "; ".join(drills)


def _when(week: DatedWeek, day: date) -> tuple[str, str, str]:
    return (str(week.number), *_day(day))


def _day(day: date) -> tuple[str, str]:
    return day.isoformat(), WEEKDAYS[day.weekday()]


def _harmless(cell: str) -> str:
    """Words that a spreadsheet would work out as a formula, marked as words."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t") else cell
