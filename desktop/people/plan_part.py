"""The day's plan as a page, with why each of its slots was chosen beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from desktop.forms.wording import capital
from desktop.people.sheet_part import Sheet, SheetPart
from desktop.words import english, say
from lessonkit.lesson.lesson import Lesson
from lessonkit.students.adapt import adapt
from lessonkit.students.handing_out import lesson_title, plan_blocks
from lessonkit.students.items_played import given_blocks
from lessonkit.students.session import session_on
from lessonkit.students.student import Student


class PlanPart(SheetPart):
    """Six slots: what is due, at most one new item out of the open lesson, something to use."""

    kind = "plan"
    empty = english("Nothing can be planned yet: no first tries are recorded, and the open lesson has no drills.")

    def wishes(self) -> tuple[Any, ...]:
        """New material comes out of the open lesson."""
        return (self.room.open_lesson.lesson,)

    def make(self, student: Student, today: date, wishes: tuple[Any, ...]) -> Sheet:
        """The front of a handout, alone."""
        lesson: Lesson = wishes[0]
        new = [item for block in given_blocks(adapt(lesson, student, today).lesson) for item in block.items]
        session = session_on(student, today, new)
        blocks = plan_blocks(session)
        house = replace(lesson.house, label_style=replace(student.label_style, notes=lesson.house.label_style.notes))
        page = Lesson(
            title=say("For {code}", code=student.code), author=lesson.author, key=lesson.key,
            paper=student.paper, house=house, blocks=blocks,
        )  # fmt: skip
        reasons = [f"{place}. {capital(say(slot.why))}." for place, slot in enumerate(session.slots, 1)]
        from_where = say("New material comes from “{lesson_title}”.", lesson_title=lesson_title(lesson))
        return Sheet(
            page, say("Why each was chosen\n\n") + "\n\n".join([*reasons, from_where, *map(say, session.said)])
        )
