"""Octave lines: a figure, a broken line and a hook where they end. Beyond the fingers, clear of all ink.

Units are the engraver's, 180 to a staff space.
"""

from __future__ import annotations

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.drills.exercise import Hand
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.furniture import GLYPH_SCALE, Furniture, Head, Place, Rule, Words
from lessonkit.engraving.ink import Ink, Sign
from lessonkit.engraving.skyline import Skyline

_FIGURES = {1: 0xE511, 2: 0xE515, -1: 0xE51C, -2: 0xE51D}
_NAMES = {1: "8va", 2: "15ma", -1: "8vb", -2: "15mb"}
_PARENTHESES = (0xE51A, 0xE51B)
_DASH = (0.55 * SPACE, 0.45 * SPACE)
_GAP = 0.3 * SPACE
"""From the figure to its line."""

_SHORTEST = 1.5 * SPACE
"""The least length of a line; over a single chord it is unbroken, so that its hook does not stand alone."""

_BROKEN = 2.1 * SPACE
"""The length from which on a line is broken."""

_MOST_BACK = 1.3 * SPACE
"""How far the figure goes to the left of its first note to make room for the line."""


def place_octave_lines(
    furniture: Furniture, ink: Ink, heads: list[Head], words: Words, sky: Skyline, staves: tuple[Hand, ...]
) -> None:  # fmt: skip
    """Place the octave lines of one system; the skyline grows with those outside."""
    for staff in range(len(staves)):
        for octaves, first, last, begins, ends in _octave_runs(heads, words, staff):
            code = _FIGURES[octaves]
            box = glyph_box(code)
            is_above = octaves > 0
            left, right = first.x, last.x + last.width + 0.3 * SPACE
            is_outside = staff == 0 if is_above else staff == len(staves) - 1
            opening = 0.0 if begins else glyph_box(_PARENTHESES[0]).right * GLYPH_SCALE + 0.2 * SPACE
            if not is_outside:
                left -= _into_bar(ink, left, left + box.right * GLYPH_SCALE + 2 * opening)
            # Over the last note of a line the figure goes back into the staff's end, yet not over the note before.
            beyond = left + box.right * GLYPH_SCALE + 2 * opening - ink.staves[staff][1]
            ahead = [head.x for head in heads if head.staff == staff and head.x > last.x + SPACE]
            if ends and is_outside:
                # Over a single chord it makes room for its line.
                free = min([*ahead, ink.staves[staff][1] + 0.5 * SPACE]) - 0.6 * SPACE
                needed = left + box.right * GLYPH_SCALE + 2 * opening + _GAP + _SHORTEST - max(right, free)
                beyond = max(beyond, min(needed, _MOST_BACK))
            if beyond > 0:
                behind = [head.x + head.width for head in heads if head.staff == staff and head.x < first.x - SPACE]
                left -= min(beyond, max(0.0, left - max(behind, default=0.0)))
            pieces: list[tuple[int, float]] = [(code, left)]
            text_right = left + box.right * GLYPH_SCALE
            if not begins:
                pieces = [(_PARENTHESES[0], left), (code, left + opening), (_PARENTHESES[1], text_right + opening)]
                text_right += 2 * opening
            # Over a single chord, too, a short line with its hook says where it ends, as far as the next note allows.
            right = max(right, text_right + _GAP + _SHORTEST)
            if ahead:
                right = min(right, max(min(ahead) - 0.6 * SPACE, last.x + last.width))
            edge = ink.staves[staff][1] - 12.0
            # What goes on in the next line goes on to the margin of this one, and its hook stands where it ends.
            right = min(right, edge) if ends else edge
            length = right - text_right - _GAP
            has_line = length > _GAP
            dash = _dash(length)
            height = -box.top * GLYPH_SCALE
            y = _octave_base(heads, ink, sky, staff, is_above, is_outside, left, max(right, text_right), height)
            for piece, x in pieces:
                furniture.signs.append(Sign(piece, round(x), round(y), GLYPH_SCALE, "octave", "", staff))
            middle = y - 0.36 * height
            hook = 0.75 * SPACE if is_above else -0.75 * SPACE
            if has_line:
                furniture.rules.append(Rule(text_right + _GAP, middle, right, middle, 24, dash))
            if has_line and ends:
                furniture.rules.append(Rule(right, middle, right, middle + hook, 24))
            furniture.places.append(
                Place("octave line", _NAMES[octaves], left, y - height, right, y + 0.02 * SPACE, str(staff + 1))
            )
            if is_outside:
                sky.add(left, max(right, text_right), y - height, max(y, middle + hook))


def _dash(length: float) -> tuple[float, float]:
    """A line's dash and gap: it ends with a dash, at which its hook hangs; a short one is unbroken."""
    on, off = _DASH
    if length <= _BROKEN:
        return length, off
    count = max(2, round((length + off) / (on + off)))
    return on, (length - count * on) / (count - 1)


def _into_bar(ink: Ink, left: float, right: float) -> float:
    """How far a figure between the staves must go to the left so that no bar line runs through it."""
    lines = [stroke.x1 for _, strokes in ink.bar_lines for stroke in strokes]
    crossed = [x for x in lines if left < x < right + 0.3 * SPACE]
    return right + 0.3 * SPACE - min(crossed) if crossed else 0.0


def _octave_base(
    heads: list[Head], ink: Ink, sky: Skyline, staff: int, is_above: bool, is_outside: bool,
    left: float, right: float, height: float,
) -> float:  # fmt: skip
    """The base line of an octave line's figure: beyond all ink outside, close to the notes between the staves."""
    lines = ink.staves[staff][2]
    if is_outside and is_above:
        return min(sky.top(left, right), lines[0]) - 0.5 * SPACE
    if is_outside:
        return max(sky.bottom(left, right), lines[-1]) + 0.5 * SPACE + height
    # The figure may be wider than what it stands over.
    ys: list[float] = [head.y for head in heads if head.staff == staff and left - head.width <= head.x <= right]
    # A sharp or flat reaches a little farther than its head, over which a space is kept.
    over = 0.5 * SPACE if is_above else -0.5 * SPACE
    signs = (sign for sign in ink.signs if sign.kind == "accid" and sign.staff == staff)
    ys += [sign.y - over for sign in signs if left - 1.5 * SPACE <= sign.x <= right]
    if is_above:
        return min([lines[0], *(y - SPACE for y in ys)]) - 0.4 * SPACE
    return max([lines[-1], *(y + SPACE for y in ys)]) + 0.4 * SPACE + height


def _octave_runs(heads: list[Head], words: Words, staff: int) -> list[tuple[int, Head, Head, bool, bool]]:
    """The stretches under one octave line: how many octaves, first and last head, whether it begins and ends here."""
    runs: list[tuple[int, Head, Head, bool, bool]] = []
    now = 0
    mine = [head for head in heads if head.staff == staff]
    for at, head in enumerate(mine):
        octaves = words.octaves.get(head.event, 0)
        if octaves and octaves == now:
            begun = runs[-1]
            last = head if head.x + head.width > begun[2].x + begun[2].width else begun[2]
            first = head if head.x < begun[1].x and head.event == begun[1].event else begun[1]
            runs[-1] = (octaves, first, last, begun[3], True)
        elif octaves:
            is_first_here = at == 0
            before = words.octaves.get(_event_beside(words, head.event, -1), 0) if is_first_here else 0
            runs.append((octaves, head, head, before != octaves, True))
        now = octaves
    if now and words.octaves.get(_event_beside(words, mine[-1].event, 1), 0) == now:
        runs[-1] = (*runs[-1][:4], False)
    return runs


def _event_beside(words: Words, event: int, way: int) -> int:
    """The event of the same hand before one (``way`` -1) or after it (1), or -1."""
    hand = words.hands[event]
    stop = -1 if way < 0 else max(words.hands) + 1
    return next((other for other in range(event + way, stop, way) if words.hands.get(other) is hand), -1)
