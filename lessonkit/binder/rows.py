"""Rows of words with page numbers, as contents and index have them, set into columns and pages. Each row is a link."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonkit.drawing.shapes import Box, Drawing, Line, Placed
from lessonkit.lesson.lesson import Lesson
from lessonkit.lesson.prose import Words
from lessonkit.pages.blocks import look_of
from lessonkit.pages.page import TITLE_PLACE, OutlineEntry, Page, PageLink, PlacedBlock
from lessonkit.pages.paper import SHEETS
from lessonkit.pages.style import FAINT, TextStyle
from lessonkit.pages.text_flow import line_of, set_lines, shortened
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass

COLUMN_GAP = 24.0
NUMBER_GAP = 6.0


@dataclass(frozen=True, slots=True)
class Row:
    """One line: its words, the pages it leads to, how far it hangs in (in steps), and whether it heads others."""

    words: str
    pages: tuple[int, ...] = ()
    depth: int = 0
    is_head: bool = False
    goes_on: bool = False
    """Whether the next row has more pages of it."""


STEP_IN = 14.0


def pages_of_rows(
    title: str, told: str, rows: Sequence[Row], paper: Lesson, columns: int = 1, first: int = 1
) -> tuple[Page, ...]:
    """Rows below a title on as many pages as they need, numbered from ``first``; ``paper`` says on which paper.

    A row with several pages names them all; those that do not fit on one line go on in the next.
    """
    sheet, look = SHEETS[paper.paper], look_of(paper)
    letters, grid = look.letters, look.letters.grid
    width = (look.width - COLUMN_GAP * (columns - 1)) / columns
    set_rows = [line for row in rows for line in _broken(row, letters.body, width)]
    pages: list[Page] = []
    parts: list[PlacedBlock] = []
    links: list[PageLink] = []
    y = sheet.first_top
    for name, words, style in ((TITLE_PLACE, title, letters.title), ("", told, letters.facts)):
        if words:
            drawing = shortened(words, style, look.width).drawing(style, look.width)
            parts.append(PlacedBlock(Placed(drawing, sheet.left, y), name))
            y += style.leading
    y += 2 * grid
    column, top = 0, y

    def finish() -> None:
        outline = () if pages or not title else (OutlineEntry(title, 0, 0.0),)
        pages.append(Page(sheet.width, sheet.height, first + len(pages), tuple(parts), outline, tuple(links)))
        parts.clear()
        links.clear()

    for place, row in enumerate(set_rows):
        style = letters.headings[2] if row.is_head else letters.body
        above = grid if row.is_head and y > top else 0.0
        # A head is never the last line of a column.
        needed = above + style.leading * (2 if row.is_head and place + 1 < len(set_rows) else 1)
        if y + needed > sheet.bottom:
            column += 1
            if column == columns:
                finish()
                column, top = 0, sheet.top
            y, above = top, 0.0
        y += above
        x = sheet.left + column * (width + COLUMN_GAP)
        parts.append(PlacedBlock(Placed(_drawn(row, style, width), x, y)))
        links += _links(row, style, width, x, y)
        y += style.leading
    finish()
    return tuple(pages)


def _numbers(row: Row) -> str:
    return ", ".join(map(str, row.pages)) + ("," if row.goes_on else "")


def _broken(row: Row, style: TextStyle, width: float) -> list[Row]:
    """A row as it is; words or pages that are too many for its line go on in lines of their own."""
    room = width - row.depth * STEP_IN - NUMBER_GAP
    if not row.pages and line_of(row.words, style).width > room:
        lines = set_lines((Words(row.words),), style, room, LabelStyle())
        return [replace(row, words=line.text) for line in lines]
    if line_of(row.words, style).width + line_of(_numbers(row), style).width <= room or len(row.pages) < 2:
        return [row]
    found: list[Row] = [replace(row, pages=())]
    for page in row.pages:
        last = found[-1]
        fuller = replace(last, pages=(*last.pages, page))
        used = line_of(last.words, style).width + line_of(_numbers(fuller) + ",", style).width
        if used <= room and (last.pages or len(found) == 1):
            found[-1] = fuller
        else:
            found.append(replace(row, words="", pages=(page,), is_head=False))
    return [replace(one, goes_on=True) for one in found[:-1]] + found[-1:]


def _drawn(row: Row, style: TextStyle, width: float) -> Drawing:
    numbers = line_of(_numbers(row), style)
    indent = row.depth * STEP_IN
    words = shortened(row.words, style, width - indent - numbers.width - NUMBER_GAP)
    drawing = words.drawing(style, width, indent)
    if not row.pages:
        return drawing
    right = numbers.drawing(style, width, width - numbers.width)
    y = style.base_line
    left, end = indent + words.width + NUMBER_GAP, width - numbers.width - NUMBER_GAP
    leader = (Line(left, y, end, y, 0.5, FAINT, (0.5, 3.0)),) if end - left > 3 * NUMBER_GAP else ()
    return Drawing(
        width, style.leading, (*drawing.shapes, *leader, *right.shapes), (*drawing.marks, *right.marks),
        f"{row.words} {_numbers(row)}",
    )  # fmt: skip


def _links(row: Row, style: TextStyle, width: float, x: float, y: float) -> list[PageLink]:
    """The whole line leads to its page; where it has several, each number leads to its own."""
    if len(row.pages) == 1:
        return [PageLink(Box(x, y, x + width, y + style.leading), row.pages[0])]
    found: list[PageLink] = []
    right = x + width - (line_of(",", style).width if row.goes_on else 0.0)
    for place in reversed(range(len(row.pages))):
        size = line_of(str(row.pages[place]), style).width
        found.append(PageLink(Box(right - size, y, right, y + style.leading), row.pages[place]))
        right -= size + line_of(", ", style).width
    return found
