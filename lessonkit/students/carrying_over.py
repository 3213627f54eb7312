"""An improvement of the original carried over to a student's lesson: three lessons compared, setting by setting.

What only the original changed is taken; what only the student's lesson changed stays. Where both changed the same
thing, the student's stays and a sentence says so. Then the lesson is adapted again, since what is new was not.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from lessonkit.lesson.lesson import Lesson
from lessonkit.students.adapt import adapt
from lessonkit.students.adapted import Adapted
from lessonkit.students.merging import Merging
from lessonkit.students.student import Student
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class CarriedOver:
    """The student's lesson with the improvement in it, what was taken over, and where the two did not agree."""

    adapted: Adapted
    taken: tuple[str, ...]
    conflicts: tuple[str, ...]


def carried_over(adapted: Adapted, improved: Lesson, student: Student, day: date) -> CarriedOver:
    """An adapted lesson brought up to an improved original; what the teacher changed by hand stays."""
    merging = Merging()
    merged = merging.lesson(adapted.original, improved, adapted.lesson)
    again = adapt(merged, student, day, adapted.choices)
    brought = replace(again, original=improved)
    return CarriedOver(brought, tuple(merging.taken), tuple(merging.conflicts))
