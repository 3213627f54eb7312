"""Which finger numbers are printed. Fingers come from the exercise; here some are left off, none is added.

Those that the teacher typed stand in bold, so that they are told from the found ones on paper as on the screen.
"""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction

from lessonkit.drills.exercise import Event, Exercise, FingersShown, Hand

Fingers = tuple[int | None, ...]


def fingers_to_print(exercise: Exercise) -> dict[int, Fingers]:
    """The fingers to be printed for each event that has any, by the event's index."""
    shown = exercise.shown.fingers
    if shown is FingersShown.NONE:
        return {}
    printed: dict[int, Fingers] = {}
    for hand in Hand:
        mine = [(index, event) for index, event in enumerate(exercise.events) if event.hand is hand and event.fingers]
        if shown is FingersShown.FIRST_GROUP:
            mine = _first_groups(exercise, mine)
        elif shown is FingersShown.CHANGES:
            mine = _changes(mine, hand)
        printed |= {index: event.fingers for index, event in mine if any(event.fingers)}
    return printed


def pinned_places(exercise: Exercise) -> dict[int, frozenset[int]]:
    """The places of the typed fingers among each event's, for the events that have any, by the event's index."""
    return {index: event.pinned for index, event in enumerate(exercise.events) if event.pinned}


def _first_groups(exercise: Exercise, mine: list[tuple[int, Event]]) -> list[tuple[int, Event]]:
    """The first group of the exercise and of each new key."""
    begins = [bar.onset for bar in exercise.bars if bar.key is not None] or [exercise.bars[0].onset]
    places = [bisect_left(mine, begin, key=_onset) for begin in begins]
    groups = {mine[place][1].group for place in places if place < len(mine)}
    return [(index, event) for index, event in mine if event.group in groups]


def _onset(one: tuple[int, Event]) -> Fraction:
    return one[1].onset


def _changes(mine: list[tuple[int, Event]], hand: Hand) -> list[tuple[int, Event]]:
    """What cannot be guessed: a note that is left out takes the next finger in the direction of the notes.

    A group fingered as the one before says nothing, unless the thumb passes where it begins. In any other group the
    first note is printed and each crossing, shift and skipped finger. Chords are printed whole, typed fingers always.
    """
    grouped: dict[int, list[tuple[int, Event]]] = {}
    for index, event in mine:
        grouped.setdefault(event.group, []).append((index, event))
    kept: list[tuple[int, Event]] = []
    frame_before: tuple[Fingers, ...] = ()
    last: Event | None = None
    for group in grouped.values():
        frame = _frame([event for _, event in group])
        is_new = frame != frame_before
        before = last
        for place, (index, event) in enumerate(group):
            is_next = _is_next(before, event, hand) and (place > 0 or _goes_on(before, group))
            starts_anew = is_new and (_is_chord(event, before) or not is_next)
            passes_on = place == 0 and _goes_on(before, group) and _passes(before, event, hand)
            if starts_anew or passes_on or event.pinned:
                kept.append((index, event))
            before = event
        frame_before, last = frame, before
    return kept


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
