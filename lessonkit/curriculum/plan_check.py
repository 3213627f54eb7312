"""What is wrong in a term, and what is worth knowing of it, in sentences that name the week."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lessonkit.curriculum.coverage import TWELVE_MAJOR, coverage_of_term, unwritten
from lessonkit.curriculum.hardness import hardest_by_week, jumps
from lessonkit.curriculum.house import Binding, HouseStyle, deviations
from lessonkit.curriculum.introduced import too_early
from lessonkit.curriculum.issue import improved_since, issued
from lessonkit.curriculum.levels import Curriculum, measured
from lessonkit.curriculum.seen import Axis
from lessonkit.curriculum.term import Term
from lessonkit.lesson.lesson import Lesson


def plan_problems(term: Term, lessons: Mapping[str, Lesson], style: HouseStyle | None = None) -> tuple[str, ...]:
    """A sentence for each thing that keeps a term from being taught as it stands."""
    return tuple(_problems(term, lessons, style))


def plan_remarks(
    term: Term, lessons: Mapping[str, Lesson], curriculum: Curriculum | None = None, style: HouseStyle | None = None
) -> tuple[str, ...]:
    """What is worth knowing of a term; nothing of it is wrong."""
    return tuple(_remarks(term, lessons, curriculum, style))


def _problems(term: Term, lessons: Mapping[str, Lesson], style: HouseStyle | None) -> Iterator[str]:
    if not term.weeks:
        yield "the term has no weeks; insert some"
    groups = {group.name for group in term.groups}
    for dated in term.dated:
        for placed in dated.week.lessons:
            where = f"week {dated.number}, {placed.lesson}"
            if placed.lesson not in lessons:
                yield f"{where}: there is no such lesson beside the term; put it there or take it out of the week"
            for name in placed.groups:
                if name not in groups:
                    yield f"{where}: it is for {name}, which is no group of this term"
            for code in placed.students:
                if code not in term.everybody:
                    yield f"{where}: it is for {code}, who is no student of this term"
            if style is not None and placed.lesson in lessons:
                for one in deviations(issued(lessons[placed.lesson], placed), style):
                    if one.binding is Binding.LOCKED:
                        yield f"{where}: {one}"
        for group in ("", *groups):
            day = term.day_for(dated, group)
            for holiday in term.holidays:
                if holiday.holds(day):
                    who = f"{group} comes" if group else "lessons are"
                    yield f"week {dated.number}: {who} on {day:%d %B}, which is in {holiday.name}; choose another day"
    for place in unwritten(coverage_of_term(term, lessons)):
        yield f"week {place.week}, {place.lesson}: a drill cannot be written out; check the lesson"


def _remarks(
    term: Term, lessons: Mapping[str, Lesson], curriculum: Curriculum | None, style: HouseStyle | None
) -> Iterator[str]:
    coverage = coverage_of_term(term, lessons)
    before = curriculum.needed_before if curriculum else None
    yield from (str(problem) for problem in too_early(coverage, before))
    yield from (f"a jump: {jump}" for jump in jumps(hardest_by_week(coverage)))
    yield from (str(one) for one in improved_since(term, lessons))
    for dated in term.dated:
        if not dated.week.lessons and not dated.week.note.strip():
            yield f"week {dated.number} is empty"
        for placed in dated.week.lessons:
            if style is not None and placed.lesson in lessons:
                for one in deviations(issued(lessons[placed.lesson], placed), style):
                    if one.binding is Binding.ADVISED:
                        yield f"week {dated.number}, {placed.lesson}: {one}"
    missing = coverage.missing(Axis.KEY, TWELVE_MAJOR)
    if missing:
        yield f"these keys do not come: {', '.join(map(str, missing))}"
    for level in curriculum.levels if curriculum else ():
        measure = measured(level, coverage)
        if not measure.is_reached:
            first = "; ".join(need.words for need in measure.unmet[:3])
            yield f"{measure}; not yet: {first}{' and more' if len(measure.unmet) > 3 else ''}"
