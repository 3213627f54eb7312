"""Beside each drill, over the edge of its page: how hard it is, and whether its typed fingers need a look.

The tags stand on the desk and not on the paper. They take no room on the page and are never printed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import cast

from PySide6.QtCore import QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QApplication

from desktop.hands.judging import Judging, Verdict
from desktop.hands.words import difficulty_words, sentence
from desktop.painting.dots import BANDS, DOT, STEP, dots_of, paint_dots
from desktop.preview.overlay import Overlay
from desktop.preview.page_layout import PageLayout
from desktop.theme import Tones, interface_font, tones_of
from desktop.words import say
from lessonkit.values import dataclass

OVER_EDGE, OVER_GAP = 24.0, 14.0
"""How far a tag reaches beyond the page, in pixels: onto the desk, and where another page follows at the right."""

_DISTANCE = 4.0
"""The room between the drill and its tag."""

_LINE, _PAD, _MOST_HIGH = 15.0, 6.0, 100.0


@dataclass(frozen=True, slots=True)
class _Tag:
    """A tag: its drill, its rectangle on the desk, its words in lines, its dots (0 for none) and what it tells."""

    block_id: str
    area: QRectF
    lines: tuple[str, ...]
    dots: int
    tells: str


class MarginTags(QObject, Overlay):
    """The tags of all drills that were judged."""

    asked = Signal(str)
    """The hand wants to know more of this drill."""

    def __init__(self, judging: Judging, is_printed: Callable[[], bool]) -> None:
        super().__init__()
        self._judging = judging
        self._is_printed = is_printed

    def tags(self, layout: PageLayout, top: float, bottom: float) -> Iterator[_Tag]:
        """The tags between two heights where they stand; narrow margins have the dots without the word."""
        for block_id, stretches in layout.block_boxes.items():
            page, box = stretches[0]
            verdict = self._judging.verdict(block_id) if top - _MOST_HIGH <= box.top <= bottom + 4 else None
            if verdict is None:
                continue
            is_last = (page + 1) % layout.columns == 0 or page + 1 == len(layout.pages)
            right = layout.page_boxes[page].right + (OVER_EDGE if is_last else OVER_GAP)
            room = right - box.right - _DISTANCE
            y = box.top - 2
            for lines, dots, tells in _contents(verdict, self._is_printed()):
                words, width = _fitting(lines, dots, room)
                if width:
                    height = _LINE * len(words) + (_LINE - 2 if dots else 0) + 6
                    yield _Tag(block_id, QRectF(right - width, y, width, height), words, dots, tells)
                    y += height + 4

    # Overlay

    def paint(self, painter: QPainter, layout: PageLayout, shown: QRectF) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        for tag in self.tags(layout, shown.top(), shown.bottom()):
            if shown.intersects(tag.area):
                _paint(painter, tag, tones)

    def block_at(self, layout: PageLayout, point: QPointF) -> str:
        tag = self._tag_at(layout, point)
        return tag.block_id if tag is not None else ""

    def click(self, layout: PageLayout, point: QPointF) -> None:
        tag = self._tag_at(layout, point)
        if tag is not None:
            self.asked.emit(tag.block_id)

    def tip(self, layout: PageLayout, point: QPointF) -> str:
        tag = self._tag_at(layout, point)
        return tag.tells if tag is not None else ""

    def _tag_at(self, layout: PageLayout, point: QPointF) -> _Tag | None:
        return next((tag for tag in self.tags(layout, point.y(), point.y()) if tag.area.contains(point)), None)


def _contents(verdict: Verdict, is_printed: bool) -> Iterator[tuple[tuple[str, ...], int, str]]:
    """The lines of each tag of a drill, its dots and what it tells."""
    found = verdict.difficulty
    if found is not None and not is_printed:
        yield (say(found.band.value),), dots_of(found.band), difficulty_words(found)
    if verdict.remarks:
        yield ("check", "fingers"), 0, "\n".join(map(sentence, verdict.remarks))


def _fitting(lines: tuple[str, ...], dots: int, room: float) -> tuple[tuple[str, ...], float]:
    """The lines that fit and the width they take; the dots alone where some band's word would not fit, else 0."""
    metrics = QFontMetricsF(interface_font(9))
    dots_width = (len(BANDS) - 1) * STEP + DOT if dots else 0.0
    longest = max(
        metrics.horizontalAdvance(word) for word in (*lines, *((say(band.value) for band in BANDS) if dots else ()))
    )
    if max(dots_width, longest) + 2 * _PAD <= room:
        return lines, max(dots_width, *(metrics.horizontalAdvance(line) for line in lines)) + 2 * _PAD
    return ((), dots_width + 2 * _PAD) if dots and dots_width + 2 * _PAD <= room else ((), 0.0)


def _paint(painter: QPainter, tag: _Tag, tones: Tones) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(tones.edge), 1))
    painter.setBrush(QColor(tones.panel))
    painter.drawRoundedRect(tag.area.adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
    top = tag.area.top() + 3
    if tag.dots:
        paint_dots(painter, tag.dots, tag.area.left() + _PAD, top + 7, QColor(tones.ink))
        top += _LINE - 2
    painter.setFont(interface_font(9))
    painter.setPen(QColor(tones.ink))
    for line in tag.lines:
        area = QRectF(tag.area.left() + _PAD, top, tag.area.width() - _PAD, _LINE)
        painter.drawText(area, Qt.AlignmentFlag.AlignVCenter, line)
        top += _LINE


class PrintedDifficulty(Overlay):
    """The band that a lesson prints in the captions: the reasons are told where the hand rests on it."""

    def __init__(self, judging: Judging) -> None:
        self._judging = judging

    def tip(self, layout: PageLayout, point: QPointF) -> str:
        for number, page in enumerate(layout.pages):
            if not layout.page_boxes[number].holds(point.x(), point.y()):
                continue
            for part in page.parts:
                verdict = self._judging.verdict(part.block_id)
                if verdict is None or verdict.difficulty is None:
                    continue
                for mark in part.placed.drawing.marks:
                    box = mark.box.moved(part.placed.x, part.placed.y)
                    if mark.kind == "difficulty" and layout.on_desk(number, box).holds(point.x(), point.y()):
                        return difficulty_words(verdict.difficulty)
        return ""
