"""Where finger numbers stand on the desk, so that a hand can point at one and go on to the next."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from desktop.preview.page_layout import PageLayout
from lessonkit.drawing.shapes import Box

SLACK = 3.0
"""How far beside a number a click still means it, in pixels."""


class FingerPlace(NamedTuple):
    """A finger number, or a note that has none printed: its drill, its event, the place among the event's pitches.

    ``box`` is where it stands, ``line`` the line of music around it.
    """

    block_id: str
    event: int
    pitch: int
    box: Box
    line: Box


def finger_at(layout: PageLayout, x: float, y: float) -> FingerPlace | None:
    """The finger number under a point of the desk, the nearest where two are close."""
    found = [
        place
        for place in _marked(layout, "finger", at=(x, y))
        if place.box.left - SLACK <= x <= place.box.right + SLACK
        and place.box.top - SLACK <= y <= place.box.bottom + SLACK
    ]
    return min(found, key=lambda place: abs((place.box.left + place.box.right) / 2 - x), default=None)


def finger_places(layout: PageLayout, block_id: str) -> dict[tuple[int, int], FingerPlace]:
    """Every finger number of a drill, by its event and pitch."""
    return {(one.event, one.pitch): one for one in _marked(layout, "finger", block_id)}


def note_places(layout: PageLayout, block_id: str) -> dict[tuple[int, int], FingerPlace]:
    """Every note of a drill, by its event and pitch; of tied notes the first."""
    found: dict[tuple[int, int], FingerPlace] = {}
    for one in _marked(layout, "note", block_id):
        found.setdefault((one.event, one.pitch), one)
    return found


def _marked(
    layout: PageLayout, kind: str, block_id: str = "", at: tuple[float, float] | None = None
) -> Iterator[FingerPlace]:
    """The marks of a kind, of one block or around one point."""
    for number, (page, sheet) in enumerate(zip(layout.pages, layout.page_boxes, strict=True)):
        if at is not None and not sheet.holds(*at):
            continue
        for part in page.parts:
            if not part.block_id or (block_id and part.block_id != block_id) or not part.placed.drawing.marks:
                continue
            if at is not None and not _is_near(layout.on_desk(number, part.placed.box), at):
                continue
            placed = part.placed
            for mark in placed.drawing.marks:
                if mark.kind == kind:
                    event, _, pitch = mark.name.partition(".")
                    box = layout.on_desk(number, mark.box.moved(placed.x, placed.y))
                    yield FingerPlace(part.block_id, int(event), int(pitch), box, layout.on_desk(number, placed.box))


def _is_near(box: Box, at: tuple[float, float]) -> bool:
    return box.left - 12 <= at[0] <= box.right + 12 and box.top - 12 <= at[1] <= box.bottom + 12
