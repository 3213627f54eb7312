"""When things are written, and how much of a line each moment asks for beside the others. Nothing of ink is known here.

A moment asks for room by the shortest value that sounds in it, whatever stands there: a rest as much as a note, a third
of a triplet as much as its neighbours. Widths are in the engraver's units.
"""

from __future__ import annotations

from bisect import bisect_right
from itertools import pairwise

from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.score import NOTE, Score
from lessonkit.engraving.score import SPACE as OPEN
from lessonkit.values import dataclass

_STEADY, _GROWING, _POWER = 0.35, 8.5, 0.6
"""In staff spaces; the power is between that of equal steps for doubled values and that of doubled ones."""


def comfortable_room(part_of_whole: float) -> float:
    """The comfortable room, in staff spaces, behind a note that lasts some part of a whole one."""
    return _STEADY + _GROWING * float(part_of_whole**_POWER)


@dataclass(frozen=True, slots=True)
class Moments:
    """For each bar its moments in ticks, each with the room that it asks for up to the next one.

    ``names`` tells the moment of an event (``e5``) and of its parts (``e5t1``); ``opened`` are the bars left open to be
    written into. A rest has its name from its bar and its place there (``3.0.2``).
    """

    bars: tuple[tuple[tuple[int, float], ...], ...]
    names: dict[str, int]
    opened: frozenset[int]
    ends: tuple[int, ...]
    """When each bar ends."""
    ties: dict[str, str]
    """From the name of each tied note (``e3.0``) to that of the one it is tied to."""


def moments_of(score: Score) -> Moments:
    """The moments of everything that is written."""
    names: dict[str, int] = {}
    rooms: dict[int, float] = {}
    whole = score.clock.whole
    bars = []
    for number, (start, length) in enumerate(zip(score.starts, score.lengths, strict=True)):
        hands = []
        for staff, written in enumerate(score.bars.values()):
            pieces = written[number].pieces
            hands.append([piece.start for piece in pieces])
            for at, piece in enumerate(pieces):
                if piece.kind == NOTE:
                    names[f"e{piece.event}t{piece.part}" if piece.part else f"e{piece.event}"] = piece.start
                else:
                    names[f"{number}.{staff}.{at}"] = piece.start
        onsets = sorted({start, *(onset for hand in hands for onset in hand)})
        end = start + length
        lengths = [[*hand, end] for hand in hands if hand]
        found = []
        for now, following in pairwise([*onsets, end]):
            gap = shortest = following - now
            if len(lengths) > 1:
                shortest = min((_sounding(edges, now, end) for edges in lengths), default=gap)
            if shortest not in rooms:
                rooms[shortest] = SPACE * comfortable_room(shortest / whole)
            found.append((now, rooms[shortest] * gap / shortest if gap != shortest else rooms[shortest]))
        bars.append(tuple(found))
    opened = frozenset(number for number in range(len(bars)) if is_open(score, number))
    ends = tuple(start + length for start, length in zip(score.starts, score.lengths, strict=True))
    return Moments(tuple(bars), names, opened, ends, _ties(score))


def is_open(score: Score, number: int) -> bool:
    """Whether a bar is left open to be written into."""
    kinds = {piece.kind for written in score.bars.values() for piece in written[number].pieces}
    return OPEN in kinds and NOTE not in kinds


def _sounding(edges: list[int], now: int, end: int) -> int:
    """How long the value lasts that a hand has at a moment; ``edges`` are the beginnings of its values and the end."""
    at = bisect_right(edges, now)
    return edges[at] - edges[at - 1] if 0 < at < len(edges) else end - now


def _ties(score: Score) -> dict[str, str]:
    found: dict[str, str] = {}
    events = score.exercise.events
    for bars in score.bars.values():
        open_notes: dict[int, str] = {}
        for piece in (piece for bar in bars for piece in bar.pieces):
            if piece.kind != NOTE:
                open_notes = {}
                continue
            if not open_notes and not piece.is_tied_on:
                continue
            tail = f"t{piece.part}" if piece.part else ""
            names = {pitch.midi: f"e{piece.event}.{at}{tail}" for at, pitch in enumerate(events[piece.event].pitches)}
            found.update((open_notes[key], name) for key, name in names.items() if key in open_notes)
            open_notes = names if piece.is_tied_on else {}
    return found
