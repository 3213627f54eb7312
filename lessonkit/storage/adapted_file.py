"""Adapted lessons as files: the student's lesson beside the original it came from, so that both can be compared."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from msgspec import Meta, Struct

from lessonkit.storage.lesson_file import lesson_from_shape, tree_of_lesson
from lessonkit.storage.shapes import LessonShape, NoteLine
from lessonkit.storage.strict import LessonFileError, at_place, decode, read_bytes
from lessonkit.storage.student_file import read_day
from lessonkit.storage.student_shapes import Day, Word
from lessonkit.storage.whole_files import bytes_of, made_of_file, save_bytes
from lessonkit.storage.written import Tree
from lessonkit.students.adapted import Adapted, Change, Kind

VERSION = 1
"""The version of the files that are written."""

SUFFIX = ".adapted"
"""The ending of such a file's name."""

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
    """A student's lesson and its original; ``choices`` are changes taken back and questions answered."""

    format: Literal["adapted lesson"]
    version: Literal[1]
    student: Word
    day: Day
    choices: dict[ChangeKey, bool]
    changes: Annotated[list[ChangeShape], Meta(max_length=20_000)]
    original: LessonShape
    lesson: LessonShape


def read_adapted(path: Path) -> Adapted:
    """The adapted lesson in a file; raises LessonFileError with one sentence that names the file and the place."""
    return adapted_from_bytes(read_bytes(path), path.name)


def save_adapted(adapted: Adapted, path: Path) -> None:
    """Write an adapted lesson to a file; raises LessonFileError with one sentence where that cannot be done."""
    save_bytes(adapted_to_bytes(adapted, path.name), path)


def adapted_from_bytes(data: bytes, name: str) -> Adapted:
    """The adapted lesson that a file's bytes hold; what was edited by hand counts as made."""
    shape = decode(data, name, "adapted lesson", VERSION, AdaptedShape)
    return made_of_file(name, lambda: _from_shape(shape))


def adapted_to_bytes(adapted: Adapted, name: str = "the adapted lesson") -> bytes:
    """An adapted lesson as it stands in a file; raises LessonFileError where it could not be read back."""
    data = bytes_of(name, lambda: _tree(adapted), "make two lessons of it")
    found = adapted_from_bytes(data, name)
    if (found.original, found.lesson, found.changes) != (adapted.original, adapted.lesson, adapted.changes):
        raise LessonFileError(f"{name} cannot be written so that it reads back the same")
    return data


def _tree(adapted: Adapted) -> Tree:
    return {
        "format": "adapted lesson",
        "version": VERSION,
        "student": adapted.code,
        "day": adapted.day.isoformat(),
        "choices": dict(sorted(adapted.choices.items())),
        "changes": [
            {
                "key": change.key,
                "about": change.kind.value,
                "block": change.block_id,
                "what": change.what,
                "reason": change.reason,
                "done": change.is_applied,
                "is_question": change.is_question,
            }
            for change in adapted.changes
        ],
        "original": tree_of_lesson(adapted.original),
        "lesson": tree_of_lesson(adapted.lesson),
    }


def _from_shape(shape: AdaptedShape) -> Adapted:
    lesson = at_place("lesson", lambda: lesson_from_shape(shape.lesson))
    kinds = {kind.value: kind for kind in Kind}
    changes = []
    for place, one in enumerate(shape.changes):
        if one.about not in kinds:
            raise ValueError(f"changes[{place}].about: {one.about!r} is not one of {', '.join(kinds)}")
        changes.append(Change(one.key, kinds[one.about], one.block, one.what, one.reason, one.done, one.is_question))
    return Adapted(
        at_place("original", lambda: lesson_from_shape(shape.original)),
        lesson,
        lesson,
        shape.student,
        at_place("day", lambda: read_day(shape.day)),
        tuple(changes),
        dict(shape.choices),
    )
