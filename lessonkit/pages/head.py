"""What a page has around its blocks: the lesson's head, running heads and page numbers, the line of care."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from lessonkit.drawing.shapes import Box, Drawing, Line, Mark, Picture, Piece, Placed
from lessonkit.drills.setting import Setting
from lessonkit.lesson import prose
from lessonkit.lesson.aids.header_strip import HeaderStrip
from lessonkit.lesson.lesson import Aid, Lesson
from lessonkit.lesson.prose import Words
from lessonkit.lesson.told_names import with_names
from lessonkit.pages.page import AIMS_PLACE, PAGE_NUMBER, TITLE_PLACE, PlacedBlock
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.paper import Sheet
from lessonkit.pages.parts import Part
from lessonkit.pages.prose_drawing import paragraph_parts
from lessonkit.pages.style import FAINT, TextStyle
from lessonkit.pages.text_flow import set_lines, shortened
from lessonkit.theory.label_style import LabelStyle

HIGHEST_LETTERHEAD = 51.0
"""The most height of the picture at the head, in points: 18 mm."""

LETTERHEAD = "letterhead"
"""The kind of the mark on it."""


def head_of(lesson: Lesson, look: PageLook) -> tuple[tuple[str, Part], ...]:
    """The head of the first page, each part under the name of its place: title, key and tempo, aims, and a rule."""
    first = lesson.blocks[0] if lesson.blocks else None
    # Most aids bring a rule of their own.
    has_rule = not (isinstance(first, Aid) and first.shows.printed_heading)
    head = _head(lesson.title, lesson.author, lesson.aims, lesson.setting, look, has_rule)
    return (*letterhead_parts(lesson, look), *head)


def letterhead_parts(lesson: Lesson, look: PageLook) -> tuple[tuple[str, Part], ...]:
    """The picture at the head of the first page, as high as its proportions and the width allow."""
    letterhead = lesson.house.letterhead
    if letterhead is None:
        return ()
    across, down = letterhead.size
    grid = look.letters.grid
    height = min(HIGHEST_LETTERHEAD, look.width * down / across)
    width = height * across / down
    words = f"Letterhead of {lesson.author}" if lesson.author else "Letterhead"
    drawing = Drawing(
        look.width,
        height + 2 * grid,
        (Picture(0.0, 0.0, width, height, letterhead.content),),
        (Mark(LETTERHEAD, "", Box(0.0, 0.0, width, height)),),
        words,
        (Piece(0, 1, (("figure", 0),), words),),
    )
    return (("", Part(drawing, keeps=True)),)


@lru_cache(maxsize=64)
def _head(
    title: str, author: str, aims: str, setting: Setting, look: PageLook, has_rule: bool
) -> tuple[tuple[str, Part], ...]:
    labels, letters = setting.label_style, look.letters
    facts = " · ".join(
        filter(None, (f"{labels.key(setting.key)} · ♩ = {setting.tempo}" if look.tells_key else "", author))
    )
    lines = [(TITLE_PLACE, prose.read_line(title, setting), letters.title)]
    whose = (Words(look.copy + (" · " if facts else ""), bold=True),) if look.copy else ()
    if whose or facts:
        lines.append(("", (*whose, Words(facts)), letters.facts))
    parts: list[tuple[str, Part]] = []
    for name, spans, style in lines:
        for line in set_lines(with_names(spans, labels.notes), style, look.width, labels):
            parts.append((name, Part(line.drawing(style, look.width), keeps=True)))
    aim = paragraph_parts(prose.read(aims, setting), letters.aims, look.prose_width, labels, look)
    for place, part in enumerate(aim):
        parts.append((AIMS_PLACE, part if place else replace(part, above=letters.grid)))
    if has_rule:
        rule = Line(0, letters.grid, look.width, letters.grid, *letters.rule(0.5, FAINT))
        parts.append(("", Part(Drawing(look.width, letters.grid, (rule,)))))
    elif parts:
        parts[-1] = (parts[-1][0], replace(parts[-1][1], keeps=False))
    return tuple(parts)


@lru_cache(maxsize=64)
def caution_parts(words: str, look: PageLook) -> tuple[Part, ...]:
    """The line of care below a faint rule; none for no words."""
    if not words:
        return ()
    width, tone = look.letters.rule(0.5, FAINT)
    rule = Line(0, width / 2, look.width, width / 2, width, tone)
    parts = [Part(Drawing(look.width, look.letters.grid, (rule,)), keeps=True)]
    for line in set_lines((Words(words),), look.letters.running, look.width, LabelStyle()):
        parts.append(Part(line.drawing(look.letters.running, look.width), keeps=True))
    return tuple(parts)


def furniture(
    lesson: Lesson,
    title: str,
    sheet: Sheet,
    look: PageLook,
    number: int,
    count: int,
    strips: Sequence[Box],
    is_numbered: bool = True,
) -> list[PlacedBlock]:
    """The running head from page 2 on, and the page number: in the header strip of the page, or at its foot.

    A lesson of one page needs a number only where its header strip asks for one.
    """
    running = look.letters.running
    found = [_page_number(strip, look, number, count) for strip in strips]
    if count == 1:
        return found
    if not strips and is_numbered:
        found.append(number_at_foot(f"{number} of {count}", sheet, look))
    if number > 1:
        key_words = lesson.house.label_style.key(lesson.key) if look.tells_key else ""
        key = _line(" · ".join(filter(None, (look.copy, key_words))), running, look.width)
        head = _line(title, running, look.width - key.width - 24)
        found.append(_on_base_line(head, running, sheet.left, sheet.running_head))
        found.append(_on_base_line(key, running, sheet.left + look.width - key.width, sheet.running_head))
    return found


def whose_page(lesson: Lesson) -> str:
    """For whom the lesson is, as a header strip at its head says; empty where none does."""
    first = lesson.blocks[0] if lesson.blocks else None
    return first.shows.student if isinstance(first, Aid) and isinstance(first.shows, HeaderStrip) else ""


def number_at_foot(words: str, sheet: Sheet, look: PageLook) -> PlacedBlock:
    """The number of a page in the middle of its foot."""
    line = _line(words, look.letters.small, look.width)
    return _on_base_line(
        line, look.letters.small, sheet.left + (look.width - line.width) / 2, sheet.page_number
    )  # fmt: skip


def strips_of(parts: Sequence[PlacedBlock]) -> list[Box]:
    """Where the header strips of a page want its number."""
    return [
        mark.box.moved(part.placed.x, part.placed.y)
        for part in parts
        for mark in part.placed.drawing.marks
        if mark.kind == PAGE_NUMBER
    ]


def _page_number(box: Box, look: PageLook, number: int, count: int) -> PlacedBlock:
    """The number at the right end of a header strip."""
    words = _line(f"Page {number} of {count}", look.letters.small, look.width)
    return PlacedBlock(Placed(words, box.right - words.width, box.top), is_around=True)


@lru_cache(maxsize=512)
def _line(text: str, style: TextStyle, width: float) -> Drawing:
    line = shortened(text, style, width)
    return line.drawing(style, line.width)


def _on_base_line(drawing: Drawing, style: TextStyle, x: float, base_line: float) -> PlacedBlock:
    return PlacedBlock(Placed(drawing, x, base_line - style.base_line), is_around=True)
