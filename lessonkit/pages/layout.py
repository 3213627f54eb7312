"""Pages while they fill: parts that stay together are placed together, and a page ends where it can be turned.

On paper printed on both sides every odd page is a right-hand one, behind which the page is turned. It ends between
blocks where it can; inside a drill rather where a hand is free than where both play.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import field

from lessonkit.drawing.shapes import Placed
from lessonkit.pages.columns import Columns
from lessonkit.pages.page import OutlineEntry, PlacedBlock
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.paper import Sheet
from lessonkit.pages.parts import Part, Turn
from lessonkit.pages.style import GUTTER
from lessonkit.values import dataclass


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


TURN_COSTS = {Turn.FREE: 0.0, Turn.REST: 0.15, Turn.BUSY: 0.5}
"""How much of a page may rather be left empty than turning it so; found by trying on the sample lessons."""


@dataclass(frozen=True, slots=True)
class _Chance:
    """How a page stood before what stays together was placed on it: it may end there instead."""

    cluster: list[Item]
    parts: int
    outlines: int
    y: float
    turn: Turn


@dataclass(slots=True)
class Layout:
    """The pages while they fill; ``has_turns`` where they are printed on both sides of the paper."""

    sheet: Sheet
    look: PageLook
    has_turns: bool = True
    pages: list[list[PlacedBlock]] = field(default_factory=lambda: [[]])
    outlines: list[list[OutlineEntry]] = field(default_factory=lambda: [[]])
    y: float = 0.0
    columns: Columns = field(default_factory=Columns)
    side_end: float = 0.0
    """Where the last heading beside a note ends."""
    is_beside: bool = False
    """Whether what comes next begins beside such a heading."""
    is_asked_to_break: bool = False
    chances: list[_Chance] = field(default_factory=list)
    """Where the right-hand page that is filling may end."""
    last: Turn = Turn.FREE
    """How the page can be turned behind what was placed last."""

    @property
    def top(self) -> float:
        return self.sheet.first_top if len(self.pages) == 1 else self.sheet.top

    @property
    def room(self) -> float:
        return self.sheet.bottom - self.top

    def place_all(self, items: Iterable[Item | None]) -> None:
        """Place parts in order, those that stay together on one page."""
        for cluster in _clusters(items):
            if cluster is None:
                self.break_page()
            else:
                self.place(cluster)

    def place_at_foot(self, parts: tuple[tuple[str, Part], ...]) -> None:
        """Place parts of blocks at the foot of the last page that has room below what stands there, or of a new one."""
        if not parts:
            return
        height = sum(part.drawing.height for _, part in parts)
        number = next((place for place in reversed(range(len(self.pages))) if self._end(place) + height <= 0), None)
        if number is None:
            self._new_page()
            number = len(self.pages) - 1
        y = self.sheet.bottom - height
        for name, part in parts:
            self.pages[number].append(PlacedBlock(Placed(part.drawing, self.sheet.left, y), name))
            y += part.drawing.height
        if number == len(self.pages) - 1:
            # Whatever is placed later comes on a new page.
            self.y = self.room

    def _end(self, number: int) -> float:
        """How far above the foot of a page its last part ends, negative, with half a line's space."""
        ends = [part.placed.box.bottom for part in self.pages[number]]
        return max(ends) + self.look.letters.grid - self.sheet.bottom if ends else -self.room

    def break_page(self) -> None:
        """Whatever comes next begins a page; a break after which nothing comes leaves no empty page."""
        if self.is_asked_to_break:
            self._new_page()
        self.is_asked_to_break = True

    def place(self, cluster: list[Item]) -> None:
        """Place parts that stay together; what is higher than a page is placed part by part."""
        if self.is_asked_to_break:
            self._new_page()
            self.is_asked_to_break = False
        if self.pages[-1] and self.y + self._height(cluster) > self.room and not self._fits_nowhere(cluster):
            moved = self._given_back()
            self._new_page()
            if moved:
                for earlier in (*moved, cluster):
                    self.place(earlier)
                return
        if self.has_turns and len(self.pages) % 2 and self.pages[-1]:
            parts, outlines = len(self.pages[-1]), len(self.outlines[-1])
            self.chances.append(_Chance(cluster, parts, outlines, self.y, self.last))
        self.last = cluster[-1].part.after
        for item in cluster:
            if item.is_half:
                self._put_half(item)
                continue
            self.columns = Columns()
            above = self._above(item) if self.pages[-1] and not self.is_beside else 0.0
            if self.pages[-1] and self.y + above + item.part.drawing.height > self.room + 0.01:
                self._new_page()
                above = 0.0
            self._put(item, above)

    def _given_back(self) -> list[list[Item]]:
        """What the full page gives to the next one so that it ends where it can be turned; mostly nothing."""
        if not self.chances:
            return []
        cost = TURN_COSTS[self.last] + 1 - self.y / self.room
        best = len(self.chances)
        for place, chance in enumerate(self.chances):
            other = TURN_COSTS[chance.turn] + 1 - chance.y / self.room
            if other < cost:
                cost, best = other, place
        moved = self.chances[best:]
        if moved:
            del self.pages[-1][moved[0].parts :]
            del self.outlines[-1][moved[0].outlines :]
        return [chance.cluster for chance in moved]

    def _fits_nowhere(self, cluster: list[Item]) -> bool:
        return self._height(cluster) - self._above(cluster[0]) > self.sheet.bottom - self.sheet.top

    def _height(self, cluster: list[Item]) -> float:
        """The height below what stands already; snapping to the grid adds up to a step at each space."""
        y, columns, is_beside = self.y, self.columns, self.is_beside
        for item in cluster:
            if item.is_half:
                columns = columns.begun(y + self._above(item, y)).with_one(item.above, item.part.drawing.height)
                y = max(y, columns.end)
                continue
            columns = Columns()
            y += 0.0 if is_beside else self._above(item, y)
            is_beside = item.is_side
            y += 0.0 if item.is_side else item.part.drawing.height
        return y - self.y - 0.01

    def _above(self, item: Item, y: float | None = None) -> float:
        """The space above a part; what takes the whole width begins below a heading at the side."""
        y = self.y if y is None else y
        if not item.x:
            y_end = max(y, self.side_end)
            return self._snapped(item, y_end) + y_end - y
        return self._snapped(item, y)

    def _snapped(self, item: Item, y: float) -> float:
        """The space that a part wants above it, stretched so that a block begins on the grid."""
        grid = self.look.letters.grid
        if item.above < grid:
            return item.above
        return math.ceil((y + item.above) / grid - 1e-6) * grid - y

    def _put(self, item: Item, above: float) -> None:
        self.y += above
        y = self.top + self.y
        placed = Placed(item.part.drawing, self.sheet.left + item.x, y)
        self.pages[-1].append(PlacedBlock(placed, item.block_id, item.place))
        if item.part.outline:
            self.outlines[-1].append(OutlineEntry(item.part.outline, item.part.level, y))
        self.is_beside = item.is_side
        if item.is_side:
            self.side_end = self.y + item.part.drawing.height
        else:
            self.y += item.part.drawing.height

    def _put_half(self, item: Item) -> None:
        """Put a part of half the width into the column that ends higher; the left one where both end alike."""
        above = self._above(item) if self.pages[-1] else 0.0
        columns = self.columns.begun(self.y + above)
        if self.pages[-1] and columns.with_one(item.above, item.part.drawing.height).end > self.room + 0.01:
            self._new_page()
            columns = Columns().begun(0.0)
        x = self.sheet.left + (self.look.half_width + GUTTER) * columns.next
        y = columns.next_top(item.above)
        self.pages[-1].append(PlacedBlock(Placed(item.part.drawing, x, self.top + y), item.block_id, item.place))
        self.columns = columns.with_one(item.above, item.part.drawing.height)
        self.y = self.columns.end

    def _new_page(self) -> None:
        self.pages.append([])
        self.outlines.append([])
        self.y = self.side_end = 0.0
        self.columns = Columns()
        self.is_beside = False
        self.chances = []
        self.last = Turn.FREE


def _clusters(items: Iterable[Item | None]) -> Iterator[list[Item] | None]:
    """Runs of parts that stay on one page."""
    cluster: list[Item] = []
    for item in items:
        if item is None:
            if cluster:
                yield cluster
            cluster = []
            yield None
            continue
        cluster.append(item)
        if not item.keeps:
            yield cluster
            cluster = []
    if cluster:
        yield cluster
