"""How a drill is to be played: the teacher's choices of touch, loudness and pedal, turned into meaning.

Slurs go over groups, a swell follows the line to its highest note and back, the pedal changes where the harmony, the
bar or the group does. Nothing here touches a note.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from enum import Enum
from fractions import Fraction
from itertools import groupby, pairwise
from typing import Protocol

from lessonkit.drills.exercise import Dynamic, Event, Exercise, Hand, Pedal, Sign, Slur, Swell


class Articulation(Enum):
    """What is printed at the notes."""

    NONE = "nothing"
    LEGATO = "legato, a slur over each group"
    STACCATO = "staccato"
    TENUTO = "tenuto"
    ACCENTS = "an accent on each group"

    @property
    def words(self) -> str:
        """For a summary."""
        return {
            Articulation.NONE: "", Articulation.LEGATO: "legato by groups", Articulation.STACCATO: "staccato",
            Articulation.TENUTO: "tenuto", Articulation.ACCENTS: "with an accent on each group",
        }[self]  # fmt: skip


class Loudness(Enum):
    """How loud a drill begins."""

    NONE = "nothing"
    PP = "pp"
    P = "p"
    MP = "mp"
    MF = "mf"
    F = "f"
    FF = "ff"


class Shaping(Enum):
    """Whether loudness follows the line."""

    NONE = "nothing"
    WITH_THE_LINE = "louder up, softer down"
    AGAINST_THE_LINE = "softer up, louder down"


class PedalUse(Enum):
    """Where the pedal changes."""

    NONE = "nothing"
    CHORD = "changed with each chord"
    BAR = "changed with each bar"
    GROUP = "changed with each group"


class Played(Protocol):
    """What says how it is played."""

    @property
    def articulation(self) -> Articulation: ...
    @property
    def loudness(self) -> Loudness: ...
    @property
    def shaping(self) -> Shaping: ...
    @property
    def pedal_use(self) -> PedalUse: ...


_SIGNS = {Articulation.STACCATO: Sign.STACCATO, Articulation.TENUTO: Sign.TENUTO}


def as_played(exercise: Exercise, drill: Played) -> Exercise:
    """The exercise with the signs that a drill asks for; the same exercise where it asks for none."""
    if drill.articulation is not Articulation.NONE:
        exercise = _articulated(exercise, drill.articulation)
    if drill.loudness is not Loudness.NONE:
        begin = Dynamic(_first_sound(exercise), drill.loudness.value)
        exercise = replace(exercise, dynamics=(begin, *(one for one in exercise.dynamics if one.onset > begin.onset)))
    if drill.shaping is not Shaping.NONE:
        is_louder_up = drill.shaping is Shaping.WITH_THE_LINE
        exercise = replace(exercise, swells=tuple(_swells(exercise, is_louder_up)))
    if drill.pedal_use is not PedalUse.NONE:
        exercise = replace(exercise, pedals=tuple(_pedals(exercise, drill.pedal_use)))
    return exercise


def _articulated(exercise: Exercise, articulation: Articulation) -> Exercise:
    if articulation is Articulation.LEGATO:
        return replace(exercise, slurs=tuple(_slurs(exercise)))
    firsts = _begin_groups(exercise)
    sign = _SIGNS.get(articulation)
    events = tuple(
        replace(event, sign=sign or Sign.ACCENT) if event.pitches and (sign or place in firsts) else event
        for place, event in enumerate(exercise.events)
    )
    return replace(exercise, events=events)


def _grouped(exercise: Exercise) -> Iterator[list[int]]:
    """The places of the sounding events of each group, hand by hand; a rest ends a group."""
    for hand in Hand:
        places = [place for place, event in enumerate(exercise.events) if event.hand is hand]
        for (_, sounds), group in groupby(
            places, key=lambda at: (exercise.events[at].group, bool(exercise.events[at].pitches))
        ):
            if sounds:
                yield list(group)


def _slurs(exercise: Exercise) -> Iterator[Slur]:
    """A slur over each group of more than one note; a lone note that closes a line joins the slur before it."""
    before: list[int] = []
    for group in [*_grouped(exercise), []]:
        is_next = (
            bool(before)
            and len(group) == 1
            and len(before) > 1
            and exercise.events[before[-1]].hand is exercise.events[group[0]].hand
            and exercise.events[before[-1]].end == exercise.events[group[0]].onset
            and _closes(exercise, group[0])
        )
        if is_next:
            before = before + group
            continue
        # Over a chord that is only struck again a slur would read as a tie.
        if len({exercise.events[at].pitches for at in before}) > 1:
            yield Slur(before[0], before[-1])
        before = group


def _closes(exercise: Exercise, place: int) -> bool:
    """Whether a note is the last that its hand plays in its key."""
    begins = exercise.key_starts
    event = exercise.events[place]
    later = (one for one in exercise.events[place + 1 :] if one.hand is event.hand and one.pitches)
    following = next(later, None)
    return following is None or bisect_right(begins, following.onset) > bisect_right(begins, event.onset)


def _begin_groups(exercise: Exercise) -> frozenset[int]:
    return frozenset(group[0] for group in _grouped(exercise))


def _first_sound(exercise: Exercise) -> Fraction:
    return min((event.onset for event in exercise.events if event.pitches), default=Fraction(0))


def _swells(exercise: Exercise, is_louder_up: bool) -> Iterator[Swell]:
    """In each key from the line's start to its highest note and from there to its end, where it goes there and back."""
    begins = exercise.key_starts
    leading = exercise.hands[0] if exercise.hands else Hand.RIGHT
    sounding = [event for event in exercise.of(leading) if event.pitches]
    for _, stretch in groupby(sounding, key=lambda event: bisect_right(begins, event.onset)):
        line = list(stretch)
        tops = [event.pitches[-1].midi for event in line]
        peak = tops.index(max(tops))
        bottom = tops.index(min(tops))
        # A line that falls first and rises again has its turning point below.
        turn = bottom if 0 < bottom < len(line) - 1 and peak in (0, len(line) - 1) else peak
        # The way back begins at the note after the turn, so that one sign ends before the next begins.
        for first, last, rises in ((0, turn, tops[turn] > tops[0]), (turn + 1, len(line) - 1, tops[-1] > tops[turn])):
            if last > first:
                yield Swell(line[first].onset, line[last].onset, rises is is_louder_up)


def _pedals(exercise: Exercise, use: PedalUse) -> Iterator[Pedal]:
    """The pedal from each change to the next, in each key by itself; changes stand where a note begins."""
    sounding = sorted({event.onset for event in exercise.events if event.pitches})
    if not sounding:
        return
    wanted = sorted({_sound_from(onset, sounding) for onset in _changes(exercise, use)} - {None})  # type: ignore[type-var]
    begins = exercise.key_starts
    ends = [*begins[1:], exercise.length]
    for onset, until in pairwise([*wanted, None]):
        assert onset is not None
        section = bisect_right(begins, onset) - 1
        end = ends[section] if until is None else min(until, ends[section])
        last = max((event.end for event in _within(exercise.events, onset, end)), default=end)
        is_taken_anew = until is not None and until == min(end, last) and until < ends[section]
        yield Pedal(onset, min(end, last), is_taken_anew)


def _within(events: Sequence[Event], start: Fraction, end: Fraction) -> Iterable[Event]:
    return (event for event in events if event.pitches and start <= event.onset < end)


def _changes(exercise: Exercise, use: PedalUse) -> Iterable[Fraction]:
    if use is PedalUse.BAR:
        return [bar.onset for bar in exercise.bars]
    if use is PedalUse.GROUP:
        leading = exercise.hands[0] if exercise.hands else Hand.RIGHT
        groups = (group[0] for group in _grouped(exercise))
        return [exercise.events[at].onset for at in groups if exercise.events[at].hand is leading]
    return [mark.onset for mark in exercise.chords] + [*exercise.key_starts]


def _sound_from(onset: Fraction, sounding: Sequence[Fraction]) -> Fraction | None:
    """The first moment from here on at which a note begins."""
    return next((moment for moment in sounding if moment >= onset), None)
