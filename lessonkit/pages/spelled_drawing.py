"""Draws bars in letters: each note over its finger, all of a drill in columns of one width, chords above."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from lessonkit.lesson.prose import Words
from lessonkit.lesson.shown import Spelled, SpelledBar, SpelledHand, SpelledNote
from lessonkit.lesson.told_names import with_names
from lessonkit.pages.sketch import Sketch
from lessonkit.pages.style import TextStyle
from lessonkit.pages.text_flow import line_of

WIDE, CLOSE = 8.0, 4.0
"""Between two notes, and at the least, where that lets more bars stand beside each other."""

BETWEEN_GROUPS, BETWEEN_BARS, AFTER_LABEL = 7.0, 12.0, 7.0
IN_ROWS = (4, 2, 1)
"""How many bars may stand beside each other: phrases of four stay in columns."""

FINGER_SIZE = 0.86
WRITTEN = 1.7
"""The height of a row of names that the student writes, in lines."""


class _Grid(NamedTuple):
    """The columns that all bars of a drill share, in points."""

    names: float
    """The room of the names of the hands, at the left of a row."""
    labels: float
    letters: float
    """The room of the letters of one note."""
    gap: float
    in_row: int
    style: TextStyle
    fingers: TextStyle


def draw_spelled(shown: Spelled, sketch: Sketch) -> None:
    """Bars one below another, or beside each other where several fit the width."""
    grid = _grid(shown.among, sketch)
    with sketch.within("numbered list"):
        for start in range(0, len(shown.bars), grid.in_row):
            row = shown.bars[start : start + grid.in_row]
            if row[0].heading:
                with sketch.within("item"), sketch.piece("body"):
                    bold = replace(grid.style, regular=grid.style.bold)
                    sketch.line(
                        sketch.set(sketch.spans(row[0].heading), bold, sketch.room)[0], bold, sketch.left, sketch.y
                    )
                sketch.y += grid.style.leading
            _put_row(row, sketch, grid)
            sketch.y += 4 * sketch.scale


def _grid(bars: Sequence[SpelledBar], sketch: Sketch) -> _Grid:
    style, scale = sketch.look.letters.aid, sketch.scale
    hands = [hand for bar in bars for hand in bar.hands]
    # What is alone in its bar has all of it, and needs no column.
    alone, others = ([hand for hand in hands if (len(hand.notes) == 1) is one] for one in (True, False))
    least = max((_wide(hand.notes[0], sketch, style) for hand in alone), default=0.0)
    letters = max((_wide(note, sketch, style) for hand in others for note in hand.notes), default=least)
    labels = max((line_of(bar.label, style).width for bar in bars), default=0.0) + AFTER_LABEL * scale
    names = max((line_of(hand.name, style).width for hand in hands), default=0.0)
    names += AFTER_LABEL * scale if names else 0.0
    wide, close = (_in_row(bars, sketch, names, labels, least, letters, gap * scale) for gap in (WIDE, CLOSE))
    gap = (CLOSE if close > wide else WIDE) * scale
    return _Grid(names, labels, letters, gap, max(wide, close), style, replace(style, size=style.size * FINGER_SIZE))


def _in_row(
    bars: Sequence[SpelledBar], sketch: Sketch, names: float, labels: float, least: float, letters: float, gap: float
) -> int:
    """How many bars stand beside each other at a gap between notes; ``least`` is the room of what is alone in a bar."""
    groups, between = BETWEEN_GROUPS * sketch.scale, BETWEEN_BARS * sketch.scale
    widest = max(
        (labels + (letters + gap) * (_last_column(bar) + 1) - gap + groups * len(bar.groups) for bar in bars),
        default=0.0,
    )
    fitting = int((sketch.room - names + between) / (max(widest, labels + least) + between))
    return next((count for count in IN_ROWS if count <= fitting), 1)


def _last_column(bar: SpelledBar) -> int:
    return max((note.column for hand in bar.hands for note in hand.notes), default=0)


def _columns(bar: SpelledBar, grid: _Grid, room: float, scale: float) -> list[tuple[float, int]]:
    """Where each column of a bar begins, and in which line: a long bar goes on below, under its first note."""
    found: list[tuple[float, int]] = []
    x, line = 0.0, 0
    for column in range(_last_column(bar) + 1):
        x += BETWEEN_GROUPS * scale if column in bar.groups else 0.0
        if found and x + grid.letters > room + 0.01:
            x, line = 0.0, line + 1
        found.append((x, line))
        x += grid.letters + grid.gap
    return found


def _put_row(row: Sequence[SpelledBar], sketch: Sketch, grid: _Grid) -> None:
    """Bars beside each other, each hand at one height in all of them."""
    left, between = sketch.left + grid.names, BETWEEN_BARS * sketch.scale
    step = (sketch.right - left + between) / grid.in_row
    spans = [span for bar in row if bar.hands for note in bar.hands[0].notes for span in note.chord]
    is_asked = any(isinstance(span, Words) and span.text.startswith("_") for span in spans)
    top = sketch.y + grid.style.leading * (WRITTEN if is_asked else 1.0 if spans else 0.0)
    room = step - between - grid.labels
    columns = [_columns(bar, grid, room, sketch.scale) for bar in row]
    tops = [top]
    for place in range(max((len(bar.hands) for bar in row), default=0)):
        here = [bar.hands[place] for bar in row if place < len(bar.hands)]
        has_fingers = any(note.fingers for hand in here for note in hand.notes)
        high = grid.style.leading + (grid.fingers.leading if has_fingers else 0.0)
        lines = max(one[-1][1] for one in columns) + 1
        tops.append(tops[-1] + high * lines)
        if here[0].name:
            soft = replace(grid.style, tone=sketch.look.letters.small.tone)
            with sketch.within("item"), sketch.piece("body"):
                sketch.text(here[0].name, soft, sketch.left, tops[place])
    for at, bar in enumerate(row):
        said = len(sketch.words)
        x = left + at * step
        with sketch.within("item"):
            with sketch.piece("label"):
                sketch.text(bar.label, grid.style, x, top)
            for place, hand in enumerate(bar.hands):
                with sketch.piece("body", words=_told(hand)):
                    _put_hand(hand, sketch, grid, columns[at], x + grid.labels, tops[place])
        sketch.words[said:] = [f"bar {bar.label} {'; '.join(map(_told, bar.hands))}"]
    sketch.y = tops[-1]


def _put_hand(
    hand: SpelledHand, sketch: Sketch, grid: _Grid, columns: Sequence[tuple[float, int]], start: float, top: float
) -> None:
    has_fingers = any(note.fingers for note in hand.notes)
    high = grid.style.leading + (grid.fingers.leading if has_fingers else 0.0)
    for note in hand.notes:
        across, line = columns[note.column]
        x, y = start + across, top + line * high
        letters = line_of(note.letters, grid.style)
        if note.chord:
            name = sketch.set(with_names(note.chord), grid.style, 10_000)[0]
            sketch.line(name, grid.style, x, y - grid.style.leading)
        sketch.line(letters, grid.style, x, y)
        if note.fingers:
            sketch.text(note.fingers, grid.fingers, x + letters.width / 2, y + 0.92 * grid.style.leading, align=0.5)


def _wide(note: SpelledNote, sketch: Sketch, style: TextStyle) -> float:
    """The room of a note: its letters, its fingers, or most of the chord that is named above it."""
    letters = line_of(note.letters, style).width
    chord = sketch.set(with_names(note.chord), style, 10_000)[0].width if note.chord else 0.0
    # A name may reach over the next note, but not two of them.
    return max(letters, line_of(note.fingers, style).width, min(chord, 1.6 * letters))


def _told(hand: SpelledHand) -> str:
    """A hand's bar for a reader: each note with its finger."""
    notes = ", ".join(f"{note.letters} with {note.fingers}" if note.fingers else note.letters for note in hand.notes)
    return f"{hand.name} hand: {notes}" if hand.name else notes
