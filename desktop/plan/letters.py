"""Letters of the lists and the grid, kept: a row or a cell must not look for its face each time it is painted."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtGui import QFont, QFontMetrics

from desktop.theme import interface_font


@lru_cache(maxsize=32)
def letters(size: float, is_bold: bool = False, is_italic: bool = False) -> tuple[QFont, QFontMetrics]:
    """The face of the interface at a size, and its measures."""
    font = interface_font(size, is_bold)
    font.setItalic(is_italic)
    return font, QFontMetrics(font)
