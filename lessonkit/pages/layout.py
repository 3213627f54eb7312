"""Pages while they fill: parts that stay together are placed together, and a page ends where that costs least.

Each place where a page can end has a cost, and so has what stays empty below it; on paper printed on both sides every
odd page is a right-hand one, behind which the page is turned, which costs more where both hands play.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import field, replace

from lessonkit.drawing.shapes import Box, Placed
from lessonkit.pages.columns import Columns
from lessonkit.pages.page import OutlineEntry, Page, PlacedBlock
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.paper import Sheet
from lessonkit.pages.parting import TURN_COSTS, emptiness
from lessonkit.pages.pieces import Cluster, Item
from lessonkit.pages.style import GUTTER
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class _Chance:
    """How a page stood before what stays together was placed on it: it may end there instead."""

    cluster: Cluster
    parts: int
    outlines: int
    y: float
    cost: float


@dataclass(slots=True, eq=False)
class Leaf:
    """A page without its running head and number. When it is full it stays as it is, and serves the next flow too."""

    start: tuple[int, int] | None = None
    """Where the cluster begins that it begins with; None where it was begun in the midst of one, or stays empty."""
    known_by: int = 0
    """The last piece that was looked at to know how the pages before it are filled."""
    parts: list[PlacedBlock] = field(default_factory=list)
    outline: list[OutlineEntry] = field(default_factory=list)
    strips: list[Box] | None = None
    """Where header strips want the number of the page, once that was looked for."""
    cost: float = 0.0
    """What it costs that it ends where it does."""
    is_broken: bool = False
    """Whether the teacher asked for a new page behind it."""
    finished: tuple[tuple[object, ...], Page] | None = None
    """The page that was made of it, and all that the page was made from besides."""


@dataclass(slots=True)
class Layout:
    """The pages while they fill; ``has_turns`` where they are printed on both sides of the paper.

    ``strictness`` is how much what else a place costs counts against what stays empty: with less the pages are fuller.
    """

    sheet: Sheet
    look: PageLook
    has_turns: bool = True
    strictness: float = 1.0
    leaves: list[Leaf] = field(default_factory=lambda: [Leaf()])
    y: float = 0.0
    columns: Columns = field(default_factory=Columns)
    side_end: float = 0.0
    """Where the last heading beside a note ends."""
    is_beside: bool = False
    """Whether what comes next begins beside such a heading."""
    is_asked_to_break: bool = False
    chances: list[_Chance] = field(default_factory=list)
    """Where the page that is filling may end."""
    cost: float = 0.0
    """What it costs to end the page behind what was placed last."""
    known_by: int = 0
    """The last piece that was looked at so far."""

    @property
    def top(self) -> float:
        return self.sheet.first_top if len(self.leaves) == 1 else self.sheet.top

    @property
    def room(self) -> float:
        return self.sheet.bottom - self.top

    def place_all(
        self, items: Iterable[Cluster | None], rest: Callable[[Cluster], list[Leaf] | None] = lambda cluster: None
    ) -> bool:
        """Place clusters in order, None for a new page; answers whether all were placed here.

        Where ``rest`` knows how all goes on from the cluster that begins a new page, those pages follow instead.
        """
        for cluster in items:
            if cluster is None:
                self.break_page()
                continue
            waiting = [cluster]
            while waiting:
                one = waiting.pop(0)
                self.known_by = max(self.known_by, one.known_by)
                moved = self._room_made(one)
                if moved is not None:
                    first = moved[0] if moved else one
                    following = rest(first)
                    if following is not None:
                        # More may have been looked at to know where these pages begin than when they were filled.
                        for leaf in following:
                            leaf.known_by = max(leaf.known_by, self.known_by)
                        self.leaves[-1:] = following
                        return False
                    self.leaves[-1].start, self.leaves[-1].known_by = first.start, self.known_by
                    if moved:
                        waiting[:0] = [*moved, one]
                        continue
                self.place(one)
        return True

    def break_page(self) -> None:
        """Whatever comes next begins a page; a break after which nothing comes leaves no empty page."""
        if self.is_asked_to_break:
            self.new_page()
        self.leaves[-1].is_broken = self.is_asked_to_break = True

    def new_page(self) -> None:
        """Begin a page."""
        self.leaves.append(Leaf())
        self.y = self.side_end = 0.0
        self.columns = Columns()
        self.is_beside = False
        self.chances = []
        self.cost = 0.0

    def _room_made(self, cluster: Cluster) -> list[Cluster] | None:
        """Begin a page if asked to, or if the cluster fits on another but not here; None if the page goes on.

        Answers what the full page gives to the new one so that it ends well.
        """
        if self.is_asked_to_break:
            self.new_page()
            self.is_asked_to_break = False
            return []
        if self.goes_on(cluster):
            return None
        moved = self._given_back()
        self.new_page()
        return moved

    def place(self, cluster: Cluster) -> None:
        """Place items that stay together; what is higher than a page is placed part by part."""
        leaf = self.leaves[-1]
        if leaf.parts:
            self.chances.append(_Chance(cluster, len(leaf.parts), len(leaf.outline), self.y, self.cost))
        may_part = self._where_parted(cluster)
        for place, item in enumerate(cluster.items):
            is_chance = place > 0 and may_part(cluster.items[place - 1]) and self.leaves[-1].parts
            if is_chance and self._height(_run(cluster.items[place:], may_part)) > self.room - self.y:
                self.new_page()
            if item.is_half:
                self._put_half(item)
                continue
            self.columns = Columns()
            above = self._above(item) if self.leaves[-1].parts and not self.is_beside else 0.0
            if self.leaves[-1].parts and self.y + above + item.height > self.room + 0.01:
                self.new_page()
                above = 0.0
            self._put(item, above)
        self.cost = item.parting + (TURN_COSTS[item.part.after] if self._is_turned() else 0.0)

    def goes_on(self, cluster: Cluster) -> bool:
        """Whether a cluster has room on this page, or must begin here since it has room on none."""
        if not self.leaves[-1].parts or self.y + self._height(cluster.items) <= self.room:
            return True
        return self._fits_nowhere(cluster)

    def _given_back(self) -> list[Cluster]:
        """What the full page gives to the next one so that it ends where that costs least; mostly nothing."""
        self.leaves[-1].cost, best = self.ends()[0]
        moved = self.chances[best:]
        if moved:
            del self.leaves[-1].parts[moved[0].parts :]
            del self.leaves[-1].outline[moved[0].outlines :]
        return [chance.cluster for chance in moved]

    def ends(self) -> list[tuple[float, int]]:
        """What it costs to end the page before each chance, and behind all of them; the cheapest and latest first."""
        stands = [*((chance.cost, chance.y) for chance in self.chances), (self.cost, self.y)]
        costs = [(cost, emptiness(1 - y / self.room), place) for place, (cost, y) in enumerate(stands)]
        costs.sort(key=lambda end: (self.strictness * end[0] + end[1], -end[2]))
        return [(cost + empty, place) for cost, empty, place in costs]

    def until(self, place: int) -> Leaf:
        """The page that is filling if it ends before that chance."""
        leaf = self.leaves[-1]
        if place == len(self.chances):
            return leaf
        chance = self.chances[place]
        return replace(leaf, parts=leaf.parts[: chance.parts], outline=leaf.outline[: chance.outlines])

    def _where_parted(self, cluster: Cluster) -> Callable[[Item], bool]:
        """Behind which items of a cluster a page may end: mostly none."""
        if self._fits_nowhere(cluster):
            # What is too much for any page goes on over it, but a caption is never parted from its first line.
            return lambda item: not item.part.keeps
        return lambda item: False

    def _is_turned(self) -> bool:
        """Whether the page that is filling is a right-hand one, behind which the paper is turned."""
        return self.has_turns and len(self.leaves) % 2 == 1

    def _fits_nowhere(self, cluster: Cluster) -> bool:
        return self._height(cluster.items) - self._above(cluster.items[0]) > self.sheet.bottom - self.sheet.top

    def _height(self, items: Sequence[Item]) -> float:
        """The height below what stands already; snapping to the grid adds up to a step at each space."""
        y, columns, is_beside = self.y, self.columns, self.is_beside
        for item in items:
            if item.is_half:
                columns = columns.begun(y + self._above(item, y)).with_one(item.above, item.part.drawing.height)
                y = max(y, columns.end)
                continue
            columns = Columns()
            y += 0.0 if is_beside else self._above(item, y)
            is_beside = item.is_side
            y += 0.0 if item.is_side else item.height
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
        drawing = item.part.drawing
        if item.least is not None and self.y + drawing.height > self.room:
            drawing = replace(drawing, height=self.room - self.y)
        placed = Placed(drawing, self.sheet.left + item.x, y)
        self.leaves[-1].parts.append(PlacedBlock(placed, item.block_id, item.place))
        if item.part.outline:
            self.leaves[-1].outline.append(OutlineEntry(item.part.outline, item.part.level, y))
        self.is_beside = item.is_side
        if item.is_side:
            self.side_end = self.y + drawing.height
        else:
            self.y += drawing.height

    def _put_half(self, item: Item) -> None:
        """Put a part of half the width into the column that ends higher; the left one where both end alike."""
        above = self._above(item) if self.leaves[-1].parts else 0.0
        columns = self.columns.begun(self.y + above)
        if self.leaves[-1].parts and columns.with_one(item.above, item.part.drawing.height).end > self.room + 0.01:
            self.new_page()
            columns = Columns().begun(0.0)
        x = self.sheet.left + (self.look.half_width + GUTTER) * columns.next
        y = columns.next_top(item.above)
        self.leaves[-1].parts.append(PlacedBlock(Placed(item.part.drawing, x, self.top + y), item.block_id, item.place))
        self.columns = columns.with_one(item.above, item.part.drawing.height)
        self.y = self.columns.end


def _run(items: Sequence[Item], may_part: Callable[[Item], bool]) -> Sequence[Item]:
    """The first of some items, up to one behind which a page may end."""
    end = next((place for place, item in enumerate(items, 1) if may_part(item)), len(items))
    return items[:end]
