"""What can be done with the weeks and lessons of the open term. Each command is one edit with a label."""

from __future__ import annotations

from collections.abc import Callable

from desktop.plan.lessons_beside import LessonsBeside
from desktop.plan.open_term import OpenTerm
from desktop.plan.week_rows import Kind, PlanRow
from desktop.plan.wording import title_of
from desktop.words import say
from lessonkit.curriculum.issue import mark_of
from lessonkit.curriculum.term import Placement, Term, Week
from lessonkit.curriculum.term_edits import (
    insert_week,
    mark_all_given,
    move_lesson,
    move_week,
    place_lesson,
    remove_holiday,
    remove_lesson,
    remove_week,
)


class PlanCommands:
    """Commands on the open term; ``choose`` shows what was made or moved, ``tell`` says why something cannot be."""

    def __init__(
        self,
        open_term: OpenTerm,
        beside: LessonsBeside,
        row: Callable[[], PlanRow | None],
        choose: Callable[[str], None],
        tell: Callable[[str], None],
    ) -> None:
        self._open_term = open_term
        self._beside = beside
        self._row = row
        self._choose = choose
        self._tell = tell

    def place(self, name: str) -> None:
        """Put a lesson into the chosen week, behind the chosen lesson; into the first week where none is chosen."""
        term, row = self._open_term.term, self._row()
        if not term.weeks:
            self._tell(say("The term has no week yet; insert one first."))
            return
        if row is not None and row.week_id:
            self.place_at(name, row.week_id, row.at + 1 if row.kind is Kind.LESSON else None)
        else:
            self.place_at(name, term.weeks[0].id, None)

    def place_at(self, name: str, week_id: str, at: int | None) -> None:
        """Put a lesson into a week, at a place or as the last."""
        term = self._open_term.term
        number = term.place_of_week(week_id) + 1
        placed = Placement(name)
        title = title_of(name, self._beside.lessons)
        self._edit(
            say("Put {title} into week {number}", title=title, number=number),
            lambda: place_lesson(term, week_id, placed, at),
            placed.id,
        )

    def carry_lesson(self, placement_id: str, week_id: str, at: int | None) -> None:
        """Put a placed lesson into another week, or elsewhere in its own."""
        term = self._open_term.term
        title = title_of(term.placement(placement_id).lesson, self._beside.lessons)
        number = term.place_of_week(week_id) + 1
        label = say("Move {title} to week {number}", title=title, number=number)
        self._edit(label, lambda: move_lesson(term, placement_id, week_id, at), placement_id)

    def carry_week(self, week_id: str, to: int) -> None:
        """Put a week at another place; the dates follow."""
        term = self._open_term.term
        before = term.place_of_week(week_id)
        if to != before:
            self._edit(
                say("Move week {before} to week {to}", before=before + 1, to=to + 1),
                lambda: move_week(term, week_id, to),
                week_id,
            )

    def move_up(self) -> None:
        """Move the chosen week or lesson up by one place."""
        self._move(-1)

    def move_down(self) -> None:
        """Move the chosen week or lesson down by one place."""
        self._move(1)

    def insert_week(self) -> None:
        """Put an empty week in behind the chosen one; the weeks behind it move."""
        term, row = self._open_term.term, self._row()
        at = len(term.weeks) if row is None or not row.week_id else term.place_of_week(row.week_id) + 1
        week = Week()
        self._edit(say("Insert week {at}", at=at + 1), lambda: insert_week(term, at, week), week.id)

    def remove(self) -> None:
        """Take the chosen week, lesson or holiday out of the term."""
        row, term = self._row(), self._open_term.term
        if row is None:
            return
        if row.kind is Kind.WEEK:
            self._edit(
                say("Remove week {place_of_week}", place_of_week=term.place_of_week(row.id) + 1),
                lambda: remove_week(term, row.id),
            )
        elif row.kind is Kind.LESSON:
            number = term.place_of_week(row.week_id) + 1
            self._edit(say("Take {words} out of week {number}", words=row.words, number=number),
                       lambda: remove_lesson(term, row.id))  # fmt: skip
        else:
            for holiday in term.holidays:
                if row.id.startswith(f"{holiday.name}:"):
                    self._edit(
                        say("Remove holiday {name}", name=holiday.name), lambda one=holiday: remove_holiday(term, one)
                    )
                    return

    def mark_all_given(self) -> None:
        """Note of every lesson of the term that it is given out as it is now."""
        term = self._open_term.term
        marks = {name: mark_of(lesson) for name, lesson in self._beside.lessons.items()}
        self._edit(say("All lessons given"), lambda: mark_all_given(term, marks))

    def _move(self, by: int) -> None:
        row, term = self._row(), self._open_term.term
        if row is None or not row.week_id:
            return
        week = term.place_of_week(row.week_id)
        if row.kind is Kind.WEEK:
            if 0 <= week + by < len(term.weeks):
                self.carry_week(row.id, week + by)
            return
        count = len(term.weeks[week].lessons)
        if 0 <= row.at + by < count:
            self.carry_lesson(row.id, row.week_id, row.at + by)
        elif 0 <= week + by < len(term.weeks):
            self.carry_lesson(row.id, term.weeks[week + by].id, 0 if by > 0 else None)

    def _edit(self, label: str, edit: Callable[[], Term], chosen: str = "") -> None:
        try:
            term = edit()
        except ValueError as error:
            self._tell(say("The term stays as it was: {error}.", error=error))
            return
        self._open_term.edit(label, term)
        if chosen:
            self._choose(chosen)
