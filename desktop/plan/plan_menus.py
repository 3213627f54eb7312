"""What the menus offer in the terms room: a table, as the lessons room has one."""

from __future__ import annotations

from typing import Any

from PySide6.QtGui import QKeySequence

from desktop.actions import Menu, Row, redo_text, undo_text
from desktop.plan.plan_room import PARTS
from desktop.plan.week_rows import Kind
from desktop.words import say

Keys = QKeySequence.StandardKey


def _is_open(room: Any) -> bool:
    return bool(room.open_term.is_open)


def _is_on_weeks(room: Any) -> bool:
    return bool(room.is_on_weeks)


def _has_row(room: Any) -> bool:
    return _is_on_weeks(room) and room.weeks.view.row is not None


def _can_move(room: Any) -> bool:
    return _has_row(room) and room.weeks.view.row.kind is not Kind.HOLIDAY


MENUS: tuple[Menu, ...] = (
    ("&Term", (
        Row("term_new", "&New term …", lambda room: room.new, Keys.New),
        Row("term_open", "&Open term …", lambda room: room.open, Keys.Open),
        Row("term_save", "&Save", lambda room: room.save, Keys.Save, _is_open),
        Row("term_save_in", "Go on in another &file …", lambda room: room.save_in, "Ctrl+Shift+S", _is_open),
        Row("term_table", "Save the plan as a &table (CSV) …", lambda room: room.save_table, is_possible=_is_open),
        None,
        *(Row(f"term_part_{place}", f"{title} &{place}", lambda room, title=title: lambda: room.show_part(title),
              f"Alt+{place}", _is_open,
              text_of=lambda room, title=title, place=place: f"{say(title)} &{place}")
          for place, (title, _) in enumerate(PARTS, 1)),
    )),
    ("&Edit", (
        Row("term_undo", "&Undo", lambda room: room.undoing.undo, Keys.Undo,
            lambda room: bool(room.undoing.undo_label),
            text_of=lambda room: undo_text(room.undoing.undo_label)),
        Row("term_redo", "&Redo", lambda room: room.undoing.redo, "Ctrl+Shift+Z",
            lambda room: bool(room.undoing.redo_label),
            text_of=lambda room: redo_text(room.undoing.redo_label)),
        None,
        Row("term_next_pane", "Next p&ane", lambda room: room.next_pane, "F6"),
        Row("term_last_pane", "&Pane before", lambda room: room.last_pane, "Shift+F6"),
        None,
        Row("term_find", "&Find a lesson on the shelf", lambda room: room.weeks.shelf.focus_search, Keys.Find,
            _is_on_weeks),
        Row("term_week", "&Insert week", lambda room: room.weeks.commands.insert_week, "Ctrl+Return", _is_on_weeks),
        Row("term_up", "Move &earlier", lambda room: room.weeks.commands.move_up, "Alt+Up", _can_move),
        Row("term_down", "Move &later", lambda room: room.weeks.commands.move_down, "Alt+Down", _can_move),
        Row("term_remove", "Re&move from the term", lambda room: room.weeks.commands.remove, Keys.Delete, _has_row),
        None,
        Row("term_given", "Mark all lessons as &given", lambda room: room.weeks.commands.mark_all_given, "",
            _is_on_weeks),
    )),
)  # type: ignore[assignment]  # fmt: skip
"""The menus in order; None parts groups."""
