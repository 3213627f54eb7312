"""Everything that a window shows or says in words, for tests of its languages."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import QAbstractItemModel, QModelIndex, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QComboBox,
    QLabel,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QWidget,
)

from desktop import words
from desktop.translated import Translated

ROLES = (
    Qt.ItemDataRole.DisplayRole,
    Qt.ItemDataRole.ToolTipRole,
    Qt.ItemDataRole.AccessibleTextRole,
    Qt.ItemDataRole.AccessibleDescriptionRole,
)

_MARKED = re.compile(r"«[^«»]*»")
_WORD = re.compile(r"[A-Za-z]{3,}")
_CHORD = re.compile(r"(?:[A-H]|[IViv]{1,3})?(?:maj|m|min|dim|aug|sus|add|alt)+|[IVivx]+|mm|cm|[a-z]+\.[a-z]+")
_CUT_MONTH = re.compile(r"«(?:Ja|Fe|Ma|Ap|Ju|Au|Se|Oc|No|De)(?=[ .»]|$)(?! [a-z])")
_FILE = re.compile(r"[^\s«»]*[/_][^\s«»]*")
_MARKUP = re.compile(r"<[^<>]*>")


class Marked(Translated):
    """No language: every text that is known is put between « and », so that what is not translated stands out."""

    def __init__(self, known: set[str], patterns: Path) -> None:
        super().__init__(Path("nowhere.qm"), patterns)
        self._known = known

    def _exactly(self, text: str, number: int | None = None) -> str | None:
        return f"«{text}»" if text in self._known else None


def speak(language: words.Language | None) -> None:
    """Say everything in this language from now on."""
    words._language = language


def unmarked(text: str) -> list[str]:
    """The words of a text that no mark stands around."""
    if "  →  " in text:
        # What a live word prints stands in the language of the page.
        return []
    text = _CUT_MONTH.sub("", _FILE.sub("", text))
    text, before = _MARKUP.sub("", text.replace("&", "")), ""
    while text != before:
        before, text = text, _MARKED.sub("", text)
    return [word for word in _WORD.findall(text) if not _CHORD.fullmatch(word)]


def texts_of(widget: QWidget) -> Iterator[tuple[str, str]]:
    """Each text below a widget, with a word of where it stands."""
    for one in (widget, *widget.findChildren(QWidget)):
        if one.objectName().startswith("qt_") or isinstance(one.parent(), QComboBox | QAbstractSpinBox):
            continue
        where = f"{type(one).__name__} {one.objectName()}".strip()
        yield where, one.toolTip()
        yield where, one.accessibleName()
        yield where, one.accessibleDescription()
        yield where, one.windowTitle()
        if isinstance(one, QLabel | QAbstractButton):
            yield where, one.text()
        if isinstance(one, QLineEdit | QPlainTextEdit):
            yield where, one.placeholderText()
        if isinstance(one, QComboBox):
            yield from ((where, one.itemText(place)) for place in range(one.count()))
        elif isinstance(one, QAbstractItemView) and one.model() is not None:
            yield from ((where, text) for text in _items(one.model(), QModelIndex()))
        if isinstance(one, QMenu):
            yield where, one.title()
        yield from ((f"action {action.objectName()}", text) for action in one.actions()
                    for text in (action.text(), action.toolTip(), action.iconText()))  # fmt: skip


def _columns(model: QAbstractItemModel, parent: QModelIndex) -> int:
    try:
        return model.columnCount(parent)
    except TypeError:
        # A list has one column and keeps that to itself.
        return 1


def _items(model: QAbstractItemModel, parent: QModelIndex) -> Iterator[str]:
    for row in range(model.rowCount(parent)):
        for column in range(_columns(model, parent)):
            index = model.index(row, column, parent)
            for role in ROLES:
                if isinstance(text := index.data(role), str):
                    yield text
            yield from _items(model, index)
