"""Which finger numbers are printed. Fingers come from the exercise; here some are left off, none is added.

A chord says its fingers where its shape or they change and where a key or a label begins, never twice in a row. Those
that the teacher typed stand in bold, so that they are told from the found ones on paper as on the screen.
"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction
from itertools import pairwise

from lessonkit.drills.exercise import Event, Exercise, FingersShown, Hand

Fingers = tuple[int | None, ...]

_MOST_MOVED = 5
"""How many semitones a hand may move to a group fingered like the one before without saying where it begins."""


def fingers_to_print(exercise: Exercise) -> dict[int, Fingers]:
    """The fingers to be printed for each event that has any, by the event's index."""
    shown = exercise.shown.fingers
    if shown is FingersShown.NONE:
        return {}
    printed: dict[int, Fingers] = {}
    begins = [bar.onset for bar in exercise.bars if bar.key is not None or bar.label]
    for hand in Hand:
        mine = [(index, event) for index, event in enumerate(exercise.events) if event.hand is hand and event.fingers]
        if shown is FingersShown.FIRST_GROUP:
            mine = _first_groups(mine, begins)
        elif shown is FingersShown.CHANGES:
            mine = _changes(mine, hand, begins)
        printed |= {index: event.fingers for index, event in mine if any(event.fingers)}
    return printed


def pinned_places(exercise: Exercise) -> dict[int, frozenset[int]]:
    """The places of the typed fingers among each event's, for the events that have any, by the event's index."""
    return {index: event.pinned for index, event in enumerate(exercise.events) if event.pinned}


def _first_groups(mine: list[tuple[int, Event]], begins: list[Fraction]) -> list[tuple[int, Event]]:
    """The first group of each section, and after it each group that is fingered otherwise than the one before.

    Chords and single basses say where they change.
    """
    groups = _grouped(mine)
    if all(len({event.pitches for _, event in group}) == 1 for group in groups):
        return _stacks(mine, begins)
    kept: list[tuple[int, Event]] = []
    before: tuple[int, tuple[Fingers, ...]] = (-1, ())
    for group in groups:
        now = bisect_right(begins, group[0][1].onset), _frame([event for _, event in group])
        if now != before:
            kept += group
        else:
            kept += [(index, event) for index, event in group if event.pinned]
        before = now
    return kept


def _stacks(mine: list[tuple[int, Event]], begins: list[Fraction]) -> list[tuple[int, Event]]:
    """The first chord of each section and each whose shape or fingers are not those of the chord before."""
    if _is_dull(mine):
        return [(index, event) for index, event in mine if event.pinned]
    kept: list[tuple[int, Event]] = []
    before: tuple[int, Fingers, tuple[int, ...]] = (-1, (), ())
    section = 0
    for index, event in mine:
        # They stand in order, so that the section is the one before or comes soon.
        while section < len(begins) and begins[section] <= event.onset:
            section += 1
        now = section, event.fingers, _shape(event)
        if now != before or event.pinned:
            kept.append((index, event))
        before = now
    return kept


def _is_dull(mine: list[tuple[int, Event]]) -> bool:
    """Whether a hand plays all of several single notes, as those of a bass, with one finger, which says nothing."""
    fingers, pitches = {event.fingers for _, event in mine}, {event.pitches for _, event in mine}
    return len(fingers) == 1 and len(pitches) > 1 and all(len(chord) == 1 for chord in pitches)


def _shape(event: Event) -> tuple[int, ...]:
    """How far apart the notes of a chord lie on the staff: thirds are thirds, whether great or small."""
    heights = [7 * pitch.octave + pitch.letter for pitch in event.pitches]
    return tuple(above - below for below, above in pairwise(heights))


def _grouped(mine: list[tuple[int, Event]]) -> list[list[tuple[int, Event]]]:
    """The events of a hand by their groups, in order."""
    grouped: dict[int, list[tuple[int, Event]]] = {}
    for index, event in mine:
        grouped.setdefault(event.group, []).append((index, event))
    return list(grouped.values())


def _changes(mine: list[tuple[int, Event]], hand: Hand, begins: list[Fraction]) -> list[tuple[int, Event]]:
    """What cannot be guessed: a note that is left out takes the next finger in the direction of the notes.

    A group fingered as the one before says nothing, unless the thumb passes where it begins, the line turns or the
    hand leaps: then its first note is printed. In any other group, and in the first of a section, that is printed and
    each crossing, shift and skipped finger. Chords are printed whole where they change, typed fingers always.
    """
    if _is_dull(mine):
        return [(index, event) for index, event in mine if event.pinned]
    stacks = {index for index, _ in _stacks(mine, begins)}
    kept: list[tuple[int, Event]] = []
    frame_before: tuple[int, tuple[Fingers, ...]] = (-1, ())
    last: Event | None = None
    begun_before: Fingers | None = None
    lowest_before: int | None = None
    for group in _grouped(mine):
        frame = bisect_right(begins, group[0][1].onset), _frame([event for _, event in group])
        if frame[0] != frame_before[0]:
            # What was played in the section before lets nothing be guessed.
            last = None
        is_new = frame != frame_before
        begun = group[0][1].fingers
        is_turned = len(group) > 1 and begun_before is not None and begun != begun_before
        begun_before = begun
        lowest = min(event.pitches[0].midi for _, event in group)
        leaps = lowest_before is not None and abs(lowest - lowest_before) > _MOST_MOVED
        lowest_before = lowest
        before = last
        for place, (index, event) in enumerate(group):
            is_next = _is_next(before, event, hand) and (place > 0 or _goes_on(before, group))
            if len(event.pitches) > 1:
                starts_anew = index in stacks
            else:
                starts_anew = is_new and (_is_chord(event, before) or not is_next) and not _holds(before, event)
            passes_on = place == 0 and _goes_on(before, group) and _passes(before, event, hand)
            turns = place == 0 and (is_turned or leaps) and len(event.pitches) == 1 and not is_next
            if starts_anew or passes_on or turns or event.pinned:
                kept.append((index, event))
            before = event
        frame_before, last = frame, before
    return kept


def _holds(before: Event | None, event: Event) -> bool:
    """Whether a note is struck again with the same finger."""
    return before is not None and before.pitches == event.pitches and before.fingers == event.fingers


def _frame(events: list[Event]) -> tuple[Fingers, ...]:
    """How a group is fingered: by the height of its notes where each has one finger, else in the order of playing."""
    fingers = {event.pitches: event.fingers for event in events}
    if all(fingers[event.pitches] == event.fingers for event in events):
        return tuple(fingers[pitches] for pitches in sorted(fingers, key=lambda pitches: pitches[0].midi))
    return tuple(event.fingers for event in events)


def _is_chord(event: Event, before: Event | None) -> bool:
    return len(event.pitches) > 1 or (before is not None and len(before.pitches) > 1)


def _is_next(before: Event | None, event: Event, hand: Hand) -> bool:
    """Whether a finger is the one that a reader expects: the next one in the direction of the notes."""
    if before is None or before.fingers[0] is None:
        return False
    rise = event.pitches[0].midi - before.pitches[0].midi
    step = (rise > 0) - (rise < 0)
    return event.fingers[0] == before.fingers[0] + step * (1 if hand is Hand.RIGHT else -1)


def _goes_on(last: Event | None, group: list[tuple[int, Event]]) -> bool:
    """Whether a group goes on in the direction in which the line came to it."""
    first = group[0][1]
    if last is None or _is_chord(first, last) or len(group) < 2:
        return False
    rise = first.pitches[0].midi - last.pitches[0].midi
    return rise * (group[1][1].pitches[0].midi - first.pitches[0].midi) > 0


def _passes(last: Event | None, event: Event, hand: Hand) -> bool:
    """Whether the fingers go the other way than the notes."""
    if last is None or last.fingers[0] is None or event.fingers[0] is None:
        return False
    rise = event.pitches[0].midi - last.pitches[0].midi
    return rise * (event.fingers[0] - last.fingers[0]) * (1 if hand is Hand.RIGHT else -1) < 0
