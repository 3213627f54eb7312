"""Chord symbols and degrees typeset: the root on the base line, what follows it smaller and raised, all of it text.

Notes and staves set their symbols here, so that a chord looks the same wherever it is named. What is taken is the text
that ``Chord.symbol`` and ``RomanChord.text`` write.
"""

from __future__ import annotations

import re
from functools import lru_cache

from lessonkit.drawing.fonts import signs_beside
from lessonkit.drawing.shapes import INK, Face, Text
from lessonkit.drawing.text_width import AIR, text_shapes, text_width

RAISED_SIZE = 0.8
"""The size of what is raised, against the size of the root."""

RAISE = 0.22
"""How far it is raised, in sizes of the root: its figures then end a little above the capital."""

ALTERED_SIZE, _ALTERED_RAISE = 0.86, 0.17
"""Size and height of an accidental among raised figures: a little taller than they are, or it could not be read."""

_AIR = 0.035
"""What parts the root's accidental from a raised figure, which would else take it for its own, in sizes."""

_ROUND_SIGNS = {"°": 1.0, "ø": 1.0, "Δ": 0.72}
"""Chord signs of our own face, with their size; circles are drawn at the height of a raised figure already."""

ALTERATIONS = "♭♯♮𝄪𝄫"

_SLASH = re.compile(r"/(?=[♭♯♮]*[1-7]$|(?:sub)?[♭♯]*[A-GIViv])")
_PART = re.compile(
    r"(?P<before>(?:sub)?)(?P<sign>[♭♯♮𝄪𝄫]*)(?P<root>[A-G]|[IV]+|[iv]+|[1-7])(?P<after>[♭♯♮𝄪𝄫]*)(?P<rest>.*)"
)
_PIECES = re.compile(r"[°øΔ]|[♭♯♮𝄪𝄫]+|[^°øΔ♭♯♮𝄪𝄫]+")


_NUMERAL_FACES = {Face.SANS: Face.SERIF, Face.SANS_BOLD: Face.SERIF_BOLD, Face.SANS_BLACK: Face.SERIF_BOLD}
"""Numerals among letters without serifs: an I without them is a bare stroke, and reads as an l or a bar line."""


def set_symbol(
    symbol: str, x: float, baseline: float, size: float, face: Face, tone: float = INK
) -> tuple[tuple[Text, ...], float]:
    """The shapes of a chord symbol or a degree from x on a base line, and its width in points.

    Takes any text; what is no symbol is set plainly. ``size`` is that of the root; raised figures reach
    ``height_above(size)`` over the base line.
    """
    shapes, width = symbol_at_origin(symbol, size, face)
    placed = tuple(shape._replace(x=shape.x + x, y=shape.y + baseline, tone=tone) for shape in shapes)
    return placed, width


def symbol_width(symbol: str, size: float, face: Face) -> float:
    """The width that ``set_symbol`` takes."""
    return symbol_at_origin(symbol, size, face)[1]


def height_above(size: float) -> float:
    """How far a symbol reaches above its base line, brackets included."""
    return (RAISE + RAISED_SIZE * 0.76) * size


@lru_cache(maxsize=8192)
def symbol_at_origin(symbol: str, size: float, face: Face) -> tuple[tuple[Text, ...], float]:
    """The shapes of a symbol whose base line begins at (0, 0), in ink, and its width; worked out once for each."""
    shapes: list[Text] = []
    x = 0.0
    for place, part in enumerate(_SLASH.split(symbol)):
        if place:
            x = _add(shapes, "/", x, 0, size, face)
        match = _PART.fullmatch(part)
        if match is None:
            x = _add(shapes, part, x, 0, size, face)
            continue
        x = _add(shapes, match["before"], x, 0, size, face)
        x = _add(shapes, match["sign"], x, 0, size, face)
        root = match["root"]
        x = _add(shapes, root, x, 0, size, _NUMERAL_FACES.get(face, face) if root[0] in "IViv" else face)
        after = match["after"]
        x = _add(shapes, after, x + (AIR.get(face, 0.0) * size if after else 0.0), 0, size, face)
        x = _suffix(shapes, match["rest"], x, size, face, _AIR if after else 0.0)
    return tuple(shapes), x


def _suffix(shapes: list[Text], suffix: str, x: float, size: float, face: Face, air: float) -> float:
    """The m of a minor chord stands on the base line, because it belongs to the root; the rest is raised."""
    is_minor = suffix.startswith(("m", "−")) and not suffix.startswith("maj")
    if is_minor:
        x = _add(shapes, suffix[0], x, 0, size, face)
        suffix = suffix[1:]
    elif suffix:
        x += air * size
    signs = signs_beside(face)
    for piece in _PIECES.findall(suffix):
        if piece in _ROUND_SIGNS:
            lift = RAISE * size if piece == "Δ" else 0.0
            sign_size = _ROUND_SIGNS[piece] * size
            shapes.append(Text(x, -lift, piece, signs, sign_size))
            x += text_width(piece, signs, sign_size)
        elif piece[0] in ALTERATIONS:
            x = _add(shapes, piece, x, _ALTERED_RAISE * size, ALTERED_SIZE * size, face)
        else:
            x = _add(shapes, piece, x, RAISE * size, RAISED_SIZE * size, face)
    return x


def _add(shapes: list[Text], text: str, x: float, lift: float, size: float, face: Face) -> float:
    if not text:
        return x
    shapes.extend(text_shapes(text, x, -lift, face, size))
    return x + text_width(text, face, size)
