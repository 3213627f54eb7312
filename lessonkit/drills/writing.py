"""Lays what the hands do into bars. A family says steps, sections and chord marks; whole bars come out.

A step is one sounding moment of one hand. A note that crosses a bar line stays one event: engraving writes the tie.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from enum import Enum
from fractions import Fraction
from itertools import pairwise
from typing import Any

from lessonkit.drills import fields
from lessonkit.drills.exercise import (
    Bar,
    BarEnd,
    Blank,
    ChordMark,
    Dynamic,
    Event,
    Exercise,
    Hand,
    Meter,
    Roll,
    Shown,
)
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.times import moments, total
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

MOST_EVENTS = 4000
"""The most notes and chords that one drill may have."""


class Threes(Enum):
    """How groups of three notes stand in a metre of quarters."""

    TRIPLETS = "triplets"
    EVEN = "even notes"


def threes_setting(**more: Any) -> Any:
    """A field for how groups of three stand; every family that has such groups asks for it in the same words."""
    return fields.choice(
        Threes.TRIPLETS, label="Groups of three are", group="Time",
        help="Triplets stand in a metre of quarters only; elsewhere threes are even.", **more,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Step:
    """What one hand does next: a note, a chord or, without pitches, a rest. Steps of one group belong together.

    ``fingers`` answers each pitch where the trade has usual fingers for a figure; otherwise they are searched for.
    """

    pitches: tuple[Pitch, ...]
    length: Fraction
    group: int = 0
    roll: Roll = Roll.NONE
    is_open: bool = False
    fingers: tuple[int, ...] = ()
    crushed: tuple[Pitch, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch in one key, padded to whole bars. Onsets of its chords and dynamics count from its start.

    ``bars`` gives the lengths of its bars in free time; without them each group has a bar of its own.
    ``tells_chord`` where the label speaks of the first chord and stands over it.
    """

    key: Key
    parts: Mapping[Hand, Sequence[Step]]
    chords: tuple[ChordMark, ...] = ()
    dynamics: tuple[Dynamic, ...] = ()
    label: str = ""
    answer: str = ""
    starts_line: bool = False
    bars: tuple[Fraction, ...] = ()
    tells_chord: bool = False


def write(
    drill: DrillFamily,
    sections: Sequence[Section],
    *,
    summary: str,
    blank: frozenset[Blank] = frozenset(),
    seed: int | None = None,
    open_signature: bool = False,
    remarks: tuple[str, ...] = (),
) -> Exercise:
    """The exercise that sections make one after another; its fingers come later, from ``fingers.py``.

    Raises ValueError with a sentence where it would have more than ``MOST_EVENTS`` notes.
    """
    check_size(sum(len(part) for section in sections for part in section.parts.values()))
    if drill.rest_between:
        sections = [with_rests(section, drill.rest_between * beat_of(drill)) for section in sections]
    meter = drill.metre.meter
    events: dict[Hand, list[Event]] = {hand: [] for hand in drill.playing_hands}
    bars: list[Bar] = []
    chords: list[ChordMark] = []
    dynamics: list[Dynamic] = []
    start, group = Fraction(0), 0
    for number, section in enumerate(sections):
        lengths = _bar_lengths(section, meter)
        end = start + total(lengths)
        for hand, written in events.items():
            written += _placed(hand, section.parts.get(hand, ()), start, end, group)
        bars += _bars(section, lengths, start, meter is None, number + 1 == len(sections))
        chords += [replace(mark, onset=mark.onset + start) for mark in section.chords]
        dynamics += [replace(mark, onset=mark.onset + start) for mark in section.dynamics]
        start, group = end, 1 + max((event.group for written in events.values() for event in written), default=0)
    return Exercise(
        key=sections[0].key,
        meter=meter,
        events=tuple(event for written in events.values() for event in written),
        bars=tuple(bars),
        chords=tuple(chords),
        dynamics=tuple(dynamics),
        shown=Shown(drill.shows_chord_names, drill.shows_degrees, drill.fingers_printed()),
        blank=blank,
        open_signature=open_signature,
        summary=summary,
        seed=seed,
        remarks=remarks,
    )


def beat_of(drill: DrillFamily) -> Fraction:
    """What a teacher counts in the drill's metre: quarters, or dotted quarters."""
    meter = drill.metre.meter
    return Fraction(1, 4) if meter is None or meter.unit == 4 else Fraction(3, 8)


def with_rests(section: Section, rest: Fraction) -> Section:
    """The section with a rest after each group but the last, where all hands begin a new group together."""
    begins = [set(group_onsets(part)) for part in section.parts.values() if part]
    cuts = sorted(set.intersection(*begins) - {Fraction(0)}) if begins else []

    def later(onset: Fraction) -> Fraction:
        return onset + rest * bisect_right(cuts, onset)

    parts: dict[Hand, list[Step]] = {}
    for hand, part in section.parts.items():
        rested: list[Step] = []
        for step, onset in zip(part, onsets(part), strict=True):
            if onset in cuts and rested and step.group != rested[-1].group:
                # The rest belongs to the group before it, so that in free time their bar holds both.
                rested.append(Step((), rest, rested[-1].group))
            rested.append(step)
        parts[hand] = rested
    return replace(
        section,
        parts=parts,
        chords=tuple(replace(mark, onset=later(mark.onset)) for mark in section.chords),
        dynamics=tuple(replace(mark, onset=later(mark.onset)) for mark in section.dynamics),
        bars=(),
    )


def check_size(events: int) -> None:
    """Raises ValueError with a sentence where a drill would have more events than can be played or printed."""
    if events > MOST_EVENTS:
        raise ValueError(
            f"the drill would have {events} notes, more than {MOST_EVENTS}; take fewer keys, octaves or repetitions"
        )


def for_hands(drill: DrillFamily, steps: Sequence[Step]) -> dict[Hand, Sequence[Step]]:
    """The right hand's steps for the hands that play; the left an octave below, or as many as keep the hands apart."""
    widest = max((step.pitches[-1].midi - step.pitches[0].midi for step in steps if step.pitches), default=0)
    below = 1 + widest // 12 if len(drill.playing_hands) == 2 else 1
    return {hand: steps if hand is Hand.RIGHT else _lowered(steps, below) for hand in drill.playing_hands}


def note_in_group(length: Fraction, size: int, drill: DrillFamily, threes: Threes) -> Fraction:
    """How long a note of a group of ``size`` lasts: in threes and sixes two thirds, where they become triplets.

    In free time and in a metre of dotted beats threes are even.
    """
    meter = drill.metre.meter
    becomes_triplet = size % 3 == 0 and threes is Threes.TRIPLETS and meter is not None and meter.unit == 4
    return length * Fraction(2, 3) if becomes_triplet and length.denominator % 3 else length


def in_groups(groups: Sequence[Sequence[Pitch]], length: Fraction) -> list[Step]:
    """Single notes of one length, numbered by group."""
    return [Step((pitch,), length, number) for number, group in enumerate(groups) for pitch in group]


def held_to_the_bar(steps: Sequence[Step], drill: DrillFamily) -> list[Step]:
    """The steps with the last one held to the end of its bar; in free time they stay as they are."""
    meter = drill.metre.meter
    missing = Fraction(0) if meter is None else -total(step.length for step in steps) % meter.bar
    return [*steps[:-1], replace(steps[-1], length=steps[-1].length + missing)]


def onsets(steps: Sequence[Step]) -> Iterator[Fraction]:
    """When each step begins, counted from the first."""
    yield from moments([step.length for step in steps])[:-1]


def group_onsets(steps: Sequence[Step]) -> tuple[Fraction, ...]:
    """When each group begins, counted from the first step."""
    begins: dict[int, Fraction] = {}
    for step, onset in zip(steps, onsets(steps), strict=True):
        begins.setdefault(step.group, onset)
    return tuple(begins.values())


def _lowered(steps: Sequence[Step], octaves: int) -> list[Step]:
    return [replace(step, pitches=_down(step.pitches, octaves), crushed=_down(step.crushed, octaves)) for step in steps]


def _down(pitches: tuple[Pitch, ...], octaves: int) -> tuple[Pitch, ...]:
    return tuple(pitch.octaves_up(-octaves) for pitch in pitches)


def _bar_lengths(section: Section, meter: Meter | None) -> list[Fraction]:
    sums = {hand: total(step.length for step in part) for hand, part in section.parts.items()}
    longest = max(sums, key=lambda hand: sums[hand])
    if meter is not None:
        return [meter.bar] * max(1, -(-sums[longest] // meter.bar))
    if section.bars:
        return list(section.bars)
    begins = [*group_onsets(section.parts[longest]), sums[longest]]
    return [end - begin for begin, end in pairwise(begins)]


def _placed(hand: Hand, part: Sequence[Step], start: Fraction, end: Fraction, group: int) -> Iterator[Event]:
    *begins, now = moments([step.length for step in part], start)
    for step, begin in zip(part, begins, strict=True):
        tuplet = 3 if step.length.denominator % 3 == 0 else 0
        yield Event(
            hand, begin, step.length, step.pitches, step.fingers, group + step.group, step.roll, False, tuplet,
            step.is_open, crushed=step.crushed,
        )  # fmt: skip
    if part and now < end:
        # The rest that fills the last bar belongs to no group, so that no beam reaches over it.
        yield Event(hand, now, end - now, (), (), group + part[-1].group + 1)


def _bars(
    section: Section, lengths: Sequence[Fraction], start: Fraction, is_free: bool, is_last: bool
) -> Iterator[Bar]:
    now = start
    for number, length in enumerate(lengths):
        is_first, is_end = number == 0, number + 1 == len(lengths)
        inner = BarEnd.INVISIBLE if is_free and not section.bars else BarEnd.SINGLE
        end = inner if not is_end else BarEnd.FINAL if is_last else BarEnd.DOUBLE
        if is_first:
            yield Bar(
                now, length, section.key, section.label, section.answer, section.starts_line, end,
                tells_chord=section.tells_chord,
            )  # fmt: skip
        else:
            yield Bar(now, length, end=end)
        now += length
