"""Files that commands read, each kind by its own reader, and answers they write. What is wrong is one sentence."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from lessonkit.cli_errors import UnreadableLesson

if TYPE_CHECKING:
    from lessonkit.curriculum.levels import Curriculum
    from lessonkit.curriculum.term import Term
    from lessonkit.lesson.lesson import Lesson
    from lessonkit.students.student import Student

Value = TypeVar("Value")


def lesson_in(path: Path) -> Lesson:
    """The lesson in a file, or in one that was adapted for a student; raises UnreadableLesson."""
    from lessonkit.storage.lesson_file import read_lesson

    if path.suffix.lower() == ".adapted":
        from lessonkit.storage.adapted_file import read_adapted

        return _read(read_adapted, path).lesson
    return _read(read_lesson, path)


def student_in(path: Path) -> Student:
    """The student in a file; raises UnreadableLesson."""
    from lessonkit.storage.student_file import read_student

    return _read(read_student, path)


def term_in(path: Path) -> Term:
    """The term in a file; raises UnreadableLesson."""
    from lessonkit.storage.term_file import read_term

    return _read(read_term, path)


def curriculum_in(path: Path) -> Curriculum:
    """The curriculum in a file; raises UnreadableLesson."""
    from lessonkit.storage.curriculum_file import read_curriculum

    return _read(read_curriculum, path)


def write_answer(answer: object) -> None:
    """An answer for other programs, as JSON."""
    json.dump(answer, sys.stdout, ensure_ascii=False, indent=2)
    print()


def _read(read: Callable[[Path], Value], path: Path) -> Value:
    from lessonkit.storage.strict import LessonFileError

    try:
        return read(path)
    except LessonFileError as error:
        raise UnreadableLesson(str(error)) from None
