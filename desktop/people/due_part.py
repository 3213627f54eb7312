"""What is due: each item with why it comes up, and below it the way it went through the boxes."""

from __future__ import annotations

from datetime import date
from typing import Any

from PySide6.QtWidgets import QHeaderView, QTreeWidget, QTreeWidgetItem, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.people.studio import Studio
from desktop.people.wording import counted, day_words
from desktop.words import say
from lessonkit.students.explained import RULES
from lessonkit.students.schedule import capacity, load
from lessonkit.students.session import DueItem, due_on
from lessonkit.students.student import Student


def lines_tree(name: str, first: str, second: str) -> QTreeWidget:
    """A quiet list of two columns whose lines unfold."""
    tree = QTreeWidget()
    tree.setObjectName("lines")
    tree.setAccessibleName(name)
    tree.setHeaderLabels([first, second])
    tree.setUniformRowHeights(True)
    tree.setIndentation(20)
    tree.header().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
    tree.header().setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
    tree.header().setSectionsClickable(False)
    return tree


def line(*texts: str) -> QTreeWidgetItem:
    """A line of such a list; cut words are whole in its tip."""
    item = QTreeWidgetItem(list(texts))
    for place, text in enumerate(texts):
        item.setToolTip(place, text)
    return item


class DuePart(QWidget):
    """What is due today for the chosen student."""

    def __init__(self, studio: Studio) -> None:
        super().__init__()
        self._studio = studio
        self._shown: Student | None = None
        self._said = quiet_label("")
        self._said.setWordWrap(True)
        self.tree = lines_tree(say("What is due"), say("What"), say("Why it is due"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 16, 24, 16)
        layout.setSpacing(8)
        layout.addWidget(self._said)
        layout.addWidget(self.tree, 1)
        for name in ("priority", "due", "box", "load"):
            rule = quiet_label(say(RULES[name]))
            rule.setObjectName("quiet")
            rule.setWordWrap(True)
            layout.addWidget(rule)
        studio.changed.connect(self.show_student)
        studio.chosen.connect(self.show_student)

    def show_student(self) -> None:
        """Work out what is due, if it can be seen and may be another."""
        student = self._studio.student
        if not self.isVisible() or student is self._shown:
            return
        self._shown = student
        self.tree.clear()
        self._said.setText("")
        if student is not None:
            today = date.today()
            self._studio.aside.ask("due", lambda: _found(student, today), lambda found: self._show(found, today))

    def _show(self, found: tuple[tuple[DueItem, ...], str], today: date) -> None:
        due, said = found
        self._said.setText(said)
        items = []
        for one in due:
            item = line(say(one.item.words), say(one.why(today)))
            for step in one.standing.trace:
                item.addChild(
                    line(
                        day_words(step.day),
                        say("{why}; due on {day_words}", why=say(step.why), day_words=day_words(step.due)),
                    )
                )
            items.append(item)
        self.tree.addTopLevelItems(items)
        if items:
            self.tree.setCurrentItem(items[0])

    # Qt overrides

    def showEvent(self, event: Any) -> None:
        super().showEvent(event)
        self.show_student()


def _found(student: Student, today: date) -> tuple[tuple[DueItem, ...], str]:
    due = due_on(student, today)
    now = student.standings
    said = (
        say("{items} due on {day_words}.", items=counted(len(due), "item"), day_words=day_words(today))
        if due
        else say("Nothing is due today.")
    )
    room = capacity(student.minutes)
    carried = say(" {items} come to about {load:.1f} a day; ", items=counted(len(now), "item"), load=load(now.values()))
    carried += say("{minutes} minutes hold {room}.", minutes=student.minutes, room=room)
    return due, said + (carried if now else "")
