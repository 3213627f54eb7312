"""What stands on what in a finished drawing: the outlines of all ink, and pairs of them that must not touch.

A drawing's shapes say what they are by their form: a stroke without filling is a stem or a ledger line, a filled one a
slur or a beam. The outlines are the true ones, so that a flat may nestle under the flat above it.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from lessonkit.drawing.fonts import advances, font_file
from lessonkit.drawing.glyphs import UNITS, outline
from lessonkit.drawing.shapes import Box, Command, Drawing, Face, Glyph, Line, Path, Text

Points = tuple[tuple[float, float], ...]


class Thing(NamedTuple):
    """One piece of ink: what it is, its box, its outlines, and the text or code that names it in a message."""

    kind: str
    box: Box
    outlines: tuple[Points, ...]
    name: str = ""


class Clash(NamedTuple):
    """Two things that touch and must not."""

    one: Thing
    other: Thing

    def __str__(self) -> str:
        one, other = self.one, self.other
        x, y = (round(max(a, b), 1) for a, b in zip(one.box[:2], other.box[:2], strict=True))
        return f"{one.kind} {one.name} on {other.kind} {other.name} at ({x}, {y})"


WORDS = frozenset({"text", "loudness", "octave figure", "pedal figure", "tuplet figure"})
"""What is read as words or figures: it stands clear of everything, staff lines too."""

HEADS = frozenset({"notehead", "accidental", "dot", "rest", "flag", "clef", "figure", "articulation", "bracket"})
LINES = frozenset({"staff line", "bar line", "stem", "beam", "curve", "dashes", "roll", "brace", "hairpin"})

_MAY_MEET = {
    # Lines may cross lines; heads stand on the staff; a head has its stem and ties.
    *(frozenset({"staff line", kind}) for kind in HEADS | LINES),
    *(frozenset({one, other}) for one in LINES for other in LINES),
    frozenset({"notehead", "stem"}), frozenset({"notehead", "beam"}), frozenset({"flag", "stem"}),
    frozenset({"flag", "beam"}), frozenset({"bar line", "brace"}), frozenset({"notehead"}),
    frozenset({"octave figure"}), frozenset({"tuplet figure"}), frozenset({"loudness"}), frozenset({"figure"}),
    frozenset({"bracket", "octave figure"}), frozenset({"curve", "notehead"}), frozenset({"rest", "beam"}),
    frozenset({"clef"}), frozenset({"bar line", "roll"}),
}  # fmt: skip

_GLYPHS = (
    (0xE0A0, 0xE0FF, "notehead"), (0xE260, 0xE26B, "accidental"), (0xE26C, 0xE26F, "bracket"),
    (0xE240, 0xE24F, "flag"), (0xE4E0, 0xE4FF, "rest"), (0xE050, 0xE07F, "clef"), (0xE080, 0xE09F, "figure"),
    (0xE4A0, 0xE4BF, "articulation"), (0xE520, 0xE54F, "loudness"), (0xE510, 0xE51F, "octave figure"),
    (0xE650, 0xE659, "pedal figure"), (0xE880, 0xE88A, "tuplet figure"), (0xE560, 0xE56F, "flag"),
    (0xE043, 0xE044, "dot"),
)  # fmt: skip


def clashes(drawing: Drawing, slack: float = 0.12) -> list[Clash]:
    """Every pair of things that touch and must not; ``slack`` in points is what may be shared."""
    found = []
    things = sorted(things_of(drawing), key=lambda thing: thing.box.left)
    open_things: list[Thing] = []
    for thing in things:
        open_things = [other for other in open_things if other.box.right > thing.box.left]
        for other in open_things:
            if _may_meet(thing, other) or not thing.box.overlaps(other.box, slack):
                continue
            if _touch(thing, other):
                found.append(Clash(thing, other))
        open_things.append(thing)
    return found


def _may_meet(one: Thing, other: Thing) -> bool:
    if frozenset({one.kind, other.kind}) not in _MAY_MEET:
        return False
    if one.kind == other.kind == "notehead":
        # The heads of a second touch at the stem; on one place two heads are one too many.
        return abs(one.box.left - other.box.left) > 0.1 or abs(one.box.top - other.box.top) > 0.1
    return True


def things_of(drawing: Drawing) -> Iterator[Thing]:
    """All ink of a drawing."""
    space = next((mark.box.bottom - mark.box.top for mark in drawing.marks if mark.kind == "staff"), 20.0) / 4
    for shape in drawing.shapes:
        if isinstance(shape, Line):
            yield from _line(shape)
        elif isinstance(shape, Glyph):
            kind = next((kind for low, high, kind in _GLYPHS if low <= shape.code <= high), "sign")
            # A roll's pieces and braces are paths; what is left is a sign of its own.
            outlines = tuple(
                tuple((x * shape.size / UNITS + shape.x, y * shape.size / UNITS + shape.y) for x, y in points)
                for points in _glyph_outlines(shape.code)
            )
            yield Thing(kind, _box_of(outlines), outlines, f"{shape.code:04X}")
        elif isinstance(shape, Text):
            yield from _letters(shape)
        elif isinstance(shape, Path):
            yield from _path(shape, space)


def _line(line: Line) -> Iterator[Thing]:
    half = line.width / 2
    if line.dash:
        kind = "dashes"
    elif line.x1 == line.x2:
        kind = "bar line"
    else:
        kind = "staff line"
    left, right = sorted((line.x1, line.x2))
    top, bottom = sorted((line.y1, line.y2))
    box = (
        Box(left, top - half, right, bottom + half)
        if top == bottom
        else Box(left - half, top, right + half, bottom)
        if left == right
        else Box(left, top, right, bottom)
    )
    yield Thing(kind, box, (((line.x1, line.y1), (line.x2, line.y2)),))


def _path(path: Path, space: float) -> Iterator[Thing]:
    if path.fill is None:
        # Every stroke is a step to its start and a line to its end.
        for (_, (x1, y1)), (_, (x2, y2)) in zip(path.commands[0::2], path.commands[1::2], strict=True):
            yield from _stroke(x1, y1, x2, y2, path.stroke)
        return
    outlines = _flattened(path.commands)
    box = _box_of(outlines)
    kind = "curve" if path.stroke else "beam"
    if not path.stroke and any(step == "C" for step, _ in path.commands):
        is_round = abs((box.right - box.left) - (box.bottom - box.top)) < 0.01 and box.right - box.left < space
        kind = "dot" if is_round else "roll"
    if path.stroke and box.bottom - box.top > 8 * space and box.right - box.left < 3 * space:
        kind = "brace"
    yield Thing(kind, box, outlines)


def _stroke(x1: float, y1: float, x2: float, y2: float, width: float) -> Iterator[Thing]:
    half = width / 2
    left, right, top, bottom = min(x1, x2), max(x1, x2), min(y1, y2), max(y1, y2)
    if x1 == x2:
        yield Thing("stem", Box(left - half, top, right + half, bottom), (((x1, y1), (x2, y2)),))
    elif y1 == y2:
        yield Thing("staff line", Box(left, top - half, right, bottom + half), (((x1, y1), (x2, y2)),), "ledger")
    else:
        yield Thing("hairpin", Box(left, top, right, bottom), (((x1, y1), (x2, y2)),))


def _letters(text: Text) -> Iterator[Thing]:
    x = text.x
    boxes = []
    for letter in text.text:
        left, bottom, right, top = _letter_bounds(text.face, letter)
        size = text.size
        if right > left:
            boxes.append(Box(x + left * size, text.y - top * size, x + right * size, text.y - bottom * size))
        x += advances(text.face).get(ord(letter), advances(text.face)[0]) * size
    if boxes:
        outlines = tuple(
            ((b.left, b.top), (b.right, b.top), (b.right, b.bottom), (b.left, b.bottom), (b.left, b.top)) for b in boxes
        )
        yield Thing("text", _box_of(outlines), outlines, text.text)


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
    units = font["head"].unitsPerEm
    return tuple(number / units for number in pen.bounds) if pen.bounds else (0.0, 0.0, 0.0, 0.0)


@lru_cache(maxsize=16)
def _font(face: Face) -> TTFont:
    return TTFont(font_file(face))


@lru_cache(maxsize=512)
def _glyph_outlines(code: int) -> tuple[Points, ...]:
    return _flattened(outline(code))


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


def _touch(one: Thing, other: Thing) -> bool:
    """Whether outlines cross or one lies within the other."""
    shared = Box(
        max(one.box.left, other.box.left), max(one.box.top, other.box.top),
        min(one.box.right, other.box.right), min(one.box.bottom, other.box.bottom),
    )  # fmt: skip
    mine, theirs = list(_edges(one, shared)), list(_edges(other, shared))
    if any(_cross(a, b, c, d) for a, b in mine for c, d in theirs):
        return True
    return _holds(one, other) or _holds(other, one)


def _edges(thing: Thing, box: Box) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    for points in thing.outlines:
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


def _holds(outer: Thing, inner: Thing) -> bool:
    """Whether a point of one thing lies within the filling of another."""
    if not inner.outlines:
        return False
    x, y = inner.outlines[0][0]
    if not outer.box.holds(x, y):
        return False
    crossings = 0
    for points in outer.outlines:
        if len(points) < 3:
            continue
        for (x1, y1), (x2, y2) in pairwise(points):
            if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
                crossings += 1
    return crossings % 2 == 1
