"""What a week has of its own: the day of its lessons and a note."""

from __future__ import annotations

from PySide6.QtWidgets import QPlainTextEdit

from desktop.plan.day_edit import WeekdayChoice
from desktop.plan.open_term import OpenTerm
from desktop.plan.panel_parts import PlanForm
from desktop.plan.wording import day_words, last_day_of, short_day
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
        self.day = WeekdayChoice("Day of the lessons", "As in every week")
        self.day.activated.connect(self._set_day)
        self.field("Day of the lessons", self.day)
        self.note = QPlainTextEdit()
        self.note.setAccessibleName("Note of the week")
        self.note.setTabChangesFocus(True)
        self.note.setFixedHeight(120)
        self.note.textChanged.connect(self._set_note)
        self.field("Note of the week", self.note)
        self.end()

    def show_week(self, dated: DatedWeek) -> None:
        """Show a week."""
        is_other = self._dated is None or self._dated.week.id != dated.week.id
        self._is_showing = True
        self._dated = dated
        self.title.setText(f"Week {dated.number}")
        self._days.setText(
            f"{day_words(dated.day)}. The week is {short_day(dated.monday)} to {short_day(last_day_of(dated.monday))}."
        )
        self.day.setItemText(0, f"As in every week: {WEEKDAYS[self._open_term.term.weekday]}")
        self.day.show_weekday(dated.week.weekday)
        if is_other or self.note.toPlainText() != dated.week.note:
            self.note.setPlainText(dated.week.note)
        self._is_showing = False

    def _set_day(self) -> None:
        if self._dated is not None and not self._is_showing:
            term = set_week_day(self._open_term.term, self._dated.week.id, self.day.weekday)
            self._open_term.edit(f"Day of week {self._dated.number}", term)

    def _set_note(self) -> None:
        if self._dated is None or self._is_showing:
            return
        try:
            term = set_week_note(self._open_term.term, self._dated.week.id, self.note.toPlainText())
        except ValueError as error:
            self._open_term.told.emit(f"The note stays as it was: {error}.")
            return
        self._open_term.edit(f"Note of week {self._dated.number}", term, f"note {self._dated.week.id}")
