"""The shapes of term files: plain structs with a bound on every number, text and list.

The order of the fields is the order in the file. Nothing here may change once it is shipped except by a new version.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from msgspec import Meta, Struct

from lessonkit.curriculum.term import (
    LARGEST_TERM_SEED,
    LONGEST_NAME,
    MOST_GROUPS,
    MOST_HOLIDAYS,
    MOST_PLACED,
    MOST_STUDENTS,
    MOST_WEEKS,
)
from lessonkit.storage.shapes import Id, Line, Text

Name = Annotated[str, Meta(max_length=LONGEST_NAME)]
Weekday = Annotated[int, Meta(ge=0, le=6)]
Names = Annotated[list[Name], Meta(max_length=MOST_STUDENTS)]


class PlacementShape(Struct, forbid_unknown_fields=True):
    """A lesson in a week; an empty key stands for the file's own."""

    id: Id
    lesson: Line
    groups: Names
    students: Names
    key: Annotated[str, Meta(max_length=20)] | None
    seed: Annotated[int, Meta(ge=0, le=LARGEST_TERM_SEED)]
    given: Annotated[str, Meta(max_length=64)]


class WeekShape(Struct, forbid_unknown_fields=True):
    """A week of teaching."""

    id: Id
    note: Text
    weekday: Weekday | None
    lessons: Annotated[list[PlacementShape], Meta(max_length=MOST_PLACED)]


class HolidayShape(Struct, forbid_unknown_fields=True):
    """Days without lessons."""

    name: Name
    first: date
    last: date


class GroupShape(Struct, forbid_unknown_fields=True):
    """Students who come together."""

    name: Name
    students: Names
    weekday: Weekday | None


class TermShape(Struct, forbid_unknown_fields=True):
    """A term."""

    format: Literal["term"]
    version: Literal[1]
    title: Line
    starts: date
    weekday: Weekday
    came_from: Line
    holidays: Annotated[list[HolidayShape], Meta(max_length=MOST_HOLIDAYS)]
    groups: Annotated[list[GroupShape], Meta(max_length=MOST_GROUPS)]
    students: Names
    weeks: Annotated[list[WeekShape], Meta(max_length=MOST_WEEKS)]
