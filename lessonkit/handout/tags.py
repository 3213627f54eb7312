"""Tags: what each piece of a page is, in reading order, so that a screen reader can tell it (PDF/UA-1, ISO 14289-1).

Headings are H1 (the title) and below, none skipped; prose is P; lists are L, LI, Lbl and LBody; tables Table, TR, TH
with its scope and TD; music, maps, strips and pictures of keys are figures (Figure) with their place and their words as
alternative text; links are Link with their annotation. Running heads, page numbers, rules, boxes and lines to write on
are artifacts. The order is that of the pages and of the blocks on them, whatever column or side of a sheet they are on.

How far it goes: a system of music is one figure whose words say what is played and which line it is, not its notes,
which the talking score beside the handout tells; a difficulty map is a figure whose words are its rows. reportlab knows
nothing of tags: marked content and tree are written through its objects of a PDF.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from lessonkit.drawing.shapes import Drawing, Text
from lessonkit.pages.page import TITLE_PLACE, Page, PlacedBlock
from lessonkit.values import dataclass

FIGURES = frozenset({"staff", "map cell", "key", "key cell"})
"""The marks of what is looked at rather than read."""

SAME_PARAGRAPH = 1.0
"""Lines of one block no further apart than this, in points, are one paragraph."""

Within = tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Run:
    """Shapes of a part, from ``first`` up to ``end``, that are one thing; an artifact where ``within`` is empty.

    ``words`` are what it says, ``seen`` the letters that stand on the page. ``scope`` and ``within`` tell whether two
    runs are of one thing.
    """

    part: PlacedBlock
    first: int
    end: int
    scope: str = ""
    within: Within = ()
    words: str = ""
    seen: str = ""


def runs_of(page: Page) -> Iterator[Run]:
    """All shapes of a page in reading order."""
    number, before = 0, None
    for part in page.parts:
        drawing = part.placed.drawing
        if drawing.shapes or drawing.pieces:
            number += 0 if before is not None and _goes_on(before, part) else 1
            yield from _runs(part, f"{page.number} {number}")
        before = part


def _runs(part: PlacedBlock, place: str) -> Iterator[Run]:
    drawing = part.placed.drawing
    count = len(drawing.shapes)
    if part.is_around or not drawing.marks:
        yield Run(part, 0, count)
        return
    if part.block_id == TITLE_PLACE:
        yield Run(part, 0, count, place, (("title", 0),), drawing.spoken, _seen(drawing, 0, count))
        return
    if not drawing.pieces:
        is_figure = any(mark.kind in FIGURES for mark in drawing.marks)
        words = drawing.spoken if is_figure else _words(drawing)
        kind = "figure" if is_figure else "paragraph"
        yield Run(part, 0, count, place, ((kind, 0),), words, _seen(drawing, 0, count))
        return
    scope = f"block {part.block_id}" if part.block_id else place
    for one, following in pairwise((None, *drawing.pieces, None)):
        begins = 0 if one is None else one.end
        if one is not None:
            seen = _seen(drawing, one.first, one.end)
            yield Run(part, one.first, one.end, scope, one.within, one.words, seen)
        ends = count if following is None else following.first
        if ends > begins:
            yield Run(part, begins, ends)


def _words(drawing: Drawing) -> str:
    """The words of a drawing as they are read."""
    texts = [mark.detail for mark in drawing.marks if mark.kind == "text"]
    return "\n".join(texts) if len(texts) > 1 else drawing.spoken


def _seen(drawing: Drawing, first: int, end: int) -> str:
    """The letters on the page, in the order in which they are painted."""
    return "".join(shape.text for shape in drawing.shapes[first:end] if isinstance(shape, Text))


def _goes_on(before: PlacedBlock, one: PlacedBlock) -> bool:
    """Whether a line belongs to the paragraph or title of the line before."""
    if before.block_id != one.block_id or any(mark.kind in FIGURES for mark in one.placed.drawing.marks):
        return False
    gap = one.placed.y - before.placed.box.bottom
    return abs(gap) <= SAME_PARAGRAPH and one.placed.x == before.placed.x
