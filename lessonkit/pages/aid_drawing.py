"""Draws aids: a heading at the side or above, then everything that the aid shows, by a table of kinds.

Across the page the heading stands in a column of its own at the left, so that the eye finds it and no line is lost;
in half the width, in large letters and on small papers it stands above.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any

from lessonkit.drawing.shapes import INK, Box, Line
from lessonkit.lesson import prose
from lessonkit.lesson.page_aid import At, PageAid, Scene, Stands
from lessonkit.lesson.prose import ParagraphKind, Span
from lessonkit.lesson.shown import (
    Fields,
    Foot,
    Keyboards,
    Ladder,
    Lines,
    Spelled,
    Staves,
    Steps,
    Strip,
    Table,
    Text,
)
from lessonkit.lesson.told_names import with_names
from lessonkit.pages.figures import draw_ladder, draw_strip
from lessonkit.pages.framed import framed
from lessonkit.pages.keyboard_drawing import draw_keyboards
from lessonkit.pages.page import PAGE_NUMBER
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.paper import MILLIMETRE
from lessonkit.pages.parts import BlockDrawing, Part
from lessonkit.pages.sketch import Sketch
from lessonkit.pages.spelled_drawing import draw_spelled
from lessonkit.pages.stave_drawing import draw_staves
from lessonkit.pages.style import SOFT, TextStyle
from lessonkit.pages.table_drawing import draw_table
from lessonkit.pages.text_flow import line_of, shortened

WRITING_LINE = 7.5 * MILLIMETRE
"""From one line to write on to the next."""

LEAST_HALF = 230.0
"""A narrower half would squeeze what stands in it; on such a page everything takes the whole width."""

ABOVE = 6.5
"""Above an aid; less than a step of the grid, so that aids stand close together wherever they begin."""

SCALE = 50 * MILLIMETRE
"""The line by which a shrunk print is noticed."""


@lru_cache(maxsize=1024)
def aid_drawing(shows: PageAid, scene: Scene, look: PageLook) -> BlockDrawing:
    """An aid as one part; in half the width it can stand beside its neighbour. Cached by value."""
    has_room = look.half_width >= LEAST_HALF * look.letters.scale
    is_half = shows.stands is Stands.HALF and shows.at is At.PLACE and has_room
    width = look.half_width if is_half else look.width
    sketch = Sketch(width, look, scene.setting)
    above = ABOVE * look.letters.scale
    parts: list[Part] = []
    try:
        shown = shows.shown(scene)
        least = _put_heading(sketch, shows, is_half)
        for place, one in enumerate(shown):
            # A remark stays with what it is about.
            is_remark = isinstance(one, Text) and one.is_quiet
            if place and shows.may_part and not is_half and not is_remark:
                sketch.y = max(sketch.y, least)
                # Words stay with what they introduce.
                keeps = isinstance(shown[place - 1], Text)
                parts.append(Part(sketch.drawing(_spoken(shows, sketch)), above, keeps))
                before, sketch = sketch, Sketch(width, look, scene.setting)
                sketch.left, sketch.count = before.left, before.count
                least, above = 0.0, look.letters.grid / 3
            sketch.y += look.letters.grid / 3 if place else 0.0
            DRAWN[type(one)](one, sketch)
    except ValueError as error:
        return framed(shows.title, str(error), scene.setting.label_style, look)
    sketch.y = max(sketch.y, least) + look.letters.grid / 3
    parts.append(Part(sketch.drawing(_spoken(shows, sketch)), above))
    return BlockDrawing(tuple(parts), is_half=is_half, is_foot=shows.at is At.FOOT)


def _spoken(shows: PageAid, sketch: Sketch) -> str:
    heading = shows.printed_heading or shows.title
    words = sketch.words[1:] if sketch.words[:1] == [heading] else sketch.words
    return f"{heading}: {'; '.join(word for word in words if word.strip())}"


def _put_heading(sketch: Sketch, shows: PageAid, is_half: bool) -> float:
    """Put the heading above or at the side; answers how far down it reaches."""
    heading, letters = shows.printed_heading, sketch.look.letters
    if not heading:
        return 0.0
    sketch.rule(0, sketch.width, 0.25)
    sketch.y = letters.grid / 2
    spans = sketch.spans(heading)
    side = sketch.look.side
    if is_half or not side:
        with sketch.piece("aid heading"):
            for line in sketch.set(spans, letters.aid_heading, sketch.width):
                sketch.line(line, letters.aid_heading, 0, sketch.y)
                sketch.y += letters.aid_heading.leading
        sketch.join_words(0)
        return sketch.y
    y = sketch.y
    with sketch.piece("aid heading"):
        for line in sketch.set(spans, letters.aid_heading, side - 8):
            sketch.line(line, letters.aid_heading, 0, y)
            y += letters.aid_heading.leading
    sketch.join_words(0)
    sketch.left = side
    return y


def _fields(shown: Fields, sketch: Sketch) -> None:
    letters = sketch.look.letters
    if shown.title:
        with sketch.piece("aid heading"):
            for line in sketch.set(sketch.spans(shown.title), letters.heading(1), sketch.room):
                sketch.line(line, letters.heading(1), sketch.left, sketch.y)
                sketch.y += letters.heading(1).leading
    gap, number = 14.0, line_of("Page 00 of 00", letters.small).width if shown.has_page_number else 0.0
    pairs = [(label, _fitting(value, label, sketch)) for label, value in shown.pairs]
    fixed = number
    for label, value in pairs:
        fixed += line_of(label, letters.small).width + 4 + gap + (line_of(value, letters.aid).width if value else 0)
    blank = [label for label, value in pairs if not value]
    line_width = max(36.0, (sketch.room - fixed) / len(blank)) if blank else 0.0
    sketch.y += letters.grid / 2
    x, y = sketch.left, sketch.y
    for label, value in pairs:
        needed = line_of(label, letters.small).width + 4
        needed += line_of(value, letters.aid).width if value else line_width
        if x > sketch.left and x + needed > sketch.right + 0.5:
            x, y = sketch.left, y + letters.aid.leading * 1.5
        # Both styles stand on one base line.
        drop = letters.aid.base_line - letters.small.base_line
        with sketch.piece("paragraph"):
            x = sketch.text(label, letters.small, x, y + drop) + 4
            if value:
                x = sketch.text(value, letters.aid, x, y) + gap
        if not value:
            sketch.rule(x, x + line_width, y + letters.aid.base_line + 1, tone=SOFT)
            x += line_width + gap
    if shown.has_page_number:
        top = y if x + number <= sketch.right + gap else y + letters.aid.leading * 1.5
        drop = letters.aid.base_line - letters.small.base_line
        box = Box(sketch.left, top + drop, sketch.right, top + drop + letters.small.leading)
        sketch.mark(PAGE_NUMBER, "", box)
        y = top
    sketch.y = y + letters.aid.leading + letters.grid / 2


def _fitting(value: str, label: str, sketch: Sketch) -> str:
    """What was filled in, shortened where it is longer than the whole strip."""
    letters = sketch.look.letters
    room = sketch.room - line_of(label, letters.small).width - 5
    return shortened(value, letters.aid, room).text if value else ""


def _text(shown: Text, sketch: Sketch) -> None:
    letters = sketch.look.letters
    style = letters.aid_large if shown.is_large else letters.small if shown.is_quiet else letters.aid
    if shown.is_heading:
        style = letters.aid_heading
        sketch.y += letters.grid
    is_first = True
    for paragraph in prose.read(shown.text, sketch.setting):
        sketch.y += 0 if is_first else style.leading / 4
        indent = 10 * sketch.scale * paragraph.level if paragraph.kind is not ParagraphKind.HEADING else 0
        said = len(sketch.words)
        with sketch.piece("paragraph"):
            for line in sketch.set(
                with_names(paragraph.spans, sketch.setting.label_style.notes), style, sketch.room - indent
            ):
                sketch.line(line, style, sketch.left + indent, sketch.y)
                sketch.y += line.height(style)
        sketch.join_words(said)
        is_first = False


def _steps(shown: Steps, sketch: Sketch) -> None:
    style = sketch.look.letters.aid
    hang = (14.0 if shown.has_boxes else 13.0) * sketch.scale
    spans = [prose.with_writing_lines(sketch.spans(item)) for item in shown.items]
    gap = 12.0
    half = (sketch.room - gap) / 2
    fits_half = all(len(sketch.set(one, style, half - hang)) == 1 for one in spans)
    columns = 2 if fits_half and len(spans) > 2 and half > 150 * sketch.scale else 1
    rows = -(-len(spans) // columns)
    top = lowest = sketch.y
    with sketch.within("checklist" if shown.has_boxes else "numbered list"):
        for place, one in enumerate(spans):
            column, row = divmod(place, rows)
            if row == 0:
                sketch.y = top
            _put_step(shown, place, sketch, one, hang, sketch.left + column * (half + gap),
                      half if columns > 1 else sketch.room)  # fmt: skip
            lowest = max(lowest, sketch.y)
    sketch.y = lowest


def _put_step(
    shown: Steps, place: int, sketch: Sketch, spans: Sequence[Span], hang: float, x: float, width: float
) -> None:
    style, said = sketch.look.letters.aid, len(sketch.words)
    with sketch.within("item"):
        if shown.has_boxes:
            sketch.box(x, sketch.y + style.base_line, 0.78 * style.size, SOFT)
        else:
            with sketch.piece("label"):
                sketch.text(f"{place + 1}.", style, x + hang - 4 * sketch.scale, sketch.y, align=1.0)
        with sketch.piece("body"):
            for line in sketch.set(spans, style, width - hang):
                sketch.line(line, style, x + hang, sketch.y)
                sketch.y += line.height(style)
    sketch.join_words(said)
    sketch.y += 1.5 * sketch.scale


def _lines(shown: Lines, sketch: Sketch) -> None:
    for _ in range(shown.count):
        sketch.y += WRITING_LINE
        sketch.rule(sketch.left, sketch.right, sketch.y, tone=SOFT)
    # The rule over what follows is none to write on, and stands farther off than these from each other.
    sketch.y += 0.9 * WRITING_LINE


def _foot(shown: Foot, sketch: Sketch) -> None:
    letters = sketch.look.letters
    style: TextStyle = letters.small
    right = sketch.right
    sketch.y += 2
    if shown.has_scale:
        left = right - SCALE
        label = "50\N{NO-BREAK SPACE}mm at full size"
        end = left - 8
        with sketch.piece("paragraph"):
            sketch.text(label, style, end, sketch.y, align=1.0)
        level = sketch.y + style.base_line - 0.3 * style.size
        sketch.rule(left, right, level, 0.5, 0.0)
        for x in (left, left + SCALE / 2, right):
            tick = 3.5 if x != left + SCALE / 2 else 2.0
            sketch.shapes.append(Line(x, level - tick, x, level + tick, *letters.rule(0.5, INK)))
        sketch.mark("print scale", "50 mm", Box(left, level - 3.5, right, level + 3.5))
        right = end - line_of(label, style).width - 12
    if not shown.words:
        sketch.y += style.leading
        return
    with sketch.piece("paragraph"):
        for line in sketch.set(sketch.spans(shown.words), style, right - sketch.left):
            sketch.line(line, style, sketch.left, sketch.y)
            sketch.y += style.leading


DRAWN: dict[type[Any], Callable[[Any, Sketch], None]] = {
    Fields: _fields,
    Text: _text,
    Steps: _steps,
    Ladder: draw_ladder,
    Strip: draw_strip,
    Table: draw_table,
    Lines: _lines,
    Keyboards: draw_keyboards,
    Spelled: draw_spelled,
    Foot: _foot,
    Staves: draw_staves,
}
"""Every kind of thing that an aid can show and who draws it; a test holds that none is missing."""
