"""The shapes of student files: plain structs with a bound on every number, text and list.

The order of the fields is the order in the file. Nothing here may change once it is shipped except by a new version.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from lessonkit.storage.shapes import HandsShape, Id, LabelStyleShape, Line, Text
from lessonkit.students.student import (
    LARGEST_STAFF_TENTHS,
    LEAST_MINUTES,
    MOST_HANDOUTS,
    MOST_MARKS,
    MOST_MINUTES,
    SMALLEST_STAFF_TENTHS,
)

Day = Annotated[str, Meta(max_length=10)]
ItemText = Annotated[str, Meta(max_length=200)]
Items = Annotated[list[ItemText], Meta(max_length=60)]
Word = Annotated[str, Meta(max_length=40)]


class MarkShape(Struct, forbid_unknown_fields=True, omit_defaults=True):
    """One mark; ``by`` is the teacher unless it says student."""

    day: Day
    items: Items
    rating: Annotated[int, Meta(ge=0, le=3)]
    by: Literal["teacher", "student"] = "teacher"
    cause: Literal["H", "R", "T", "E", "P"] | None = None
    tempo: Annotated[int, Meta(ge=20, le=300)] | None = None


class GivenBlockShape(Struct, forbid_unknown_fields=True):
    """A drill of a handout that was given."""

    id: Id
    title: Line
    items: Items


class HandoutShape(Struct, forbid_unknown_fields=True):
    """A handout that was given."""

    id: Id
    day: Day
    title: Line
    blocks: Annotated[list[GivenBlockShape], Meta(max_length=2000)]


class TypingShape(Struct, forbid_unknown_fields=True):
    """A record that is being typed: of which handout, and the keys pressed so far."""

    handout: Annotated[str, Meta(max_length=40)]
    keys: Annotated[str, Meta(max_length=4000)]


class StudentShape(Struct, forbid_unknown_fields=True):
    """A student."""

    format: Literal["student"]
    version: Literal[1]
    code: Word
    hands: HandsShape
    is_growing: bool
    was_injured: bool
    age: Word
    reading: Word
    vocabulary: Annotated[list[Word], Meta(max_length=100)]
    label_style: LabelStyleShape
    staff_tenths: Annotated[int, Meta(ge=SMALLEST_STAFF_TENTHS, le=LARGEST_STAFF_TENTHS)]
    paper: Literal["a4", "letter", "a4 or letter", "a5", "a3"]
    minutes: Annotated[int, Meta(ge=LEAST_MINUTES, le=MOST_MINUTES)]
    weak_share: Annotated[int, Meta(ge=0, le=100)]
    practice_days: Annotated[list[Annotated[int, Meta(ge=0, le=6)]], Meta(max_length=7)]
    goal: Day | None
    pain_cleared: Day | None
    notes: Text
    marks: Annotated[list[MarkShape], Meta(max_length=MOST_MARKS)]
    handouts: Annotated[list[HandoutShape], Meta(max_length=MOST_HANDOUTS)]
    typing: TypingShape
