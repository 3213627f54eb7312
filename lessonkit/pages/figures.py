"""Small figures of aids: the tempo ladder and strips of keys with a signature before them."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.drawing.shapes import Box, Glyph, Line, Rect
from lessonkit.lesson.shown import Ladder, Strip
from lessonkit.pages.sketch import Sketch
from lessonkit.pages.style import FAINT, SOFT, TextStyle
from lessonkit.pages.text_flow import line_of
from lessonkit.theory.key import Key

_TREBLE_CLEF, _FLAT, _SHARP = 0xE050, 0xE260, 0xE262
_SHARP_STEPS, _FLAT_STEPS = (8, 5, 9, 6, 3, 7, 4), (4, 7, 3, 6, 2, 5, 1)
"""Where the accidentals of a signature stand in the treble, in steps from the lowest line (common practice)."""

WIDEST_CELL = 33.0


def signature_signs(key: Key) -> tuple[int, tuple[int, ...]]:
    """The glyph of a signature's accidentals, and the steps from the treble's lowest line on which they stand."""
    code, steps = (_SHARP, _SHARP_STEPS) if key.signature > 0 else (_FLAT, _FLAT_STEPS)
    return code, steps[: abs(key.signature)]


def draw_ladder(shown: Ladder, sketch: Sketch) -> None:
    """Marks with boxes in a row, as many to a line as fit; the first and the last mark are ringed."""
    style, scale = sketch.look.letters.aid, sketch.scale
    box, to_box, between = 0.8 * style.size, 4.0 * scale, 13.0 * scale
    with sketch.piece("paragraph"):
        _put_marks(shown, sketch, style, box, to_box, between)
    sketch.y += style.leading + 2 * scale


def _put_marks(shown: Ladder, sketch: Sketch, style: TextStyle, box: float, to_box: float, between: float) -> None:
    base, scale = style.base_line, sketch.scale
    x = sketch.text(f"{shown.beat} =", style, sketch.left, sketch.y) + 9 * scale
    first = x
    for place, mark in enumerate(shown.marks):
        words = line_of(str(mark), style)
        is_ringed = place in (0, len(shown.marks) - 1)
        ring = 4.0 * scale if is_ringed else 0.0
        needed = words.width + to_box + box + 2 * ring
        if x > first and x + needed > sketch.right:
            x, sketch.y = first, sketch.y + style.leading * 1.5
        x += ring
        sketch.line(words, style, x, sketch.y)
        if is_ringed:
            high, middle = 1.32 * style.size, sketch.y + base - 0.33 * style.size
            left, wide = x - ring, words.width + 2 * ring
            width, tone = sketch.look.letters.rule(0.7, SOFT)
            sketch.shapes.append(Rect(left, middle - high / 2, wide, high, None, width, tone, high / 2))
        sketch.box(x + words.width + ring + to_box, sketch.y + base, box, SOFT)
        x += needed - ring + between


def draw_strip(shown: Strip, sketch: Sketch) -> None:
    """Keys in a row of cells, today's filled with ink; below them what else is said of each."""
    today = [cell.name for cell in shown.cells if cell.is_filled]
    words = (shown.before, f"keys: {', '.join(' '.join((cell.name, *cell.below)) for cell in shown.cells)}",
             f"today {', '.join(today)}" if today else "",
             "boxes to tick below each" if any(cell.boxes for cell in shown.cells) else "")  # fmt: skip
    with sketch.piece("figure", words="; ".join(filter(None, words))):
        _put_strip(shown, sketch)


def _put_strip(shown: Strip, sketch: Sketch) -> None:
    letters, scale = sketch.look.letters, sketch.scale
    x = sketch.left
    sketch.y += (5.0 if shown.signature is not None and sketch.left == 0 else 2.5) * scale
    if shown.signature is not None:
        x += _signature(shown.signature, sketch, x) + 6 * scale
    if shown.before:
        words = line_of(shown.before, letters.aid)
        if x + words.width + 12 * 20 * scale > sketch.right:
            sketch.text(shown.before, letters.aid, x, sketch.y)
            sketch.y += letters.aid.leading * (1.9 if shown.signature is not None else 1.35)
            x = sketch.left
        else:
            x = sketch.line(words, letters.aid, x, sketch.y) + 12 * scale
    width = min((sketch.right - x) / len(shown.cells), WIDEST_CELL * scale)
    # Names in the middle of their cells; a narrow strip takes smaller letters.
    size = min(letters.aid.size, width * 0.5)
    name_style = replace(letters.aid, size=size, tone=0.0)
    below_style = replace(letters.small, size=min(letters.small.size, width * 0.45))
    high = letters.aid.leading + 2 * scale
    box = min(0.9 * letters.aid.size, 0.8 * width)
    for place, cell in enumerate(shown.cells):
        left = x + place * width
        fill, tone = (0.0, 1.0) if cell.is_filled else (None, sketch.soft(SOFT))
        stroke, frame = letters.rule(0.6, FAINT if fill is None else 0.0)
        sketch.shapes.append(Rect(left + 1, sketch.y, width - 2, high, fill, stroke, frame, 2.5))
        style = replace(name_style, tone=tone, regular=name_style.bold if cell.is_filled else name_style.regular)
        drop = (high - style.leading) / 2
        sketch.text(cell.name, style, left + width / 2, sketch.y + drop, align=0.5)
        sketch.words[-1] += " (today)" if cell.is_filled else ""
        sketch.mark("key cell", cell.name, Box(left + 1, sketch.y, left + width - 1, sketch.y + high),
                    "today" if cell.is_filled else "")  # fmt: skip
        for row, said in enumerate(cell.below):
            y = sketch.y + high + 1 + row * below_style.leading
            sketch.text(said, below_style, left + width / 2, y, align=0.5)
        bottom = sketch.y + high + len(cell.below) * below_style.leading
        for row in range(1, cell.boxes + 1):
            sketch.box(left + width / 2 - box / 2, bottom + row * 1.5 * box, box, sketch.soft(SOFT))
    rows = max((len(cell.below) for cell in shown.cells), default=0)
    boxes = max((cell.boxes for cell in shown.cells), default=0)
    sketch.y += high + rows * below_style.leading + boxes * 1.5 * box + 3 * scale


def _signature(key: Key, sketch: Sketch, x: float) -> float:
    """A small staff with a treble clef and a signature, its middle line at the middle of a line of text."""
    space = 3.3 * sketch.scale
    size = 4 * space
    top = sketch.y + (sketch.look.letters.aid.leading + 2 * sketch.scale - size) / 2
    bottom = top + size
    count = abs(key.signature)
    width = space * (4.4 + count * 1.05)
    for line in range(5):
        y = top + line * space
        sketch.shapes.append(Line(x, y, x + width, y, 0.12 * space, 0.0))
    sketch.shapes.append(Glyph(_TREBLE_CLEF, x + 0.5 * space, bottom - space, size))
    code, steps = signature_signs(key)
    for place, step in enumerate(steps):
        sketch.shapes.append(Glyph(code, x + (3.8 + place * 1.05) * space, bottom - step * space / 2, size))
    sketch.mark("signature", key.ascii, Box(x, top - space, x + width, bottom + space))
    return width
