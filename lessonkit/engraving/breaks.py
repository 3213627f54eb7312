"""Where lines end: bars shared out over systems so that all are about equally full. Widths are in staff spaces.

The widths are estimates of what the engraver will need, with the air that a student's page wants: two bars of
sixteenths, three or four of eighths, four of chords on an ordinary line.
"""

from __future__ import annotations

from bisect import bisect_right
from itertools import pairwise

from lessonkit.drills.exercise import BarEnd, Roll
from lessonkit.engraving.score import Score
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

FULLEST = 1.1
"""How much of a line's comfortable width its bars may ask for at most."""

FULLEST_PHRASE = 1.18
"""A phrase of four bars is rather set a little closer than broken."""

LONGEST = 1.08
"""A single bar that asks for more of a line than this is parted."""

_DISPLACED = 0.9
"""The room of a head at the other side of the stem."""

_DOT = 0.7
_BETWEEN_NAMES = 0.7
"""What the engraver keeps between chord names beyond their room."""

_LEAST = 1.9
"""The least room from one note to the next, however large the print."""

_ROLL = 1.1
_CLEF = 2.6
"""The room of a changed clef."""

_REPEAT_BEGINS = 2.4
_ENDS = {BarEnd.REPEAT: 1.8, BarEnd.DOUBLE: 0.6, BarEnd.FINAL: 1.2}
"""The room of what is more than a single bar line."""

WELL_FILLED = 0.92


@dataclass(frozen=True, slots=True)
class Lines:
    """The bars that begin a system; ``fresh`` those that begin one with a signature of its own, as a new piece would.

    ``too_long`` are the bars that no line can hold; ``last`` are those that begin a line after which something begins
    anew, so that it may end before the margin.
    """

    starts: frozenset[int]
    fresh: frozenset[int]
    too_long: frozenset[int] = frozenset()
    last: frozenset[int] = frozenset()


def lines_of(
    score: Score, width: float, rooms: tuple[float, ...], room: float = 1.0, turns: frozenset[int] = frozenset(),
    titles: dict[int, float] | None = None,
) -> Lines:  # fmt: skip
    """Share the bars out over lines of a width in staff spaces; ``rooms`` is the width of each chord mark's label.

    ``room`` is how much of their usual room the notes take, ``turns`` the bars at which a clef changes; ``titles`` the
    width of what stands over the names, by its bar.
    """
    bars = score.exercise.bars
    loads = _loads(score, rooms, room, turns, titles or {})
    forced = [0, *(number for number in range(1, len(bars)) if bars[number].starts_line), len(bars)]
    starts: list[int] = []
    for first, last in pairwise(forced):
        starts.extend(_shared_out(loads, first, last, width - _head(score, first)))
    # Where some keys begin a line as a new piece does, all do that come to stand at a line's beginning.
    is_in_pieces = any(bars[number].key is not None for number in forced[1:-1])
    fresh = frozenset(number for number in starts if is_in_pieces and number and bars[number].key is not None)
    too_long: frozenset[int] = frozenset()
    if max(loads) > LONGEST * (width - 12.0):
        too_long = frozenset(
            number for number, load in enumerate(loads) if load > LONGEST * (width - _head(score, number))
        )
    ending = frozenset(
        first
        for first, end in pairwise([*starts, len(bars)])
        # The part of a bar goes on to the margin: the eye must not end there.
        if end in forced and not (score.exercise.meter is not None and bars[end - 1].end is BarEnd.INVISIBLE)
    )
    return Lines(frozenset(starts), fresh, too_long, ending)


def _labels(score: Score, rooms: tuple[float, ...]) -> list[float]:
    """The room of the chord names of each bar."""
    labels = [0.0] * len(score.starts)
    for mark, label in zip(score.exercise.chords, rooms, strict=True):
        labels[bisect_right(score.starts, score.clock.ticks(mark.onset)) - 1] += (
            label + _BETWEEN_NAMES if label else 0.0
        )
    return labels


def _head(score: Score, number: int) -> float:
    """The room of clef, signature and (on the first line) time signature."""
    exercise = score.exercise
    key = next((bar.key for bar in reversed(exercise.bars[: number + 1]) if bar.key is not None), exercise.key)
    accidentals = 0 if exercise.open_signature else abs(key.signature)
    meter = 2.2 if number == 0 and exercise.meter is not None else 0.0
    return 4.8 + 1.05 * accidentals + meter + (1.8 if len(score.bars) == 2 else 0.0)


def _loads(
    score: Score, rooms: tuple[float, ...], room: float, turns: frozenset[int], titles: dict[int, float]
) -> list[float]:
    """The comfortable width of each bar."""
    exercise, whole = score.exercise, score.clock.whole
    labels = _labels(score, rooms)
    comfort: dict[int, float] = {}
    usual: dict[int, int] = {}
    seen: dict[int, int] = {}
    loads = []
    for number, (start, length) in enumerate(zip(score.starts, score.lengths, strict=True)):
        key = exercise.bars[number].key
        if key is not None and not exercise.open_signature:
            usual = {name.letter: name.alteration for name in key.signature_names}
            seen = dict(usual)
        onsets: set[int] = set()
        altered: dict[int, float] = {}
        for written in score.bars.values():
            for piece in written[number].pieces:
                onsets.add(piece.start)
                if piece.event >= 0 and not piece.part:
                    width = _width_of_signs(exercise.events[piece.event].pitches, usual, seen)
                    if piece.dots:
                        width += _DOT
                    if exercise.events[piece.event].roll is not Roll.NONE:
                        width += _ROLL
                    if width:
                        altered[piece.start] = max(width, altered.get(piece.start, 0.0))
        if not onsets:
            onsets.add(start)
        ordered = [*sorted(onsets), start + length]
        total = 2.0 * room
        for now, following in pairwise(ordered):
            gap = following - now
            if gap not in comfort:
                usual_room = 0.35 + 8.5 * (gap / whole) ** 0.6
                comfort[gap] = max(usual_room * room, min(usual_room, _LEAST))
            total += comfort[gap]
        total += sum(altered.values())
        if number in turns:
            total += _CLEF
        if number and key is not None and not exercise.open_signature and not exercise.bars[number].starts_line:
            # A signature within a line.
            total += 1.5 + 1.05 * abs(key.signature)
        bar = exercise.bars[number]
        if bar.begins_repeat:
            total += _REPEAT_BEGINS
        total += _ENDS.get(bar.end, 0.0)
        loads.append(max(total, labels[number] + 1.0))
    # A label may reach over the bars that follow, up to the next one.
    for first, last in pairwise([*sorted(titles), len(loads)]):
        missing = titles[first] - sum(loads[first:last])
        if missing > 0:
            loads[first] += missing
    return loads


def _width_of_signs(pitches: tuple[Pitch, ...], usual: dict[int, int], seen: dict[int, int]) -> float:
    """About how much room the accidentals and the displaced heads of a note or chord take."""
    signs, is_close, before = 0, False, -9
    for pitch in pitches:
        letter, alteration = pitch.letter, pitch.alteration
        was = usual.get(letter, 0)
        if alteration != was or seen.get(letter, was) != alteration:
            signs += 1
            seen[letter] = alteration
        step = pitch.staff_step
        is_close = is_close or step - before == 1
        before = step
    # One sign before a note, or a slant of them before a chord.
    return (0.7 + 0.4 * min(signs, 4) if signs else 0.0) + (_DISPLACED if is_close else 0.0)


def _shared_out(loads: list[float], first: int, last: int, width: float) -> list[int]:
    """The first bar of each line from ``first`` to ``last``, by dynamic programming over all ways to share them out."""
    best: dict[int, tuple[float, int]] = {first: (0.0, first)}
    for end in range(first + 1, last + 1):
        choices = []
        total = 0.0
        for start in range(end - 1, first - 1, -1):
            total += loads[start]
            fill = total / width
            if fill > FULLEST_PHRASE and start < end - 1:
                break
            if fill > FULLEST and start < end - 1 and ((start - first) % 4 or end - start != 4):
                continue
            cost = (fill - WELL_FILLED) ** 2 * (0.6 if end == last else 1.0) + 0.04
            # Phrases of four bars (or at least pairs) begin lines where nothing speaks against it.
            if (end - first) % 4 and end != last:
                cost += 0.02 if (end - first) % 2 == 0 else 0.05
            choices.append((best[start][0] + cost, start))
        best[end] = min(choices)
    starts = []
    at = last
    while at > first:
        at = best[at][1]
        starts.append(at)
    return starts[::-1]
