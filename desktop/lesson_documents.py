"""A lesson's file, whichever kind it is: the lesson, and what stands beside it.

A student's lesson stands beside where it came from, an ``Adapted``. What is about students is fetched only for them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import SUFFIX, read_lesson, save_lesson

if TYPE_CHECKING:
    from lessonkit.storage.written import Tree

STUDENT_SUFFIX = ".adapted"
"""The ending of the name of a student's lesson."""


def suffix_for(beside: object) -> str:
    """The ending of the name of a lesson's file."""
    return SUFFIX if beside is None else STUDENT_SUFFIX


def read_document(path: Path) -> tuple[Lesson, object]:
    """The lesson in a file and what stands beside it; raises LessonFileError with one sentence."""
    if path.suffix.lower() != STUDENT_SUFFIX:
        return read_lesson(path), None
    from lessonkit.storage.adapted_file import read_adapted

    adapted = read_adapted(path)
    return adapted.lesson, adapted


def save_document(lesson: Lesson, beside: object, path: Path) -> None:
    """Write a lesson and what stands beside it; raises LessonFileError where that cannot be done."""
    if beside is None:
        save_lesson(lesson, path)
        return
    from lessonkit.storage.adapted_file import save_adapted
    from lessonkit.students.adapted import Adapted

    assert isinstance(beside, Adapted)
    save_adapted(replace(beside, lesson=lesson), path)


def writing_beside(lesson: Lesson, beside: object) -> Callable[[], Tree] | None:
    """What writes that which stands beside a lesson, for a recovery copy."""
    if beside is None:
        return None
    from lessonkit.storage.adapted_file import tree_of_adapted
    from lessonkit.students.adapted import Adapted

    assert isinstance(beside, Adapted)
    adapted = replace(beside, lesson=lesson)
    return lambda: tree_of_adapted(adapted, Path.home())


def recovered_beside(data: bytes) -> object:
    """What stood beside a lesson that was recovered; raises LessonFileError with one sentence."""
    if not data:
        return None
    from lessonkit.storage.adapted_file import adapted_from_bytes

    return adapted_from_bytes(data, "the recovery copy", Path.home())
