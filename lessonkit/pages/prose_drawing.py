"""Headings and notes as lines: the two first and the two last lines of a paragraph stay together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from lessonkit.drawing.shapes import Drawing, Line, Mark, Piece, Text
from lessonkit.drills.setting import Setting
from lessonkit.lesson import prose
from lessonkit.lesson.prose import Paragraph, ParagraphKind, Span, Words, WritingLine
from lessonkit.lesson.told_names import with_names
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.parting import between_paragraphs
from lessonkit.pages.parts import BlockDrawing, Part
from lessonkit.pages.reading_places import Within, places_of
from lessonkit.pages.style import (
    FAINT,
    INDENT,
    SPACE_ABOVE_HEADING,
    SPACE_ABOVE_SIDE_HEADING,
    SPACE_BELOW_HEADING,
    SPACE_BETWEEN_BLOCKS,
    SPACE_BETWEEN_ITEMS,
    SPACE_BETWEEN_PARAGRAPHS,
    TextStyle,
)
from lessonkit.pages.text_flow import line_of, set_lines
from lessonkit.theory.label_style import LabelStyle


def paragraph_parts(
    paragraphs: Sequence[Paragraph], style: TextStyle, width: float, labels: LabelStyle, look: PageLook
) -> tuple[Part, ...]:
    """Paragraphs as lines of a width in a style, spaced and kept together as prose is."""
    drawn: list[Sequence[Part]] = []
    before: Paragraph | None = None
    for place, (paragraph, within) in enumerate(zip(paragraphs, places_of(paragraphs), strict=True)):
        following = paragraphs[place + 1] if place + 1 < len(paragraphs) else None
        lines = _paragraph_parts(paragraph, before, following, style, width, labels, look)
        drawn.append([replace(part, drawing=_told(part.drawing, within)) for part in lines])
        before = paragraph
    parts: list[Part] = []
    for one, (inside, behind) in zip(drawn, between_paragraphs(paragraphs, [*map(len, drawn)]), strict=True):
        parts += (replace(line, parting=inside) for line in one[:-1])
        parts += (replace(line, parting=behind) for line in one[-1:])
    return (*parts[:-1], *(replace(part, parting=0.0) for part in parts[-1:]))


def _told(drawing: Drawing, within: Within) -> Drawing:
    """A line as a reader meets it: the mark of an item before its words."""
    count = len(drawing.shapes)
    words = next(mark.detail for mark in drawing.marks if mark.kind == "text")
    kind, number = within[-1]
    label = drawing.spoken[: len(drawing.spoken) - len(words)].strip()
    if kind != "body" or not label:
        return replace(drawing, pieces=(Piece(0, count, within, words),))
    # The mark is one run of text before all others.
    pieces = (Piece(0, 1, (*within[:-1], ("label", number)), label), Piece(1, count, within, words))
    return replace(drawing, pieces=pieces)


@lru_cache(maxsize=2048)
def heading_drawing(text: str, level: int, setting: Setting, look: PageLook) -> BlockDrawing:
    """A heading, whose lines keep with what follows."""
    spans = prose.read_line(text, setting)
    parts = _heading_parts(spans, level, SPACE_ABOVE_HEADING[min(level, 3)], setting.label_style, look)
    return BlockDrawing(parts, side=_side_heading(spans, setting.label_style, look) if level == SMALL_HEADING else None)


SMALL_HEADING = 2
"""The level of headings that stand beside the note that they head."""

MOST_SIDE_LINES = 4


def _side_heading(spans: tuple[Span, ...], labels: LabelStyle, look: PageLook) -> Part | None:
    """A heading for the column at the left, as one part; None where there is no room for it."""
    style = look.letters.side_heading
    lines = (
        set_lines(with_names(spans, labels.notes), style, look.side - 10 * look.letters.scale, labels)
        if look.side
        else ()
    )
    if not 0 < len(lines) <= MOST_SIDE_LINES:
        return None
    shapes: list[Text] = []
    marks: list[Mark] = []
    for place, line in enumerate(lines):
        drawn, down = line.drawing(style, look.side), place * style.leading
        shapes += [shape._replace(y=shape.y + down) for shape in drawn.shapes if isinstance(shape, Text)]
        marks += [mark._replace(box=mark.box.moved(0, down)) for mark in drawn.marks]
    words = prose.plain_line(spans, labels).strip()
    piece = Piece(0, len(shapes), ((f"heading {SMALL_HEADING}", 0),), words)
    drawing = Drawing(look.side, len(lines) * style.leading, tuple(shapes), tuple(marks), words, (piece,))
    return Part(drawing, SPACE_ABOVE_SIDE_HEADING * look.letters.scale, True, words, SMALL_HEADING)


def _heading_parts(
    spans: tuple[Span, ...], level: int, above: float, labels: LabelStyle, look: PageLook
) -> tuple[Part, ...]:
    style = look.letters.heading(level)
    words = prose.plain_line(spans, labels).strip()
    parts = []
    for place, line in enumerate(set_lines(with_names(spans, labels.notes), style, look.width, labels)):
        drawing = line.drawing(style, look.width)
        piece = Piece(0, len(drawing.shapes), ((f"heading {level}", 0),), line.text)
        drawing = replace(drawing, pieces=(piece,))
        parts.append(Part(drawing, 0.0 if place else above * look.letters.scale, True, "" if place else words, level))
    return tuple(parts)


@lru_cache(maxsize=2048)
def note_drawing(text: str, setting: Setting, look: PageLook) -> BlockDrawing:
    """A note as lines of prose."""
    width = look.prose_width
    # Lines are as wide as the column of prose, which stands at the right of the column of headings.
    column = replace(look, width=width)
    parts = paragraph_parts(prose.read(text, setting), look.letters.body, width, setting.label_style, column)
    if not parts:
        # An empty note keeps a line, so that there is something to select and write into.
        parts = (Part(Drawing(width, look.letters.body.leading, (), spoken="empty note")),)
    above = max(parts[0].above, SPACE_BETWEEN_BLOCKS * look.letters.scale)
    return BlockDrawing((replace(parts[0], above=above), *parts[1:]), x=look.side)


FOR_TEACHER = "For the teacher"
"""Stands above a note that no student gets."""


@lru_cache(maxsize=512)
def for_teacher(drawing: BlockDrawing, look: PageLook) -> BlockDrawing:
    """A note with a line down its left side and a word that says for whom it is."""
    style = look.letters.aid_heading
    label = line_of(FOR_TEACHER, style).drawing(style, drawing.parts[0].drawing.width)
    first, *others = drawing.parts
    parts = [Part(label, first.above, keeps=True), replace(first, above=0.0), *others]
    return replace(drawing, parts=tuple(_with_bar(part, place > 0, look) for place, part in enumerate(parts)))


def _with_bar(part: Part, is_inside: bool, look: PageLook) -> Part:
    """A part with a piece of the line; between paragraphs it reaches up to the one above, wherever the grid puts it."""
    x = -0.9 * look.letters.grid
    top = -part.above - look.letters.grid if is_inside and part.above else 0.0
    bar = Line(x, top, x, part.drawing.height, 1.5 * look.letters.scale, look.letters.rule(1.5, FAINT)[1])
    return replace(part, drawing=replace(part.drawing, shapes=(*part.drawing.shapes, bar)))


def _paragraph_parts(
    paragraph: Paragraph, before: Paragraph | None, following: Paragraph | None,
    style: TextStyle, width: float, labels: LabelStyle, look: PageLook,
) -> tuple[Part, ...]:  # fmt: skip
    if paragraph.kind is ParagraphKind.HEADING:
        # The headings of a note stand below those of the lesson.
        level = min(paragraph.level + 1, 3)
        return _heading_parts(paragraph.spans, level, SPACE_ABOVE_HEADING[level] if before else 0.0, labels, look)
    step = INDENT * look.letters.scale
    indent = step * paragraph.level
    lines = set_lines(with_names(paragraph.spans, labels.notes), style, width - indent, labels)
    above = _space_between(before, paragraph) * look.letters.scale
    leads_on = _leads_on(paragraph, following)
    parts = []
    for place, line in enumerate(lines):
        mark = _item_mark(paragraph, style, indent, step) if place == 0 else ()
        drawing = line.drawing(style, look.width, indent, mark)
        left = len(lines) - 1 - place
        # The first two lines stay together, and the last two.
        keeps = (place == 0 and left > 0) or left == 1 or (left == 0 and leads_on)
        parts.append(Part(drawing, 0.0 if place else above, keeps))
    return tuple(parts)


def _space_between(before: Paragraph | None, paragraph: Paragraph) -> float:
    if before is None or _is_writing_line(paragraph):
        # A line to write on brings its own room.
        return 0.0
    if before.kind is ParagraphKind.HEADING:
        return SPACE_BELOW_HEADING
    if before.level and paragraph.level:
        return SPACE_BETWEEN_ITEMS
    return SPACE_BETWEEN_PARAGRAPHS


def _leads_on(paragraph: Paragraph, following: Paragraph | None) -> bool:
    """A sentence that announces a list stays with its first item, and a question with the line for its answer."""
    if following is not None and _is_writing_line(following) and not _is_writing_line(paragraph):
        return True
    is_item = following is not None and following.kind in (ParagraphKind.ITEM, ParagraphKind.NUMBERED_ITEM)
    last = paragraph.spans[-1] if paragraph.spans else None
    return is_item and isinstance(last, Words) and last.text.rstrip().endswith(":")


def _is_writing_line(paragraph: Paragraph) -> bool:
    return any(isinstance(span, WritingLine) for span in paragraph.spans) and not any(
        not isinstance(span, WritingLine | Words) or (isinstance(span, Words) and span.text.strip())
        for span in paragraph.spans
    )


def _item_mark(paragraph: Paragraph, style: TextStyle, indent: float, step: float) -> tuple[Text, ...]:
    if paragraph.kind is ParagraphKind.ITEM:
        line = line_of("•" if paragraph.level == 1 else "–", style)
        x = indent - step + 3
    elif paragraph.kind is ParagraphKind.NUMBERED_ITEM:
        line = line_of(f"{paragraph.number}.", style)
        x = max(0.0, indent - 5 - line.width)
    else:
        return ()
    return tuple(shape._replace(x=shape.x + x) for shape in line.shapes)
