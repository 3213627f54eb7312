"""What the whole term has: title, first day, day of lessons, holidays, groups and students."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta
from functools import partial

from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.forms.wording import capital
from desktop.plan.day_edit import DayEdit, WeekdayChoice
from desktop.plan.open_term import OpenTerm
from desktop.plan.panel_parts import PlanForm, button, clear_layout
from desktop.plan.wording import holiday_words
from desktop.words import say
from lessonkit.curriculum.term import WEEKDAYS, Group, Holiday, Term
from lessonkit.curriculum.term_edits import (
    add_holiday,
    remove_group,
    remove_holiday,
    set_group,
    set_start,
    set_students,
    set_title,
    set_weekday,
)

MOST_PROBLEMS = 4
"""So many sentences about what is wrong are shown; of more it is told."""


class TermForm(PlanForm):
    """Shows the open term."""

    def __init__(self, open_term: OpenTerm) -> None:
        super().__init__(say("The term"))
        self._open_term = open_term
        self._shown: Term | None = None
        self.to_look_at = self.quiet()
        self.name = QLineEdit()
        self.name.setAccessibleName(say("Title of the term"))
        self.name.textEdited.connect(self._set_title)
        self.field(say("Title"), self.name)
        self._came_from = self.quiet()
        self.starts = DayEdit(say("First day"), open_term.term.starts)
        self.starts.dateChanged.connect(self._set_start)
        self.field(say("First day"), self.starts)
        self.weekday = WeekdayChoice(say("Day of the lessons"))
        self.weekday.activated.connect(self._set_weekday)
        self.field(say("Day of the lessons"), self.weekday)
        self.caption(say("Holidays"))
        self._holidays = self._column()
        self.holiday_name = QLineEdit()
        self.holiday_name.setPlaceholderText(say("Name, such as Half term"))
        self.holiday_name.setAccessibleName(say("Name of a new holiday"))
        self.holiday_first = DayEdit(say("First day of the new holiday"), open_term.term.starts)
        self.holiday_last = DayEdit(say("Last day of the new holiday"), open_term.term.starts)
        self.holiday_name.returnPressed.connect(self._add_holiday)
        self.add(self.holiday_name)
        self.line(self.holiday_first, self.holiday_last)
        self.line(button(say("Add holiday"), say("Add the holiday"), self._add_holiday))
        self.caption(say("Groups"))
        self._groups = self._column()
        self.group_name = QLineEdit()
        self.group_name.setPlaceholderText(say("Name, such as Saturday trio"))
        self.group_name.setAccessibleName(say("Name of a group"))
        self.group_students = QLineEdit()
        self.group_students.setPlaceholderText(say("Students, such as AB, CK, MT"))
        self.group_students.setAccessibleName(say("Students of the group"))
        self.group_day = WeekdayChoice(say("Day of the group"), say("Day of the term"))
        for line in (self.group_name, self.group_students):
            line.returnPressed.connect(self._set_group)
            self.add(line)
        self.line(
            self.group_day,
            button(say("Set group"), say("Add the group, or change the one of this name"), self._set_group),
        )
        self.caption(say("Students taught alone"))
        self.students = QLineEdit()
        self.students.setPlaceholderText(say("Such as JP, RS"))
        self.students.setAccessibleName(say("Students taught alone"))
        self.students.editingFinished.connect(self._set_students)
        self.add(self.students)
        self.end()

    def show_problems(self, problems: Sequence[str]) -> None:
        """Show what keeps the term from being taught as it stands."""
        told = [f"{capital(say(one))}." for one in problems[:MOST_PROBLEMS]]
        if len(problems) > MOST_PROBLEMS:
            told.append(say("… and {n} more", n=len(problems) - MOST_PROBLEMS))
        self.to_look_at.setText("\n".join([say("To look at:"), *told]) if told else "")
        self.to_look_at.setVisible(bool(told))

    def show_term(self, term: Term) -> None:
        """Show a term; a field with the focus keeps what is typed."""
        if self.name.text().strip() != term.title:
            self.name.setText(term.title)
        self._came_from.setText(say("Made from: {came_from}", came_from=term.came_from))
        self._came_from.setVisible(bool(term.came_from))
        self.starts.show_day(term.starts)
        self.weekday.show_weekday(term.weekday)
        self.students.setText(", ".join(term.students))
        before, self._shown = self._shown, term
        if before is None or before.holidays != term.holidays:
            last = term.holidays[-1].last if term.holidays else term.starts
            self.holiday_first.show_day(last + timedelta(7))
            self.holiday_last.show_day(last + timedelta(11))
            self._show_lines(self._holidays, [
                (holiday_words(one), say("Remove the holiday {name}", name=one.name),
                 partial(self._remove_holiday, one), "", None)
                for one in term.holidays
            ])  # fmt: skip
        if before is None or before.groups != term.groups:
            self._show_lines(self._groups, [
                (_group_words(one), say("Remove the group {name}", name=one.name),
                 partial(self._remove_group, one.name), say("Change the group {name}", name=one.name),
                 partial(self._take_up, one))
                for one in term.groups
            ])  # fmt: skip

    def _column(self) -> QVBoxLayout:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 4)
        column.setSpacing(4)
        self.add(holder)
        return column

    def _show_lines(
        self,
        column: QVBoxLayout,
        lines: list[tuple[str, str, Callable[[], None], str, Callable[[], None] | None]],
    ) -> None:
        clear_layout(column)
        for words, to_remove, remove, to_change, change in lines:
            line = QWidget()
            row = QHBoxLayout(line)
            row.setContentsMargins(0, 0, 0, 0)
            row.setSpacing(8)
            label = quiet_label(words)
            label.setWordWrap(True)
            row.addWidget(label, 1)
            if change is not None:
                row.addWidget(button(say("Change"), to_change, change))
            row.addWidget(button(say("Remove"), to_remove, remove))
            column.addWidget(line)

    def _set_title(self, title: str) -> None:
        self._try(say("Title of the term"), lambda term: set_title(term, title.strip() or say("Term")), "title")

    def _set_start(self) -> None:
        day = self.starts.day
        self._try(say("First day of the term"), lambda term: set_start(term, day), "starts")

    def _set_weekday(self) -> None:
        weekday = self.weekday.weekday
        assert weekday is not None
        self._try(say("Day of the lessons"), lambda term: set_weekday(term, weekday))

    def _add_holiday(self) -> None:
        name = self.holiday_name.text().strip() or say("Holiday")
        first, last = self.holiday_first.day, self.holiday_last.day
        if self._try(say("Add holiday {name}", name=name), lambda term: add_holiday(term, Holiday(name, first, last))):
            self.holiday_name.clear()

    def _remove_holiday(self, holiday: Holiday) -> None:
        self._try(say("Remove holiday {name}", name=holiday.name), lambda term: remove_holiday(term, holiday))

    def _set_group(self) -> None:
        name, codes, day = self.group_name.text().strip(), _codes(self.group_students.text()), self.group_day.weekday
        if self._try(say("Group {name}", name=name), lambda term: set_group(term, Group(name, codes, day))):
            self.group_name.clear()
            self.group_students.clear()
            self.group_day.show_weekday(None)

    def _take_up(self, group: Group) -> None:
        self.group_name.setText(group.name)
        self.group_students.setText(", ".join(group.students))
        self.group_day.show_weekday(group.weekday)
        self.group_students.setFocus()

    def _remove_group(self, name: str) -> None:
        self._try(say("Remove group {name}", name=name), lambda term: remove_group(term, name))

    def _set_students(self) -> None:
        codes = _codes(self.students.text())
        self._try(say("Students taught alone"), lambda term: set_students(term, codes))

    def _try(self, label: str, edit: Callable[[Term], Term], merge_key: str = "") -> bool:
        try:
            term = replace(edit(self._open_term.term))
            _ = term.dated
        except (ValueError, OverflowError) as error:
            self._open_term.told.emit(say("The term stays as it was: {error}.", error=error))
            return False
        self._open_term.edit(label, term, merge_key)
        return True


def _codes(text: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(code.strip() for code in text.replace(";", ",").split(",") if code.strip()))


def _group_words(group: Group) -> str:
    day = f", {say(WEEKDAYS[group.weekday])}" if group.weekday is not None else ""
    return f"{group.name}: {', '.join(group.students) or say('nobody yet')}{day}"
