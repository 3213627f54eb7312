"""An improvement of the original carried over to a student's lesson, point by point, each told in words.

The improved original is adapted as the first one was. What then differs from the lesson as it was made before comes
over unless it is refused; what the teacher changed by hand stays, and where both changed the same thing a point says
so and the teacher decides. Since a student has come on meanwhile, some points are not of the original but of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from lessonkit.lesson.lesson import Lesson
from lessonkit.students.adapt import adapt
from lessonkit.students.adapted import Adapted
from lessonkit.students.merging import Merging, Point
from lessonkit.students.student import Student
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class CarriedOver:
    """The student's lesson with what was accepted in it, and the points; those of ``of_student`` are not of the
    original but of how the student stands now."""

    adapted: Adapted
    points: tuple[Point, ...]
    of_student: frozenset[str] = frozenset()

    @property
    def taken(self) -> tuple[str, ...]:
        """What came over, in words."""
        return tuple(point.sentence for point in self.points if point.is_accepted)

    @property
    def left(self) -> tuple[str, ...]:
        """What did not, in words."""
        return tuple(point.sentence for point in self.points if not point.is_accepted)

    @property
    def conflicts(self) -> tuple[str, ...]:
        """Where the original and the student's lesson do not agree, in words."""
        return tuple(point.sentence for point in self.points if point.is_conflict)


def carried_over(
    adapted: Adapted, improved: Lesson, student: Student, day: date, decisions: Mapping[str, bool] | None = None
) -> CarriedOver:
    """An adapted lesson brought up to an improved original; ``decisions`` accepts or refuses points by their keys."""
    anew = adapt(improved, student, day, adapted.choices)
    merging = Merging(decisions)
    lesson = merging.lesson(adapted.made, anew.made, adapted.lesson)
    brought = Adapted(
        improved, anew.made, lesson, adapted.code, day, anew.changes, adapted.choices, adapted.from_file
    )  # fmt: skip
    # The same without the improvement: what differs then is the student's doing.
    standing = Merging()
    standing.lesson(adapted.made, adapt(adapted.original, student, day, adapted.choices).made, adapted.lesson)
    return CarriedOver(brought, tuple(merging.points), frozenset(point.key for point in standing.points))
