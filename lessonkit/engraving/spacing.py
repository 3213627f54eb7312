"""How far the columns of a system stand from one another. Units are the engraver's.

Equal values get equal room, a line as a whole what fills it; where ink or names would meet, only what is lacking is
added. An accidental uses the free room before it first.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from lessonkit.engraving.columns import ACCIDENTAL, HEAD, LEDGER, SMALL, WALL, Column, Columns
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE

_BEHIND_LINE = 1.9 * SPACE
"""From a bar line, clef or signature to a head."""

_STEP = 1.62 * SPACE
"""From column to column at least: never may it be in doubt which comes first."""

_TIE = 1.8 * SPACE
"""From the right of a head to the left of the one that it is tied to, so that the tie can be seen."""

_NEAR = 0.12 * SPACE
"""How near in height two things may come before they must stand side by side."""

_AIR = {
    (HEAD, HEAD): 0.55, (HEAD, ACCIDENTAL): 0.35, (HEAD, LEDGER): 0.3, (HEAD, SMALL): 0.3, (HEAD, WALL): 0.8,
    (LEDGER, HEAD): 0.3, (LEDGER, ACCIDENTAL): 0.3, (LEDGER, LEDGER): 0.1, (LEDGER, SMALL): 0.2, (LEDGER, WALL): 0.5,
    (SMALL, HEAD): 0.25, (SMALL, ACCIDENTAL): 0.25, (SMALL, LEDGER): 0.2, (SMALL, SMALL): 0.25, (SMALL, WALL): 0.5,
    (ACCIDENTAL, WALL): 0.5, (ACCIDENTAL, HEAD): 0.3, (ACCIDENTAL, SMALL): 0.3, (ACCIDENTAL, LEDGER): 0.3,
    (ACCIDENTAL, ACCIDENTAL): 0.3,
    (WALL, HEAD): 1.0, (WALL, ACCIDENTAL): 1.0, (WALL, LEDGER): 0.7, (WALL, SMALL): 0.7, (WALL, WALL): 0.7,
}  # fmt: skip
"""Between the right of one and the left of the other, in staff spaces."""

_MOST_AIR = 1.0 * SPACE
_TIGHT = 0.45
"""How much of the air is left where a line is too full."""


_ROUNDS = 6
"""How often at most names are asked whether the room they got from one another is enough."""


class Name(NamedTuple):
    """A text above the staff: behind which column and how far on to the next one it begins, and what room it keeps."""

    at: int
    part: float
    room: float


class Line:
    """The distances of a system, which can be drawn out."""

    def __init__(self, columns: Columns, opened: dict[int, float], tied: frozenset[int] = frozenset()) -> None:
        """``opened`` is the room of columns to be written into; ``tied`` are those tied to the one after them."""
        self.all = columns.all
        self._fixed: list[float] = []
        self._rooms: list[float] = []
        for column in self.all[:-1]:
            is_line = column.tick < 0
            self._fixed.append(column.right + _BEHIND_LINE if is_line else 0.0)
            self._rooms.append(column.room)
        for at, room in opened.items():
            self._rooms[at] = room
        self._rods = self._roughly()
        self._is_exact = [False] * len(self._rods)
        self._wanted = [0.0] * len(self._rods)
        self._tied = tied
        for at in tied:
            self._wanted[at] = self.all[at].right - min(
                (box[0] for box in self.all[at + 1].boxes if box[4] == HEAD), default=0.0
            ) + _TIE  # fmt: skip
        self._air = 1.0
        self.overfull = 1.0
        """How much more than the line has its notes ask for at the least."""

    def width_at(self, drawn: float, *rows: list[Name]) -> float:
        """The width of the line when every value has so many times its usual room, and every name its own."""
        for _ in range(_ROUNDS):
            places = _summed(self._distances(drawn)[0])
            if not self._keep_rows(places, rows):
                break
        return places[-1] + self.all[-1].right

    def places(self, width: float, *rows: list[Name]) -> tuple[list[float], float]:
        """Where the columns stand when the line fills a width, and how far values are drawn out for that."""
        width -= self.all[-1].right
        for _ in range(_ROUNDS):
            drawn, distances = self._filling(width)
            if not self._keep_rows(_summed(distances), rows):
                break
        total = sum(distances)
        if total > width + 1 and self._air == 1.0:
            # Of what only looks better there is less, and none of what only ties ask for.
            self._air = _TIGHT
            for at in self._tied:
                self._wanted[at] = 0.0
            self._rods = self._roughly()
            self._is_exact = [False] * len(self._rods)
            drawn, distances = self._filling(width)
            total = sum(distances)
        if total > width + 1:
            self.overfull = total / width
            distances = [distance * width / total for distance in distances]
        return _summed(distances), drawn

    def _distances(self, drawn: float) -> tuple[list[float], float]:
        """The distances when values are drawn out by a factor, and how much they grow with it."""
        found, growth = [], 0.0
        rods, is_exact, wanted = self._rods, self._is_exact, self._wanted
        for at, (fixed, room) in enumerate(zip(self._fixed, self._rooms, strict=True)):
            distance = fixed + drawn * room
            least = rods[at]
            if distance < least and not is_exact[at]:
                least = rods[at] = self._rod(self.all[at], self.all[at + 1])
                is_exact[at] = True
            least = max(least, wanted[at]) if is_exact[at] or distance < wanted[at] else 0.0
            if distance < least:
                distance = least
            else:
                growth += room
            found.append(distance)
        return found, growth

    def _filling(self, width: float) -> tuple[float, list[float]]:
        """How far values must be drawn out for the columns to take a width, and their distances then.

        The sum of these grows with it in straight pieces, so that a few steps along them lead there.
        """
        drawn = max((width - sum(self._fixed)) / max(sum(self._rooms), 1.0), 0.0)
        for _ in range(12):
            distances, growth = self._distances(drawn)
            lacking = width - sum(distances)
            if abs(lacking) < 0.5 or (lacking < 0 and (growth <= 0 or drawn <= 0)):
                break
            drawn = max(drawn + lacking / growth, 0.0) if growth > 0 else 1.5 * drawn + 0.1
        return drawn, distances

    def _roughly(self) -> list[float]:
        """Distances at which no two neighbours can be in each other's way, whatever their heights."""
        return [max(one.right - other.left + _MOST_AIR, _STEP) for one, other in pairwise(self.all)]

    def _rod(self, one: Column, other: Column) -> float:
        """How far apart two columns stand at least."""
        least = _STEP if one.tick >= 0 and other.tick >= 0 else 0.0
        for left, top, _, bottom, kind in other.boxes:
            top, bottom = top - _NEAR, bottom + _NEAR
            for _, upper, right, lower, before in one.boxes:
                if upper < bottom and lower > top:
                    need = right - left + self._air * SPACE * _AIR[before, kind]
                    if need > least:
                        least = need
        return least

    def _keep_rows(self, places: list[float], rows: tuple[list[Name], ...]) -> bool:
        """Each row of names keeps clear of its like only; answers whether more room was needed."""
        lacking = [self._keep_names(places, row) for row in rows]
        return any(lacking)

    def _keep_names(self, places: list[float], names: list[Name]) -> bool:
        """Ask for more room where a name would reach the next one; answers whether that was needed."""
        is_lacking = False
        last = len(places) - 1
        for number, (at, part, room) in enumerate(names):
            here = _between(places, at, part)
            if number + 1 < len(names):
                after, after_part, _ = names[number + 1]
                there = _between(places, after, after_part)
            else:
                # The last one has the margin behind it, and needs no room between it and the next.
                after, after_part, there = last, 0.0, places[-1] + self.all[-1].right + SPACE
            if room <= there - here + 1 or there <= here:
                continue
            is_lacking = True
            factor = room / (there - here)
            for step in range(at, min(max(after + (after_part > 0), at + 1), last)):
                self._wanted[step] = max(self._wanted[step], (places[step + 1] - places[step]) * factor)
        return is_lacking


def _summed(distances: list[float]) -> list[float]:
    places, x = [0.0], 0.0
    for distance in distances:
        x += distance
        places.append(x)
    return places


def _between(places: list[float], at: int, part: float) -> float:
    return places[at] + part * (places[at + 1] - places[at]) if part else places[at]
