"""The shapes of adapted lessons in files: plain structs with a bound on every number, text and list.

The order of the fields is the order in the file. Nothing here may change once it is shipped except by a new version.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from lessonkit.storage.shapes import LessonShape, NoteLine
from lessonkit.storage.student_shapes import Day, Word

ChangeKey = Annotated[str, Meta(max_length=100)]


class ChangeShape(Struct, forbid_unknown_fields=True):
    """A change and its reason."""

    key: ChangeKey
    about: Word
    block: Word
    what: NoteLine
    reason: NoteLine
    done: bool
    is_question: bool


class AdaptedShape(Struct, forbid_unknown_fields=True):
    """A student's lesson and its original; ``choices`` are changes taken back and questions answered.

    ``original_file`` is as seen from the folder of this file, empty where there is none. ``made`` is the lesson before
    anything was changed by hand, where that is another.
    """

    format: Literal["adapted lesson"]
    version: Literal[2]
    student: Word
    day: Day
    choices: dict[ChangeKey, bool]
    changes: Annotated[list[ChangeShape], Meta(max_length=20_000)]
    original_file: Annotated[str, Meta(max_length=4096)]
    original: LessonShape
    made: LessonShape | None
    lesson: LessonShape
