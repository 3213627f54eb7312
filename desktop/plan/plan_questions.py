"""The questions of the terms room that only a dialog can ask. Tests answer them in our stead."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from desktop.words import english, say

TERMS = english("Terms (*.term)")
TABLES = english("Tables for spreadsheets (*.csv)")
HOUSES = english("House styles (*.house)")
LEVELS = english("Levels (*.curriculum)")


class PlanQuestions:
    """Asks whoever sits before the window."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def term_to_open(self, folder: Path) -> Path | None:
        """The term to open; None when the hand thought better of it."""
        name, _ = QFileDialog.getOpenFileName(self._parent, say("Open term"), str(folder), say(TERMS))
        return Path(name) if name else None

    def where_to_save(self, suggested: Path) -> Path | None:
        """The file to keep a term in."""
        name, _ = QFileDialog.getSaveFileName(self._parent, say("Keep the term in"), str(suggested), say(TERMS))
        return _with_suffix(name, ".term")

    def where_to_save_table(self, suggested: Path) -> Path | None:
        """The file for the plan as a table."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, say("Save the plan as a table"), str(suggested), say(TABLES)
        )
        return _with_suffix(name, ".csv")

    def levels_to_open(self, folder: Path) -> Path | None:
        """The levels to open."""
        name, _ = QFileDialog.getOpenFileName(self._parent, say("Open levels"), str(folder), say(LEVELS))
        return Path(name) if name else None

    def where_to_keep_levels(self, suggested: Path) -> Path | None:
        """The file to keep new levels in."""
        name, _ = QFileDialog.getSaveFileName(self._parent, say("Keep the levels in"), str(suggested), say(LEVELS))
        return _with_suffix(name, ".curriculum")

    def house_to_open(self, folder: Path) -> Path | None:
        """The house style to open."""
        name, _ = QFileDialog.getOpenFileName(self._parent, say("Open house style"), str(folder), say(HOUSES))
        return Path(name) if name else None

    def where_to_keep_house(self, suggested: Path) -> Path | None:
        """The file to keep a new house style in."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, say("Keep the house style in"), str(suggested), say(HOUSES)
        )  # fmt: skip
        return _with_suffix(name, ".house")

    def where_to_bind(self, folder: Path) -> Path | None:
        """The folder for binders."""
        name = QFileDialog.getExistingDirectory(self._parent, say("Bind into the folder"), str(folder))
        return Path(name) if name else None


def _with_suffix(name: str, suffix: str) -> Path | None:
    if not name:
        return None
    return Path(name) if name.lower().endswith(suffix) else Path(name + suffix)
