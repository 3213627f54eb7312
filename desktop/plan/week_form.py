"""What a week has of its own: the day of its lessons and a note."""

from __future__ import annotations

from PySide6.QtWidgets import QPlainTextEdit

from desktop.plan.day_edit import WeekdayChoice
from desktop.plan.open_term import OpenTerm
from desktop.plan.panel_parts import PlanForm
from desktop.plan.wording import day_words, last_day_of, short_day
from desktop.words import say
from lessonkit.curriculum.term import WEEKDAYS, DatedWeek
from lessonkit.curriculum.term_edits import set_week_day, set_week_note


class WeekForm(PlanForm):
    """Shows the week that is chosen."""

    def __init__(self, open_term: OpenTerm) -> None:
        super().__init__("")
        self._open_term = open_term
        self._dated: DatedWeek | None = None
        self._is_showing = False
        self._days = self.quiet()
        self.day = WeekdayChoice(say("Day of the lessons"), say("As in every week"))
        self.day.activated.connect(self._set_day)
        self.field(say("Day of the lessons"), self.day)
        self.note = QPlainTextEdit()
        self.note.setAccessibleName(say("Note of the week"))
        self.note.setTabChangesFocus(True)
        self.note.setFixedHeight(120)
        self.note.textChanged.connect(self._set_note)
        self.field(say("Note of the week"), self.note)
        self.end()

    def show_week(self, dated: DatedWeek) -> None:
        """Show a week."""
        is_other = self._dated is None or self._dated.week.id != dated.week.id
        self._is_showing = True
        self._dated = dated
        self.title.setText(say("Week {number}", number=dated.number))
        self._days.setText(
            say(
                "{day_words}. The week is {short_day} to {short_day2}.",
                day_words=day_words(dated.day),
                short_day=short_day(dated.monday),
                short_day2=short_day(last_day_of(dated.monday)),
            )
        )
        self.day.setItemText(0, say("As in every week: {day}", day=say(WEEKDAYS[self._open_term.term.weekday])))
        self.day.show_weekday(dated.week.weekday)
        if is_other or self.note.toPlainText() != dated.week.note:
            self.note.setPlainText(dated.week.note)
        self._is_showing = False

    def _set_day(self) -> None:
        if self._dated is not None and not self._is_showing:
            term = set_week_day(self._open_term.term, self._dated.week.id, self.day.weekday)
            self._open_term.edit(say("Day of week {number}", number=self._dated.number), term)

    def _set_note(self) -> None:
        if self._dated is None or self._is_showing:
            return
        try:
            term = set_week_note(self._open_term.term, self._dated.week.id, self.note.toPlainText())
        except ValueError as error:
            self._open_term.told.emit(say("The note stays as it was: {error}.", error=error))
            return
        self._open_term.edit(
            say("Note of week {number}", number=self._dated.number), term, f"note {self._dated.week.id}"
        )
