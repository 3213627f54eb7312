"""A day in a field of the window, the same words on every computer."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QDate, QLocale
from PySide6.QtWidgets import QComboBox, QDateEdit

from desktop.words import language_code, say
from lessonkit.curriculum.term import EARLIEST, LATEST, WEEKDAYS


class DayEdit(QDateEdit):
    """A day, typed or chosen from a calendar."""

    def __init__(self, name: str, day: date) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setCalendarPopup(True)
        # Months in the language of the window, whatever the computer speaks.
        self.setLocale(QLocale(language_code("en_GB")))
        self.setDisplayFormat(say("{day} {month} {year}").format(day="d", month="MMMM", year="yyyy"))
        self.setDateRange(_qt(EARLIEST), _qt(LATEST))
        self.setKeyboardTracking(False)
        self.show_day(day)

    @property
    def day(self) -> date:
        """The day that is shown."""
        shown = self.date()
        return date(shown.year(), shown.month(), shown.day())

    def show_day(self, day: date) -> None:
        """Show a day and report nothing."""
        is_blocked = self.blockSignals(True)
        self.setDate(_qt(day))
        self.blockSignals(is_blocked)


class WeekdayChoice(QComboBox):
    """A day of the week; ``usual`` are the words for none of its own."""

    def __init__(self, name: str, usual: str = "") -> None:
        super().__init__()
        self.setAccessibleName(name)
        if usual:
            self.addItem(usual, None)
        for number, words in enumerate(WEEKDAYS):
            self.addItem(say(words), number)

    @property
    def weekday(self) -> int | None:
        """The day that is chosen, 0 for Monday; None for the usual one."""
        found = self.currentData()
        return found if isinstance(found, int) else None

    def show_weekday(self, weekday: int | None) -> None:
        """Show a day."""
        place = self.findData(weekday) if weekday is not None else 0
        self.setCurrentIndex(max(0, place))


def _qt(day: date) -> QDate:
    return QDate(day.year, day.month, day.day)
