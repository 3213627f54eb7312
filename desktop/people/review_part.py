"""What is due as a page to play from: the first few items written out for this hand, the others named."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from desktop.forms.wording import capital
from desktop.people.sheet_part import Sheet, SheetPart
from desktop.words import english, say
from lessonkit.lesson.edits import delete_blocks
from lessonkit.lesson.lesson import Lesson
from lessonkit.students.adapt import adapt
from lessonkit.students.handing_out import MOST_REVIEWED, Around, from_adapted
from lessonkit.students.session import due_on
from lessonkit.students.student import Student


class ReviewPart(SheetPart):
    """The review page alone; it is written down as a handout, so that it can be marked."""

    kind = english("review page")
    empty = english("Nothing is due today, so there is nothing to review.")

    def wishes(self) -> tuple[Any, ...]:
        """The house style is that of the open lesson."""
        return (self.room.open_lesson.lesson,)

    def make(self, student: Student, today: date, wishes: tuple[Any, ...]) -> Sheet:
        """The page, and beside it why each item stands there."""
        lesson: Lesson = wishes[0]
        due = due_on(student, today)
        if not due:
            return Sheet(Lesson(), "")
        bare = replace(lesson, title=say("Review"), aims="", blocks=())
        handed = from_adapted(adapt(bare, student, today), student, today, Around(has_plan=False))
        page = delete_blocks(handed.lesson, ("review-page", "review-head"))
        reasons = [f"{say(one.item.words)}: {capital(say(one.why(today)))}." for one in due[:MOST_REVIEWED]]
        return Sheet(page, say("Why each comes up\n\n") + "\n\n".join(reasons), handed.handout)
