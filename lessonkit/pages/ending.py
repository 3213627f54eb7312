"""How the last pages end: none before a page that the teacher asked for, and not the very last one, is left with a line
or two, and what is kept at the foot stands on the last.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile

from lessonkit.drawing.shapes import Placed
from lessonkit.pages.layout import Layout, Leaf
from lessonkit.pages.page import PlacedBlock
from lessonkit.pages.parting import FOOT_ELSEWHERE, SHORT_LAST_PAGE, shortness
from lessonkit.pages.parts import Part
from lessonkit.pages.pieces import Cluster, Piece, clusters

_NEAR_END = 2
"""The foot stands on one of so many last pages: in the midst of a lesson it would look like its end."""


def ended(pieces: Sequence[Piece], layout: Layout, foot: float) -> list[Leaf]:
    """The pages, the last filled otherwise where the last one is short or has no room for a foot of that height."""
    leaves = list(layout.leaves)
    if not _is_ill(layout, foot):
        return leaves
    alone = _clusters(pieces, leaves[-1], len(leaves) == 1)
    anew = _last_page(layout, leaves[:-1], alone, foot) if alone else None
    if anew is not None and shortness(anew.y / layout.room) == 0.0 and _has_room(anew.leaves[-1], layout, foot):
        # Room to write in gave way.
        return [*leaves[:-1], anew.leaves[-1]]
    both = _clusters(pieces, leaves[-2], len(leaves) == 2) if len(leaves) > 1 else []
    leaves[-2:] = _parted(layout, leaves[:-2], both, foot) or leaves[-2:]
    if alone and not any(_has_room(leaf, layout, foot) for leaf in leaves[-_NEAR_END:]):
        # The foot asks for a page more, on which it does not stand alone.
        alone = alone if leaves[-1] is layout.leaves[-1] else _clusters(pieces, leaves[-1], False)
        leaves[-1:] = _parted(layout, leaves[:-1], alone, foot) or leaves[-1:]
    return leaves


def broken_ended(pieces: Sequence[Piece], layout: Layout, number: int) -> list[Leaf]:
    """Two pages anew, the second of which, of this number, is the last one before a page that the teacher asked for;
    nothing where it is not short or cannot get more.
    """
    first, last = layout.leaves[number - 1 : number + 1]
    ends = [part.placed.box.bottom for part in last.parts]
    share = (max(ends) - layout.sheet.top) / (layout.sheet.bottom - layout.sheet.top) if ends else 1.0
    start = (0, 0) if number == 1 else first.start
    if first.is_broken or start is None or shortness(share) == 0.0:
        return []
    waiting = [cluster for cluster in takewhile(lambda one: one is not None, clusters(pieces, start)) if cluster]
    return _parted(layout, layout.leaves[: number - 1], waiting, 0.0)


def _parted(layout: Layout, before: Sequence[Leaf], waiting: Sequence[Cluster], foot: float) -> list[Leaf]:
    """All these on two pages behind those before; nothing if that cannot be."""
    if not waiting:
        return []
    page = Layout(layout.sheet, layout.look, layout.has_turns, leaves=[*before, Leaf(waiting[0].start)])
    place = 0
    while place < len(waiting) and page.goes_on(waiting[place]):
        page.place(waiting[place])
        place += 1
    if len(page.leaves) > len(before) + 1:
        return []
    best, found = float("inf"), []
    for cost, number in page.ends():
        # The page after it begins with what the chance was about.
        following = waiting[place - len(page.chances) + number :]
        after = _last_page(layout, page.leaves, following, foot) if following and cost < best else None
        if after is None:
            continue
        cost += shortness(after.y / layout.room)
        cost += 0.0 if _has_room(after.leaves[-1], layout, foot) else FOOT_ELSEWHERE
        if cost < best:
            best, found = cost, [page.until(number), after.leaves[-1]]
    return found


def _is_ill(layout: Layout, foot: float) -> bool:
    if layout.is_asked_to_break or not layout.leaves[-1].parts:
        return False
    return layout.y < SHORT_LAST_PAGE * layout.room or not _has_room(layout.leaves[-1], layout, foot)


def _clusters(pieces: Sequence[Piece], leaf: Leaf, is_first: bool) -> list[Cluster]:
    """What a page begins with, and all that follows; nothing if that is in the midst of what is higher than a page, or
    if the teacher asked for a new page behind it.
    """
    start = (0, 0) if is_first else leaf.start
    found = list(clusters(pieces, start)) if start is not None else []
    waiting = [cluster for cluster in found if cluster is not None]
    return waiting if len(waiting) == len(found) else []


def _last_page(layout: Layout, before: Sequence[Leaf], following: Sequence[Cluster], foot: float) -> Layout | None:
    """The last page with all of these, above the foot if that can be; None if they are too much for one."""
    sheet, grid = layout.sheet, layout.look.letters.grid
    for less in (foot + grid, 0.0) if foot else (0.0,):
        lower = replace(sheet, bottom=sheet.bottom - less)
        page = Layout(lower, layout.look, layout.has_turns, leaves=[*before, Leaf(following[0].start)])
        for cluster in following:
            page.place(cluster)
        if len(page.leaves) == len(before) + 1 and page.y <= page.room + 0.02:
            return page
    return None


def place_at_foot(parts: tuple[tuple[str, Part], ...], layout: Layout) -> tuple[int, tuple[PlacedBlock, ...]]:
    """Parts of blocks at the foot of the last page or the one before, where there is room, or of a new one.

    Answers the page, counted from 0, and what stands at its foot.
    """
    if not parts:
        return -1, ()
    sheet, leaves = layout.sheet, layout.leaves
    height = sum(part.drawing.height for _, part in parts)
    last = range(len(leaves) - 1, max(len(leaves) - _NEAR_END, 0) - 1, -1)
    number = next((place for place in last if _has_room(leaves[place], layout, height)), -1)
    if number < 0:
        layout.new_page()
        number = len(leaves) - 1
    y = sheet.bottom - height
    placed: list[PlacedBlock] = []
    for name, part in parts:
        placed.append(PlacedBlock(Placed(part.drawing, sheet.left, y), name))
        y += part.drawing.height
    if number == len(leaves) - 1:
        # Whatever is placed later comes on a new page.
        layout.y = layout.room
    return number, tuple(placed)


def _has_room(leaf: Leaf, layout: Layout, foot: float) -> bool:
    """Whether a foot of that height has room on a page, with half a line's space above it."""
    ends = [part.placed.box.bottom for part in leaf.parts]
    return not ends or max(ends) + layout.look.letters.grid + foot <= layout.sheet.bottom
