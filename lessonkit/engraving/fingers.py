"""Which finger numbers are printed. Fingers come from the exercise; here some are left off, none is added."""

from __future__ import annotations

from itertools import pairwise

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


def _first_groups(exercise: Exercise, mine: list[tuple[int, Event]]) -> list[tuple[int, Event]]:
    """The first group of the exercise and of each new key."""
    begins = [bar.onset for bar in exercise.bars if bar.key is not None] or [exercise.bars[0].onset]
    groups = set()
    for begin in begins:
        group = next((event.group for _, event in mine if event.onset >= begin), None)
        groups.add(group)
    return [(index, event) for index, event in mine if event.group in groups]


def _changes(mine: list[tuple[int, Event]], hand: Hand) -> list[tuple[int, Event]]:
    """Groups fingered otherwise than the one before; in those, the first note and each crossing or shift.

    A chord is printed whole. A note is a crossing where the fingers do not go the way of the notes.
    """
    grouped: dict[int, list[tuple[int, Event]]] = {}
    for index, event in mine:
        grouped.setdefault(event.group, []).append((index, event))
    kept: list[tuple[int, Event]] = []
    pattern_before: tuple[Fingers, ...] = ()
    for group in grouped.values():
        pattern = tuple(event.fingers for _, event in group)
        if pattern != pattern_before:
            kept.append(group[0])
            for (_, before), (index, event) in pairwise(group):
                if len(event.pitches) > 1 or len(before.pitches) > 1 or _crosses(before, event, hand):
                    kept.append((index, event))
        pattern_before = pattern
    return kept


def _crosses(before: Event, event: Event, hand: Hand) -> bool:
    first, second = before.fingers[0], event.fingers[0]
    if first is None or second is None:
        return second is not None
    rise = event.pitches[0].midi - before.pitches[0].midi
    way = (second - first) * (1 if hand is Hand.RIGHT else -1)
    return (rise > 0) != (way > 0) or (rise == 0) != (way == 0)
