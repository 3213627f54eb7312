"""Where lines end: bars shared out over systems so that all are about equally full. Widths are in staff spaces.

The widths are estimates of what the engraver will need, with the air that a student's page wants: two bars of
sixteenths, three or four of eighths, four of chords on an ordinary line.
"""

from __future__ import annotations

from bisect import bisect_right
from itertools import pairwise

from lessonkit.drills.exercise import BarEnd, Roll
from lessonkit.engraving.moments import comfortable_room, is_open
from lessonkit.engraving.score import Score
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

FULL = 1.1
"""How much of a line's width its bars may comfortably ask for."""

FULLEST = 1.46
"""A phrase of four bars is rather set closer than broken, and a last bar rather drawn in than left alone."""

FULLEST_PHRASE = 1.36
_ALIKE = 0.12

_LINE, _CLOSE_PHRASE, _CLOSE = 0.04, 0.05, 0.14
"""What is held against a line, and against one that is set close, as squares of parts of the width."""

_EMPTIEST = 0.3
"""How much of a line calls with their answers fill at least where lines of the same length are made of them."""

_ALONE, _ALONE_AT_FIRST = 0.35, 0.25
"""What is held against a line of one bar that does not fill it."""

_PARTED = 0.4
"""What is held against a line that begins with what belongs to the bar before."""

_CLOSEST = 0.55
"""How much of its comfortable room a note keeps in the fullest line."""

_LEAST_STEP = 1.85
"""From column to column in the fullest line."""

LONGEST = 1.08
"""A single bar that asks for more of a line than this is parted."""

_DISPLACED = 0.9
"""The room of a head at the other side of the stem."""

_HEAD_WIDTH = 1.18
_DOT = 0.7
_TIE = 1.2
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
    titles: dict[int, float] | None = None, answers: frozenset[int] = frozenset(),
) -> Lines:  # fmt: skip
    """Share the bars out over lines of a width in staff spaces; ``rooms`` is the width of each chord mark's label.

    ``room`` is how much of their usual room the notes take, ``turns`` the bars at which a clef changes; ``titles`` the
    width of what stands over the names, by its bar; ``answers`` the bars that stand open where no answers are shown.
    """
    bars = score.exercise.bars
    loads, tights = _loads(score, rooms, room, turns, titles or {})
    opened = answers | {number for number in range(len(bars)) if is_open(score, number)}
    joined = _joined(score)
    forced = [0, *(number for number in range(1, len(bars)) if bars[number].starts_line), len(bars)]
    starts: list[int] = []
    for first, last in pairwise(forced):
        # Keys of as many bars, and about as full ones, are set alike: as the fullest of them asks.
        asked = sum(loads[first:last])
        alike = [
            one
            for one, other in pairwise(forced)
            if other - one == last - first and abs(sum(loads[one:other]) - asked) < _ALIKE * asked
        ]
        most = [max(loads[one + at] for one in alike) for at in range(last - first)]
        least = [max(tights[one + at] for one in alike) for at in range(last - first)]
        room_left = width - max(_head(score, one) for one in alike)
        starts.extend(
            first + at
            for at in _shared_out(most, least, room_left, _within(opened, first, last), _within(joined, first, last))
        )
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
        if end in forced
        and opened.isdisjoint(range(first, end))
        and not (score.exercise.meter is not None and bars[end - 1].end is BarEnd.INVISIBLE)
    )
    return Lines(frozenset(starts), fresh, too_long, ending)


def _within(bars: frozenset[int], first: int, last: int) -> frozenset[int]:
    """Some bars counted from the first of a stretch."""
    return frozenset(number - first for number in bars if first <= number < last)


def _joined(score: Score) -> frozenset[int]:
    """In free time the bars that no line parts from the one before, where lines say what belongs together."""
    bars = score.exercise.bars
    joined = frozenset(at + 1 for at, bar in enumerate(bars[:-1]) if bar.end is BarEnd.INVISIBLE)
    return joined if score.exercise.meter is None and len(joined) < len(bars) - 1 else frozenset()


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
) -> tuple[list[float], list[float]]:
    """The comfortable width of each bar, and the least in which its notes, signs and names do not meet."""
    exercise, whole = score.exercise, score.clock.whole
    labels = _labels(score, rooms)
    comfort: dict[int, float] = {}
    usual: dict[int, int] = {}
    seen: dict[int, int] = {}
    loads: list[float] = []
    tights: list[float] = []
    for number, (start, length) in enumerate(zip(score.starts, score.lengths, strict=True)):
        key = exercise.bars[number].key
        if key is not None and not exercise.open_signature:
            usual = {name.letter: name.alteration for name in key.signature_names}
            seen = dict(usual)
        onsets: set[int] = set()
        altered: dict[int, float] = {}
        slants = 0.0
        tied: set[int] = set()
        for written in score.bars.values():
            for piece in written[number].pieces:
                onsets.add(piece.start)
                if piece.is_tied_on:
                    tied.add(piece.start)
                if piece.event >= 0 and not piece.part:
                    width, slant = _width_of_signs(exercise.events[piece.event].pitches, usual, seen)
                    slants += slant
                    if piece.dots:
                        width += _DOT
                    if exercise.events[piece.event].roll is not Roll.NONE:
                        width += _ROLL
                    if width:
                        altered[piece.start] = max(width, altered.get(piece.start, 0.0))
        if not onsets:
            onsets.add(start)
        ordered = [*sorted(onsets), start + length]
        total, tight = 2.0 * room, 1.6
        for now, following in pairwise(ordered):
            gap = following - now
            if gap not in comfort:
                usual_room = comfortable_room(gap / whole)
                comfort[gap] = max(usual_room * room, min(usual_room, _LEAST))
            total += comfort[gap]
            tight += max(_LEAST_STEP, _CLOSEST * comfort[gap])
        more = 0.0
        if number in turns:
            more += _CLEF
        if number and key is not None and not exercise.open_signature and not exercise.bars[number].starts_line:
            # A signature within a line.
            more += 1.5 + 1.05 * abs(key.signature)
        bar = exercise.bars[number]
        if bar.begins_repeat:
            more += _REPEAT_BEGINS
        more += _ENDS.get(bar.end, 0.0)
        signs = sum(altered.values())
        loads.append(max(total + more + signs, labels[number] + 1.0))
        tights.append(max(tight + more + 0.5 * signs + slants + _TIE * len(tied), labels[number]))
    # A label may reach over the bars that follow, up to the next one.
    for first, last in pairwise([*sorted(titles), len(loads)]):
        missing = titles[first] - sum(loads[first:last])
        if missing > 0:
            loads[first] += missing
        tights[first] += max(titles[first] - sum(tights[first:last]), 0.0)
    return loads, tights


def _width_of_signs(pitches: tuple[Pitch, ...], usual: dict[int, int], seen: dict[int, int]) -> tuple[float, float]:
    """About how much room the accidentals and the displaced heads of a note or chord take; and the latter at least."""
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
    room = (0.7 + 0.4 * min(signs, 4) if signs else 0.0) + (_DISPLACED if is_close else 0.0)
    return room, _HEAD_WIDTH if is_close else 0.0


def _in_equal_lines(loads: list[float], tights: list[float], width: float, opened: frozenset[int]) -> list[int]:
    """The same number of calls with their answers on every line, as many as there is room for; or nothing."""
    count = len(loads)
    for length in range(count, 1, -1):
        starts = list(range(0, count, length))
        if count % length or not opened.isdisjoint(starts):
            continue
        fills = [sum(loads[start : start + length]) / width for start in starts]
        if max(fills) <= FULL and max(sum(tights[start : start + length]) for start in starts) <= width:
            return starts if min(fills) >= _EMPTIEST else []
    return []


def _shared_out(
    loads: list[float], tights: list[float], width: float, opened: frozenset[int], joined: frozenset[int]
) -> list[int]:
    """The first bar of each line, by dynamic programming over all ways to share bars out.

    ``loads`` are the comfortable widths of the bars, ``tights`` the least; ``opened`` those to be written into, and
    ``joined`` those that belong to the one before them.
    """
    first, last = 0, len(loads)
    if opened:
        equal = _in_equal_lines(loads, tights, width, opened)
        if equal:
            return equal
    best: dict[int, tuple[float, int]] = {first: (0.0, first)}
    for end in range(first + 1, last + 1):
        choices = []
        total = tight = 0.0
        for start in range(end - 1, first - 1, -1):
            total += loads[start]
            tight += tights[start]
            fill = total / width
            if (fill > FULLEST or tight > width) and start < end - 1:
                break
            is_phrase = (start - first) % 4 == 0 and end - start == 4 and fill <= FULLEST_PHRASE
            if fill > FULL and start < end - 1:
                if not opened.isdisjoint(range(start, end)):
                    # What is written by hand must not be pressed together.
                    continue
                # Rather than that a phrase is broken, or a bar stands alone, a line is set closer: for nothing else.
                cost = _CLOSE_PHRASE if is_phrase else _CLOSE
                cost += (fill - WELL_FILLED) ** 2 * (0.3 if is_phrase else 1.4)
            else:
                cost = _LINE + (fill - WELL_FILLED) ** 2 * (0.6 if end == last else 1.0)
            # Phrases of four bars (or at least pairs) begin lines where nothing speaks against it.
            if (end - first) % 4 and end != last:
                cost += 0.02 if (end - first) % 2 == 0 else 0.05
            if end - start == 1 and last - first > 1 and fill < WELL_FILLED:
                cost += _ALONE if start > first else _ALONE_AT_FIRST
            if start in opened or start in joined:
                # A call and the bar for its answer are seen at once, and so are the shapes of one chord.
                cost += _PARTED
            choices.append((best[start][0] + cost, start))
        best[end] = min(choices)
    starts = []
    at = last
    while at > first:
        at = best[at][1]
        starts.append(at)
    return starts[::-1]
