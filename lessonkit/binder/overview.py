"""The term at a glance, for the teacher: every week with its day, lessons and note, difficulty, and what is missing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from lessonkit.binder.rows import Row, pages_of_rows
from lessonkit.binder.section import Section, day_words
from lessonkit.curriculum.coverage import TWELVE_MAJOR, Coverage, coverage_of_term
from lessonkit.curriculum.hardness import hardest_by_week, jumps
from lessonkit.curriculum.introduced import too_early
from lessonkit.curriculum.pictures import hardness_chart
from lessonkit.curriculum.seen import Axis
from lessonkit.curriculum.term import Term
from lessonkit.drawing.shapes import Placed
from lessonkit.lesson.lesson import Lesson
from lessonkit.pages.blocks import look_of
from lessonkit.pages.page import Page, PlacedBlock
from lessonkit.pages.paper import SHEETS

TITLE = "The term at a glance"


def overview(term: Term, lessons: Mapping[str, Lesson]) -> Section:
    """A section with the weeks, the chart of difficulty, and what to know of the term."""
    coverage = coverage_of_term(term, lessons)
    paper = next(iter(lessons.values()), Lesson())
    rows = _weeks(term, lessons)
    told = told_of(coverage)
    if told:
        rows.append(Row("What to know of it", is_head=True))
        rows += [Row(line, depth=1) for line in told]
    pages = _with_chart(pages_of_rows(TITLE, term.title, rows, paper), coverage, paper)
    return Section(TITLE, "For the teacher", Lesson(TITLE), pages)


def told_of(coverage: Coverage) -> list[str]:
    """What to know of a term, a sentence each."""
    keys = coverage.missing(Axis.KEY, TWELVE_MAJOR)
    lines = [f"A jump in {jump}" for jump in jumps(hardest_by_week(coverage))]
    lines += [f"Too early: {problem}" for problem in too_early(coverage)]
    if keys:
        lines.append(f"Keys that do not come: {', '.join(map(str, keys))}")
    return lines


def _weeks(term: Term, lessons: Mapping[str, Lesson]) -> list[Row]:
    rows: list[Row] = []
    holidays = sorted(term.holidays, key=lambda one: one.first)
    for dated in term.dated:
        while holidays and holidays[0].first <= dated.day:
            one = holidays.pop(0)
            rows.append(Row(f"{one.name}: {day_words(one.first)} to {day_words(one.last)}", is_head=True))
        rows.append(Row(f"Week {dated.number} · {day_words(dated.day)}", is_head=True))
        for placed in dated.week.lessons:
            who = "" if placed.is_for_all else f" (for {', '.join((*placed.groups, *placed.students))})"
            lesson = lessons.get(placed.lesson)
            key = placed.key or (lesson.key if lesson else None)
            title = lesson.title if lesson else f"{placed.lesson}, which is not there"
            rows.append(Row(f"{title}{f', in {key}' if key else ''}{who}", depth=1))
        rows += [Row(line, depth=1) for line in dated.week.note.splitlines() if line.strip()]
    return rows


def _with_chart(pages: tuple[Page, ...], coverage: Coverage, paper: Lesson) -> tuple[Page, ...]:
    """The pages with the chart at the foot of the last, or on one more."""
    weeks = hardest_by_week(coverage)
    sheet = SHEETS[paper.paper]
    if not weeks:
        return pages
    chart = hardness_chart(weeks, look_of(paper).width)
    last = pages[-1]
    low = max((part.placed.box.bottom for part in last.parts), default=sheet.top)
    y = sheet.bottom - chart.height
    if low > y:
        last = Page(sheet.width, sheet.height, len(pages) + 1, ())
        pages, y = (*pages, last), sheet.top
    placed = PlacedBlock(Placed(chart, sheet.left, y))
    return (*pages[:-1], replace(last, parts=(*last.parts, placed)))
