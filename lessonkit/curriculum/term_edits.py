"""Edits of a term: functions from term to term, each one step of undo. Places count from 0.

A week or a lesson that is not there raises KeyError; a value that cannot be raises ValueError with a sentence.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date

from lessonkit.curriculum.term import (
    LARGEST_TERM_SEED,
    Group,
    Holiday,
    Placement,
    Term,
    Week,
    new_id,
)
from lessonkit.lesson.lesson import clean_line, clean_text
from lessonkit.theory.key import Key
from lessonkit.values import dataclass


def set_title(term: Term, title: str) -> Term:
    """The term under another title."""
    return replace(term, title=clean_line(title))


def set_start(term: Term, starts: date) -> Term:
    """The term from another day on; every date moves with it."""
    return replace(term, starts=starts)


def set_weekday(term: Term, weekday: int) -> Term:
    """The term with another usual day of lessons."""
    return replace(term, weekday=weekday)


def add_holiday(term: Term, holiday: Holiday) -> Term:
    """The term with a holiday more; the weeks behind it move."""
    return replace(term, holidays=tuple(sorted((*term.holidays, holiday), key=lambda one: (one.first, one.name))))


def remove_holiday(term: Term, holiday: Holiday) -> Term:
    """The term without a holiday."""
    return replace(term, holidays=tuple(one for one in term.holidays if one != holiday))


def insert_week(term: Term, at: int, week: Week | None = None) -> Term:
    """The term with a week more, before the one that now stands at a place."""
    _check_place(at, len(term.weeks))
    return replace(term, weeks=(*term.weeks[:at], week or Week(), *term.weeks[at:]))


def remove_week(term: Term, week_id: str) -> Term:
    """The term without a week and its lessons."""
    at = term.place_of_week(week_id)
    return replace(term, weeks=(*term.weeks[:at], *term.weeks[at + 1 :]))


def move_week(term: Term, week_id: str, to: int) -> Term:
    """The term with a week at another place, counted as it stands afterwards."""
    week = term.weeks[term.place_of_week(week_id)]
    return insert_week(remove_week(term, week_id), to, week)


def set_week_note(term: Term, week_id: str, note: str) -> Term:
    """The term with another note in a week."""
    return _with_week(term, week_id, note=clean_text(note))


def set_week_day(term: Term, week_id: str, weekday: int | None) -> Term:
    """The term with a week's lessons on another day of that week; None for the usual one."""
    return _with_week(term, week_id, weekday=weekday)


def place_lesson(term: Term, week_id: str, lesson: str | Placement, at: int | None = None) -> Term:
    """The term with a lesson more in a week, at a place or as the last."""
    placed = lesson if isinstance(lesson, Placement) else Placement(lesson)
    lessons = term.weeks[term.place_of_week(week_id)].lessons
    at = len(lessons) if at is None else at
    _check_place(at, len(lessons))
    return _with_week(term, week_id, lessons=(*lessons[:at], placed, *lessons[at:]))


def remove_lesson(term: Term, placement_id: str) -> Term:
    """The term without a placed lesson; its file stays."""
    week = _week_of(term, placement_id)
    return _with_week(term, week.id, lessons=tuple(one for one in week.lessons if one.id != placement_id))


def move_lesson(term: Term, placement_id: str, week_id: str, at: int | None = None) -> Term:
    """The term with a placed lesson in another week, at a place counted without it, or as the last."""
    placed = term.placement(placement_id)
    return place_lesson(remove_lesson(term, placement_id), week_id, placed, at)


def set_key(term: Term, placement_id: str, key: Key | None) -> Term:
    """The term with a lesson in another key than its file has; None for the file's own."""
    return _with_placement(term, replace(term.placement(placement_id), key=key))


def set_seed(term: Term, placement_id: str, seed: int) -> Term:
    """The term with a lesson dealt anew."""
    return _with_placement(term, replace(term.placement(placement_id), seed=seed))


def attach(term: Term, placement_id: str, groups: Iterable[str] = (), students: Iterable[str] = ()) -> Term:
    """The term with a lesson for these groups and students; for everybody where none are named."""
    groups, students = tuple(dict.fromkeys(groups)), tuple(dict.fromkeys(students))
    for name in groups:
        if name not in {group.name for group in term.groups}:
            raise ValueError(f"{name!r} is no group of this term; the groups are {_listed(term)}")
    return _with_placement(term, replace(term.placement(placement_id), groups=groups, students=students))


def mark_given(term: Term, placement_id: str, mark: str) -> Term:
    """The term with a note of how a lesson was when it was handed out."""
    return _with_placement(term, replace(term.placement(placement_id), given=mark))


def mark_all_given(term: Term, marks: Mapping[str, str]) -> Term:
    """The term with a note for every placed lesson of how it was when it was handed out, by the names of lessons."""
    for _, placed in term.placements:
        if placed.lesson in marks:
            term = mark_given(term, placed.id, marks[placed.lesson])
    return term


def set_group(term: Term, group: Group) -> Term:
    """The term with a group added, or in the place of the one of its name."""
    names = [one.name for one in term.groups]
    if group.name not in names:
        return replace(term, groups=(*term.groups, group))
    return replace(term, groups=tuple(group if one.name == group.name else one for one in term.groups))


def remove_group(term: Term, name: str) -> Term:
    """The term without a group; a lesson that was for this group alone is for everybody then, unless it is refused.

    Raises ValueError with a sentence where lessons are for the group.
    """
    for _, placed in term.placements:
        if name in placed.groups:
            raise ValueError(f"{placed.lesson} is for {name}; give it to others first")
    return replace(term, groups=tuple(group for group in term.groups if group.name != name))


def set_students(term: Term, codes: Iterable[str]) -> Term:
    """The term with other students who are taught alone."""
    return replace(term, students=tuple(dict.fromkeys(clean_line(code) for code in codes)))


def blank_term(title: str, starts: date, weeks: int, holidays: Sequence[Holiday] = ()) -> Term:
    """A term of empty weeks."""
    return Term(
        clean_line(title), starts, starts.weekday(), tuple(Week() for _ in range(weeks)), tuple(holidays)
    )  # fmt: skip


def re_issued(term: Term, title: str, starts: date, holidays: Sequence[Holiday] = (), seed: int | None = None) -> Term:
    """Last year's term for this year: new dates, new ids and every lesson dealt anew; what was given stays noted.

    The note of what was given lets ``improved_since`` tell which lessons are better than last year's. Students and
    groups stay, since a teacher changes them in a moment. ``seed`` 0 deals the same drills again; None draws the next
    deal after the highest one that was used.
    """
    used = max((placed.seed for _, placed in term.placements), default=0)
    fresh = (used + 1) % (LARGEST_TERM_SEED + 1) if seed is None else seed
    weeks = tuple(
        replace(week, id=new_id(), lessons=tuple(replace(one, id=new_id(), seed=fresh) for one in week.lessons))
        for week in term.weeks
    )
    return replace(
        term, title=clean_line(title), starts=starts, weeks=weeks, holidays=tuple(holidays), came_from=term.title
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Template:
    """A way to spread lessons over weeks: for each lesson so many weeks, and after how many a week of review.

    ``ends_with`` is the note of one more week at the end, none where it is empty.
    """

    name: str
    weeks_each: int
    review_after: int
    ends_with: str = ""


TEMPLATES = (
    Template("A lesson a week", 1, 0),
    Template("A lesson a week, every fourth week for review", 1, 3, "Review and a little concert"),
    Template("Two weeks for each lesson", 2, 0),
    Template("A lesson a week, the last week for an assessment", 1, 0, "Assessment"),
)
"""The ways that are offered."""


def from_template(template: Template, title: str, starts: date, lessons: Sequence[str]) -> Term:
    """A term with lessons spread over weeks; a lesson of several weeks is placed in the first and noted in the rest."""
    weeks: list[Week] = []
    for number, lesson in enumerate(lessons, 1):
        weeks.append(Week((Placement(lesson),)))
        weeks += [Week(note="Go on with last week's lesson") for _ in range(template.weeks_each - 1)]
        if template.review_after and number % template.review_after == 0 and number < len(lessons):
            weeks.append(Week(note="Review"))
    if template.ends_with:
        weeks.append(Week(note=template.ends_with))
    return Term(clean_line(title), starts, starts.weekday(), tuple(weeks))


def _with_week(term: Term, week_id: str, **changed: object) -> Term:
    at = term.place_of_week(week_id)
    week = replace(term.weeks[at], **changed)  # type: ignore[arg-type]
    return replace(term, weeks=(*term.weeks[:at], week, *term.weeks[at + 1 :]))


def _with_placement(term: Term, placed: Placement) -> Term:
    week = _week_of(term, placed.id)
    return _with_week(
        term, week.id, lessons=tuple(placed if one.id == placed.id else one for one in week.lessons)
    )  # fmt: skip


def _week_of(term: Term, placement_id: str) -> Week:
    for week in term.weeks:
        if any(placed.id == placement_id for placed in week.lessons):
            return week
    raise KeyError(placement_id)


def _check_place(at: int, count: int) -> None:
    if not 0 <= at <= count:
        raise ValueError(f"place {at} is not between 0 and {count}")


def _listed(term: Term) -> str:
    return ", ".join(group.name for group in term.groups) or "not named yet"
