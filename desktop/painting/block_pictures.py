"""Blocks as a picture for other programs: pixels, or lines and outlines that stay sharp at any size."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPointF
from PySide6.QtGui import QImage, QPainter, QPainterPath

from desktop.painting.qt_painter import QtPainter, colour, glyph_path, glyph_run, path_of
from lessonkit.drawing.shapes import Glyph, Line, Path, Picture, Placed, Rect, Text, paint
from lessonkit.lesson.lesson import Block, Lesson
from lessonkit.pages.blocks import draw_block, look_of

PIXELS_IN_POINT = 300 / 72
"""Sharp enough to be printed from another program."""

_MARGIN = 9.0
_INK, _PAPER = "#000000", "#ffffff"


class BlockPicture:
    """Blocks one below the other as they stand on the page, on white paper with a small margin."""

    def __init__(self, blocks: tuple[Block, ...], lesson: Lesson) -> None:
        look = look_of(lesson)
        self._placed: list[Placed] = []
        self._words: list[str] = []
        y = _MARGIN
        for block in blocks:
            for part in draw_block(block, lesson, look).parts:
                y += part.above if self._placed else 0.0
                self._placed.append(Placed(part.drawing, _MARGIN, y))
                self._words.append(part.drawing.spoken)
                y += part.drawing.height
        self.width = look.width + 2 * _MARGIN
        self.height = y + _MARGIN

    def __bool__(self) -> bool:
        """Whether there is anything to see."""
        return bool(self._placed)

    def image(self) -> QImage:
        """The picture in pixels."""
        scale = PIXELS_IN_POINT
        image = QImage(round(self.width * scale), round(self.height * scale), QImage.Format.Format_RGB32)
        image.setDotsPerMeterX(round(scale * 72 / 0.0254))
        image.setDotsPerMeterY(round(scale * 72 / 0.0254))
        image.fill(_PAPER)
        painter = QPainter(image)
        painter.scale(scale, scale)
        for placed in self._placed:
            paint(placed, QtPainter(painter, _INK, _PAPER))
        painter.end()
        return image

    def png(self) -> bytes:
        """The picture in pixels, as a PNG file."""
        content = QByteArray()
        buffer = QBuffer(content)
        buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        self.image().save(buffer, "PNG")
        return content.data()

    def svg(self) -> bytes:
        """The picture as an SVG file; letters are outlines, so that no font is needed where it goes."""
        painter = _SvgPainter()
        for placed in self._placed:
            paint(placed, painter)
        words = escape(" ".join(word for word in self._words if word))
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width:g}pt" height="{self.height:g}pt" '
            f'viewBox="0 0 {self.width:g} {self.height:g}"><title>{words}</title>'
            f'<rect width="{self.width:g}" height="{self.height:g}" fill="{_PAPER}"/>'
        )
        return "".join((head, *painter.pieces, "</svg>")).encode()


class _SvgPainter:
    """Shapes as elements of an SVG file."""

    def __init__(self) -> None:
        self.pieces: list[str] = []

    def line(self, line: Line, dx: float, dy: float) -> None:
        x1, y1, x2, y2, width, tone, dash = line
        dashes = f' stroke-dasharray="{" ".join(map(_number, dash))}"' if dash else ""
        self.pieces.append(
            f'<line x1="{_number(x1 + dx)}" y1="{_number(y1 + dy)}" x2="{_number(x2 + dx)}" y2="{_number(y2 + dy)}" '
            f'stroke="{_tone(tone)}" stroke-width="{_number(width)}"{dashes}/>'
        )

    def rect(self, rect: Rect, dx: float, dy: float) -> None:
        self.pieces.append(
            f'<rect x="{_number(rect.x + dx)}" y="{_number(rect.y + dy)}" width="{_number(rect.width)}" '
            f'height="{_number(rect.height)}" rx="{_number(rect.round)}" {_dress(rect.fill, rect.stroke, rect.tone)}/>'
        )

    def path(self, path: Path, dx: float, dy: float) -> None:
        self._outline(path_of(path).translated(dx, dy), _dress(path.fill, path.stroke, path.tone))

    def glyph(self, glyph: Glyph, dx: float, dy: float) -> None:
        code, x, y, size, tone = glyph
        self._outline(glyph_path(code, size).translated(x + dx, y + dy), _dress(tone, 0.0, tone))

    def text(self, text: Text, dx: float, dy: float) -> None:
        run = glyph_run(text.text, text.face, text.size)
        font, whole = run.rawFont(), QPainterPath()
        for index, place in zip(run.glyphIndexes(), run.positions(), strict=True):
            whole.addPath(font.pathForGlyph(index).translated(place + QPointF(text.x + dx, text.y + dy)))
        self._outline(whole, _dress(text.tone, 0.0, text.tone))

    def picture(self, picture: Picture, dx: float, dy: float) -> None:
        kind = "png" if picture.content.startswith(b"\x89PNG") else "jpeg"
        content = QByteArray(picture.content).toBase64().toStdString()
        self.pieces.append(
            f'<image x="{_number(picture.x + dx)}" y="{_number(picture.y + dy)}" width="{_number(picture.width)}" '
            f'height="{_number(picture.height)}" href="data:image/{kind};base64,{content}"/>'
        )

    def _outline(self, path: QPainterPath, dress: str) -> None:
        steps: list[str] = []
        place, count = 0, path.elementCount()
        while place < count:
            element = path.elementAt(place)
            if element.isCurveTo():
                points = [path.elementAt(place + more) for more in range(3)]
                steps.append("C" + " ".join(f"{_number(point.x)} {_number(point.y)}" for point in points))
                place += 3
                continue
            steps.append(f"{'M' if element.isMoveTo() else 'L'}{_number(element.x)} {_number(element.y)}")
            place += 1
        if steps:
            self.pieces.append(f'<path d="{"".join(steps)}" {dress}/>')


def _dress(fill: float | None, stroke: float, tone: float) -> str:
    inside = "none" if fill is None else _tone(fill)
    return f'fill="{inside}"' + (f' stroke="{_tone(tone)}" stroke-width="{_number(stroke)}"' if stroke else "")


def _tone(tone: float) -> str:
    return colour(_INK, _PAPER, tone).name()


def _number(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".")
