"""A finished page: drawings in their places. The screen and the PDF get these same values."""

from __future__ import annotations

from lessonkit.drawing.shapes import Box, Placed
from lessonkit.values import dataclass

TITLE_PLACE, AIMS_PLACE = "head:title", "head:aims"
"""What stands for a block's id where a page shows the lesson's title or its aims; no block can have such an id."""

PAGE_NUMBER = "page number"
"""The kind of the mark where a header strip wants the number of its page."""


@dataclass(frozen=True, slots=True)
class PlacedBlock:
    """One drawing of a block on a page: a system of a drill, or a line of a note.

    ``block_id`` is empty for what belongs to the page itself (running head, page number, the lesson's key and tempo).
    ``part`` counts the drawings of one block from 0.
    """

    placed: Placed
    block_id: str = ""
    part: int = 0
    is_around: bool = False
    """Whether it is a running head or a page number, which stands around the text and is not read with it."""


@dataclass(frozen=True, slots=True)
class OutlineEntry:
    """A heading for the list of contents that a PDF reader shows: its words, its depth and its height on the page.

    Headings have the levels 1 and 2; 0 is for what is bound, a whole lesson among others.
    """

    text: str
    level: int
    y: float


@dataclass(frozen=True, slots=True)
class PageLink:
    """A place on a page, such as a line of contents, from which a reader goes to the page of a number."""

    box: Box
    number: int


@dataclass(frozen=True, slots=True)
class Page:
    """A page of a size in points; ``number`` counts from 1."""

    width: float
    height: float
    number: int
    parts: tuple[PlacedBlock, ...]
    outline: tuple[OutlineEntry, ...] = ()
    links: tuple[PageLink, ...] = ()
