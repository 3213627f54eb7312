"""The students of a term, read from the files at hand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lessonkit.students.student import Student


def students_in(folders: Iterable[Path], codes: Sequence[str]) -> tuple[list[Student], list[str]]:
    """The students of these codes; of whom there is no file, with the usual hands. Also why a file cannot be read."""
    from lessonkit.storage.strict import LessonFileError
    from lessonkit.storage.student_file import SUFFIX, read_student
    from lessonkit.students.student import Student

    known: dict[str, Student] = {}
    problems: list[str] = []
    for folder in folders:
        for path in sorted(folder.glob(f"*{SUFFIX}")) if folder.is_dir() else ():
            try:
                student = read_student(path)
            except LessonFileError as error:
                problems.append(str(error))
            else:
                known[student.code] = student
    return [known.get(code) or Student(code) for code in codes], problems
