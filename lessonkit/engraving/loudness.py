"""Letters of loudness and swells on one base line through a system, half a space off all notes.

The engraver sets each as near to its own note as it goes, so that they hop. Units are the engraver's.
"""

from __future__ import annotations

from collections.abc import Iterator

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.ink import Ink, numbers_of
from lessonkit.engraving.tuplet_figures import edges_beside

_OFF_NOTES = 0.5 * SPACE
_OFF_STAFF = 0.8 * SPACE
_MOST_SQUEEZED = 0.6 * SPACE
"""How much of the room above and below may be missing together."""

_MIDDLE = 0.42 * SPACE
"""How far over the base line of the letters the middle of a swell lies."""

_OFF_LETTERS = 0.3 * SPACE
_SHORTEST_SWELL = SPACE
"""A swell that letters leave less room keeps this much."""

Item = tuple[float, float, float, float]
"""A letter or swell: its left and right, and how far it reaches over and under the base line."""


def level_loudness(ink: Ink) -> float:
    """Set all loudness of a system at one height; answers by how much its two staves are too near to one another."""
    letters = [sign for sign in ink.signs if sign.kind == "dynam"]
    swells = [stroke for stroke in ink.strokes if stroke.kind == "hairpin"]
    if not letters and not swells:
        return 0.0
    items: list[Item] = []
    for sign in letters:
        box, k = glyph_box(sign.code), sign.scale
        items.append((sign.x + box.left * k, sign.x + box.right * k, box.top * k, box.bottom * k))
    # The two lines of a swell follow one another.
    pairs = list(zip(swells[0::2], swells[1::2], strict=False))
    for one, other in pairs:
        ys = (one.y1, one.y2, other.y1, other.y2)
        half = (max(ys) - min(ys)) / 2
        items.append((min(one.x1, one.x2), max(one.x1, one.x2), -_MIDDLE - half, -_MIDDLE + half))
    base, missing = _base(ink, items, letters[0].y if letters else pairs[0][0].y1)
    if missing > _MOST_SQUEEZED:
        # As near as the engraver set them is better than upon the notes.
        return missing
    ink.signs = [sign._replace(y=base) if sign.kind == "dynam" else sign for sign in ink.signs]
    moved = {}
    spans = items[: len(letters)]
    for one, other in pairs:
        ys = (one.y1, one.y2, other.y1, other.y2)
        shift = round(base - _MIDDLE - (max(ys) + min(ys)) / 2)
        left, right = _between_letters(min(one.x1, one.x2), max(one.x1, one.x2), spans)
        for line in (one, other):
            first, last = (left, right) if line.x1 < line.x2 else (right, left)
            moved[line] = line._replace(x1=first, x2=last, y1=line.y1 + shift, y2=line.y2 + shift)
    ink.strokes = [moved.get(stroke, stroke) if stroke.kind == "hairpin" else stroke for stroke in ink.strokes]
    return missing


def _between_letters(left: int, right: int, letters: list[Item]) -> tuple[int, int]:
    """Where a swell begins and ends so that it keeps clear of the letters, which share its height."""
    for start, end, _, _ in letters:
        if end <= left - _OFF_LETTERS or start >= right + _OFF_LETTERS:
            continue
        after, before = round(end + _OFF_LETTERS), round(start - _OFF_LETTERS)
        if start + end < left + right:
            left = max(left, min(after, right - _SHORTEST_SWELL))
        else:
            right = min(right, max(before, left + _SHORTEST_SWELL))
    return left, right


def _base(ink: Ink, items: list[Item], now: float) -> tuple[int, float]:
    """The base line that keeps every item clear, and how much room is missing for it.

    Outside it is the one nearest to the staff, between two staves that in the middle.
    """
    lowest, highest = float("inf"), float("-inf")
    upper = ink.staves[0][2]
    is_between = len(ink.staves) > 1
    is_below = is_between or now > upper[2]
    for left, right, over, under in items:
        if is_below:
            edges = [upper[-1] + _OFF_STAFF, *(edge + _OFF_NOTES for edge in _ink_edges(ink, 0, (left, right), False))]
            highest = max(highest, max(edges) - over)
        if is_between or not is_below:
            staff = 1 if is_between else 0
            edges = [
                ink.staves[staff][2][0] - _OFF_STAFF,
                *(edge - _OFF_NOTES for edge in _ink_edges(ink, staff, (left, right), True)),
            ]
            lowest = min(lowest, min(edges) - under)
    if not is_between:
        return round(highest if is_below else lowest), 0.0
    if highest > lowest:
        return round((highest + lowest) / 2), highest - lowest
    over, under = min(item[2] for item in items), max(item[3] for item in items)
    middle = (upper[-1] + ink.staves[1][2][0] - over - under) / 2
    return round(min(max(middle, highest), lowest)), 0.0


def _ink_edges(ink: Ink, staff: int, span: tuple[float, float], is_above: bool) -> Iterator[float]:
    """How far out all notes of a staff, their figures and curves reach within a span."""
    yield from edges_beside(ink, staff, span, is_above)
    left, right = span[0] - SPACE / 4, span[1] + SPACE / 4
    for sign in ink.signs:
        if sign.kind == "tupletNum" and sign.staff == staff:
            box, k = glyph_box(sign.code), sign.scale
            if sign.x + box.right * k > left and sign.x + box.left * k < right:
                yield sign.y + (box.top if is_above else box.bottom) * k
    own = ink.staves[staff][2][2]
    others = [one[2][2] for at, one in enumerate(ink.staves) if at != staff]
    for stroke in ink.strokes:
        if stroke.kind == "tupletBracket" and max(stroke.x1, stroke.x2) > left and min(stroke.x1, stroke.x2) < right:
            middle = (stroke.y1 + stroke.y2) / 2
            if all(abs(middle - own) < abs(middle - other) for other in others):
                yield min(stroke.y1, stroke.y2) if is_above else max(stroke.y1, stroke.y2)
    for text, _, kind in ink.curves:
        if kind not in ("tie", "slur"):
            continue
        numbers = numbers_of(text)
        xs, ys = numbers[0::2], numbers[1::2]
        # A curve belongs to the staff that is nearer to its ends.
        end = (ys[0] + ys[3]) / 2
        if max(xs) > left and min(xs) < right and all(abs(end - own) < abs(end - other) for other in others):
            yield min(ys) if is_above else max(ys)
