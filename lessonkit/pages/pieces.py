"""The parts of each block on their way to a page. What a block's neighbours make of them is all that ties blocks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import chain, pairwise

from lessonkit.lesson.lesson import Aid, Block, Drill, Note, Space, UnknownDrill
from lessonkit.pages.parting import (
    FEW_WORDS_FROM_DRILL,
    LEAST_UNDER_A_HEADING,
    SPACE_FROM_WORDS,
    UNDER_A_HEADING,
    WORDS_FROM_DRILL,
)
from lessonkit.pages.parts import BlockDrawing, Part
from lessonkit.pages.style import SPACE_BELOW_LEADING_AID, SPACE_UNDER_HEADING
from lessonkit.values import dataclass

SHORT_NOTE = 4
"""A note of fewer parts says what to do with the drill that follows it."""


@dataclass(frozen=True, slots=True)
class Item:
    """A part on its way to a page, with the space above it and its hold on the next one as its neighbours make them."""

    part: Part
    block_id: str
    place: int
    above: float
    keeps: bool
    is_half: bool = False
    """Whether it takes half the width, below or beside its neighbours that do."""
    x: float = 0.0
    is_side: bool = False
    """Whether what follows begins at its height, beside it."""
    parting: float = 0.0
    """How much of a page may rather stay empty than ending it behind the part."""
    least: float | None = None
    """The height that is enough where a page has no room for the whole of it; None where it is never less."""

    @property
    def height(self) -> float:
        """The least height that it takes."""
        return self.part.drawing.height if self.least is None else self.least


@dataclass(frozen=True, slots=True)
class Above:
    """What a block has to know of those above it."""

    is_below_heading: bool = False
    was_half: bool = False
    is_lead: bool = False
    """Whether the block above leads the drill below it."""


@dataclass(frozen=True, slots=True)
class Below:
    """What a block has to know of the one below it."""

    is_note_beside: bool = False
    """Whether it is a note that leaves room at its left."""
    is_half: bool = False
    is_drill: bool = False
    is_drill_or_unknown: bool = False
    is_space: bool = False
    is_nothing: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """The items of one block, and all that they were made from. None among them asks for a new page."""

    name: str
    kind: type
    leads: bool
    drawing: BlockDrawing
    above: Above
    below: Below
    items: tuple[Item | None, ...]
    leaves: Above
    """What the block below has to know of the ones above it."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """Items that stay on one page; none in it asks for a new page.

    ``start`` is the piece and the place in it where they begin, ``known_by`` the last piece that was looked at to know
    that they end; one more than there are pieces where only the end of all ends them.
    """

    items: tuple[Item, ...]
    start: tuple[int, int]
    known_by: int


def pieces_of(pairs: Iterable[tuple[Block, BlockDrawing]], before: Sequence[Piece] = ()) -> Iterator[Piece]:
    """The pieces of drawn blocks in order; those ``before`` are given again, the same ones, where nothing differs."""
    known = {piece.name: piece for piece in before}
    above = Above()
    ending: Iterable[tuple[Block, BlockDrawing] | None] = chain(pairs, (None,))
    for one, following in pairwise(ending):
        assert one is not None
        block, drawing = one
        below, leads = _below(following), _leads(block)
        piece = known.get(block.id)
        if (
            piece is None
            or piece.drawing is not drawing
            or piece.kind is not type(block)
            or piece.leads != leads
            or piece.above != above
            or piece.below != below
        ):
            items, leaves = _items(block, drawing, above, below)
            piece = Piece(block.id, type(block), leads, drawing, above, below, items, leaves)
        yield piece
        above = piece.leaves


def clusters(pieces: Sequence[Piece], start: tuple[int, int] = (0, 0)) -> Iterator[Cluster | None]:
    """Runs of items that stay on one page, from a place on; None where a new page is asked for."""
    cluster: list[Item] = []
    began = start
    for number in range(start[0], len(pieces)):
        items = pieces[number].items
        for place in range(start[1] if number == start[0] else 0, len(items)):
            item = items[place]
            if item is None:
                if cluster:
                    yield Cluster(tuple(cluster), began, number)
                    cluster = []
                yield None
                continue
            if not cluster:
                began = (number, place)
            cluster.append(item)
            if not item.keeps:
                yield Cluster(tuple(cluster), began, number)
                cluster = []
    if cluster:
        yield Cluster(tuple(cluster), began, len(pieces) + 1)


def _leads(block: Block) -> bool:
    return isinstance(block, Aid) and block.shows.leads


def _below(following: tuple[Block, BlockDrawing] | None) -> Below:
    if following is None:
        return Below(is_nothing=True)
    block, drawing = following
    return Below(
        isinstance(block, Note) and bool(drawing.x),
        drawing.is_half,
        isinstance(block, Drill),
        isinstance(block, Drill | UnknownDrill),
        isinstance(block, Space),
    )


def _parting(block: Block, is_short_note: bool, below: Below) -> float:
    """What it costs to part a block from the one below it."""
    if isinstance(block, Drill | Space):
        return 0.0
    if below.is_drill_or_unknown:
        return FEW_WORDS_FROM_DRILL if is_short_note else WORDS_FROM_DRILL
    return SPACE_FROM_WORDS if below.is_space else 0.0


def _items(
    block: Block, drawing: BlockDrawing, above: Above, below: Below
) -> tuple[tuple[Item | None, ...], Above]:  # fmt: skip
    items: list[Item | None] = [None] if drawing.is_break else []
    if drawing.is_foot:
        return tuple(items), above
    # The first two of a row of halves stand side by side on one page; the others find their place below these.
    if drawing.side is not None and below.is_note_beside:
        side = drawing.side
        items.append(Item(side, block.id, 0, side.above, True, is_side=True))
        return tuple(items), above
    begins_row = drawing.is_half and not above.was_half and below.is_half
    # A line or two that say what to do with a drill stay with it.
    is_short_note = isinstance(block, Note) and len(drawing.parts) < SHORT_NOTE
    leads = _leads(block)
    says_what_to_do = is_short_note and below.is_drill_or_unknown
    is_below_heading = above.is_below_heading
    is_short_start = above.is_below_heading and isinstance(block, Note)
    last = len(drawing.parts) - 1
    for place, part in enumerate(drawing.parts):
        if place == 0 and above.is_lead and isinstance(block, Drill):
            part = replace(part, above=min(part.above, SPACE_BELOW_LEADING_AID))
        holds = begins_row or (leads and below.is_drill) or (says_what_to_do and place < last)
        space = min(part.above, SPACE_UNDER_HEADING) if is_below_heading and place == 0 else part.above
        keeps = (part.keeps and not drawing.is_half) or holds
        parting = part.parting
        if place == last:
            parting += _parting(block, is_short_note, below)
        if is_short_start and place < last:
            parting += UNDER_A_HEADING if place + 1 < LEAST_UNDER_A_HEADING else 0.0
        # Room to write in at the end of the lesson is whatever the page has left, as long as that is half of it.
        least = part.drawing.height / 2 if isinstance(block, Space) and below.is_nothing else None
        items.append(
            Item(part, block.id, place, space, keeps, drawing.is_half, drawing.x, parting=parting, least=least)
        )
        is_below_heading = part.level > 0
    return tuple(items), Above(is_below_heading, drawing.is_half, leads)
