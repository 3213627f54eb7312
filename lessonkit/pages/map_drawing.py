"""Draws a difficulty map: a table whose four steps read in grey, by tone and by one to four dots, with its legend."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.drawing.shapes import INK, Box, Drawing, Mark, Rect, Shape, Text
from lessonkit.drills.chord_map import ChordMap, worked_out
from lessonkit.drills.setting import Setting
from lessonkit.pages.paper import TEXT_WIDTH
from lessonkit.pages.style import CAPTION, GRID, NORMAL, Letters, TextStyle
from lessonkit.pages.text_flow import line_of
from lessonkit.theory.naming import renamed

BANDS = ("easy", "moderate", "hard", "very hard")
"""The steps in words, from one dot to four."""

BEST = "lies best in its key"
"""What a thick frame says."""

TONES = (1.0, 0.9, 0.78, 0.62)
"""The ground under each step: white paper to a grey on which black dots still stand out."""

DOT, DOT_GAP = 3.2, 1.5
"""A dot and the space to the next one, in points."""

LABEL_WIDTH = 96.0
ROW, CELL_GAP = 2.6 * GRID, 2.0
LEGEND_GAP = 14.0

HEAD_SIZE = 9.5 / 8.5
"""The size of the keys' names, against that of the labels."""


def map_drawing(map: ChordMap, setting: Setting, text_width: float = TEXT_WIDTH, letters: Letters = NORMAL) -> Drawing:
    """The table of a map with its legend below; raises ValueError where the map cannot be worked out."""
    found = worked_out(map, setting)
    style, grid, scale = letters.small, letters.grid, letters.scale
    names, head = replace(style, tone=0.0), replace(style, size=style.size * HEAD_SIZE, tone=0.0)
    label_width = LABEL_WIDTH * scale
    row_height, swatch = ROW * scale, Box(0, 0, 26 * scale, 12 * scale)
    width = min((text_width - label_width) / len(found.columns), 54.0 * scale)
    # Names of very many keys are as small as their columns are narrow.
    widest = max(line_of(name, head).width for name in found.columns)
    head = replace(head, size=head.size * min(1.0, (width - 1) / widest))
    # The same dots in every cell, as large as the letters and as four of them leave room for.
    dot_scale = min(scale, 0.94 * (width - CELL_GAP) / _dots_width(len(BANDS)))
    shapes: list[Shape] = []
    marks: list[Mark] = []
    for column, name in enumerate(found.columns):
        _put(shapes, marks, name, head, label_width + (column + 0.5) * width, 0, is_centred=True)
    easiest = found.easiest
    y = 2 * grid
    for row, label in enumerate(found.rows):
        _put(shapes, marks, label, names, 0, y + (row_height - names.leading) / 2)
        for column, cell in enumerate(found.cells[row]):
            band = BANDS.index(cell.difficulty.band.value)
            left, inner = label_width + column * width + CELL_GAP / 2, width - CELL_GAP
            box = Box(left, y, left + inner, y + row_height - CELL_GAP)
            shapes.append(_cell(box, band, cell is easiest[column], letters))
            shapes += dots(band + 1, left + inner / 2, y + (row_height - CELL_GAP) / 2, scale=dot_scale)
            marks.append(Mark("map cell", f"{row}.{column}", box, cell.difficulty.band.value))
        y += row_height
    y += grid / 2
    x = left = label_width if _legend_width(style, swatch) <= text_width - label_width else 0.0
    for band, words in enumerate((*BANDS, BEST)):
        if x > left and x + swatch.right + 5 + line_of(words, style).width > text_width:
            x, y = left, y + row_height
        is_best = words == BEST
        shapes.append(_cell(swatch.moved(x, y), 0 if is_best else band, is_best, letters))
        shapes += () if is_best else dots(band + 1, x + swatch.right / 2, y + swatch.bottom / 2, scale=scale)
        x = _put(shapes, marks, words, style, x + swatch.right + 5, y) + LEGEND_GAP
    return Drawing(text_width, y + grid * 2, tuple(shapes), tuple(marks), spoken_map(map, setting))


def _legend_width(style: TextStyle, swatch: Box) -> float:
    """How wide the legend is on one line."""
    widths = [swatch.right + 5 + line_of(words, style).width for words in (*BANDS, BEST)]
    return sum(widths) + LEGEND_GAP * (len(widths) - 1)


def spoken_map(map: ChordMap, setting: Setting) -> str:
    """The map in words, row by row."""
    found = worked_out(map, setting)
    rows = []
    for label, cells in zip(found.rows, found.cells, strict=True):
        by_band = {
            band: [name for name, cell in zip(found.columns, cells, strict=True) if cell.difficulty.band.value == band]
            for band in BANDS
        }
        said = "; ".join(f"{band} in {', '.join(names)}" for band, names in by_band.items() if names)
        rows.append(f"{label[:1].upper()}{label[1:]}: {said}.")
    return f"{map.title}: {renamed(map.summary(setting.in_english), setting.label_style.notes)}. {' '.join(rows)}"


def _cell(box: Box, band: int, is_best: bool, letters: Letters) -> Rect:
    """The ground of a step in its frame, which is thick where a chord lies best; in black letters the dots say all."""
    stroke, tone = letters.rule(1.2, INK) if is_best else letters.rule(0.5, 0.62)
    fill = TONES[0] if letters.is_black else TONES[band]
    return Rect(box.left, box.top, box.right - box.left, box.bottom - box.top, fill, stroke, tone, 2)


def _dots_width(count: int) -> float:
    return count * DOT + (count - 1) * DOT_GAP


def dots(count: int, x: float, y: float, tone: float = 0.0, scale: float = 1.0) -> list[Shape]:
    """So many dots in a row with their middle at (x, y)."""
    first, dot, step = x - scale * _dots_width(count) / 2, scale * DOT, scale * (DOT + DOT_GAP)
    return [Rect(first + place * step, y - dot / 2, dot, dot, tone, 0.0, tone, dot / 2) for place in range(count)]


def badge_of(band: str, width: float = TEXT_WIDTH, style: TextStyle = CAPTION) -> Drawing:
    """How hard a drill is, at the right end of its caption: full dots out of four, and the word.

    The drawing is as wide as the text; its ``difficulty`` mark tells where the badge begins.
    """
    words = line_of(band, style)
    scale = style.size / CAPTION.size
    dot, step = scale * DOT, scale * (DOT + DOT_GAP)
    begin = width - words.width - 3 * scale - len(BANDS) * step
    shapes: list[Shape] = []
    marks: list[Mark] = []
    middle = style.base_line - 0.3 * style.size
    for place in range(len(BANDS)):
        fill = style.tone if place <= BANDS.index(band) else None
        shapes.append(Rect(begin + place * step, middle - dot / 2, dot, dot, fill, 0.5 * scale, style.tone, dot / 2))
    _put(shapes, marks, band, style, width - words.width, 0)
    marks.append(Mark("difficulty", band, Box(begin, 0, width, style.leading)))
    return Drawing(width, style.leading, tuple(shapes), tuple(marks), band)


def _put(
    shapes: list[Shape], marks: list[Mark], words: str, style: TextStyle, x: float, y: float, is_centred: bool = False
) -> float:
    """Put a line of words with its top at y; answers where it ends."""
    line = line_of(words, style)
    left = x - line.width / 2 if is_centred else x
    drawing = line.drawing(style, TEXT_WIDTH, left)
    shapes += [shape._replace(y=shape.y + y) for shape in drawing.shapes if isinstance(shape, Text)]
    marks += [mark._replace(box=mark.box.moved(0, y)) for mark in drawing.marks]
    return left + line.width
