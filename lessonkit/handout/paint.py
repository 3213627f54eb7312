"""Paints shapes as the operators of a PDF page. It decides nothing: a shape says all that there is to paint."""

from __future__ import annotations

import io
from collections.abc import Callable
from functools import lru_cache
from typing import Any

from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfdoc

from lessonkit.drawing.glyphs import UNITS, outline
from lessonkit.drawing.shapes import Command, Face, Glyph, Line, Path, Picture, Rect, Text

_CORNER = 0.4477
"""Where the handles of a rounded corner stand, in radii from the corner."""


class PagePainter:
    """A painter of one page after another on a reportlab canvas; ``font`` finds the font of a face.

    Operators are gathered and handed over page by page, which is many times quicker than a call for each. Pages are
    turned upside down once, because a PDF counts from the bottom and we from the top.
    """

    def __init__(self, canvas: Any, font: Callable[[Face], Any]) -> None:
        self._canvas = canvas
        self._font = font
        self._operators: list[str] = []
        self._fill = self._stroke = self._width = -1.0
        self._glyphs: dict[int, str] = {}
        self._glyph_size, self._glyph_scale = 0.0, ""
        self._used: dict[str, None] = {}
        self._shown: dict[tuple[str, float, int], str] = {}

    def begin(self, height: float, x: float = 0.0, y: float = 0.0, scale: float = 1.0) -> None:
        """Begin a page on a sheet of a height in points, its left upper corner at (x, y)."""
        size = f"{scale:.5f}".rstrip("0").rstrip(".")
        self._operators = [f"q {size} 0 0 -{size} {_number(x)} {_number(height - y)} cm"]
        self._fill = self._stroke = self._width = -1.0
        self._used = {}

    def begin_content(self, tag: str, number: int | None) -> None:
        """What is painted until ``end_content`` is one piece of content; without a number it is an artifact."""
        what = f"/{tag} BMC" if number is None else f"/{tag} <</MCID {number}>> BDC"
        self._operators.append(what)

    def end_content(self) -> None:
        """The piece of content ends."""
        self._operators.append("EMC")

    def end(self) -> None:
        """Hand the page's operators to the canvas."""
        self._hand_over()
        self._canvas.addLiteral("Q")
        # The page lists the forms that were called by name; doForm would paint each of them once more.
        self._canvas._formsinuse.extend(self._used)

    def line(self, line: Line, dx: float, dy: float) -> None:
        """A straight stroke."""
        self._set_stroke(line.tone, line.width)
        add = self._operators.append
        if line.dash:
            add(f"[{' '.join(map(_number, line.dash))}] 0 d")
        add(f"{line.x1 + dx:.2f} {line.y1 + dy:.2f} m {line.x2 + dx:.2f} {line.y2 + dy:.2f} l S")
        if line.dash:
            add("[] 0 d")

    def rect(self, rect: Rect, dx: float, dy: float) -> None:
        """A rectangle, perhaps with round corners."""
        x, y = rect.x + dx, rect.y + dy
        if rect.round:
            figure = _round_rect(x, y, rect.width, rect.height, rect.round)
        else:
            figure = f"{x:.2f} {y:.2f} {rect.width:.2f} {rect.height:.2f} re"
        self._add_figure(figure, rect.fill, rect.stroke, rect.tone)

    def path(self, path: Path, dx: float, dy: float) -> None:
        """A path."""
        self._add_figure(_figure(path.commands, dx, dy), path.fill, path.stroke, path.tone)

    def glyph(self, glyph: Glyph, dx: float, dy: float) -> None:
        """A glyph of the music font, by the name under which it is stored."""
        code, x, y, size, tone = glyph
        name = self._glyphs.get(code) or self._stored(code)
        self._used[name] = None
        if tone != self._fill:
            self._set_fill(tone)
        if size != self._glyph_size:
            self._glyph_size, self._glyph_scale = size, f"{size / UNITS:.5f}"
        scale = self._glyph_scale
        self._operators.append(f"q {scale} 0 0 {scale} {x + dx:.2f} {y + dy:.2f} cm /FormXob.{name} Do Q")

    def text(self, text: Text, dx: float, dy: float) -> None:
        """A run of text; the font's own advances place its letters, without kerning."""
        if not text.text:
            return
        x, y, letters, face, size, tone = text
        if tone != self._fill:
            self._set_fill(tone)
        # Found by the identity of the face: hashing a member of an enumeration costs more than writing it out.
        shown = self._shown.get((letters, size, id(face)))
        if shown is None:
            pieces = self._pieces(face, letters)
            shown = "".join(f"{name} {size:.2f} Tf ({codes}) Tj " for name, codes in pieces)
            self._shown[letters, size, id(face)] = shown
        self._operators.append(f"BT 1 0 0 -1 {x + dx:.2f} {y + dy:.2f} Tm {shown}ET")

    def picture(self, picture: Picture, dx: float, dy: float) -> None:
        """A raster image, turned upright again."""
        self._hand_over()
        canvas = self._canvas
        canvas.saveState()
        canvas.transform(1, 0, 0, -1, picture.x + dx, picture.y + dy + picture.height)
        canvas.drawImage(ImageReader(io.BytesIO(picture.content)), 0, 0, picture.width, picture.height, mask="auto")
        canvas.restoreState()

    def _hand_over(self) -> None:
        self._canvas.addLiteral("\n".join(self._operators))
        self._operators = []

    def _set_fill(self, tone: float) -> None:
        if tone != self._fill:
            self._operators.append(f"{_number(tone)} g")
            self._fill = tone

    def _set_stroke(self, tone: float, width: float) -> None:
        if tone != self._stroke:
            self._operators.append(f"{_number(tone)} G")
            self._stroke = tone
        if width != self._width:
            self._operators.append(f"{_number(width)} w")
            self._width = width

    def _add_figure(self, figure: str, fill: float | None, stroke: float, tone: float) -> None:
        if fill is not None:
            self._set_fill(fill)
        if stroke:
            self._set_stroke(tone, stroke)
        how = {(True, True): "B", (True, False): "f", (False, True): "S", (False, False): "n"}
        self._operators.append(f"{figure} {how[fill is not None, stroke > 0]}")

    def _pieces(self, face: Face, text: str) -> list[tuple[str, str]]:
        """The text as codes of the document's own subsets of the font, each with the name of the subset."""
        font, document = self._font(face), self._canvas._doc
        return [
            (font.getSubsetInternalName(subset, document), _escaped(codes))
            for subset, codes in font.splitString(text, document)
        ]

    def _stored(self, code: int) -> str:
        """Store a glyph's outline in the document, and answer its name."""
        name = f"g{code:X}"
        form = pdfdoc.PDFFormXObject(-UNITS, -2 * UNITS, 4 * UNITS, 2 * UNITS)
        form.compression = 1
        form.setStreamList([_outline_figure(code)])
        # Without this each glyph would list all fonts of the document, which takes longer than the glyph itself.
        form.Resources = pdfdoc.PDFDictionary({})
        self._canvas._doc.addForm(name, form)
        self._glyphs[code] = name
        return name


def _number(value: float) -> str:
    """A number to a hundredth of a point, finer than any printer, without idle zeros."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _figure(commands: tuple[Command, ...], dx: float, dy: float) -> str:
    words: list[str] = []
    for step, numbers in commands:
        if step == "M":
            x, y = numbers
            words.append(f"{x + dx:.2f} {y + dy:.2f} m")
        elif step == "L":
            x, y = numbers
            words.append(f"{x + dx:.2f} {y + dy:.2f} l")
        elif step == "C":
            x1, y1, x2, y2, x, y = numbers
            words.append(f"{x1 + dx:.2f} {y1 + dy:.2f} {x2 + dx:.2f} {y2 + dy:.2f} {x + dx:.2f} {y + dy:.2f} c")
        else:
            words.append("h")
    return " ".join(words)


@lru_cache(maxsize=1024)
def _outline_figure(code: int) -> str:
    """A glyph's outline; its units are so small that whole ones do."""
    words: list[str] = []
    for step, numbers in outline(code):
        words += [f"{value:.0f}" for value in numbers]
        words.append("h" if step == "Z" else step.lower())
    return " ".join([*words, "f"])


def _round_rect(x: float, y: float, width: float, height: float, radius: float) -> str:
    right, bottom, near = x + width, y + height, radius * _CORNER
    commands: tuple[Command, ...] = (
        ("M", (x + radius, y)),
        ("L", (right - radius, y)),
        ("C", (right - near, y, right, y + near, right, y + radius)),
        ("L", (right, bottom - radius)),
        ("C", (right, bottom - near, right - near, bottom, right - radius, bottom)),
        ("L", (x + radius, bottom)),
        ("C", (x + near, bottom, x, bottom - near, x, bottom - radius)),
        ("L", (x, y + radius)),
        ("C", (x, y + near, x + near, y, x + radius, y)),
        ("Z", ()),
    )
    return _figure(commands, 0, 0)


def _escaped(codes: bytes) -> str:
    """Codes as they stand between round brackets in a PDF."""
    return "".join(chr(code) if 32 <= code < 127 and code not in b"()\\" else f"\\{code:03o}" for code in codes)
