"""The figures of tuplets and their brackets set anew outside the staff, clear of stems, beams and flags.

The engraver lets them stand on staff lines and slants a bracket through a flag. Where fingers are printed the figures
stand at the other side of the notes: a 3 in a row of fingers is taken for one. Units are the engraver's.
"""

from __future__ import annotations

from collections.abc import Iterator

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.ink import Ink, Sign

_CLEAR = frozenset({"notehead", "flag", "rest", "accid", "artic", "clef"})
_STROKES_IN_BRACKET = 4
_HOOK = 0.6 * SPACE
_GAP = 0.3 * SPACE
_BESIDE_HEADS = 0.6 * SPACE


def set_tuplet_figures(ink: Ink, fingered: dict[int, bool]) -> float:
    """Move every figure of a system, and its bracket where it has one, beyond what it belongs to.

    ``fingered`` says of each staff with fingers whether they stand above it. Answers by how much the two staves are
    too near to one another for the figures between them.
    """
    missing = 0.0
    places = [place for place, stroke in enumerate(ink.strokes) if stroke.kind == "tupletBracket"]
    brackets = [places[at : at + _STROKES_IN_BRACKET] for at in range(0, len(places), _STROKES_IN_BRACKET)]
    for place, figure in enumerate(ink.signs):
        if figure.kind == "tupletNum":
            missing = max(missing, _set(ink, place, figure, brackets, fingered.get(figure.staff)))
    return missing


def _set(
    ink: Ink, place: int, figure: Sign, brackets: list[list[int]], has_fingers_above: bool | None
) -> float:  # fmt: skip
    box, k = glyph_box(figure.code), figure.scale
    left, right = figure.x + box.left * k, figure.x + box.right * k
    middle = figure.y + (box.top + box.bottom) / 2 * k
    bracket = next((one for one in brackets if _belongs(ink, one, left, middle)), None)
    if bracket is None:
        is_above = _is_above_beam(ink, (left + right) / 2, middle)
        span = (left, right)
    else:
        brackets.remove(bracket)
        span = _spans(ink, bracket)
        is_above = ink.strokes[bracket[0]].y2 < ink.strokes[bracket[0]].y1
    half = (box.bottom - box.top) * k / 2
    missing = 0.0
    if has_fingers_above is not None:
        is_above = not has_fingers_above
        if bracket is None:
            # At the side of the heads it must not slip in between those beside it.
            span = (left - _BESIDE_HEADS, right + _BESIDE_HEADS)
    center, way = _beyond(ink, figure.staff, span, is_above, bracket is not None, half)
    inwards = len(ink.staves) > 1 and is_above == (figure.staff > 0)
    if inwards and _meets_other_hand(ink, figure.staff, span, center - half - _GAP, center + half + _GAP):
        # Between the staves there is no room for it: the other hand is there.
        missing = 2.0 * SPACE
        center, way = _beyond(ink, figure.staff, span, not is_above, bracket is not None, half)
    if bracket is not None:
        tip, line = round(center - way * _HOOK), round(center)
        for at, (y1, y2) in zip(bracket, ((tip, line), (line, line)) * 2, strict=True):
            ink.strokes[at] = ink.strokes[at]._replace(y1=y1, y2=y2)
    ink.signs[place] = figure._replace(y=round(figure.y + center - middle))
    return missing


def _beyond(
    ink: Ink, staff: int, span: tuple[float, float], is_above: bool, has_bracket: bool, half: float
) -> tuple[float, int]:
    """The height of a figure's middle beyond all that it must stand clear of, and the way outwards."""
    lines = ink.staves[staff][2]
    edges = [lines[0] if is_above else lines[-1], *edges_beside(ink, staff, span, is_above)]
    edge, way = (min(edges), -1) if is_above else (max(edges), 1)
    return edge + way * ((max(_HOOK, half) if has_bracket else half) + _GAP), way


def _meets_other_hand(ink: Ink, staff: int, span: tuple[float, float], top: float, bottom: float) -> bool:
    """Whether a note or a figure of the other staff stands where a figure is to stand."""
    for sign in ink.signs:
        if sign.staff != staff and (sign.kind in _CLEAR or sign.kind == "tupletNum"):
            box, k = glyph_box(sign.code), sign.scale
            is_beside = sign.x + box.right * k > span[0] and sign.x + box.left * k < span[1]
            if is_beside and sign.y + box.bottom * k > top and sign.y + box.top * k < bottom:
                return True
    own, other = ink.staves[staff][2], ink.staves[1 - staff][2]
    for stroke in ink.strokes:
        if stroke.kind == "stem" and span[0] < stroke.x1 < span[1]:
            y1, y2 = min(stroke.y1, stroke.y2), max(stroke.y1, stroke.y2)
            is_other = abs((y1 + y2) / 2 - other[2]) < abs((y1 + y2) / 2 - own[2])
            if is_other and y2 > top and y1 < bottom:
                return True
    for points, _ in ink.polygons:
        xs, ys = points[0::2], points[1::2]
        middle = (min(ys) + max(ys)) / 2
        is_other = abs(middle - other[2]) < abs(middle - own[2])
        if is_other and max(xs) > span[0] and min(xs) < span[1] and max(ys) > top and min(ys) < bottom:
            return True
    return False


def _belongs(ink: Ink, bracket: list[int], x: float, y: float) -> bool:
    """Whether a figure stands in the gap of a bracket, between the inner ends of its halves."""
    one, other = ink.strokes[bracket[1]], ink.strokes[bracket[3]]
    return one.x2 < x < other.x2 and abs((one.y2 + other.y2) / 2 - y) < SPACE


def _spans(ink: Ink, bracket: list[int]) -> tuple[int, int]:
    xs = [x for at in bracket for x in (ink.strokes[at].x1, ink.strokes[at].x2)]
    return min(xs), max(xs)


def _is_above_beam(ink: Ink, x: float, y: float) -> bool:
    """Whether a figure stands above the beam that is nearest to it."""
    beams = [points for points, _ in ink.polygons if min(points[0::2]) <= x <= max(points[0::2])]
    middles = [(min(points[1::2]) + max(points[1::2])) / 2 for points in beams]
    return y < min(middles, key=lambda middle: abs(middle - y)) if middles else True


def edges_beside(ink: Ink, staff: int, span: tuple[float, float], is_above: bool) -> Iterator[float]:
    """How far out all notes and rests of a staff reach within a span."""
    left, right = span[0] - SPACE / 4, span[1] + SPACE / 4
    lines = [one[2] for one in ink.staves]
    # Half of the way to the other staff belongs to each.
    highest = (lines[staff - 1][-1] + lines[staff][0]) / 2 if staff else float("-inf")
    lowest = (lines[staff][-1] + lines[staff + 1][0]) / 2 if staff + 1 < len(lines) else float("inf")
    for sign in ink.signs:
        if sign.staff == staff and sign.kind in _CLEAR:
            box, k = glyph_box(sign.code), sign.scale
            if sign.x + box.right * k > left and sign.x + box.left * k < right:
                yield sign.y + (box.top if is_above else box.bottom) * k
    for stroke in ink.strokes:
        if stroke.kind == "stem" and left < stroke.x1 < right and highest < (stroke.y1 + stroke.y2) / 2 < lowest:
            yield min(stroke.y1, stroke.y2) if is_above else max(stroke.y1, stroke.y2)
    for points, _ in ink.polygons:
        xs, ys = points[0::2], points[1::2]
        if max(xs) > left and min(xs) < right and highest < (min(ys) + max(ys)) / 2 < lowest:
            yield _beam_edge(points, left, right, is_above)


def _beam_edge(points: tuple[int, ...], left: float, right: float, is_above: bool) -> float:
    """The outermost height of a slanting beam between two places."""
    xs, ys = points[0::2], points[1::2]
    start, end = min(xs), max(xs)
    outermost = min if is_above else max
    at_start = outermost(y for x, y in zip(xs, ys, strict=True) if x == start)
    at_end = outermost(y for x, y in zip(xs, ys, strict=True) if x == end)
    slope = (at_end - at_start) / max(end - start, 1)
    return outermost(at_start + slope * (min(max(x, start), end) - start) for x in (left, right))
