"""A lesson made one student's: a new lesson and the list of what was changed, each with its reason and its own undo.

Nothing is changed without a reason, and adapting what is adapted changes nothing more. A change that the teacher takes
back, or a question that is answered yes, stands in ``choices`` under the change's key; the lesson is then adapted
again, so that what depends on it follows.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from lessonkit.lesson.lesson import Lesson
from lessonkit.students.adapted import Adapted, Change
from lessonkit.students.adapting import STEPS
from lessonkit.students.merging import Merging
from lessonkit.students.student import Student


def adapt(lesson: Lesson, student: Student, day: date, choices: Mapping[str, bool] | None = None) -> Adapted:
    """The lesson for a student as they stand on a day."""
    chosen = dict(choices or {})
    now = lesson
    changes: list[Change] = []
    decided: set[str] = set()
    for step in STEPS:
        for proposal in step(now, student, day):
            if proposal.key in decided:
                continue
            decided.add(proposal.key)
            is_applied = chosen.get(proposal.key, not proposal.is_question)
            if is_applied:
                now = proposal.apply(now)
            changes.append(
                Change(
                    proposal.key, proposal.kind, proposal.block_id, proposal.what, proposal.reason,
                    is_applied, proposal.is_question,
                )
            )  # fmt: skip
    return Adapted(lesson, now, now, student.code, day, tuple(changes), chosen)


def with_choice(adapted: Adapted, student: Student, key: str, is_wanted: bool) -> Adapted:
    """The original adapted again with one change taken back, taken after all, or one question answered.

    What the teacher changed by hand stays, unless the change itself puts another block in the place of it.
    """
    again = adapt(adapted.original, student, adapted.day, {**adapted.choices, key: is_wanted})
    merging = Merging()
    lesson = merging.lesson(adapted.made, again.made, adapted.lesson)
    replaced = f"block:{key.partition(':')[2]}"
    if any(point.key == replaced and point.is_conflict for point in merging.points):
        lesson = Merging({replaced: True}).lesson(adapted.made, again.made, adapted.lesson)
    return replace(again, lesson=lesson, from_file=adapted.from_file)
