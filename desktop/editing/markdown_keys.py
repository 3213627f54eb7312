"""The keys that write Markdown for the hand: bold and italic around what is selected, and lists that go on by Enter."""

from __future__ import annotations

import re

from PySide6.QtGui import QTextCursor

BOLD, ITALIC = "**", "*"

_ITEM = re.compile(r"(?P<blank> *)(?P<mark>[-*+]|(?P<number>\d{1,6})(?P<dot>[.)]))(?P<gap> +)(?P<words>.*)")


def toggle(cursor: QTextCursor, mark: str) -> None:
    """Set a mark around the selection, the word at the caret, or nothing yet; take it away where it is."""
    if not cursor.hasSelection():
        cursor.select(QTextCursor.SelectionType.WordUnderCursor)
    start, end = cursor.selectionStart(), cursor.selectionEnd()
    text, size = cursor.document().toPlainText(), len(mark)
    is_marked = _stands(text, start - size, mark) and _stands(text, end, mark) and not _is_only_bold(text, start, mark)
    cursor.beginEditBlock()
    if is_marked:
        _replace(cursor, end, end + size, "")
        _replace(cursor, start - size, start, "")
        start, end = start - size, end - size
    else:
        _replace(cursor, end, end, mark)
        _replace(cursor, start, start, mark)
        start, end = start + size, end + size
    cursor.endEditBlock()
    cursor.setPosition(start)
    cursor.setPosition(end, QTextCursor.MoveMode.KeepAnchor)


def go_on_with_list(cursor: QTextCursor) -> bool:
    """Begin the next item of a list behind an item, or end the list behind an empty one; says whether it did."""
    if cursor.hasSelection():
        return False
    line, caret = cursor.block().text(), cursor.positionInBlock()
    item = _ITEM.fullmatch(line)
    if item is None or caret < item.start("words"):
        return False
    if not item["words"].strip():
        start = cursor.block().position()
        _replace(cursor, start, start + len(line), "")
        return True
    number = f"{int(item['number']) + 1}{item['dot']}" if item["number"] else item["mark"]
    cursor.insertText(f"\n{item['blank']}{number}{item['gap']}")
    return True


def _stands(text: str, at: int, mark: str) -> bool:
    return at >= 0 and text[at : at + len(mark)] == mark


def _is_only_bold(text: str, start: int, mark: str) -> bool:
    """Whether the asterisk before a place is one of a bold mark's two, so that it is no italic one."""
    if mark != ITALIC:
        return False
    count = 0
    while start - 1 - count >= 0 and text[start - 1 - count] == "*":
        count += 1
    return count == len(BOLD)


def _replace(cursor: QTextCursor, start: int, end: int, text: str) -> None:
    cursor.setPosition(start)
    cursor.setPosition(end, QTextCursor.MoveMode.KeepAnchor)
    cursor.insertText(text)
