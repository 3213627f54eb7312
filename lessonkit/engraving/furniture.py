"""What stands around the staves: fingers, octave lines, degrees, chord names, key names. Placed clear of all ink.

Units are the engraver's, 180 to a staff space. From the staff outwards: fingers, octave lines, degrees, chord names,
labels; each row keeps one base line through a system.
"""

from __future__ import annotations

from dataclasses import field
from typing import NamedTuple

from lessonkit.drawing.fonts import runs
from lessonkit.drawing.glyphs import glyph_box
from lessonkit.drawing.shapes import Face
from lessonkit.drawing.text_width import text_width
from lessonkit.drills.exercise import Hand
from lessonkit.engraving.chord_text import height_above, symbol_at_origin, symbol_width
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.ink import Ink, Sign
from lessonkit.engraving.playing_marks import PlayedWords
from lessonkit.engraving.sizes import Sizes
from lessonkit.engraving.skyline import Skyline
from lessonkit.values import dataclass

RULE_WIDTH = 7 * SPACE
"""The width of a line to write a chord name on, where there is room."""

WRITING_HEIGHT = 3.4 * SPACE
"""The height that handwriting needs over such a line: six millimetres at an ordinary staff."""

_DESCENT = 0.14
"""How far a label reaches below its base line, in sizes."""

_DIGIT_HEIGHT = 0.66
_LABEL_LEADING = 1.15
"""From row to row of a label that is too long for one, in sizes."""

GLYPH_SCALE = 0.72
_OTTAVA = {1: 0xE511, 2: 0xE515, -1: 0xE51C, -2: 0xE51D}
_OTTAVA_NAMES = {1: "8va", 2: "15ma", -1: "8vb", -2: "15mb"}
_PARENTHESES = (0xE51A, 0xE51B)
_OTTAVA_DASH = (0.55 * SPACE, 0.45 * SPACE)
_SHORTEST_OCTAVE_LINE = 0.95 * SPACE


class Letters(NamedTuple):
    """A run of text to be painted, with the place of its base line's start."""

    x: float
    y: float
    text: str
    face: Face
    size: float


class Rule(NamedTuple):
    """A straight line; ``dash`` as in ``shapes``."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float
    dash: tuple[float, ...] = ()


class Place(NamedTuple):
    """What will become a mark: its kind, name and box (left, top, right, bottom), and its detail."""

    kind: str
    name: str
    left: float
    top: float
    right: float
    bottom: float
    detail: str


class Words(NamedTuple):
    """What one system is to say around its staves."""

    names: dict[int, str]
    """The chord name of each chord mark; empty text for a line to write on."""
    degrees: dict[int, str]
    labels: dict[int, str]
    """The label of each bar that has one."""
    fingers: dict[int, tuple[int | None, ...]]
    """The fingers to be printed of each event."""
    pinned: dict[int, frozenset[int]]
    """The places of the fingers that the teacher typed, for each event that has any."""
    octaves: dict[int, int]
    """The octave line over each event that has one."""
    hands: dict[int, Hand]
    """The hand of each event."""
    groups: dict[int, int]
    """The group of each event."""
    repeats: dict[int, int]
    """Labels said again where a line begins within a harmony: which chord mark each of them repeats."""
    sizes: Sizes = Sizes()
    numbers: dict[int, int] = {}  # noqa: RUF012 - a tuple's default, never changed
    """The numbers that bars bear where they begin a line."""
    played: PlayedWords | None = None
    """Pedal lines and words at repeats, which come last."""
    tempo: str = ""
    """The tempo mark above the first bar."""
    over: dict[int, int] = {}  # noqa: RUF012 - a tuple's default, never changed
    """The chord mark over which a bar's label stands, where it speaks of that chord."""


@dataclass(slots=True)
class Furniture:
    """Everything that was placed."""

    letters: list[Letters] = field(default_factory=list)
    rules: list[Rule] = field(default_factory=list)
    signs: list[Sign] = field(default_factory=list)
    places: list[Place] = field(default_factory=list)


class Head(NamedTuple):
    """A notehead as it was engraved: event, index of its pitch, continuation after a tie or not, and its box."""

    event: int
    pitch: int
    is_continued: bool
    x: float
    y: float
    width: float
    staff: int


def furnish(
    furniture: Furniture, ink: Ink, heads: list[Head], words: Words, sky: Skyline, staves: tuple[Hand, ...]
) -> None:
    """Place all but the fingers, which are nearest to the notes, around one system; the skyline grows with it."""
    _place_octave_lines(furniture, ink, heads, words, sky, staves)
    floor = _place_row(furniture, ink, words, words.degrees, words.sizes.degree, "degree", sky, None)
    upper = _place_row(furniture, ink, words, words.names, words.sizes.name, "chord name", sky, floor)
    _place_number(furniture, ink, words, sky)
    _place_labels(furniture, ink, words, sky, upper)


def _place_octave_lines(
    furniture: Furniture, ink: Ink, heads: list[Head], words: Words, sky: Skyline, staves: tuple[Hand, ...]
) -> None:
    for staff in range(len(staves)):
        for octaves, first, last, begins, ends in _octave_runs(heads, words, staff):
            code = _OTTAVA[octaves]
            box = glyph_box(code)
            is_above = octaves > 0
            left, right = first.x, last.x + last.width + 0.3 * SPACE
            is_outside = staff == 0 if is_above else staff == len(staves) - 1
            opening = 0.0 if begins else glyph_box(_PARENTHESES[0]).right * GLYPH_SCALE + 0.2 * SPACE
            if not is_outside:
                left -= _into_bar(ink, left, left + box.right * GLYPH_SCALE + 2 * opening)
            # Over the last note of a line the figure goes back into the staff's end, yet not over the note before.
            beyond = left + box.right * GLYPH_SCALE + 2 * opening - ink.staves[staff][1]
            if beyond > 0:
                behind = [head.x + head.width for head in heads if head.staff == staff and head.x < first.x - SPACE]
                left -= min(beyond, max(0.0, left - max(behind, default=0.0)))
            pieces: list[tuple[int, float]] = [(code, left)]
            text_right = left + box.right * GLYPH_SCALE
            if not begins:
                pieces = [(_PARENTHESES[0], left), (code, left + opening), (_PARENTHESES[1], text_right + opening)]
                text_right += 2 * opening
            # Over a single chord, too, a short line with its hook says where it ends, as far as the next note allows.
            right = max(right, text_right + _SHORTEST_OCTAVE_LINE)
            ahead = [head.x for head in heads if head.staff == staff and head.x > last.x + SPACE]
            if ahead:
                right = min(right, max(min(ahead) - 0.6 * SPACE, last.x + last.width))
            edge = ink.staves[staff][1] - 12.0
            # What goes on in the next line goes on to the margin of this one, and its hook stands where it ends.
            right = min(right, edge) if ends else edge
            has_line = right > text_right + 0.7 * SPACE
            height = -box.top * GLYPH_SCALE
            y = _octave_base(heads, ink, sky, staff, is_above, is_outside, left, max(right, text_right), height)
            for piece, x in pieces:
                furniture.signs.append(Sign(piece, round(x), round(y), GLYPH_SCALE, "octave", "", staff))
            middle = y - 0.36 * height
            hook = 0.75 * SPACE if is_above else -0.75 * SPACE
            if has_line:
                furniture.rules.append(Rule(text_right + 0.35 * SPACE, middle, right, middle, 24, _OTTAVA_DASH))
            if has_line and ends:
                furniture.rules.append(Rule(right, middle, right, middle + hook, 24))
            furniture.places.append(
                Place("octave line", _OTTAVA_NAMES[octaves], left, y - height, right, y + 0.02 * SPACE, str(staff + 1))
            )
            if is_outside:
                sky.add(left, max(right, text_right), y - height, max(y, middle + hook))


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


def _place_row(
    furniture: Furniture, ink: Ink, words: Words, texts: dict[int, str], size: float, kind: str, sky: Skyline,
    floor: float | None,
) -> float | None:  # fmt: skip
    """Set one row of labels above everything on one base line; answers the row's upper edge."""
    here = sorted((x, index) for index, x in ink.rooms.items() if index in texts)
    if not here:
        return floor
    half_head = glyph_box(0xE0A4).right * GLYPH_SCALE / 2
    spans: list[tuple[int, float, float]] = []
    for at, (x, index) in enumerate(here):
        left = x - half_head
        if texts[index]:
            width = symbol_width(texts[index], size, words.sizes.faces.regular)
        else:
            edge = here[at + 1][0] - half_head if at + 1 < len(here) else ink.staves[0][1]
            width = max(2 * SPACE, min(RULE_WIDTH, edge - left - 0.8 * SPACE))
        spans.append((index, left, left + width))
    descent = _DESCENT * size
    base = min(sky.top(left, right) for _, left, right in spans) - 0.5 * SPACE - descent
    base = min(base, sky.top_line - 1.3 * SPACE)
    if floor is not None:
        base = min(base, floor - 0.25 * SPACE - descent)
    upper = base
    for index, left, right in spans:
        if texts[index]:
            shapes, _ = symbol_at_origin(texts[index], size, words.sizes.faces.regular)
            for across, down, letters, face, letter_size, _ in shapes:
                furniture.letters.append(Letters(left + across, base + down, letters, face, letter_size))
            top = base - height_above(size)
        else:
            furniture.rules.append(Rule(left, base, right, base, 14))
            top = base - WRITING_HEIGHT
        name = str(words.repeats.get(index, index))
        furniture.places.append(Place(kind, name, left, top, right, base + descent, texts[index]))
        sky.add(left, right, top, base)
        upper = min(upper, top)
    return upper


def _place_number(furniture: Furniture, ink: Ink, words: Words, sky: Skyline) -> None:
    """Set the number of the first bar above the beginning of the line."""
    if not ink.bars or ink.bars[0][0] not in words.numbers:
        return
    text, size, left = str(words.numbers[ink.bars[0][0]]), words.sizes.number, float(ink.staves[0][0])
    face = words.sizes.faces.italic
    right = left + text_width(text, face, size)
    base = min(sky.top(left, right) - 0.4 * SPACE, sky.top_line - 0.8 * SPACE)
    top = base - _DIGIT_HEIGHT * size
    furniture.letters.append(Letters(left, base, text, face, size))
    furniture.places.append(Place("text", "bar number", left, top, right, base, text))
    sky.add(left, right, top, base)


def _place_labels(furniture: Furniture, ink: Ink, words: Words, sky: Skyline, upper: float | None) -> None:
    """Set the names of what begins here (a key) in bold above the rows, the first at the line's very start."""
    start, labels, size, bold = ink.staves[0][0], words.labels, words.sizes.label, words.sizes.faces.bold
    half_head = glyph_box(0xE0A4).right * GLYPH_SCALE / 2
    over = {bar: ink.rooms[mark] - half_head for bar, mark in words.over.items() if mark in ink.rooms}
    here = [
        (over.get(bar, left if at else start), labels[bar])
        for at, (bar, left) in enumerate(ink.bars)
        if labels.get(bar)
    ]
    descent = 0.22 * size
    base = sky.top_line - 1.3 * SPACE - descent
    if upper is not None:
        base = min(base, upper - 0.1 * SPACE - descent)
    spans = []
    for at, (left, text) in enumerate(here):
        edge = here[at + 1][0] - SPACE if at + 1 < len(here) else ink.staves[0][1]
        rows = _label_rows(text, max(edge - left, 8 * SPACE), size, bold)
        spans.append((left, left + max(text_width(row, bold, size) for row in rows), text, rows))
    if words.tempo and ink.bars and ink.bars[0][0] == 0:
        # Above the time signature, or behind the name of what begins there.
        left = min((sign.x for sign in ink.signs if sign.kind == "meterSig"), default=start)
        if spans and here[0][0] == start:
            left = max(left, round(spans[0][1] + 1.5 * SPACE))
        spans.append((left, left + _width_in_runs(words.tempo, size, bold), words.tempo, [words.tempo]))
    # All of a line stand at one height.
    base = min([base, *(sky.top(left, right) - 0.6 * SPACE - descent for left, right, _, _ in spans)])
    for left, right, text, rows in spans:
        for up, row in enumerate(reversed(rows)):
            x = float(left)
            for piece, face in runs(row, bold):
                furniture.letters.append(Letters(x, base - up * _LABEL_LEADING * size, piece, face, size))
                x += text_width(piece, face, size)
        top = base - (0.7 + (len(rows) - 1) * _LABEL_LEADING) * size
        furniture.places.append(Place("text", text, left, top, right, base + descent, text))
        sky.add(left, right, top, base)


def _width_in_runs(text: str, size: float, bold: Face) -> float:
    """The width of bold text whose signs come from another face."""
    return sum(text_width(piece, face, size) for piece, face in runs(text, bold))


def _label_rows(text: str, width: float, size: float, bold: Face) -> list[str]:
    """A label in as many rows as it needs; most need one."""
    rows = [text]
    if text_width(text, bold, size) <= width:
        return rows
    words = text.split(" ")
    rows = [words[0]]
    for word in words[1:]:
        longer = f"{rows[-1]} {word}"
        if text_width(longer, bold, size) <= width:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows
