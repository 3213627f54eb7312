"""Live words marked while they are written: those understood in the accent, others underlined, the reason at hand."""

from __future__ import annotations

from PySide6.QtGui import QColor, QSyntaxHighlighter, QTextCharFormat, QTextDocument

from desktop.words import say
from lessonkit.drills.setting import Setting
from lessonkit.lesson import live, prose

_ENDS = (". ", "? ", "! ")


class LiveMarks(QSyntaxHighlighter):
    """Marks the live words of a document."""

    def __init__(self, document: QTextDocument, setting: Setting, accent: str) -> None:
        super().__init__(document)
        self._setting = setting
        self._understood = QTextCharFormat()
        self._understood.setForeground(QColor(accent))
        self._strange = QTextCharFormat()
        self._strange.setUnderlineStyle(QTextCharFormat.UnderlineStyle.WaveUnderline)

    def set_setting(self, setting: Setting) -> None:
        """Read live words in this key from now on."""
        if setting != self._setting:
            self._setting = setting
            self.rehighlight()

    # Qt overrides

    def highlightBlock(self, text: str) -> None:
        place = 0
        for part in live.read(text, self._setting):
            # Qt counts in the units of UTF-16.
            length = _units(part.source)
            problem = isinstance(part, live.LiveText) and part.problem
            if problem:
                self._strange.setToolTip(str(problem))
                self.setFormat(place, length, self._strange)
            elif part.source.startswith("{"):
                self.setFormat(place, length, self._understood)
            place += length


def explain(text: str, caret: int, setting: Setting) -> str:
    """What the live word at a place of a line comes to, or why it is not understood; empty where there is none.

    ``caret`` counts in the units of UTF-16.
    """
    place = 0
    for part in live.read(text, setting):
        end = place + _units(part.source)
        if place < caret <= end and part.source.startswith("{"):
            if isinstance(part, live.LiveText) and part.problem:
                return say("Prints as typed: {problem}", problem=part.problem)
            return f"{part.source}  →  {prose.plain_line(prose.read_line(part.source, setting), setting.label_style)}"
        place = end
    return ""


def sentence_at(line: str, caret: int) -> str:
    """The sentence of a line in which the caret stands, or behind which it does."""
    start = max(line.rfind(end, 0, max(caret - 1, 0)) + 2 if end in line[: max(caret - 1, 0)] else 0 for end in _ENDS)
    ends = [at + 1 for end in _ENDS if (at := line.find(end, max(caret - 1, 0))) >= 0]
    return line[start : min(ends, default=len(line))].strip()


def _units(text: str) -> int:
    return len(text.encode("utf-16-le")) // 2
