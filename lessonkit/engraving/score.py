"""An exercise as it will be written: bars of note values for each hand, tied and grouped. No signs yet, no ink.

Times are ticks (see ``values``). A piece is one head or rest; a note longer than one value is several pieces.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, pairwise
from typing import NamedTuple

from lessonkit.drills.exercise import BarEnd, Event, Exercise, Hand
from lessonkit.engraving.ink import new
from lessonkit.engraving.values import (
    NORMAL_OF_TUPLET,
    SMALLEST_DENOMINATOR,
    Clock,
    split,
    split_by_dotted_beats,
    written_values,
)
from lessonkit.values import dataclass

NOTE, REST, SPACE = 0, 1, 2


class Piece(NamedTuple):
    """One written value: of which event (-1 for a rest that only fills), which part of it, where and how long.

    ``length`` is what sounds; ``value`` and ``dots`` what is written. ``group`` is the event's group. ``tuplet`` is 0
    or how many stand in the tuplet.
    """

    kind: int
    event: int
    part: int
    start: int
    length: int
    value: str
    dots: int
    group: int
    tuplet: int
    is_tied_on: bool


@dataclass(frozen=True, slots=True)
class Run:
    """Pieces from index ``first`` up to ``last`` (not included) of a bar that stand under one beam or in one tuplet."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class WrittenBar:
    """One bar of one hand: its pieces, its beams and its tuplets. No pieces means a bar's rest."""

    pieces: tuple[Piece, ...]
    beams: tuple[Run, ...]
    tuplets: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Score:
    """What is written: for each bar its start and length in ticks, and for each hand its bars."""

    exercise: Exercise
    clock: Clock
    starts: tuple[int, ...]
    lengths: tuple[int, ...]
    bars: dict[Hand, tuple[WrittenBar, ...]]


def written(exercise: Exercise) -> Score:
    """Write an exercise out in note values; raises ValueError where it has no bars or notes lie outside them."""
    if not exercise.bars:
        raise ValueError("the exercise has no bars; give it at least one")
    events, bars = exercise.events, exercise.bars
    clock = Clock(
        chain(
            (event.onset for event in events), (event.length for event in events),
            (bar.onset for bar in bars), (bar.length for bar in bars),
            (mark.onset for mark in exercise.chords), (mark.onset for mark in exercise.dynamics),
        )
    )  # fmt: skip
    starts = tuple(clock.ticks(bar.onset) for bar in bars)
    lengths = tuple(clock.ticks(bar.length) for bar in bars)
    hands = exercise.hands or (Hand.RIGHT,)
    written_bars = {hand: _of_hand(exercise, hand, clock, starts, lengths) for hand in hands}
    return Score(exercise, clock, starts, lengths, written_bars)


def _of_hand(
    exercise: Exercise, hand: Hand, clock: Clock, starts: tuple[int, ...], lengths: tuple[int, ...]
) -> tuple[WrittenBar, ...]:
    ticks = clock.ticks
    whole, is_metric = clock.whole, exercise.meter is not None
    has_middle = exercise.meter is not None and (exercise.meter.beats, exercise.meter.unit) == (4, 4)
    middle = whole // 2 if has_middle else 0
    beat = dotted_beat(exercise, whole)
    values = written_values(whole)
    bars: list[list[Piece]] = [[] for _ in starts]
    bar, now = 0, starts[0]
    ends = [start + length for start, length in zip(starts, lengths, strict=True)]

    def fill(until: int, group: int = -1, kind: int = REST, index: int = -1, tuplet: int = 0) -> None:
        """Write rests or spaces up to a moment."""
        nonlocal bar, now
        part = 0
        while now < until:
            stop = min(until, ends[bar])
            offset = now - starts[bar]
            if tuplet:
                spans = [(span, tuplet) for span in _in_tuplet(stop - now, tuplet, whole)]
            elif kind == SPACE:
                # Quarter by quarter, so that the empty bar keeps the width of a written one.
                quarters, rest = divmod(stop - now, whole // 4)
                plain = [whole // 4] * quarters + list(split(0, rest, whole, False, True) if rest else ())
                spans = [(span, 0) for span in plain]
            elif beat:
                spans = [(span, 0) for span in split_by_dotted_beats(offset, stop - now, whole, beat, True)]
            else:
                spans = list(_rests(offset, stop - now, whole, is_metric))
            for length, of in spans:
                read = length * of // NORMAL_OF_TUPLET[of] if of else length
                value, dots = values.get(read, ("64", 0))
                bars[bar].append(Piece(kind, index, part, now, length, value, dots, group, of, False))
                now += length
                part += 1
            if now >= ends[bar] and bar + 1 < len(ends):
                bar += 1

    for index, event in enumerate(exercise.events):
        if event.hand is not hand:
            continue
        start, length = ticks(event.onset), ticks(event.length)
        if start < now or start + length > ends[-1]:
            raise ValueError(
                f"a note of the {hand.value} hand at {event.onset} overlaps the one before it or the end; move it"
            )
        if start > now:
            fill(start)
        if event.is_open or not event.pitches:
            fill(start + length, event.group, SPACE if event.is_open else REST, index, event.tuplet)
            continue
        bar, now = _write_note(bars, starts, ends, bar, index, event, start, length, clock, is_metric, middle, beat)
    if any(bars):
        fill(ends[-1])
    if is_metric:
        # A bar of nothing but rests has one rest in its middle, whatever the metre; a part of a bar has not.
        bars = [
            [] if all(piece.kind == REST for piece in pieces) and not _is_part(exercise, number) else pieces
            for number, pieces in enumerate(bars)
        ]
    return tuple(_grouped(pieces, exercise, whole, start) for pieces, start in zip(bars, starts, strict=True))


def _is_part(exercise: Exercise, number: int) -> bool:
    """Whether a bar is parted from a neighbour by no line."""
    bars = exercise.bars
    return bars[number].end is BarEnd.INVISIBLE or (number > 0 and bars[number - 1].end is BarEnd.INVISIBLE)


def _in_tuplet(length: int, tuplet: int, whole: int) -> list[int]:
    """The lengths of the rests that fill a length within a tuplet."""
    normal = NORMAL_OF_TUPLET[tuplet]
    return [span * normal // tuplet for span in split(0, length * tuplet // normal, whole, False, True)]


def _rests(offset: int, length: int, whole: int, is_metric: bool) -> Iterator[tuple[int, int]]:
    """The rests that fill a length, each with its tuplet: what begins or ends within a triplet fills that up first."""
    quarter, smallest, end = whole // 4, whole // SMALLEST_DENOMINATOR, offset + length
    if offset % smallest:
        stop = min(end, (offset // quarter + 1) * quarter)
        yield from ((span, 3) for span in _in_tuplet(stop - offset, 3, whole))
        offset = stop
    last = end // quarter * quarter if end % smallest else end
    if offset < last:
        yield from ((span, 0) for span in split(offset, last - offset, whole, is_metric, True))
        offset = last
    if offset < end:
        yield from ((span, 3) for span in _in_tuplet(end - offset, 3, whole))


def _write_note(
    bars: list[list[Piece]], starts: tuple[int, ...], ends: list[int], bar: int, index: int, event: Event,
    start: int, length: int, clock: Clock, is_metric: bool, middle: int,
    beat: int,
) -> tuple[int, int]:  # fmt: skip
    """Write one note or chord from ``start``; answers the bar and the moment after it."""
    whole = clock.whole
    values = written_values(whole)
    now, until, part = start, start + length, 0
    tuplet = event.tuplet
    normal = NORMAL_OF_TUPLET.get(tuplet, 0)
    if tuplet and not normal:
        raise ValueError(f"a note at {event.onset} stands in a tuplet of {tuplet}; write 3, 5, 6 or 7")
    while now < until:
        stop = min(until, ends[bar])
        if tuplet:
            lengths: tuple[int, ...] = tuple(
                span * normal // tuplet for span in split(0, (stop - now) * tuplet // normal, whole, False, False)
            )
        elif beat:
            lengths = split_by_dotted_beats(now - starts[bar], stop - now, whole, beat, False)
        else:
            lengths = split(now - starts[bar], stop - now, whole, is_metric, False, middle)
        for span in lengths:
            value, dots = values.get(span * tuplet // normal if tuplet else span, ("64", 0))
            ties_on = now + span < until or event.is_tied
            bars[bar].append(new(Piece, (NOTE, index, part, now, span, value, dots, event.group, tuplet, ties_on)))
            now += span
            part += 1
        if now >= ends[bar] and bar + 1 < len(ends):
            bar += 1
    return bar, now


def dotted_beat(exercise: Exercise, whole: int) -> int:
    """The length of a beat where it is a dotted one, as in 6/8, in ticks; 0 in other metres and in free time."""
    meter = exercise.meter
    is_compound = meter is not None and meter.beats % 3 == 0 and meter.beats > 3 and meter.unit >= 8
    return 3 * whole // meter.unit if is_compound and meter is not None else 0


FLAGGED = frozenset({"8", "16", "32", "64"})
"""The note values that have flags or beams."""


def _grouped(pieces: list[Piece], exercise: Exercise, whole: int, start: int) -> WrittenBar:
    """Find a bar's tuplets and beams. A beam follows the group; a tuplet closes where plain time is reached again."""
    if not any(piece.tuplet or piece.value in FLAGGED for piece in pieces):
        return WrittenBar(tuple(pieces), (), ())
    tuplets: list[Run] = []
    at = 0
    while at < len(pieces):
        tuplet = pieces[at].tuplet
        if not tuplet:
            at += 1
            continue
        last, total = at, 0
        unit = whole
        while last < len(pieces) and pieces[last].tuplet == tuplet:
            total += pieces[last].length
            # A quarter and an eighth make a whole triplet as well as three eighths do.
            unit = min(unit, pieces[last].length)
            last += 1
            if total % (unit * tuplet) == 0 or ((total * 64) % whole == 0 and total >= unit * tuplet):
                break
        tuplets.append(Run(at, last))
        at = last
    return WrittenBar(tuple(pieces), tuple(_beams(pieces, tuplets, exercise, whole, start)), tuple(tuplets))


def _beams(pieces: list[Piece], tuplets: list[Run], exercise: Exercise, whole: int, start: int) -> list[Run]:
    runs: list[Run] = []
    first = 0
    beat = dotted_beat(exercise, whole)
    edges = (
        {edge for tuplet in tuplets for edge in (tuplet.first, tuplet.last)} if exercise.meter is not None else set()
    )
    for at in range(1, len(pieces) + 1):
        # Triplets are beamed beat by beat, whatever the pattern's groups: the 3 must be seen.
        if at < len(pieces) and at not in edges and _joins(pieces[at - 1], pieces[at], beat, start, bool(edges)):
            continue
        if at - first > 1 and pieces[first].kind == NOTE and pieces[first].value in FLAGGED:
            runs.append(Run(first, at))
        first = at
    if exercise.meter is not None and not beat:
        span = _beam_span(exercise, whole)
        runs = [part for run in runs for part in _cut_long(run, pieces, span, start)]
    for tuplet in tuplets:
        runs = [part for run in runs for part in _cut_at_tuplet(run, tuplet)]
    return [run for run in runs if run.last - run.first > 1]


def _joins(before: Piece, piece: Piece, beat: int, start: int, is_in_beats: bool) -> bool:
    """Whether two neighbours stand under one beam: where they are of one group, in dotted beats where of one beat."""
    if is_in_beats and before.tuplet and piece.tuplet:
        belong = True
    elif beat:
        belong = (before.start - start) // beat == (piece.start - start) // beat
    else:
        belong = before.group == piece.group
    return belong and before.kind == piece.kind == NOTE and before.value in FLAGGED and piece.value in FLAGGED


def _beam_span(exercise: Exercise, whole: int) -> int:
    """How long a beam may be before it hides the metre: half a bar of 4/4, a bar of 3/4."""
    meter = exercise.meter
    assert meter is not None
    if meter.beats == 3:
        return 3 * whole // meter.unit
    return max(whole // 2, whole // meter.unit) if meter.beats % 2 == 0 else whole // meter.unit


def _cut_long(run: Run, pieces: list[Piece], span: int, start: int) -> list[Run]:
    """A run of one group stays whole as a pattern of up to six; a longer one is cut where the metre has its joints."""
    shortest = min(pieces[at].length for at in range(run.first, run.last))
    joint = span if shortest * 8 > span or span % 2 else span // 2
    total = sum(pieces[at].length for at in range(run.first, run.last))
    if total <= joint or run.last - run.first <= 6:
        return [run]
    parts, first = [], run.first
    for at in range(run.first + 1, run.last):
        if (pieces[at].start - start) // joint != (pieces[at - 1].start - start) // joint:
            parts.append(Run(first, at))
            first = at
    return [*parts, Run(first, run.last)]


def _cut_at_tuplet(run: Run, tuplet: Run) -> list[Run]:
    """Beams and tuplets nest or stand apart; a beam that would cross a tuplet's edge is cut there."""
    is_apart = run.last <= tuplet.first or tuplet.last <= run.first
    is_around = run.first <= tuplet.first and tuplet.last <= run.last
    is_within = tuplet.first <= run.first and run.last <= tuplet.last
    if is_apart or is_around or is_within:
        return [run]
    edges = [run.first, *(edge for edge in (tuplet.first, tuplet.last) if run.first < edge < run.last), run.last]
    return [Run(first, last) for first, last in pairwise(edges)]
