"""What the menus offer in the students room: a table, as the lessons room has one."""

from __future__ import annotations

from typing import Any

from PySide6.QtGui import QKeySequence

from desktop.actions import Menu, Row, redo_text, undo_text
from desktop.people.people_room import PARTS
from desktop.words import say

Keys = QKeySequence.StandardKey


def _has_student(room: Any) -> bool:
    return room.studio.student is not None


MENUS: tuple[Menu, ...] = (
    ("&Student", (
        Row("student_new", "&New student", lambda room: room.list.begin_new, Keys.New),
        Row("student_folder", "&Open a folder of students …", lambda room: room.choose_folder, Keys.Open),
        None,
        Row("student_print", "&Print the open lesson for …", lambda room: room.print_for, Keys.Print, _has_student),
        None,
        Row("student_rename", "&Rename", lambda room: room.list.begin_rename, "F2", _has_student),
        Row("student_remove", "Re&move", lambda room: room.list.remove, "Ctrl+Delete", _has_student),
        None,
        *(Row(f"student_part_{place}", f"{title} &{place}", lambda room, title=title: lambda: room.show_part(title),
              f"Alt+{place}", _has_student,
              text_of=lambda room, title=title, place=place: f"{say(title)} &{place}")
          for place, (title, _) in enumerate(PARTS, 1)),
        None,
        Row("student_rules", "How the num&bers are worked out", lambda room: room.show_rules, "Ctrl+F1"),
    )),
    ("&Edit", (
        Row("student_undo", "&Undo", lambda room: room.studio.undo, Keys.Undo,
            lambda room: bool(room.studio.undo_label),
            text_of=lambda room: undo_text(room.studio.undo_label)),
        Row("student_redo", "&Redo", lambda room: room.studio.redo, "Ctrl+Shift+Z",
            lambda room: bool(room.studio.redo_label),
            text_of=lambda room: redo_text(room.studio.redo_label)),
    )),
)  # type: ignore[assignment]  # fmt: skip
"""The menus in order; None parts groups."""
