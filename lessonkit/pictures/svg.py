"""Pages as SVG. Each glyph and each letter is stored once as an outline, so that no face need be there to read it.

Every run of letters says in words what it shows.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable
from html import escape

from lessonkit.drawing.fonts import advances
from lessonkit.drawing.glyphs import UNITS, outline
from lessonkit.drawing.shapes import Command, Face, Glyph, Line, Path, Picture, Rect, Text, paint
from lessonkit.pages.page import Page
from lessonkit.pictures import letters


def svg_text(page: Page) -> str:
    """A page as an SVG file, in points."""
    painter = SvgPainter()
    for part in page.parts:
        paint(part.placed, painter)
    words = " ".join(dict.fromkeys(part.placed.drawing.spoken for part in page.parts if part.placed.drawing.spoken))
    width, height = _number(page.width), _number(page.height)
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" role="img" '
            f'width="{width}pt" height="{height}pt" viewBox="0 0 {width} {height}">',
            f"<title>{escape(words)}</title>",
            *painter.definitions(),
            f'<rect width="{width}" height="{height}" fill="#fff"/>',
            *painter.elements,
            "</svg>\n",
        ]
    )


class SvgPainter:
    """A painter that gathers the elements of an SVG file."""

    def __init__(self) -> None:
        self.elements: list[str] = []
        self._glyphs: dict[int, None] = {}
        self._letters: dict[tuple[Face, str], str] = {}

    def definitions(self) -> Iterable[str]:
        """What the elements refer to."""
        yield "<defs>"
        for code in self._glyphs:
            yield f'<path id="g{code:X}" d="{_steps(outline(code), 0, 0, 0)}"/>'
        for (face, letter), name in self._letters.items():
            yield f'<path id="{name}" d="{letters.letter_outline(face, letter)}"/>'
        yield "</defs>"

    def line(self, line: Line, dx: float, dy: float) -> None:
        """A straight stroke."""
        dash = f' stroke-dasharray="{" ".join(map(_number, line.dash))}"' if line.dash else ""
        ends = zip(("x1", "y1", "x2", "y2"), (line.x1 + dx, line.y1 + dy, line.x2 + dx, line.y2 + dy), strict=True)
        places = " ".join(f'{name}="{_number(value)}"' for name, value in ends)
        self.elements.append(
            f'<line {places} stroke="{_tone(line.tone)}" stroke-width="{_number(line.width, 3)}"{dash}/>'
        )

    def rect(self, rect: Rect, dx: float, dy: float) -> None:
        """A rectangle, perhaps with round corners."""
        corner = f' rx="{_number(rect.round)}"' if rect.round else ""
        self.elements.append(
            f'<rect x="{_number(rect.x + dx)}" y="{_number(rect.y + dy)}" width="{_number(rect.width)}" '
            f'height="{_number(rect.height)}"{corner}{_inked(rect.fill, rect.stroke, rect.tone)}/>'
        )

    def path(self, path: Path, dx: float, dy: float) -> None:
        """A path."""
        steps = _steps(path.commands, dx, dy, 2)
        self.elements.append(f'<path d="{steps}"{_inked(path.fill, path.stroke, path.tone)}/>')

    def glyph(self, glyph: Glyph, dx: float, dy: float) -> None:
        """A glyph of the music font, by its outline."""
        self._glyphs[glyph.code] = None
        place = f"translate({_number(glyph.x + dx)} {_number(glyph.y + dy)}) scale({glyph.size / UNITS:.5f})"
        fill = f' fill="{_tone(glyph.tone)}"' if glyph.tone else ""
        name = f"#g{glyph.code:X}"
        self.elements.append(f'<use href="{name}" xlink:href="{name}" transform="{place}"{fill}/>')

    def text(self, text: Text, dx: float, dy: float) -> None:
        """A run of text; the font's own advances place its letters, without kerning, as on the page."""
        if not text.text.strip():
            return
        place = f"translate({_number(text.x + dx)} {_number(text.y + dy)}) scale({text.size / letters.UNITS:.5f})"
        fill = f' fill="{_tone(text.tone)}"' if text.tone else ""
        out = [f'<g role="img" aria-label="{escape(text.text)}" transform="{place}"{fill}>']
        widths, x = advances(text.face), 0.0
        for letter in text.text:
            if not letter.isspace():
                name = self._letters.setdefault((text.face, letter), f"l{len(self._letters)}")
                out.append(f'<use href="#{name}" xlink:href="#{name}" x="{x:.0f}"/>')
            x += widths.get(ord(letter), widths[0]) * letters.UNITS
        self.elements.append("".join([*out, "</g>"]))

    def picture(self, picture: Picture, dx: float, dy: float) -> None:
        """A raster image, carried along."""
        kind = "png" if picture.content.startswith(b"\x89PNG") else "jpeg"
        source = f"data:image/{kind};base64,{b64encode(picture.content).decode()}"
        self.elements.append(
            f'<image x="{_number(picture.x + dx)}" y="{_number(picture.y + dy)}" width="{_number(picture.width)}" '
            f'height="{_number(picture.height)}" href="{source}" xlink:href="{source}"/>'
        )


def _inked(fill: float | None, stroke: float, tone: float) -> str:
    """The attributes of a figure's fill and outline; ink is what SVG fills with anyway."""
    inside = ' fill="none"' if fill is None else f' fill="{_tone(fill)}"' if fill else ""
    outside = f' stroke="{_tone(tone)}" stroke-width="{_number(stroke, 3)}"' if stroke else ""
    return inside + outside


def _steps(commands: tuple[Command, ...], dx: float, dy: float, digits: int) -> str:
    words = []
    for step, numbers in commands:
        places = (_number(value + (dy if at % 2 else dx), digits) for at, value in enumerate(numbers))
        words.append(step + " ".join(places))
    return "".join(words)


def _tone(tone: float) -> str:
    return "#" + f"{round(255 * tone):02x}" * 3


def _number(value: float, digits: int = 2) -> str:
    text = f"{value:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
