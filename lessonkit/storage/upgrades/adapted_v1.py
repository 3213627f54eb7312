"""Adapted lessons of version 1, which kept neither where the original stands nor the lesson as it was made."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from lessonkit.storage.adapted_shapes import AdaptedShape, ChangeKey, ChangeShape
from lessonkit.storage.shapes import LessonShape
from lessonkit.storage.student_shapes import Day, Word
from lessonkit.storage.upgrades import Step


class OldAdaptedShape(Struct, forbid_unknown_fields=True):
    """A student's lesson and its original."""

    format: Literal["adapted lesson"]
    version: Literal[1]
    student: Word
    day: Day
    choices: dict[ChangeKey, bool]
    changes: Annotated[list[ChangeShape], Meta(max_length=20_000)]
    original: LessonShape
    lesson: LessonShape


def second(old: OldAdaptedShape) -> AdaptedShape:
    """The same in version 2: what was changed by hand counts as made."""
    return AdaptedShape(
        old.format, 2, old.student, old.day, old.choices, old.changes, "", old.original, None, old.lesson
    )  # fmt: skip


STEPS = (Step(1, OldAdaptedShape, second),)
