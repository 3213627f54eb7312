"""The form of a drill or a map, made from what it declares. It knows no family by name."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.forms.editors import editor_for
from desktop.forms.row import Group, Row
from desktop.open_lesson import OpenLesson
from lessonkit.drills.declared import Declared
from lessonkit.drills.family import DrillFamily
from lessonkit.lesson.edits import declared_of, set_drill_setting
from lessonkit.lesson.lesson import Block


class DrillForm(QWidget):
    """All settings of one kind in their groups; only those that apply are shown, and each edit counts at once."""

    explained = Signal(str)

    def __init__(self, open_lesson: OpenLesson, kind: type[Declared]) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._block_id = ""
        self.rows: dict[str, Row] = {}
        self._groups: dict[str, Group] = {}
        self._declared = kind.declared()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        for name in _own_settings_first(kind):
            param = self._declared[name]
            row = Row(param.label, editor_for(param), param.help)
            row.setObjectName(name)
            row.editor.edited.connect(lambda value, name=name: self._edit(name, value))
            row.explained.connect(self.explained)
            self.rows[name] = row
            if param.group not in self._groups:
                self._groups[param.group] = Group(param.group)
                layout.addWidget(self._groups[param.group])
            self._groups[param.group].add(row)
        layout.addStretch(1)

    def show_block(self, block: Block) -> None:
        """Show the settings of this drill or map."""
        declared = declared_of(block)
        self._block_id = block.id
        setting = self._open_lesson.lesson.setting
        for name, row in self.rows.items():
            applies = self._declared[name].applies
            row.setVisible(applies is None or applies(declared))
            row.editor.show_value(getattr(declared, name), setting)
        for group in self._groups.values():
            group.hide_if_empty()

    def _edit(self, name: str, value: Any) -> None:
        lesson = self._open_lesson.lesson
        label = self._declared[name].label
        try:
            edited = set_drill_setting(lesson, self._block_id, name, value)
        except ValueError as error:
            self.rows[name].show_reason(str(error).removeprefix(f"{name}: "))
            return
        self._open_lesson.edit(f"Change of {label.lower()}", edited, f"{self._block_id}.{name}")


def _own_settings_first(kind: type[Declared]) -> list[str]:
    """What makes the drill what it is stands before what every drill has, and so do the groups."""
    declared = kind.declared()
    common = DrillFamily.declared()
    shared = {param.group for param in common.values()}

    def rank(name: str) -> int:
        return 2 if name in common else 1 if declared[name].group in shared else 0

    return sorted(declared, key=rank)
