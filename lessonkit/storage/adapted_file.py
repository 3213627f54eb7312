"""Adapted lessons as files: the student's lesson beside the original it came from, so that both can be compared."""

from __future__ import annotations

import os
from pathlib import Path

from lessonkit.storage.adapted_shapes import AdaptedShape
from lessonkit.storage.lesson_file import lesson_from_shape, tree_of_lesson
from lessonkit.storage.strict import LessonFileError, at_place, decode, read_bytes
from lessonkit.storage.student_file import read_day
from lessonkit.storage.upgrades.adapted_v1 import STEPS
from lessonkit.storage.whole_files import bytes_of, made_of_file, save_bytes
from lessonkit.storage.written import Tree
from lessonkit.students.adapted import Adapted, Change, Kind

VERSION = 2
"""The version of the files that are written."""

SUFFIX = ".adapted"
"""The ending of such a file's name."""


def read_adapted(path: Path) -> Adapted:
    """The adapted lesson in a file; raises LessonFileError with one sentence that names the file and the place."""
    return adapted_from_bytes(read_bytes(path), path.name, path.parent)


def save_adapted(adapted: Adapted, path: Path) -> None:
    """Write an adapted lesson to a file; raises LessonFileError with one sentence where that cannot be done."""
    save_bytes(adapted_to_bytes(adapted, path.name, path.parent), path)


def adapted_from_bytes(data: bytes, name: str, folder: Path = Path()) -> Adapted:
    """The adapted lesson that the bytes of a file in a folder hold."""
    shape = decode(data, name, "adapted lesson", VERSION, AdaptedShape, STEPS)
    return made_of_file(name, lambda: _from_shape(shape, folder))


def adapted_to_bytes(adapted: Adapted, name: str = "the adapted lesson", folder: Path = Path()) -> bytes:
    """An adapted lesson as it stands in a file; raises LessonFileError where it could not be read back."""
    data = bytes_of(name, lambda: tree_of_adapted(adapted, folder), "make two lessons of it")
    found = adapted_from_bytes(data, name, folder)
    if (found.original, found.made, found.lesson, found.changes) != (
        adapted.original, adapted.made, adapted.lesson, adapted.changes,
    ):  # fmt: skip
        raise LessonFileError(f"{name} cannot be written so that it reads back the same")
    return data


def tree_of_adapted(adapted: Adapted, folder: Path = Path()) -> Tree:
    """An adapted lesson as it is written into a folder."""
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
        "original_file": "" if adapted.from_file is None else _seen_from(folder, adapted.from_file),
        "original": tree_of_lesson(adapted.original),
        "made": None if adapted.made == adapted.lesson else tree_of_lesson(adapted.made),
        "lesson": tree_of_lesson(adapted.lesson),
    }


def _seen_from(folder: Path, path: Path) -> str:
    """A file as it is found from a folder, so that both can be moved together; alone where that cannot be said."""
    try:
        seen = Path(os.path.relpath(path, folder)).as_posix()
        seen.encode("utf-8")
    except ValueError:
        return path.name.encode("utf-8", "replace").decode("utf-8")
    return seen


def _from_shape(shape: AdaptedShape, folder: Path) -> Adapted:
    lesson = at_place("lesson", lambda: lesson_from_shape(shape.lesson))
    kinds = {kind.value: kind for kind in Kind}
    changes = []
    for place, one in enumerate(shape.changes):
        if one.about not in kinds:
            raise ValueError(f"changes[{place}].about: {one.about!r} is not one of {', '.join(kinds)}")
        changes.append(Change(one.key, kinds[one.about], one.block, one.what, one.reason, one.done, one.is_question))
    made = shape.made
    return Adapted(
        at_place("original", lambda: lesson_from_shape(shape.original)),
        lesson if made is None else at_place("made", lambda: lesson_from_shape(made)),
        lesson,
        shape.student,
        at_place("day", lambda: read_day(shape.day)),
        tuple(changes),
        dict(shape.choices),
        folder / shape.original_file if shape.original_file else None,
    )
