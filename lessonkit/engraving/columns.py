"""Which ink of a system belongs to which moment: columns of heads, rests and signs, with the bar lines between them.

Units are the engraver's. The engraver's own distances serve to tell the columns apart, and for nothing else.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.engraving.accidental_stacks import Solid, set_accidentals
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.ink import Ink, Sign
from lessonkit.engraving.moments import Moments

HEAD, ACCIDENTAL, LEDGER, SMALL, WALL = range(5)
"""Kinds of ink by the air that they want; a wall is met at every height."""

Box = tuple[float, float, float, float, int]
"""Left and right, counted from the column's own place, between them top and bottom; and the kind."""

HALF_HEAD = 106
HALF_ROLL = SPACE // 3
SMALL_CLEFS = (0xE07A, 0xE07C)
"""The clefs that change within a line."""

_HIGH = 1e6
_KINDS = {"notehead": HEAD, "accid": ACCIDENTAL, "rest": SMALL, "flag": SMALL, "artic": SMALL, "clef": SMALL}
_OF_BAR_LINES = frozenset({"keyAccid", "meterSig", "barLine", "clef"})


class Column:
    """What stands at one moment, or a bar line (``tick`` -1) with all that is fixed to it.

    ``place`` is where the engraver set it, None where it has no ink; ``room`` is what it asks for up to the next one.
    """

    __slots__ = ("boxes", "left", "place", "right", "room", "tick")

    def __init__(self, tick: int, room: float) -> None:
        self.tick, self.room = tick, room
        self.place: int | None = None
        self.boxes: list[Box] = []
        self.left = self.right = 0.0

    def add(self, left: float, top: float, right: float, bottom: float, kind: int) -> None:
        """Add ink, given by where the engraver set it."""
        if self.place is None:
            return
        left -= self.place
        right -= self.place
        self.boxes.append((left, top, right, bottom, kind))
        if left < self.left:
            self.left = left
        if right > self.right:
            self.right = right


class Columns:
    """The columns of a system from the beginning of its staves to its last bar line, and whose each sign is."""

    def __init__(self, ink: Ink, moments: Moments) -> None:
        self.ink, self._moments = ink, moments
        self.all: list[Column] = [Column(-1, 0.0)]
        self.at_tick: dict[int, int] = {}
        self.bar_lines: dict[int, int] = {}
        """For each bar the column of the line at its end."""
        for number, _ in ink.bars:
            for tick, room in moments.bars[number]:
                self.at_tick[tick] = len(self.all)
                self.all.append(Column(tick, room))
            self.bar_lines[number] = len(self.all)
            self.all.append(Column(-1, 0.0))
        self.ends_at = moments.ends[ink.bars[-1][0]]
        """The moment at which the system ends."""
        self.sign_at: list[int] = [-1] * len(ink.signs)
        """The column of each sign; -1 for what stands between columns."""
        self.stroke_at: list[int] = []
        """The column that each stroke is nearest to."""
        self._find_places()
        self._find_bar_lines()
        middles = sorted(
            (column.place + (HALF_HEAD if column.tick >= 0 else 0), at)
            for at, column in enumerate(self.all)
            if column.place is not None
        )
        self._middles = [middle for middle, _ in middles]
        self._indices = [at for _, at in middles]
        self._give_out_signs()
        self._add_ink()

    def opening_of(self, number: int) -> int:
        """The column of the line at which a bar begins."""
        return self.bar_lines[number] - len(self._moments.bars[number]) - 1

    def nearest(self, x: float) -> int:
        """The column whose heads or bar line are nearest to a place."""
        return self.nearest_of((x,))[0]

    def nearest_of(self, places: Iterable[float]) -> list[int]:
        """The same for each of some places."""
        middles, indices, count = self._middles, self._indices, len(self._middles)
        found = []
        for x in places:
            at = bisect_right(middles, x)
            if at == count or (at and x - middles[at - 1] <= middles[at] - x):
                at -= 1
            found.append(indices[at])
        return found

    def before(self, x: float) -> int:
        """The last column whose middle is left of a place."""
        return self._indices[max(bisect_right(self._middles, x) - 1, 0)]

    def after(self, x: float) -> int:
        """The first column whose middle is right of a place, or the last of all."""
        at = bisect_right(self._middles, x)
        return self._indices[at] if at < len(self._middles) else len(self.all) - 1

    def column_of(self, name: str) -> int:
        """The column of a note, chord or rest by its name, as ``e3.0t1``, ``c3`` or ``r3-0.0.2``; or -1."""
        if name[:1] == "r":
            place = name.partition("-")[2]
        else:
            event, _, rest = name.partition(".")
            place = event if event[:1] == "e" else f"e{event[1:]}"
            if "t" in rest:
                place += rest[rest.index("t") :]
        return self.at_tick.get(self._moments.names.get(place, -1), -1)

    def _find_places(self) -> None:
        """Where the engraver set each moment: where most of its heads stand, or its rests."""
        heads: dict[int, list[int]] = {}
        rests: dict[int, int] = {}
        for number, (_, x, _, _, kind, name, _) in enumerate(self.ink.signs):
            if kind == "notehead":
                at = self.sign_at[number] = self.column_of(name)
                if name[:1] == "e":
                    heads.setdefault(at, []).append(x)
            elif kind == "rest":
                at = self.sign_at[number] = self.column_of(name)
                rests[at] = min(x, rests.get(at, x))
        for at, xs in heads.items():
            # Where as many stand at one side of a stem as at the other, the left ones are where they belong.
            self.all[at].place = xs[0] if len(xs) == 1 else max(sorted(set(xs)), key=xs.count)
        for at, x in rests.items():
            if self.all[at].place is None:
                self.all[at].place = x

    def _find_bar_lines(self) -> None:
        ink, everything = self.ink, self.all
        everything[0].place = ink.staves[0][0]
        edges = [left for _, left in ink.bars[1:]] + [ink.staves[0][1]]
        for closing, right in zip(self.bar_lines.values(), edges, strict=True):
            everything[closing].place = right
        self._walls: list[tuple[int, float, float]] = []
        for name, strokes in ink.bar_lines:
            if not strokes:
                continue
            number = int(name)
            closing = self.bar_lines[number]
            opening = self.opening_of(number)
            first = everything[opening + 1].place
            left, right = min(one.x1 for one in strokes), max(one.x1 for one in strokes)
            if left < (first if first is not None else (everything[opening].place or 0) + SPACE):
                # A repeat begins: its line is fixed to what stands before the bar.
                self._walls.append((opening, left, right))
            else:
                everything[closing].place = left
                self._walls.append((closing, left, right))
        self._lines_drawn = [(left, at) for at, left, _ in self._walls]
        self._walls.append((len(everything) - 1, edges[-1], edges[-1]))

    def _give_out_signs(self) -> None:
        """Say whose each sign is that is neither head nor rest."""
        sign_at = self.sign_at
        lines = [(column.place or 0, at) for at, column in enumerate(self.all) if column.tick < 0]
        for number, (code, x, _, _, kind, name, _) in enumerate(self.ink.signs):
            if kind in ("accid", "flag", "artic"):
                at = self.column_of(name)
                sign_at[number] = at if at >= 0 else self.nearest(x)
            elif kind in _OF_BAR_LINES:
                if kind == "clef" and code in SMALL_CLEFS:
                    sign_at[number] = self.after(x)
                elif kind == "barLine":
                    # The dots of a repeat stand before its lines or behind them.
                    sign_at[number] = min((abs(place - x), at) for place, at in self._lines_drawn)[1]
                else:
                    sign_at[number] = lines[max(bisect_right(lines, (x, len(self.all))) - 1, 0)][1]
            elif kind == "dynam":
                sign_at[number] = self.nearest(x + SPACE)

    def _add_ink(self) -> None:
        ink, everything, sign_at = self.ink, self.all, self.sign_at
        stacks: dict[tuple[int, int], dict[str, list[int]]] = {}
        crushed = set()
        boxes: dict[tuple[int, float], tuple[float, ...]] = {}
        are_near = bool(ink.rolls)
        for at, left, right in self._walls:
            everything[at].add(left, -_HIGH, right, _HIGH, WALL)
        for number, (code, x, y, scale, kind, name, staff) in enumerate(ink.signs):
            at = sign_at[number]
            if at < 0 or kind == "dynam":
                continue
            if kind == "accid" and name[:1] == "e":
                stacks.setdefault((at, staff), {}).setdefault(name, []).append(number)
                continue
            if name[:1] == "g":
                crushed.add(at)
            box = boxes.get((code, scale))
            if box is None:
                found = glyph_box(code)
                box = boxes[code, scale] = tuple(side * scale for side in found)
            column = everything[at]
            if kind == "notehead":
                column.add(x + box[0], y + box[1], x + box[2], y + box[3], HEAD)
            elif column.tick < 0 and not (kind == "clef" and code in SMALL_CLEFS):
                column.add(x + box[0], -_HIGH, x + box[2], _HIGH, WALL)
            else:
                more = 2 * SPACE if kind == "clef" else 0
                are_near = are_near or kind == "clef"
                kind_of_ink = _KINDS.get(kind, SMALL)
                column.add(x + box[0], y + box[1] - more, x + box[2], y + box[3] + more, kind_of_ink)
        are_near = are_near or bool(stacks)
        self.stroke_at = self.nearest_of([(stroke[0] + stroke[2]) / 2 for stroke in ink.strokes])
        for (x1, y1, x2, y2, width, kind), at in zip(ink.strokes, self.stroke_at, strict=True):
            if kind == "ledgerLines":
                everything[at].add(x1, y1 - width, x2, y2 + width, LEDGER)
            elif kind == "stem" and are_near:
                # Only a sign before the next head, a clef or a roll can come near one.
                everything[at].add(x1, min(y1, y2), x1, max(y1, y2), SMALL)
        for (x, y, radius), name in zip(ink.dots, ink.dot_owners, strict=True):
            at = self.column_of(name)
            everything[at if at >= 0 else self.before(x)].add(x - radius, y - radius, x + radius, y + radius, SMALL)
        for (at, staff), own in stacks.items():
            self._set_accidentals(at, staff, own, at in crushed)
        for roll in ink.rolls:
            self._set_roll(roll)

    def _set_accidentals(self, at: int, staff: int, own: dict[str, list[int]], is_crushed: bool) -> None:
        """Set the accidentals of one staff before their heads; behind small notes they stay where they are."""
        signs, column = self.ink.signs, self.all[at]
        place = column.place or 0
        if not is_crushed:
            solids = [
                Solid(left + place, top, bottom, kind == LEDGER)
                for left, top, _, bottom, kind in column.boxes
                if kind in (HEAD, LEDGER)
            ]
            set_accidentals(signs, own, solids, place)
        for places in own.values():
            for number in places:
                code, x, y, scale, *_ = signs[number]
                box = glyph_box(code)
                column.add(
                    x + box.left * scale, y + box.top * scale, x + box.right * scale, y + box.bottom * scale, ACCIDENTAL
                )

    def _set_roll(self, roll: list[Sign]) -> None:
        """Set a roll's wave before all that belongs to its chord."""
        x = roll[0].x
        heights = [sign.y - (sign.x - x) for sign in roll]
        top, bottom = min(heights) - SPACE, max(heights)
        column = self.all[self.after(x)]
        place = column.place or 0
        left = min((box[0] for box in column.boxes if box[1] < bottom and box[3] > top), default=0.0) + place
        shift = round(min(left - SPACE // 4 - HALF_ROLL - x, 0))
        roll[:] = [sign._replace(x=sign.x + shift) for sign in roll]
        column.add(x + shift - HALF_ROLL, top, x + shift + HALF_ROLL, bottom, SMALL)
