"""A student against a level: a thing is held when its item has climbed so high that it waits two weeks and more."""

from __future__ import annotations

from lessonkit.curriculum.levels import Level, Measure, Need, measured_by
from lessonkit.curriculum.seen import plain_key
from lessonkit.drills.family import Hands
from lessonkit.students.session import STRONG_BOX
from lessonkit.students.student import Student


def student_measured(level: Level, student: Student, least_box: int = STRONG_BOX) -> Measure:
    """What of a level a student holds, from the marks alone; tempos are not asked for, since marks hold few.

    An item that is marked without a kind of chord counts for each kind; one of both hands for either hand.
    """
    held = [standing.item for standing in student.standings.values() if standing.box >= least_box]

    def holds(need: Need) -> bool:
        return any(
            item.skill == need.skill.family
            and (need.key is None or plain_key(item.key) == need.key)
            and (need.hand is None or item.hands is Hands.BOTH or item.hands.value == need.hand.value)
            and (need.quality is None or item.quality in ("", need.quality))
            for item in held
        )

    return measured_by(level, holds)
