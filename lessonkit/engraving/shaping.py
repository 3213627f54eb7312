"""Ink and furniture of one system made into a Drawing: the engraver's units become points, ids become marks."""

from __future__ import annotations

from functools import lru_cache

from lessonkit.drawing.glyphs import glyph_box, outline
from lessonkit.drawing.shapes import INK, Box, Command, Drawing, Glyph, Line, Mark, Path, Shape, Text
from lessonkit.drills.exercise import Hand
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.finger_rows import place_fingers
from lessonkit.engraving.furniture import Furniture, Head, Words, furnish
from lessonkit.engraving.ink import Ink, Sign, new, numbers_of
from lessonkit.engraving.octave_lines import place_octave_lines
from lessonkit.engraving.pedal_lines import place_playing_words
from lessonkit.engraving.skyline import Skyline

_PADDING = 0.5 * SPACE
STAFF_LINE = 15
"""A twelfth of a space: 0.15 mm at an ordinary staff. Conventions give 0.08 to 0.13 of a space."""

_CURVE_BODY = 28
"""How thick a tie or slur is on an average of its length."""

_KINDS = {
    "notehead": "note", "rest": "rest", "mRest": "rest", "accid": "accidental", "clef": "clef", "keyAccid": "signature",
    "dynam": "text", "meterSig": "text", "tupletNum": "text",
    "artic": "articulation",
}  # fmt: skip
_DYNAMICS = {0xE520: "p", 0xE522: "f", 0xE52B: "pp", 0xE52C: "mp", 0xE52D: "mf", 0xE52F: "ff"}


BarEnds = dict[str, tuple[str, str]]
"""For each bar as it is written the number of the exercise's bar, and the line at its end."""


def drawing_of(
    ink: Ink, words: Words, staves: tuple[Hand, ...], ends: BarEnds, scale: float, left: int, width: int,
    full_width: float,
) -> Drawing:  # fmt: skip
    """One system as a Drawing ``full_width`` points wide; ``scale`` is points a unit, ``left`` the brace's room."""
    heads, names = _heads(ink.signs)
    sky = Skyline(ink, width)
    furniture = Furniture()
    place_fingers(furniture, heads, words, sky)
    place_octave_lines(furniture, ink, heads, words, sky, staves)
    furnish(furniture, ink, words, sky)
    if words.played is not None:
        place_playing_words(furniture, ink, heads, words.played, words.sizes.faces.italic, sky)
    top = min(sky.highest, *(place.top for place in furniture.places), sky.top_line) - _PADDING
    bottom = max(sky.lowest, *(place.bottom for place in furniture.places), sky.bottom_line) + _PADDING
    dy = -top
    shapes: list[Shape] = []
    marks: list[Mark] = []
    _strokes(shapes, marks, ink, ends, scale, left, dy, words.sizes.weight)
    _signs(shapes, marks, ink, names, scale, left, dy)
    _furniture(shapes, marks, furniture, scale, left, dy, words.sizes.weight)
    return Drawing(full_width, (bottom - top) * scale, tuple(shapes), tuple(marks))


def _heads(signs: list[Sign]) -> tuple[list[Head], dict[str, str]]:
    """The noteheads, and the name of the mark that each id of a note stands for."""
    heads: list[Head] = []
    names: dict[str, str] = {}
    widths: dict[tuple[int, float], float] = {}
    for code, x, y, scale, kind, name, staff in signs:
        if kind == "notehead":
            event, _, pitch = name[1:].partition(".")
            if name[:1] != "e":
                continue
            pitch, tail, _ = pitch.partition("t")
            names[name] = f"{event}.{pitch}" if tail else name[1:]
            width = widths.get((code, scale))
            if width is None:
                width = widths[code, scale] = glyph_box(code).right * scale
            heads.append(new(Head, (int(event), int(pitch), tail != "", x, y, width, staff)))
    return heads, names


def _strokes(
    shapes: list[Shape], marks: list[Mark], ink: Ink, ends: BarEnds, scale: float, left: int, dy: float,
    weight: float,
) -> None:  # fmt: skip
    thick = scale * weight
    for number, (x1, x2, heights) in enumerate(ink.staves, 1):
        start, end = (x1 + left) * scale, (x2 + left) * scale
        for y in heights:
            shapes.append(Line(start, (y + dy) * scale, end, (y + dy) * scale, STAFF_LINE * thick))
        box = Box(start, (heights[0] + dy) * scale, end, (heights[-1] + dy) * scale)
        marks.append(Mark("staff", str(number), box, str(number)))
    # Stems and ledger lines of one width are one path: a painter is done with it in one call.
    strokes_by_width: dict[int, list[Command]] = {}
    for x1, y1, x2, y2, width, kind in ink.strokes:
        if kind == "hairpin":
            # Each of its two lines; together they say where it stands.
            start, end = (min(x1, x2) + left) * scale, (max(x1, x2) + left) * scale
            box = Box(start, (min(y1, y2) + dy) * scale, end, (max(y1, y2) + dy) * scale)
            marks.append(Mark("swell", "", box, ""))
        steps = strokes_by_width.setdefault(width, [])
        steps.append(("M", ((x1 + left) * scale, (y1 + dy) * scale)))
        steps.append(("L", ((x2 + left) * scale, (y2 + dy) * scale)))
    for width, steps in strokes_by_width.items():
        shapes.append(Path(tuple(steps), None, width * thick))
    for name, strokes in ink.bar_lines:
        spans: dict[int, list[int]] = {}
        for stroke in strokes:
            span = spans.setdefault(stroke.x1, [stroke.y1, stroke.y2, stroke.width])
            span[0], span[1] = min(span[0], stroke.y1, stroke.y2), max(span[1], stroke.y1, stroke.y2)
        for x, (y1, y2, stroke_width) in spans.items():
            at = (x + left) * scale
            # The heavy line of an end is heavy enough in any print, and keeps within the margin.
            drawn = stroke_width * (scale if stroke_width > SPACE / 4 else thick)
            shapes.append(Line(at, (y1 + dy) * scale, at, (y2 + dy) * scale, drawn))
        if spans:
            low, high = min(item[0] for item in spans.values()), max(item[1] for item in spans.values())
            start, end = (min(spans) + left - 15) * scale, (max(spans) + left + 15) * scale
            box = Box(start, (low + dy) * scale, end, (high + dy) * scale)
            bar, form = ends.get(name, (name, "single"))
            marks.append(Mark("bar line", bar, box, form))
    # A slur's body is between its two curves: its outline has to make it bolder.
    bolder = _CURVE_BODY * (weight - 1)
    for text, stroke_width, kind in ink.curves:
        outline_width = stroke_width * weight + (bolder if kind in ("tie", "slur") else 0.0)
        shapes.append(Path(_moved(_curve(text), scale, left, dy), stroke=outline_width * scale))
    for points, _ in ink.polygons:
        corners: list[Command] = [
            ("L" if at else "M", ((points[at] + left) * scale, (points[at + 1] + dy) * scale))
            for at in range(0, len(points), 2)
        ]
        shapes.append(Path((*corners, ("Z", ()))))
    for x, y, radius in ink.dots:
        shapes.append(Path(_moved(_circle(x, y, radius), scale, left, dy)))
    for roll in ink.rolls:
        for sign in roll:
            shapes.append(Path(_moved(_rolled(sign, roll[0]), scale, left, dy)))


def _signs(
    shapes: list[Shape], marks: list[Mark], ink: Ink, names: dict[str, str], scale: float, left: int, dy: float
) -> None:
    boxes: dict[tuple[int, float], tuple[float, float, float, float, float]] = {}
    add_shape, add_mark = shapes.append, marks.append
    for code, sign_x, sign_y, size, sign_kind, name, staff in ink.signs:
        found = boxes.get((code, size))
        if found is None:
            box, k = glyph_box(code), size * scale
            found = boxes[code, size] = (box.left * k, box.top * k, box.right * k, box.bottom * k, 1000 * k)
        x, y = (sign_x + left) * scale, (sign_y + dy) * scale
        add_shape(new(Glyph, (code, x, y, found[4], INK)))
        kind = _KINDS.get(sign_kind)
        # Small notes are drawn, but no one points at them: marks belong to the notes of the exercise's events.
        if kind is None or (name[:1] == "g" and sign_kind in ("notehead", "accid")):
            continue
        if kind == "note":
            name, detail = names.get(name, name), str(staff + 1)
        elif kind == "accidental":
            name, detail = names.get(name, name), f"{code:04X}"
        elif kind == "rest":
            name, detail = name[1:].split("-")[0], str(staff + 1)
        elif kind == "text":
            name, detail = sign_kind, _DYNAMICS.get(code, f"{code:04X}")
        else:
            name, detail = str(staff + 1), f"{code:04X}"
        box = new(Box, (x + found[0], y + found[1], x + found[2], y + found[3]))
        add_mark(new(Mark, (kind, name, box, detail)))


def _furniture(
    shapes: list[Shape], marks: list[Mark], furniture: Furniture, scale: float, left: int, dy: float, weight: float
) -> None:
    add_shape = shapes.append
    for sign in furniture.signs:
        add_shape(Glyph(sign.code, (sign.x + left) * scale, (sign.y + dy) * scale, 1000 * sign.scale * scale))
    for x1, y1, x2, y2, width, parts in furniture.rules:
        start, end, top, bottom = (x1 + left) * scale, (x2 + left) * scale, (y1 + dy) * scale, (y2 + dy) * scale
        shapes.append(Line(start, top, end, bottom, width * scale * weight, dash=tuple(part * scale for part in parts)))
    for x, y, text, face, size in furniture.letters:
        add_shape(new(Text, ((x + left) * scale, (y + dy) * scale, text, face, size * scale, INK)))
    for kind, name, x1, y1, x2, y2, detail in furniture.places:
        box = new(Box, ((x1 + left) * scale, (y1 + dy) * scale, (x2 + left) * scale, (y2 + dy) * scale))
        marks.append(new(Mark, (kind, name, box, detail)))


def _moved(commands: tuple[Command, ...], scale: float, left: int, dy: float) -> tuple[Command, ...]:
    moved: list[Command] = []
    for step, numbers in commands:
        if step == "C":
            x1, y1, x2, y2, x, y = numbers
            handles = ((x1 + left) * scale, (y1 + dy) * scale, (x2 + left) * scale, (y2 + dy) * scale)
            moved.append((step, (*handles, (x + left) * scale, (y + dy) * scale)))
        elif numbers:
            x, y = numbers
            moved.append((step, ((x + left) * scale, (y + dy) * scale)))
        else:
            moved.append((step, numbers))
    return tuple(moved)


def _curve(text: str) -> tuple[Command, ...]:
    """A path of one move and curves, as ties and braces are written."""
    numbers = list(map(float, numbers_of(text)))
    curves: list[Command] = [("C", tuple(numbers[at : at + 6])) for at in range(2, len(numbers) - 5, 6)]
    return (("M", (numbers[0], numbers[1])), *curves, ("Z", ()))


def _circle(x: float, y: float, radius: float) -> tuple[Command, ...]:
    far = 0.5523 * radius
    return (
        ("M", (x + radius, y)),
        ("C", (x + radius, y + far, x + far, y + radius, x, y + radius)),
        ("C", (x - far, y + radius, x - radius, y + far, x - radius, y)),
        ("C", (x - radius, y - far, x - far, y - radius, x, y - radius)),
        ("C", (x + far, y - radius, x + radius, y - far, x + radius, y)),
        ("Z", ()),
    )


def _rolled(sign: Sign, first: Sign) -> tuple[Command, ...]:
    """A piece of a roll's wavy line: the engraver writes it lying and turns it upright about its start."""
    x, y = first.x + (sign.y - first.y), first.y - (sign.x - first.x)
    turned: list[Command] = []
    for step, numbers in _scaled_outline(sign.code, sign.scale):
        pairs = zip(numbers[0::2], numbers[1::2], strict=True)
        turned.append((step, tuple(number for along, across in pairs for number in (x + across, y - along))))
    return tuple(turned)


@lru_cache(maxsize=64)
def _scaled_outline(code: int, scale: float) -> tuple[Command, ...]:
    return tuple((step, tuple(number * scale for number in numbers)) for step, numbers in outline(code))
