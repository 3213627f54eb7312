"""Where notes stand: in which clef and under which octave line each group is written, so that it can be read.

A pianist reads three ledger lines surely, four at octave doublings. Each group (or beam, where a group is long) gets
the clef and octave line that cost least over the whole drill: far ledger lines cost, and so does every change. The
weights are our own, set by eye.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from lessonkit.drills.exercise import Hand
from lessonkit.engraving.score import NOTE, Score, WrittenBar

MOST_LEDGER_LINES = 4

BOTTOM_LINE = {"G": 30, "F": 18}
"""The staff step of the bottom line in each clef: E4 in the treble, G2 in the bass."""


MOST_LEVELS = 6
"""So many chords at most are told apart as levels between which a hand leaps."""


class Stand(NamedTuple):
    """A clef (``G`` or ``F``) and the octave line: 1 for 8va, 2 for 15ma, -1 for 8vb, -2 for 15mb, 0 for none."""

    clef: str
    octaves: int


_COST_OF_STAND: dict[Hand, dict[Stand, float]] = {
    Hand.RIGHT: {Stand("G", 0): 0.0, Stand("G", 1): 1.0, Stand("G", 2): 4.0, Stand("F", 0): 0.9, Stand("F", -1): 4.0},
    Hand.LEFT: {
        Stand("F", 0): 0.0, Stand("F", -1): 1.0, Stand("F", -2): 4.0,
        Stand("G", 0): 0.7, Stand("G", 1): 4.0, Stand("G", 2): 6.0,
    },
}  # fmt: skip
HOME = {Hand.RIGHT: Stand("G", 0), Hand.LEFT: Stand("F", 0)}

_THIRD_LINE = {Hand.RIGHT: 0.5, Hand.LEFT: 0.9}
"""What a note on its third ledger line costs; the left hand changes clef sooner than the right takes an octave line."""

_TOO_FAR = 100.0

_AWAY = 0.4
"""What beginning elsewhere than at home costs, against a change on the way."""


def ledger_lines(step: int, stand: Stand) -> int:
    """How many ledger lines a note of that staff step needs."""
    written = step - 7 * stand.octaves - BOTTOM_LINE[stand.clef]
    return max(0, (written - 8) // 2, -written // 2)


Stands = tuple[tuple[Stand, ...], ...]
"""The stand of each piece of each bar of a hand."""


class _Unit(NamedTuple):
    """Pieces that must stand alike: (bar, index) of each, and lowest and highest step and doubling of each."""

    places: tuple[tuple[int, int], ...]
    spans: tuple[tuple[int, int, bool], ...]
    group: int
    is_tied: bool


def stands(score: Score, hand: Hand) -> Stands:
    """For each bar of a hand the stand of each piece.

    A rest stands as the note before it, one at the beginning of a bar as the first note of that bar: its clef then
    changes before the bar line.
    """
    home = HOME[hand]
    bars = score.bars[hand]
    steps = [pitch.staff_step for event in score.exercise.events if event.hand is hand for pitch in event.pitches]
    if not steps or max(ledger_lines(min(steps), home), ledger_lines(max(steps), home)) < 3:
        return tuple((home,) * len(bar.pieces) for bar in bars)
    units = [part for unit in _units(score, bars) for part in _parted(unit, hand)]
    chosen = {place: stand for unit, stand in zip(units, _cheapest(units, hand), strict=True) for place in unit.places}
    result, now = [], chosen[units[0].places[0]]
    for number, bar in enumerate(bars):
        row = []
        first = next((at for at in range(len(bar.pieces)) if (number, at) in chosen), 0)
        now = chosen.get((number, first), now)
        for at in range(len(bar.pieces)):
            now = chosen.get((number, at), now)
            row.append(now)
        result.append(tuple(row))
    return tuple(result)


def clef_changes(rows: Stands) -> list[int]:
    """The bars in which, or before which, a clef changes."""
    found = []
    before = ""
    for number, row in enumerate(rows):
        for stand in row:
            if before and stand.clef != before:
                found.append(number)
            before = stand.clef
    return found


def _units(score: Score, bars: tuple[WrittenBar, ...]) -> Iterator[_Unit]:
    events = score.exercise.events
    for number, bar in enumerate(bars):
        at = 0
        beam_ends = {beam.first: beam.last for beam in bar.beams}
        while at < len(bar.pieces):
            last = beam_ends.get(at, at + 1)
            if bar.pieces[at].kind == NOTE:
                spans = []
                for piece in bar.pieces[at:last]:
                    pitches = events[piece.event].pitches
                    steps = [pitch.staff_step for pitch in pitches]
                    is_doubled = len({pitch.letter for pitch in pitches}) < len(pitches)
                    spans.append((min(steps), max(steps), is_doubled))
                places = tuple((number, place) for place in range(at, last))
                first = bar.pieces[at]
                yield _Unit(places, tuple(spans), first.group, first.part > 0)
            at = last


def _parted(unit: _Unit, hand: Hand) -> list[_Unit]:
    """A unit too wide for every stand is halved until its parts fit."""
    if len(unit.places) == 1 or any(_farthest(unit, stand) <= MOST_LEDGER_LINES for stand in _COST_OF_STAND[hand]):
        return [unit]
    middle = len(unit.places) // 2
    halves = (
        unit._replace(places=unit.places[:middle], spans=unit.spans[:middle]),
        unit._replace(places=unit.places[middle:], spans=unit.spans[middle:], is_tied=False),
    )
    return [part for half in halves for part in _parted(half, hand)]


def _farthest(unit: _Unit, stand: Stand) -> int:
    return max(max(ledger_lines(low, stand), ledger_lines(high, stand)) for low, high, _ in unit.spans)


def _cost(unit: _Unit, stand: Stand, hand: Hand) -> float:
    return _COST_OF_STAND[hand][stand] + sum(_cost_of_notes(span, stand, hand) for span in unit.spans)


@lru_cache(maxsize=8192)
def _cost_of_notes(span: tuple[int, int, bool], stand: Stand, hand: Hand) -> float:
    low, high, is_doubled = span
    lines = max(ledger_lines(low, stand), ledger_lines(high, stand))
    if lines <= 2:
        return 0.05 * lines
    if lines == 3:
        return 0.2 if is_doubled else _THIRD_LINE[hand]
    if lines == MOST_LEDGER_LINES:
        return 1.2 if is_doubled else 9.0
    return _TOO_FAR * (lines - MOST_LEDGER_LINES)


def _change(before: Stand, after: Stand, is_new_group: bool, is_new_bar: bool = True) -> float:
    if before == after:
        return 0.0
    price = 1.8 if before.clef != after.clef else 0.0
    if before.octaves != after.octaves:
        # An octave line is rather as long as a bar than as short as a note.
        price += 1.4 if is_new_bar else 2.4
    return price if is_new_group else price + 1.0


def _cheapest(units: list[_Unit], hand: Hand) -> list[Stand]:
    """The cheapest chain of stands; where few chords come again and again, each looks the same whenever it comes."""
    chosen, _ = _chain(units, hand, {})
    levels = dict.fromkeys(unit.spans for unit in units)
    if len(levels) == len(units) or len(levels) > MOST_LEVELS or any(_is_line(unit) for unit in units):
        return chosen
    held: dict[tuple[tuple[int, int, bool], ...], str] = {}
    for level in levels:
        clefs = {stand.clef for unit, stand in zip(units, chosen, strict=True) if unit.spans == level}
        if len(clefs) > 1:
            tries = [(_chain(units, hand, {**held, level: clef}), clef) for clef in sorted(clefs)]
            (chosen, _), held[level] = min(tries, key=lambda one: one[0][1])
    return chosen


def _is_line(unit: _Unit) -> bool:
    """Whether a unit has notes one after another, or a single one."""
    return len(unit.places) > 1 or unit.spans[0][0] == unit.spans[0][1]


def _chain(
    units: list[_Unit], hand: Hand, held: dict[tuple[tuple[int, int, bool], ...], str]
) -> tuple[list[Stand], float]:
    """The cheapest chain of stands and its cost, by dynamic programming; ``held`` gives the clef of some chords.

    A drill begins at home unless that costs more.
    """
    choices = list(_COST_OF_STAND[hand])

    def cost(unit: _Unit, stand: Stand) -> float:
        wrong = _TOO_FAR if held and held.get(unit.spans, stand.clef) != stand.clef else 0.0
        return wrong + _cost(unit, stand, hand)

    costs = {stand: _AWAY * _change(HOME[hand], stand, True) + cost(units[0], stand) for stand in choices}
    came_from: list[dict[Stand, Stand]] = []
    for unit_before, unit in pairwise(units):
        is_new_group = unit.group != unit_before.group
        is_new_bar = unit.places[0][0] != unit_before.places[0][0]
        step: dict[Stand, Stand] = {}
        reached: dict[Stand, float] = {}
        for stand in choices:
            if unit.is_tied:
                before = stand
            else:
                before = min(choices, key=lambda other: costs[other] + _change(other, stand, is_new_group, is_new_bar))
            step[stand] = before
            price = _change(before, stand, is_new_group, is_new_bar)
            reached[stand] = costs[before] + price + cost(unit, stand)
        costs = reached
        came_from.append(step)
    stand = min(choices, key=lambda one: costs[one])
    total = costs[stand]
    path = [stand]
    for step in reversed(came_from):
        stand = step[stand]
        path.append(stand)
    return path[::-1], total
