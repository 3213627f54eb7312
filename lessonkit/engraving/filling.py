"""The systems of an exercise drawn out to the margin, all at about one spacing. Units are the engraver's.

A line fills the width; only the last one before a new beginning ends where it ends when it would be stretched much
farther than the others.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from lessonkit.engraving.columns import HALF_HEAD, Columns
from lessonkit.engraving.dots import set_dots
from lessonkit.engraving.ink import Ink
from lessonkit.engraving.moments import Moments
from lessonkit.engraving.moving import move
from lessonkit.engraving.spacing import Line, Name
from lessonkit.engraving.ties import draw_ties, tied_columns

_STRETCHED = 1.5
"""How much farther than the closest line a last one may be drawn out to the margin."""

_NEARLY_FULL = 0.7
"""A last line that would fill this part of the width at the spacing of the others is drawn out to the margin."""

_SHORTEST = 0.36
_FARTHEST = 2.6
"""Nothing else to go by, values are drawn out to so many times their usual room at most."""


def fill_lines(
    systems: list[Ink], moments: Moments, labels: list[tuple[int, float]],
    titles: dict[int, tuple[float, bool]], width: float,
    last: frozenset[int],
) -> float:  # fmt: skip
    """Move the ink of all systems to its final places; ``last`` are the first bars of lines that may end early.

    Answers how much more than it has the fullest line asks for, 1 where all have room.

    ``labels`` are the moment and the room of each name above the staff, by its number; ``titles`` the room of what
    stands over the names, by its bar, and whether it begins where the first name does, not at the bar line.
    """
    here = [ink for ink in systems if ink.staves and ink.bars]
    for ink in here:
        set_dots(ink)
    columns = [Columns(ink, moments) for ink in here]
    lines = [
        Line(one, _opened(ink, one, moments), tied_columns(one, moments.ties))
        for ink, one in zip(here, columns, strict=True)
    ]
    ordered = sorted((moment, index, room) for index, (moment, room) in enumerate(labels))
    names = [_names(one, ordered) for one in columns]
    rows = [
        ([name for _, name in own if name.room], _titles(ink, one, titles))
        for ink, one, own in zip(here, columns, names, strict=True)
    ]
    found = [line.places(width, *row) for line, row in zip(lines, rows, strict=True)]
    may_end = [ink.bars[0][0] in last for ink in here]
    others = [drawn for (_, drawn), may in zip(found, may_end, strict=True) if not may]
    usual = min(others or [drawn for _, drawn in found], default=1.0)
    for number, (ink, one, line) in enumerate(zip(here, columns, lines, strict=True)):
        places, drawn = found[number]
        if may_end[number] and drawn > min(usual * _STRETCHED, _FARTHEST):
            wanted = line.width_at(min(usual * 1.1, _FARTHEST), *rows[number])
            if wanted < _NEARLY_FULL * width or usual > _FARTHEST:
                places, _ = line.places(max(wanted, _SHORTEST * width), *rows[number])
        for index, (at, part, _) in names[number]:
            x = places[at] + (part * (places[at + 1] - places[at]) if part else 0.0)
            ink.rooms[index] = round(x) + ink.staves[0][0] + HALF_HEAD
        move(ink, one, places)
        draw_ties(ink, one, moments.ties)
    return max((line.overfull for line in lines), default=1.0)


def _opened(ink: Ink, columns: Columns, moments: Moments) -> dict[int, float]:
    """More room for the bars to be written into: as much as the fullest of the others has."""
    open_bars = [number for number, _ in ink.bars if number in moments.opened]
    if not open_bars:
        return {}
    fullest = max(sum(room for _, room in moments.bars[number]) for number, _ in ink.bars)
    found = {}
    for number in open_bars:
        own = moments.bars[number]
        factor = fullest / sum(room for _, room in own)
        for tick, room in own:
            found[columns.at_tick[tick]] = room * factor
    return found


def _names(columns: Columns, labels: list[tuple[int, int, float]]) -> list[tuple[int, Name]]:
    """The names of a system in their order, with their numbers; ``labels`` are moment, number and room of all."""
    ticks = sorted(columns.at_tick)
    first, last = ticks[0], columns.ends_at
    found = []
    for moment, index, room in labels[bisect_left(labels, (first,)) : bisect_left(labels, (last,))]:
        at = columns.at_tick.get(moment)
        if at is not None:
            found.append((index, Name(at, 0.0, room)))
            continue
        place = bisect_right(ticks, moment) - 1
        before = ticks[place]
        after = ticks[place + 1] if place + 1 < len(ticks) else last
        found.append((index, Name(columns.at_tick[before], (moment - before) / (after - before), room)))
    return found


def _titles(ink: Ink, columns: Columns, titles: dict[int, tuple[float, bool]]) -> list[Name]:
    found = []
    for number, _ in ink.bars:
        if number in titles:
            room, is_over_name = titles[number]
            found.append(Name(columns.opening_of(number) + is_over_name, 0.0, room))
    return found
