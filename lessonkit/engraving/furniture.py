"""What stands around the staves: degrees, chord names, key names. Placed clear of all ink.

Units are the engraver's, 180 to a staff space. From the staff outwards: fingers, octave lines, degrees, chord names,
labels; each row keeps one base line through a system.
"""

from __future__ import annotations

from collections.abc import Iterator
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
"""The width of a line to write a chord name on that room is kept for."""

_LONGEST_RULE = 13.5 * SPACE
"""How long such a line gets where there is room: 23 millimetres at an ordinary staff."""

_RULE_OFF_STAFF = 2 * SPACE
_RULE_OFF_SIGNS = 1.5 * SPACE
"""How far beside its ends a line to write on keeps above what stands there, such as a flat before its chord."""

_BESIDE_ROW = 2.5 * SPACE
"""How far beyond its ends a row of labels keeps above fingers, octave lines and the figures of tuplets."""

WRITING_HEIGHT = 3.4 * SPACE
"""The height that handwriting needs over such a line: six millimetres at an ordinary staff."""

_DESCENT = 0.14
"""How far a label reaches below its base line, in sizes."""

DIGIT_HEIGHT = 0.66
"""The height of a figure, in sizes."""

_LABEL_LEADING = 1.15
"""From row to row of a label that is too long for one, in sizes."""

GLYPH_SCALE = 0.72


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
    asked: dict[str, str] = {}  # noqa: RUF012 - a tuple's default, never changed
    """What stands before the first line to write on of a row where two rows ask for something, by the row's kind."""


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


def furnish(furniture: Furniture, ink: Ink, words: Words, sky: Skyline) -> None:
    """Place what stands beyond fingers and octave lines around one system; the skyline grows with it."""
    floor = _place_row(furniture, ink, words, words.degrees, words.sizes.degree, "degree", sky, None)
    upper = _place_row(furniture, ink, words, words.names, words.sizes.name, "chord name", sky, floor)
    _place_number(furniture, ink, words, sky)
    _place_labels(furniture, ink, words, sky, upper)


def _half_head() -> float:
    """Rooms are measured to the middle of a head; what stands over it begins with the head."""
    return glyph_box(0xE0A4).right * GLYPH_SCALE / 2


def _place_row(
    furniture: Furniture, ink: Ink, words: Words, texts: dict[int, str], size: float, kind: str, sky: Skyline,
    floor: float | None,
) -> float | None:  # fmt: skip
    """Set one row of labels above everything on one base line; answers the row's upper edge."""
    here = sorted((x, index) for index, x in ink.rooms.items() if index in texts)
    if not here:
        return floor
    face, half_head = words.sizes.faces.regular, _half_head()
    starts = [x - half_head for x, _ in here]
    rules = _rule_lengths(ink, starts, [not texts[index] for _, index in here])
    spans = [
        (index, left, left + (symbol_width(texts[index], size, face) if texts[index] else length))
        for (_, index), left, length in zip(here, starts, rules, strict=True)
    ]
    descent = _DESCENT * size
    base = min(sky.top(left, right) for _, left, right in spans) - 0.5 * SPACE - descent
    base = min(base, sky.top_line - 1.3 * SPACE)
    beside = _tops_beside(furniture, ink, spans[0][1] - _BESIDE_ROW, spans[-1][2] + _BESIDE_ROW)
    base = min([base, *(top - 0.4 * SPACE - descent for top in beside)])
    written_on = [(left, right) for index, left, right in spans if not texts[index]]
    if written_on:
        tops = (sky.top(left - _RULE_OFF_SIGNS, right + _RULE_OFF_SIGNS) for left, right in written_on)
        base = min(base, sky.top_line - _RULE_OFF_STAFF, *(top - 0.6 * SPACE for top in tops))
    if floor is not None:
        base = min(base, floor - 0.25 * SPACE - descent)
    if written_on and kind in words.asked and ink.bars[0][0] == 0:
        _place_asked(furniture, words.asked[kind], written_on[0][0], base, words, sky)
    upper = base
    for index, left, right in spans:
        if texts[index]:
            shapes, _ = symbol_at_origin(texts[index], size, face)
            for across, down, letters, letter_face, letter_size, _ in shapes:
                furniture.letters.append(Letters(left + across, base + down, letters, letter_face, letter_size))
            top = base - height_above(size)
        else:
            furniture.rules.append(Rule(left, base, right, base, 14))
            top = base - WRITING_HEIGHT
        name = str(words.repeats.get(index, index))
        furniture.places.append(Place(kind, name, left, top, right, base + descent, texts[index]))
        sky.add(left, right, top, base)
        upper = min(upper, top)
    return upper


def _rule_lengths(ink: Ink, starts: list[float], is_rule: list[bool]) -> list[float]:
    """How long the lines to write on are: up to the next label or bar line, all alike where they nearly are."""
    if not any(is_rule):
        return [0.0] * len(starts)
    bars = [stroke.x1 for _, strokes in ink.bar_lines for stroke in strokes]
    lengths: list[float] = []
    for at, left in enumerate(starts):
        bar = min((x for x in bars if x > left + SPACE), default=ink.staves[0][1]) - 0.4 * SPACE
        end = min([bar, *(start - 0.8 * SPACE for start in starts[at + 1 : at + 2])])
        lengths.append(max(2 * SPACE, min(_LONGEST_RULE, end - left)))
    shortest = min((length for length, is_one in zip(lengths, is_rule, strict=True) if is_one), default=0.0)
    return [shortest if shortest >= 0.35 * length else length for length in lengths]


def _tops_beside(furniture: Furniture, ink: Ink, left: float, right: float) -> Iterator[float]:
    """The upper edges of the marks that a row of labels would be taken for one with."""
    for place in furniture.places:
        if place.kind in ("finger", "octave line") and place.left < right and place.right > left:
            yield place.top
    for sign in ink.signs:
        if sign.kind in ("tupletNum", "dynam") and left < sign.x < right:
            # A letter of loudness is as large as a name and needs more air.
            yield sign.y + glyph_box(sign.code).top * sign.scale - (0.35 * SPACE if sign.kind == "dynam" else 0.0)


def _place_asked(furniture: Furniture, word: str, right: float, base: float, words: Words, sky: Skyline) -> None:
    """Say before the first line of a row what is to be written there."""
    face, size = words.sizes.faces.italic, words.sizes.number
    left = right - 0.5 * SPACE - text_width(word, face, size)
    furniture.letters.append(Letters(left, base, word, face, size))
    top = base - 0.75 * size
    furniture.places.append(Place("text", word, left, top, right - 0.5 * SPACE, base + 0.22 * size, word))
    sky.add(left, right, top, base + 0.22 * size)


def _place_number(furniture: Furniture, ink: Ink, words: Words, sky: Skyline) -> None:
    """Set the number of the first bar above the beginning of the line."""
    if not ink.bars or ink.bars[0][0] not in words.numbers:
        return
    text, size, left = str(words.numbers[ink.bars[0][0]]), words.sizes.number, float(ink.staves[0][0])
    face = words.sizes.faces.italic
    right = left + text_width(text, face, size)
    base = min(sky.top(left, right) - 0.4 * SPACE, sky.top_line - 0.8 * SPACE)
    top = base - DIGIT_HEIGHT * size
    furniture.letters.append(Letters(left, base, text, face, size))
    furniture.places.append(Place("text", "bar number", left, top, right, base, text))
    sky.add(left, right, top, base)


def _place_labels(furniture: Furniture, ink: Ink, words: Words, sky: Skyline, upper: float | None) -> None:
    """Set the names of what begins here (a key) in bold above the rows, the first at the line's very start."""
    start, labels, size, bold = ink.staves[0][0], words.labels, words.sizes.label, words.sizes.faces.bold
    half_head = _half_head()
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
        rows = _label_rows(text, max(edge - left, 5 * SPACE), size, bold)
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
