"""The few shapes a page is made of. Units: points (1/72 inch). Origin: top left, y grows downwards.

A drawing has no meaning and needs no decision any more: whoever paints it, paints what stands here.
Marks say which part of a drawing shows what, so that a note can be found, lit up and read back.

A page holds thousands of lines, glyphs, texts, boxes and marks, so these are named tuples: as unchangeable as the
frozen dataclasses beside them, and made in a third of the time.
"""

from __future__ import annotations

from dataclasses import replace
from enum import Enum
from typing import NamedTuple, Protocol

from lessonkit.values import dataclass

INK = 0.0
"""Tone of ink; tones run from 0 (ink) to 1 (paper)."""


class Face(Enum):
    """The typefaces of a page; ``fonts.py`` knows the file behind each."""

    SERIF = "serif"
    SERIF_ITALIC = "serif italic"
    SERIF_BOLD = "serif bold"
    SERIF_BOLD_ITALIC = "serif bold italic"
    SANS = "sans"
    SANS_BOLD = "sans bold"
    SANS_BLACK = "sans black"
    SPARE = "spare"
    SPARE_ITALIC = "spare italic"
    SPARE_BOLD = "spare bold"
    """They write the signs that the other faces lack."""
    SIGNS = "signs"
    SIGNS_BOLD = "signs bold"
    """Our own face with the signs that text faces lack: accidentals, degree signs, note values."""

    # There is one value of each, so that it need not be told by its name, which costs three times as much.
    __hash__ = object.__hash__


class Box(NamedTuple):
    """A rectangle: left, top, right, bottom."""

    left: float
    top: float
    right: float
    bottom: float

    def moved(self, x: float, y: float) -> Box:
        """The same box elsewhere."""
        return Box(self.left + x, self.top + y, self.right + x, self.bottom + y)

    def overlaps(self, other: Box, slack: float = 0.0) -> bool:
        """Whether the two share more than ``slack`` points in both directions."""
        return (
            min(self.right, other.right) - max(self.left, other.left) > slack
            and min(self.bottom, other.bottom) - max(self.top, other.top) > slack
        )

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies inside."""
        return self.left <= x <= self.right and self.top <= y <= self.bottom


class Line(NamedTuple):
    """A straight stroke; ``dash`` holds lengths of ink and gap in turn."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float
    tone: float = INK
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle, filled with ``fill`` and outlined ``stroke`` points wide (no outline at 0)."""

    x: float
    y: float
    width: float
    height: float
    fill: float | None = INK
    stroke: float = 0.0
    tone: float = INK
    round: float = 0.0


Command = tuple[str, tuple[float, ...]]
"""One step of a path: ("M", (x, y)), ("L", (x, y)), ("C", (x1, y1, x2, y2, x, y)) or ("Z", ())."""


@dataclass(frozen=True, slots=True)
class Path:
    """A path of absolute steps, filled with ``fill`` and stroked ``stroke`` points wide (no stroke at 0)."""

    commands: tuple[Command, ...]
    fill: float | None = INK
    stroke: float = 0.0
    tone: float = INK


class Glyph(NamedTuple):
    """A glyph of the music font with its origin at (x, y); ``code`` is its SMuFL code point.

    ``size`` is the font size in points: four staff spaces. The outlines are in ``glyphs.py``.
    """

    code: int
    x: float
    y: float
    size: float
    tone: float = INK


class Text(NamedTuple):
    """One run of text in one face, starting at x on the base line y. ``size`` in points."""

    x: float
    y: float
    text: str
    face: Face
    size: float
    tone: float = INK


@dataclass(frozen=True, slots=True)
class Picture:
    """A raster image (PNG or JPEG bytes) fitted to a rectangle; for letterheads."""

    x: float
    y: float
    width: float
    height: float
    content: bytes


Shape = Line | Rect | Path | Glyph | Text | Picture


class Mark(NamedTuple):
    """What stands where: ``kind`` says what is shown, ``name`` which one, ``box`` where.

    Kinds: ``note`` (name: index of the event, a point, index of its pitch), ``rest``, ``accidental``, ``clef``,
    ``signature``, ``octave line``, ``finger``, ``chord name``, ``degree``, ``staff``, ``bar line``, ``text``.
    ``detail`` carries what a reader needs beside the place: the glyph's code for clefs and accidentals, the words
    of a text, the number of the staff. A ``finger`` is named like its note (``7.0``: event 7, its lowest pitch); its
    detail is the finger (``3``), or ``3 pinned`` where the teacher typed it, which is printed bold.
    """

    kind: str
    name: str
    box: Box
    detail: str = ""


class Piece(NamedTuple):
    """A run of a drawing's shapes, from ``first`` up to ``end``, that a reader meets as one thing.

    ``within`` says what it is and what that lies in, outermost first, each a kind with a number that tells it from
    others: ``(("list", 0), ("item", 3), ("body", 4))``. Kinds: ``paragraph``, ``heading 1`` to ``heading 3``,
    ``aid heading``, ``list``, ``numbered list`` and ``checklist`` of ``item`` with ``label`` and ``body``, ``table`` of
    ``row`` with ``head``, ``row head`` and ``cell``, ``figure``. ``words`` are what is read, and what a figure shows.
    """

    first: int
    end: int
    within: tuple[tuple[str, int], ...]
    words: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes within a width and a height; ``marks`` tell what they show, ``spoken`` says it in words.

    ``pieces`` say how it is read where it is more than one thing; shapes outside them are for the eye only.
    """

    width: float
    height: float
    shapes: tuple[Shape, ...]
    marks: tuple[Mark, ...] = ()
    spoken: str = ""
    pieces: tuple[Piece, ...] = ()

    def renamed(self, spoken: str) -> Drawing:
        """The same drawing with another description in words."""
        return replace(self, spoken=spoken)


@dataclass(frozen=True, slots=True)
class Placed:
    """A drawing with its top left corner at (x, y)."""

    drawing: Drawing
    x: float
    y: float

    @property
    def box(self) -> Box:
        """The place taken."""
        return Box(self.x, self.y, self.x + self.drawing.width, self.y + self.drawing.height)


class Painter(Protocol):
    """Whoever can paint the shapes; one method a shape, each at an offset (dx, dy)."""

    def line(self, line: Line, dx: float, dy: float) -> None: ...
    def rect(self, rect: Rect, dx: float, dy: float) -> None: ...
    def path(self, path: Path, dx: float, dy: float) -> None: ...
    def glyph(self, glyph: Glyph, dx: float, dy: float) -> None: ...
    def text(self, text: Text, dx: float, dy: float) -> None: ...
    def picture(self, picture: Picture, dx: float, dy: float) -> None: ...


_METHODS = {Line: "line", Rect: "rect", Path: "path", Glyph: "glyph", Text: "text", Picture: "picture"}


def paint(placed: Placed, painter: Painter, first: int = 0, end: int | None = None) -> None:
    """Hand every shape of a placed drawing to the painter, in order; or those from ``first`` up to ``end``."""
    methods = {kind: getattr(painter, name) for kind, name in _METHODS.items()}
    x, y = placed.x, placed.y
    shapes = placed.drawing.shapes
    for shape in shapes if end is None else shapes[first:end]:
        methods[type(shape)](shape, x, y)
