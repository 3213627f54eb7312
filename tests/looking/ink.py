"""All ink of a finished drawing as things of a kind, each with its box and its true outlines.

A shape does not say what it is: its form tells, its place among the marks, and what it is joined to. What is not known
is a ``sign`` or a ``stroke``, which may touch nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from lessonkit.drawing.fonts import advances, font_file
from lessonkit.drawing.glyphs import UNITS, glyph_box, outline
from lessonkit.drawing.shapes import Box, Command, Drawing, Face, Glyph, Line, Mark, Path, Text

Points = tuple[tuple[float, float], ...]

GLYPH_KINDS = (
    (0xE0A0, 0xE0FF, "notehead"), (0xE260, 0xE269, "accidental"), (0xE26A, 0xE26F, "bracket"),
    (0xE240, 0xE24F, "flag"), (0xE560, 0xE56F, "flag"), (0xE4E0, 0xE4FF, "rest"), (0xE050, 0xE07F, "clef"),
    (0xE080, 0xE09F, "time signature"), (0xE4A0, 0xE4A1, "accent"), (0xE4A2, 0xE4A5, "touch"),
    (0xE520, 0xE54F, "loudness"), (0xE510, 0xE51F, "octave figure"), (0xE650, 0xE659, "pedal figure"),
    (0xE880, 0xE88A, "tuplet figure"), (0xE043, 0xE044, "repeat dot"),
)  # fmt: skip

KINDS = (
    "staff line", "ledger line", "bar line", "system line", "brace", "stem", "beam", "flag", "notehead", "accidental",
    "bracket", "dot", "repeat dot", "rest", "clef", "time signature", "accent", "touch", "curve", "roll", "hairpin",
    "loudness", "text", "writing rule", "octave figure", "octave line", "pedal figure", "pedal line", "tuplet figure",
    "tuplet bracket",
)  # fmt: skip
"""Everything that can stand on a page of music; signatures are accidentals, ties and slurs are curves."""


class Thing(NamedTuple):
    """One piece of ink: what it is, its box, and the shape that it is of."""

    kind: str
    box: Box
    shape: Glyph | Text | Path | tuple[Points, ...]

    @property
    def name(self) -> str:
        """What tells it from others in a message."""
        if isinstance(self.shape, Glyph):
            return f"{self.shape.code:04X}"
        return self.shape.text if isinstance(self.shape, Text) else ""


def outlines_of(thing: Thing) -> tuple[Points, ...]:
    """The outlines of a thing; a thin line is as thick as it is drawn."""
    shape = thing.shape
    if isinstance(shape, Glyph):
        k = shape.size / UNITS
        return tuple(
            tuple((x * k + shape.x, y * k + shape.y) for x, y in points) for points in _glyph_outlines(shape.code)
        )
    if isinstance(shape, Text):
        return tuple(_corners(box) for box in _letters(shape))
    if isinstance(shape, Path):
        return _flattened(shape.commands)
    return shape


def space_of(drawing: Drawing) -> float:
    """A staff space in points."""
    return next((mark.box.bottom - mark.box.top for mark in drawing.marks if mark.kind == "staff"), 20.0) / 4


def things_of(drawing: Drawing) -> Iterator[Thing]:
    """All ink of a drawing."""
    space = space_of(drawing)
    marks: dict[str, list[Mark]] = {}
    for mark in drawing.marks:
        marks.setdefault(mark.kind, []).append(mark)
    for shape in drawing.shapes:
        if isinstance(shape, Line):
            yield _line(shape, marks, space)
        elif isinstance(shape, Glyph):
            kind = next((kind for low, high, kind in GLYPH_KINDS if low <= shape.code <= high), "sign")
            box, k = glyph_box(shape.code), shape.size / UNITS
            x, y = shape.x, shape.y
            yield Thing(kind, Box(x + box.left * k, y + box.top * k, x + box.right * k, y + box.bottom * k), shape)
        elif isinstance(shape, Text):
            letters = _letters(shape)
            if letters:
                yield Thing("text", _around(letters), shape)
        elif isinstance(shape, Path) and shape.fill is None:
            yield from _strokes(shape, marks, space)
        elif isinstance(shape, Path):
            yield _filled(shape, space)


def _line(line: Line, marks: dict[str, list[Mark]], space: float) -> Thing:
    """A straight line is told by the mark whose box it lies in."""
    left, right = sorted((line.x1, line.x2))
    top, bottom = sorted((line.y1, line.y2))
    if line.dash:
        kind = "octave line"
    elif top == bottom and any(_is_line_of(mark.box, left, right, top) for mark in marks.get("staff", ())):
        kind = "staff line"
    elif left == right and any(mark.box.holds(left, (top + bottom) / 2) for mark in marks.get("bar line", ())):
        kind = "bar line"
    elif top == bottom and any(
        not mark.detail and abs(mark.box.left - left) < 0.1 and abs(mark.box.right - right) < 0.1
        for name in ("chord name", "degree")
        for mark in marks.get(name, ())
    ):
        kind = "writing rule"
    elif any(
        mark.box.left - space < left and right < mark.box.right + space and mark.box.top - space < top
        and bottom < mark.box.bottom + space for mark in marks.get("pedal", ())
    ):  # fmt: skip
        kind = "pedal line"
    elif left == right and any(
        abs(mark.box.right - left) < 0.1 and mark.box.top - 0.1 < bottom and top < mark.box.bottom + 0.1
        for mark in marks.get("octave line", ())
    ):
        kind = "octave line"
    else:
        kind = "stroke"
    return _stroke(kind, (line.x1, line.y1), (line.x2, line.y2), line.width)


def _is_line_of(staff: Box, left: float, right: float, y: float) -> bool:
    steps = 4 * (y - staff.top) / (staff.bottom - staff.top)
    is_on_line = -0.1 < steps < 4.1 and abs(steps - round(steps)) < 0.01
    return is_on_line and abs(staff.left - left) < 0.1 and abs(staff.right - right) < 0.1


def _strokes(path: Path, marks: dict[str, list[Mark]], space: float) -> Iterator[Thing]:
    """Strokes of one width; every one is a step to its start and a line to its end."""
    ends = [
        ((one[1][0], one[1][1]), (other[1][0], other[1][1]))
        for one, other in zip(path.commands[0::2], path.commands[1::2], strict=True)
    ]
    swells = [mark.box for mark in marks.get("swell", ())]
    staves = [mark.box for mark in marks.get("staff", ())]
    across = {(x, y) for (x1, y1), (x2, y2) in ends if x1 != x2 for x, y in ((x1, y1), (x2, y2))}
    # Ledger lines have a width of their own, so that a path of them holds nothing else.
    are_ledgers = all(y1 == y2 and abs(x2 - x1) < 4 * space for (x1, y1), (x2, y2) in ends)
    for start, end in ends:
        (x1, y1), (x2, y2) = start, end
        if x1 == x2 and any(abs(staff.left - x1) < 0.1 for staff in staves) and abs(y2 - y1) > 3.9 * space:
            kind = "system line"
        elif x1 == x2:
            kind = "tuplet bracket" if start in across or end in across else "stem"
        elif are_ledgers:
            kind = "ledger line"
        else:
            box = Box(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))
            is_swell = any(box == swell for swell in swells)
            kind = "hairpin" if is_swell else "tuplet bracket"
        yield _stroke(kind, start, end, path.stroke)


def _filled(path: Path, space: float) -> Thing:
    """Beams are filled and straight, dots and rolls filled and round, ties, slurs and braces stroked, too."""
    box = _box_of(_flattened(path.commands))
    width, height = box.right - box.left, box.bottom - box.top
    if path.stroke:
        kind = "brace" if height > 8 * space and width < 3 * space else "curve"
    elif any(step == "C" for step, _ in path.commands):
        kind = "dot" if abs(width - height) < 0.01 and width < space else "roll"
    else:
        kind = "beam"
    return Thing(kind, box, path)


def _stroke(kind: str, start: tuple[float, float], end: tuple[float, float], width: float) -> Thing:
    """A line as a thin rectangle; a slanting one keeps its thickness downwards."""
    (x1, y1), (x2, y2) = sorted((start, end))
    half = width / 2
    if x1 == x2:
        points = _corners(Box(x1 - half, min(y1, y2), x1 + half, max(y1, y2)))
    else:
        points = ((x1, y1 - half), (x2, y2 - half), (x2, y2 + half), (x1, y1 + half), (x1, y1 - half))
    return Thing(kind, _box_of((points,)), (points,))


def _corners(box: Box) -> Points:
    left, top, right, bottom = box
    return ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))


def _letters(text: Text) -> list[Box]:
    """The ink of each letter."""
    x, size = text.x, text.size
    widths = advances(text.face)
    boxes = []
    for letter in text.text:
        left, bottom, right, top = _letter_bounds(text.face, letter)
        if right > left:
            boxes.append(Box(x + left * size, text.y - top * size, x + right * size, text.y - bottom * size))
        x += widths.get(ord(letter), widths[0]) * size
    return boxes


def _around(boxes: list[Box]) -> Box:
    return Box(
        boxes[0].left, min(box.top for box in boxes), max(box.right for box in boxes), max(box.bottom for box in boxes)
    )


@lru_cache(maxsize=4096)
def _letter_bounds(face: Face, letter: str) -> tuple[float, float, float, float]:
    """The ink of a letter in ems: left, bottom, right, top."""
    font = _font(face)
    glyphs, names = font.getGlyphSet(), font.getBestCmap()
    name = names.get(ord(letter))
    if name is None:
        return 0.0, 0.0, 0.0, 0.0
    pen = BoundsPen(glyphs)
    glyphs[name].draw(pen)
    if not pen.bounds:
        return 0.0, 0.0, 0.0, 0.0
    left, bottom, right, top = (number / font["head"].unitsPerEm for number in pen.bounds)
    return left, bottom, right, top


@lru_cache(maxsize=16)
def _font(face: Face) -> TTFont:
    return TTFont(font_file(face))


@lru_cache(maxsize=512)
def _glyph_outlines(code: int) -> tuple[Points, ...]:
    return _flattened(outline(code))


@lru_cache(maxsize=1024)
def _flattened(commands: tuple[Command, ...], steps: int = 8) -> tuple[Points, ...]:
    found: list[Points] = []
    points: list[tuple[float, float]] = []
    for step, numbers in commands:
        if step == "M":
            if len(points) > 1:
                found.append(tuple(points))
            points = [(numbers[0], numbers[1])]
        elif step == "L":
            points.append((numbers[0], numbers[1]))
        elif step == "C":
            x0, y0 = points[-1]
            x1, y1, x2, y2, x3, y3 = numbers
            for at in range(1, steps + 1):
                t = at / steps
                a, b, c, d = (1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t, t**3
                points.append((a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3))
        elif points:
            points.append(points[0])
    if len(points) > 1:
        found.append(tuple(points))
    return tuple(found)


def _box_of(outlines: tuple[Points, ...]) -> Box:
    xs = [x for points in outlines for x, _ in points]
    ys = [y for points in outlines for _, y in points]
    return Box(min(xs), min(ys), max(xs), max(ys)) if xs else Box(0.0, 0.0, 0.0, 0.0)


def touch(one: Thing, other: Thing) -> bool:
    """Whether outlines cross or one lies within the other."""
    shared = Box(
        max(one.box.left, other.box.left), max(one.box.top, other.box.top),
        min(one.box.right, other.box.right), min(one.box.bottom, other.box.bottom),
    )  # fmt: skip
    first, second = outlines_of(one), outlines_of(other)
    mine, theirs = list(_edges(first, shared)), list(_edges(second, shared))
    if any(_cross(a, b, c, d) for a, b in mine for c, d in theirs):
        return True
    middle = (((shared.left + shared.right) / 2, (shared.top + shared.bottom) / 2),)
    # Two of one form in one place cross nowhere; they share their middle.
    is_shared = _holds(first, (middle,)) and _holds(second, (middle,))
    return is_shared or _holds(first, second) or _holds(second, first)


def _edges(outlines: tuple[Points, ...], box: Box) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    for points in outlines:
        for a, b in pairwise(points):
            if (
                max(a[0], b[0]) >= box.left
                and min(a[0], b[0]) <= box.right
                and max(a[1], b[1]) >= box.top
                and min(a[1], b[1]) <= box.bottom
            ):
                yield a, b


def _cross(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> bool:  # fmt: skip
    def side(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _holds(outer: tuple[Points, ...], inner: tuple[Points, ...]) -> bool:
    """Whether a part of one thing begins within the filling of another."""
    for part in inner:
        x, y = part[0]
        crossings = 0
        for points in outer:
            for (x1, y1), (x2, y2) in pairwise(points):
                if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
                    crossings += 1
        if crossings % 2:
            return True
    return False
