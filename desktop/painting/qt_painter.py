"""The shapes of a page painted with Qt. Everything that can be is cached; nothing is laid out here.

Units are points; whoever makes the painter scales it to the screen.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import floor

from PySide6.QtCore import QByteArray, QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QGlyphRun,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QRawFont,
)

from desktop.painting.glyph_images import LARGEST, STEPS, glyph_image, pixels_a_unit
from lessonkit.drawing.fonts import advances, font_file
from lessonkit.drawing.glyphs import UNITS, outline
from lessonkit.drawing.shapes import Command, Face, Glyph, Line, Path, Picture, Rect, Text

_NO_PEN = QPen(Qt.PenStyle.NoPen)
_NO_BRUSH = QBrush(Qt.BrushStyle.NoBrush)


class QtPainter:
    """Paints shapes with a QPainter whose units are points, in tones between an ink and a paper colour."""

    def __init__(self, painter: QPainter, ink: str, paper: str) -> None:
        self._painter = painter
        self._ink = ink
        self._paper = paper
        self._dress_worn: tuple[float | None, float, float] | None = None
        transform = painter.worldTransform()
        self._pixels = pixels_a_unit(painter.device(), transform)
        self._left, self._top = transform.dx(), transform.dy()
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform)

    def line(self, line: Line, dx: float, dy: float) -> None:
        """A straight stroke."""
        x1, y1, x2, y2, width, tone, dash = line
        if not dash and (y1 == y2 or x1 == x2):
            # Qt fills an upright rectangle ten times as quickly as it strokes the same line.
            self._dress(tone, 0.0, tone)
            half = width / 2
            if y1 == y2:
                self._painter.drawRect(QRectF(min(x1, x2) + dx, y1 - half + dy, abs(x2 - x1), width))
            else:
                self._painter.drawRect(QRectF(x1 - half + dx, min(y1, y2) + dy, width, abs(y2 - y1)))
            return
        self._dress_worn = None
        self._painter.setPen(_pen(self._ink, self._paper, tone, width, dash))
        self._painter.drawLine(QLineF(x1 + dx, y1 + dy, x2 + dx, y2 + dy))

    def rect(self, rect: Rect, dx: float, dy: float) -> None:
        """A rectangle, filled or outlined or both."""
        self._dress(rect.fill, rect.stroke, rect.tone)
        area = QRectF(rect.x + dx, rect.y + dy, rect.width, rect.height)
        if rect.round:
            self._painter.drawRoundedRect(area, rect.round, rect.round)
        else:
            self._painter.drawRect(area)

    def path(self, path: Path, dx: float, dy: float) -> None:
        """A path, filled or stroked or both."""
        self._dress(path.fill, path.stroke, path.tone)
        self._moved(path_of(path), dx, dy)

    def glyph(self, glyph: Glyph, dx: float, dy: float) -> None:
        """A glyph of the music font, copied where the device allows it."""
        code, x, y, size, tone = glyph
        pixels = self._pixels
        if not pixels or size * pixels > LARGEST:
            self._dress(tone, 0.0, tone)
            self._moved(glyph_path(code, size), x + dx, y + dy)
            return
        across = floor(((x + dx) * pixels + self._left) * STEPS + 0.5)
        down = floor(((y + dy) * pixels + self._top) * STEPS + 0.5)
        image, left, top = glyph_image(
            code, size * pixels, across % STEPS, down % STEPS, _rgba(self._ink, self._paper, tone), glyph_path
        )
        painter = self._painter
        painter.setWorldMatrixEnabled(False)
        painter.drawImage(across // STEPS + left, down // STEPS + top, image)
        painter.setWorldMatrixEnabled(True)

    def text(self, text: Text, dx: float, dy: float) -> None:
        """A run of text; each letter stands where the ruler of the house put it."""
        self._dress(None, 1.0, text.tone)
        self._painter.drawGlyphRun(QPointF(text.x + dx, text.y + dy), glyph_run(text.text, text.face, text.size))

    def picture(self, picture: Picture, dx: float, dy: float) -> None:
        """A raster image."""
        area = QRectF(picture.x + dx, picture.y + dy, picture.width, picture.height)
        self._painter.drawImage(area, _image(picture.content))

    def _dress(self, fill: float | None, stroke: float, tone: float) -> None:
        # Neighbours are mostly dressed alike, and each call into Qt costs as much as painting a notehead.
        if self._dress_worn == (fill, stroke, tone):
            return
        self._dress_worn = fill, stroke, tone
        self._painter.setBrush(_NO_BRUSH if fill is None else _brush(self._ink, self._paper, fill))
        self._painter.setPen(_pen(self._ink, self._paper, tone, stroke, ()) if stroke else _NO_PEN)

    def _moved(self, path: QPainterPath, dx: float, dy: float) -> None:
        # A moved copy of so small a path is cheaper than moving the painter there and back.
        self._painter.drawPath(path.translated(dx, dy))


@lru_cache(maxsize=256)
def colour(ink: str, paper: str, tone: float) -> QColor:
    """The colour of a tone from 0 (ink) to 1 (paper)."""
    dark, light = QColor(ink), QColor(paper)
    pairs = ((dark.red(), light.red()), (dark.green(), light.green()), (dark.blue(), light.blue()))
    return QColor(*(round(low + (high - low) * tone) for low, high in pairs))


@lru_cache(maxsize=256)
def _rgba(ink: str, paper: str, tone: float) -> int:
    return colour(ink, paper, tone).rgba()


@lru_cache(maxsize=1024)
def _pen(ink: str, paper: str, tone: float, width: float, dash: tuple[float, ...]) -> QPen:
    pen = QPen(QBrush(colour(ink, paper, tone)), width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if dash and width:
        # Qt counts dashes in widths of the pen and takes them in pairs.
        pairs = dash if len(dash) % 2 == 0 else dash * 2
        pen.setDashPattern([length / width for length in pairs])
    return pen


@lru_cache(maxsize=256)
def _brush(ink: str, paper: str, tone: float) -> QBrush:
    return QBrush(colour(ink, paper, tone))


_MOST_PATHS = 4096
_paths: dict[int, tuple[Path, QPainterPath]] = {}


def path_of(path: Path) -> QPainterPath:
    """The path as Qt takes it, kept by identity: finding it by value would mean to hash all its numbers each time."""
    kept = _paths.get(id(path))
    if kept is not None and kept[0] is path:
        return kept[1]
    if len(_paths) >= _MOST_PATHS:
        _paths.clear()
    made = _scaled_path(path.commands, 1.0)
    # The shape is kept beside its path, so that its id cannot come to mean another one.
    _paths[id(path)] = path, made
    return made


@lru_cache(maxsize=1024)
def glyph_path(code: int, size: float) -> QPainterPath:
    """The outline of a glyph of the music font, its origin at (0, 0)."""
    return _scaled_path(outline(code), size / UNITS)


def _scaled_path(commands: tuple[Command, ...], scale: float) -> QPainterPath:
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    steps: dict[str, Callable[..., None]] = {
        "M": path.moveTo,
        "L": path.lineTo,
        "C": path.cubicTo,
        "Z": path.closeSubpath,
    }
    for step, numbers in commands:
        steps[step](*numbers if scale == 1.0 else [number * scale for number in numbers])
    return path


@lru_cache(maxsize=8192)
def glyph_run(text: str, face: Face, size: float) -> QGlyphRun:
    """The letters of a text at the places that the fonts' own advances give them; kerning would move them."""
    font = _raw_font(face, size)
    table = advances(face)
    missing = table[0]
    places, x = [], 0.0
    for sign in text:
        places.append(QPointF(x, 0.0))
        x += table.get(ord(sign), missing) * size
    run = QGlyphRun()
    run.setRawFont(font)
    run.setGlyphIndexes(font.glyphIndexesForString(text))
    run.setPositions(places)
    return run


@lru_cache(maxsize=256)
def _raw_font(face: Face, size: float) -> QRawFont:
    """A face at a size; the file is read once for all sizes."""
    font = QRawFont(_font_as_read(face))
    font.setPixelSize(size)
    return font


@lru_cache(maxsize=len(Face))
def _font_as_read(face: Face) -> QRawFont:
    return QRawFont(str(font_file(face)), 16.0, QFont.HintingPreference.PreferNoHinting)


@lru_cache(maxsize=16)
def _image(content: bytes) -> QImage:
    return QImage.fromData(QByteArray(content))
