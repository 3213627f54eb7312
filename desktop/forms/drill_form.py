"""The form of a drill or a map, made from what it declares. It knows no family by name."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.forms.editors import editor_for
from desktop.forms.row import Group, Row
from desktop.open_lesson import OpenLesson
from desktop.words import say, within
from lessonkit.drills.choices import Faces
from lessonkit.drills.declared import Declared
from lessonkit.drills.exercise import FingersShown
from lessonkit.drills.family import DrillFamily
from lessonkit.lesson.edits import declared_of, set_drill_setting
from lessonkit.lesson.lesson import Block

ROWS_AT_ONCE = 6
"""So many rows are made before the window may answer: a form of forty takes as long as four frames."""


class DrillForm(QWidget):
    """All settings of one kind in their groups; only those that apply are shown, and each edit counts at once.

    The first rows are there at once, the others follow while the window answers.
    """

    explained = Signal(str)

    def __init__(self, open_lesson: OpenLesson, kind: type[Declared]) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._block: Block | None = None
        self._rows: dict[str, Row] = {}
        self._groups: dict[str, Group] = {}
        self._declared = kind.declared()
        self._usual = kind()
        self._left = _own_settings_first(kind)
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(0)
        self._layout.addStretch(1)
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._go_on)
        self._make(ROWS_AT_ONCE)

    @property
    def rows(self) -> dict[str, Row]:
        """Every row by the name of its setting; those that are not there yet are made now."""
        self.finish()
        return self._rows

    def finish(self) -> None:
        """Make every row now."""
        self._make(len(self._left))

    def show_block(self, block: Block) -> None:
        """Show the settings of this drill or map."""
        self._block = block
        for name in self._rows:
            self._show_row(name)
        self._show_groups()
        if self._left:
            self._timer.start()

    def _go_on(self) -> None:
        # A form that is not looked at can wait until it is.
        if self.isVisible():
            self._make(ROWS_AT_ONCE)
        if not self._left or not self.isVisible():
            self._timer.stop()

    def _make(self, count: int) -> None:
        """Make so many of the rows that are left."""
        made, self._left = self._left[:count], self._left[count:]
        for name in made:
            param = self._declared[name]
            row = Row(param.label, editor_for(param), param.help, has_usual=True)
            row.setObjectName(name)
            row.reset_asked.connect(lambda name=name: self._reset(name))
            row.settled.connect(self._open_lesson.settle)
            row.editor.edited.connect(lambda value, name=name: self._edit(name, value))
            row.explained.connect(self.explained)
            self._rows[name] = row
            if param.group not in self._groups:
                self._groups[param.group] = Group(param.group)
                self._layout.insertWidget(self._layout.count() - 1, self._groups[param.group])
            self._groups[param.group].add(row)
            if self._block is not None:
                self._show_row(name)
        if made:
            self._show_groups()

    def _show_row(self, name: str) -> None:
        assert self._block is not None
        declared, row = declared_of(self._block), self._rows[name]
        applies = self._declared[name].applies
        row.setVisible(applies is None or applies(declared))
        value, usual = getattr(declared, name), getattr(self._usual, name)
        row.editor.show_value(value, self._open_lesson.lesson.setting)
        row.show_departure(
            value != usual, say("The same as the lesson again") if follows_lesson(usual) else say("As usual again")
        )

    def _show_groups(self) -> None:
        for group in self._groups.values():
            group.hide_if_empty()

    def _reset(self, name: str) -> None:
        """Bring the usual value back, as an edit of its own."""
        self._open_lesson.settle()
        self._edit(name, getattr(self._usual, name))
        self._open_lesson.settle()
        self._rows[name].editor.setFocus()

    def _edit(self, name: str, value: Any) -> None:
        lesson = self._open_lesson.lesson
        assert self._block is not None
        block_id, label = self._block.id, self._declared[name].label
        try:
            edited = set_drill_setting(lesson, block_id, name, value)
        except ValueError as error:
            self._rows[name].show_reason(str(error).removeprefix(f"{name}: "))
            return
        self._open_lesson.edit(say("Change of {setting}", setting=within(say(label))), edited, f"{block_id}.{name}")


def follows_lesson(value: Any) -> bool:
    """Whether a value leaves the choice to the lesson."""
    return value is None or value in (Faces.LESSON, FingersShown.LESSON)


def _own_settings_first(kind: type[Declared]) -> list[str]:
    """What makes the drill what it is stands before what every drill has, and so do the groups."""
    declared = kind.declared()
    common = DrillFamily.declared()
    shared = {param.group for param in common.values()}

    def rank(name: str) -> int:
        return 2 if name in common else 1 if declared[name].group in shared else 0

    return sorted(declared, key=rank)
