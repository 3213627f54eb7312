"""Draws tables of aids: columns as wide as what stands in them, hair lines between rows, room for the pencil."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import nullcontext
from dataclasses import replace

from lessonkit.drawing.shapes import INK, Line
from lessonkit.lesson.shown import Cell, Room, Table
from lessonkit.lesson.told_names import with_names
from lessonkit.pages.sketch import Sketch
from lessonkit.pages.style import FAINT, SOFT, TextStyle

GAP = 16.0
"""Between two columns."""

SIZES = (1.0, 0.92, 0.84, 0.76, 0.7)
"""How far a table's letters may shrink so that it fits its width."""

ROOMS = {Room.LINE: (40.0, 110.0), Room.BOX: (16.0, 40.0), Room.MARKS: (58.0, 120.0), Room.NOTHING: (20.0, 60.0)}
"""The least and the most width of room for the pencil."""


def draw_table(shown: Table, sketch: Sketch) -> None:
    """A table; raises ValueError where it is wider than the page even in small letters."""
    gap = GAP * sketch.scale
    # Columns without heads are bars of a chart, all as wide as one another.
    is_chart = not any(shown.heads)
    for size in SIZES:
        style = replace(sketch.look.letters.aid, size=sketch.look.letters.aid.size * size)
        widths = _widths(shown, style, sketch)
        if is_chart:
            widths = [max(*widths, (sketch.room - gap * (len(widths) - 1)) / len(widths))] * len(widths)
        if sum(widths) + gap * (len(widths) - 1) <= sketch.room + 0.01 or size == SIZES[-1]:
            break
    head = replace(sketch.look.letters.small, size=min(sketch.look.letters.small.size, style.size))
    # Bars of a chart are read one after another; nothing heads them.
    with sketch.within("checklist" if is_chart else "table"):
        _put_rows(shown, sketch, style, head, widths, gap)


def _put_rows(
    shown: Table, sketch: Sketch, style: TextStyle, head: TextStyle, widths: Sequence[float], gap: float
) -> None:
    x = sketch.left
    if any(shown.heads):
        with sketch.within("row"):
            for name, width in zip(shown.heads, widths, strict=True):
                with sketch.piece("head"):
                    sketch.text(name, head, x, sketch.y)
                x += width + gap
        sketch.y += head.leading
    end = min(sketch.right, sketch.left + sum(widths) + gap * (len(widths) - 1))
    has_room = any(isinstance(cell, Room) for row in shown.rows for cell in row)
    high = style.leading + (3.5 if has_room else 3.0) * sketch.scale
    for place, row in enumerate(shown.rows):
        if place or not _is_ruled_above(sketch):
            sketch.rule(sketch.left, end, sketch.y, 0.4, FAINT)
        x = sketch.left
        has_heads = any(shown.heads)
        with sketch.within(*(("row",) if has_heads else ())):
            for column, (cell, width) in enumerate(zip(row, widths, strict=True)):
                heads_row = column == 0 and not isinstance(cell, Room)
                kinds = ("row head" if heads_row else "cell",) if has_heads else ("item", "body")
                # An empty bar of a chart is for the pencil and not read.
                is_read = has_heads or not isinstance(cell, Room)
                with sketch.piece(*kinds) if is_read else nullcontext():
                    _put(cell, sketch, style, x, sketch.y + (high - style.leading) / 2, width)
                x += width + gap
        sketch.y += high
    sketch.rule(sketch.left, end, sketch.y, 0.4, FAINT)
    sketch.y += 2 * sketch.scale


def _is_ruled_above(sketch: Sketch) -> bool:
    """Whether a rule runs close above already, as that over a heading which stands at the side."""
    rules = (shape for shape in sketch.shapes if isinstance(shape, Line) and shape.y1 == shape.y2)
    return any(
        rule.x1 <= sketch.left and rule.x2 >= sketch.right and 0 <= sketch.y - rule.y1 < sketch.look.letters.grid
        for rule in rules
    )


def _widths(shown: Table, style: TextStyle, sketch: Sketch) -> list[float]:
    """The width of each column; what is left over goes to the room for the pencil."""
    least: list[float] = []
    most: list[float] = []
    for column, name in enumerate(shown.heads):
        cells = [row[column] for row in shown.rows]
        width = sketch.set(sketch.spans(name), sketch.look.letters.small, 10_000)[0].width
        wish = width
        for cell in cells:
            if isinstance(cell, Room):
                low, high = ROOMS[cell]
                width, wish = max(width, low * sketch.scale), max(wish, high * sketch.scale)
            else:
                width = max(
                    width, sketch.set(with_names(cell, sketch.setting.label_style.notes), style, 10_000)[0].width
                )
        least.append(width)
        most.append(max(width, wish))
    left = sketch.room - sum(least) - GAP * sketch.scale * (len(least) - 1)
    wanted = sum(most) - sum(least)
    if left <= 0 or wanted <= 0:
        return least
    share = min(1.0, left / wanted)
    return [low + share * (high - low) for low, high in zip(least, most, strict=True)]


def _put(cell: Cell, sketch: Sketch, style: TextStyle, x: float, y: float, width: float) -> None:
    base = y + style.base_line
    if not isinstance(cell, Room):
        sketch.line(sketch.set(with_names(cell, sketch.setting.label_style.notes), style, 10_000)[0], style, x, y)
    elif cell is Room.BOX:
        # A box is as high as a capital and a little more; its middle is that of the row.
        sketch.box(x, base + 0.1 * style.size, 0.85 * style.size, SOFT)
    elif cell is Room.LINE:
        sketch.rule(x, x + width, base + 2, tone=SOFT)
    elif cell is Room.MARKS:
        step = min(width / 4, 26 * sketch.scale)
        for mark in range(4):
            sketch.text(str(mark), replace(style, tone=INK), x + mark * step, y)
