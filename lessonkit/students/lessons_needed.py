"""Which lessons of a shelf a student needs: those whose drills play what is due or weak, the most useful first."""

from __future__ import annotations

from datetime import date

from lessonkit.curriculum.coverage import Coverage, Place
from lessonkit.curriculum.seen import Seen, plain_key
from lessonkit.drills.family import Hands
from lessonkit.students.item import Item
from lessonkit.students.session import due_on
from lessonkit.students.student import Student
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Needed:
    """A lesson that plays due items: its name, and for each item where it is played."""

    lesson: str
    items: tuple[tuple[Item, Place], ...]


def lessons_needed(coverage: Coverage, student: Student, day: date) -> tuple[Needed, ...]:
    """The lessons that play what is due for a student, those with the most of it first."""
    due = [one.item for one in due_on(student, day)]
    found = []
    for taught in coverage.lessons:
        played: dict[Item, Place] = {}
        for block_id, count in taught.blocks:
            for item in due:
                if item not in played and any(_plays(seen, item) for seen in count.seen):
                    played[item] = next(taught.places((block_id,)))
        if played:
            found.append(Needed(taught.name, tuple(played.items())))
    return tuple(sorted(found, key=lambda one: -len(one.items)))


def _plays(seen: Seen, item: Item) -> bool:
    return (
        seen.skill.family == item.skill
        and seen.key == plain_key(item.key)
        and (item.hands is Hands.BOTH or seen.hand.value == item.hands.value)
        and (not item.quality or seen.quality == item.quality)
    )
