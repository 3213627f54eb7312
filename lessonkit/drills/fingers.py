"""Gives an exercise fingers for both hands. What the teacher typed wins, then what the family gives its figures.

The search fits the other fingers to them.
"""

from __future__ import annotations

import dataclasses
from bisect import bisect_right
from dataclasses import replace
from itertools import zip_longest
from typing import Any

from lessonkit.drills.exercise import Event, Exercise
from lessonkit.drills.family import DrillFamily, FingersHold
from lessonkit.drills.found_fingers import Found, found_fingers
from lessonkit.drills.key_fingers import MOST_TYPED, KeyFingers
from lessonkit.drills.passages import Passage, key_onsets, passages
from lessonkit.drills.setting import Setting
from lessonkit.drills.working_out import worked_out
from lessonkit.hands.fingering import CLOSE_COST
from lessonkit.hands.hand import Hand
from lessonkit.theory.key import Key
from lessonkit.values import dataclass

_NAMES = {Hand.RIGHT: "right_fingers", Hand.LEFT: "left_fingers"}


def with_fingers(exercise: Exercise, drill: DrillFamily, setting: Setting) -> Exercise:
    """The exercise with a finger for each note of each hand; never raises, what cannot be done is remarked."""
    events = list(exercise.events)
    remarks: dict[str, None] = {}
    for passage in passages(exercise, drill.texture(), setting.hands):
        pins = _pins(passage, drill, exercise)
        found = found_fingers(passage, _usual(passage) | pins, setting.hands, setting.starts_black_with_second)
        remarks |= dict.fromkeys(found.problems)
        note = 0
        for place, event in zip(passage.places, passage.events, strict=True):
            size = len(event.pitches)
            pinned = frozenset(number for number in range(size) if note + number in pins) if pins else event.pinned
            events[place] = _fingered(event, found.fingers[note : note + size], pinned)
            note += size
    recheck = _recheck(exercise, drill, setting)
    if recheck:
        remarks[recheck] = None
    return replace(exercise, events=tuple(events), remarks=exercise.remarks + tuple(remarks))


@dataclass(frozen=True, slots=True)
class RunnerUp:
    """The next best fingers of a hand in the drill's first key.

    ``changes`` gives the finger of each note that differs, counted from the key's first note; ``more`` is how much more
    it costs, and ``is_close`` says that this is little enough to offer it.
    """

    hand: Hand
    key: Key
    changes: tuple[tuple[int, int], ...]
    more: float

    @property
    def is_close(self) -> bool:
        """Whether it costs so little more that it is worth offering."""
        return self.more <= CLOSE_COST


def runner_up(drill: DrillFamily, setting: Setting, hand: Hand) -> RunnerUp | None:
    """The next best fingers for a hand, or None where there is no other way; raises ValueError as ``build`` does."""
    exercise = worked_out(drill, setting)
    offers: list[RunnerUp] = []
    for passage in passages(exercise, drill.texture(), setting.hands):
        if passage.hand is not hand or passage.key != exercise.key:
            continue
        pins = _pins(passage, drill, exercise)
        found = found_fingers(passage, _usual(passage) | pins, setting.hands, setting.starts_black_with_second)
        changes = _changes(found, passage.first_note)
        if changes:
            offers.append(RunnerUp(hand, passage.key, changes, found.more))
    return min(offers, key=lambda offer: offer.more, default=None)


def with_runner_up(drill: DrillFamily, offer: RunnerUp) -> DrillFamily:
    """The drill with the runner-up's fingers typed in; where none had been typed they hold in its key only."""
    for note, finger in offer.changes:
        drill = with_pin(drill, offer.hand, note, finger, offer.key)
    return drill


def typed_place(exercise: Exercise, event: int, pitch: int) -> tuple[Hand, int, Key]:
    """Where a finger stands among those that can be typed: its hand, its number in its key counted from 0, the key."""
    keys = key_onsets(exercise)
    onsets = [onset for onset, _ in keys]
    wanted = exercise.events[event]
    section = bisect_right(onsets, wanted.onset) - 1
    before = sum(
        len(other.pitches)
        for other in exercise.events[:event]
        if other.hand is wanted.hand and bisect_right(onsets, other.onset) - 1 == section
    )
    return wanted.hand, before + pitch, keys[section][1]


def with_pin(drill: DrillFamily, hand: Hand, note: int, finger: int, key: Key) -> DrillFamily:
    """The drill with a finger typed on a note (0 takes it away), counted from the first note of its key.

    The first finger that is typed holds in the key it was typed in; those after it as the ones before, where they hold
    in this key, and else in this key only (see ``with_hold``). Raises ValueError for a finger that is none and for a
    note beyond those that can be typed.
    """
    if not 0 <= finger <= 5:
        raise ValueError(f"{finger} is not a finger; fingers are 1 (thumb) to 5 (little finger), and 0 takes one away")
    if not 0 <= note < MOST_TYPED:
        raise ValueError(f"only the first {MOST_TYPED} notes of a key can be given a finger; make two drills of it")
    shared, own = _shared(drill, hand, key), _own(drill, hand, key)
    if not finger:
        drill = _with_own(drill, hand, key, _changed(own, note, 0))
        return _with_shared(drill, hand, _changed(shared, note, 0)) if any(shared) else drill
    has_shared = any(drill.right_fingers + drill.left_fingers)
    if not has_shared and not any(own):
        first = dataclasses.replace(drill, fingers_hold=FingersHold.ONE_KEY, fingers_key=key)
        return _with_shared(first, hand, _changed((), note, finger))
    if has_shared and not _at(own, note) and _holds(drill, key, key):
        return _with_shared(drill, hand, _changed(shared, note, finger))
    return _with_own(drill, hand, key, _changed(own, note, finger))


def holds_in_every_key(drill: DrillFamily, hand: Hand, note: int, key: Key) -> bool:
    """Whether the finger typed on a note of a key is the one that holds in every key."""
    is_shared = drill.fingers_hold is FingersHold.EVERY_KEY and bool(_at(getattr(drill, _NAMES[hand]), note))
    return is_shared and not _at(_own(drill, hand, key), note)


def with_hold(drill: DrillFamily, hand: Hand, note: int, in_every_key: bool, key: Key) -> DrillFamily:
    """The drill with the finger typed on a note of a key holding in every key or in this one only.

    Fingers that held in one key go on holding there. Unchanged where no finger is typed.
    """
    finger = _at(_own(drill, hand, key), note) or _at(_shared(drill, hand, key), note)
    if not finger or holds_in_every_key(drill, hand, note, key) == in_every_key:
        return drill
    without = with_pin(drill, hand, note, 0, key)
    if not in_every_key:
        if not any(without.right_fingers + without.left_fingers + _own(without, hand, key)):
            return with_pin(without, hand, note, finger, key)
        return _with_own(without, hand, key, _changed(_own(without, hand, key), note, finger))
    if without.fingers_hold is FingersHold.ONE_KEY:
        home = without.fingers_key or key
        for other, name in _NAMES.items():
            kept = getattr(without, name)
            merged = tuple(one or two for one, two in zip_longest(_own(without, other, home), kept, fillvalue=0))
            without = _with_shared(_with_own(without, other, home, merged), other, ())
        without = dataclasses.replace(without, fingers_hold=FingersHold.EVERY_KEY, fingers_key=key)
    return _with_shared(without, hand, _changed(getattr(without, _NAMES[hand]), note, finger))


def _shared(drill: DrillFamily, hand: Hand, key: Key) -> tuple[int, ...]:
    """The fingers of the list that is not for this key alone, where it holds in the key."""
    typed: tuple[int, ...] = getattr(drill, _NAMES[hand])
    return typed if _holds(drill, key, key) else ()


def _own(drill: DrillFamily, hand: Hand, key: Key) -> tuple[int, ...]:
    """The fingers typed for this key alone."""
    found = (one.fingers for one in drill.fingers_in_keys if one.hand is hand and _sound_alike(one.key, key))
    return next(found, ())


def _with_shared(drill: DrillFamily, hand: Hand, fingers: tuple[int, ...]) -> DrillFamily:
    changed: dict[str, Any] = {_NAMES[hand]: fingers}
    return dataclasses.replace(drill, **changed)


def _with_own(drill: DrillFamily, hand: Hand, key: Key, fingers: tuple[int, ...]) -> DrillFamily:
    kept = tuple(one for one in drill.fingers_in_keys if one.hand is not hand or not _sound_alike(one.key, key))
    added = (KeyFingers(key, hand, fingers),) if any(fingers) else ()
    return dataclasses.replace(drill, fingers_in_keys=kept + added)


def _changed(typed: tuple[int, ...], note: int, finger: int) -> tuple[int, ...]:
    """Fingers with one of them another; what is left to the program at the end is left out."""
    fingers = [*typed, *(0,) * (note + 1 - len(typed))]
    fingers[note] = finger
    while fingers and not fingers[-1]:
        fingers.pop()
    return tuple(fingers)


def _at(typed: tuple[int, ...], note: int) -> int:
    return typed[note] if note < len(typed) else 0


def _usual(passage: Passage) -> dict[int, int]:
    """The fingers that the family itself gives a figure, by the number of the note in the passage."""
    given = [finger for event in passage.events for finger in event.fingers or (None,) * len(event.pitches)]
    return {note: finger for note, finger in enumerate(given) if finger}


def _pins(passage: Passage, drill: DrillFamily, exercise: Exercise) -> dict[int, int]:
    """The typed fingers that hold in a passage, by the number of the note in it."""
    shared: tuple[int, ...] = getattr(drill, _NAMES[passage.hand])
    if not _holds(drill, passage.key, exercise.key):
        shared = ()
    own = _own(drill, passage.hand, passage.key)
    typed = [one or two for one, two in zip_longest(own, shared, fillvalue=0)]
    here = typed[passage.first_note : passage.first_note + sum(len(event.pitches) for event in passage.events)]
    return {note: finger for note, finger in enumerate(here) if finger}


def _holds(drill: DrillFamily, key: Key, home: Key) -> bool:
    """Whether the typed fingers that are not for one key alone hold in a key; ``home`` is theirs where none is told."""
    return drill.fingers_hold is FingersHold.EVERY_KEY or _sound_alike(key, drill.fingers_key or home)


def _sound_alike(one: Key, other: Key) -> bool:
    return one.mode is other.mode and one.tonic.pitch_class == other.tonic.pitch_class


def _changes(found: Found, first_note: int) -> tuple[tuple[int, int], ...]:
    if found.other is None:
        return ()
    pairs = enumerate(zip(found.fingers, found.other, strict=True))
    return tuple((first_note + note, new) for note, (old, new) in pairs if new is not None and new != old)


def _fingered(event: Event, fingers: tuple[int | None, ...], pinned: frozenset[int]) -> Event:
    return Event(
        event.hand, event.onset, event.length, event.pitches, fingers, event.group, event.roll, event.is_tied,
        event.tuplet, event.is_open, pinned, event.sign, event.crushed,
    )  # fmt: skip


def _recheck(exercise: Exercise, drill: DrillFamily, setting: Setting) -> str:
    """A sentence where typed fingers stand on other black and white keys than in the key they were typed in."""
    home = drill.fingers_key
    if home is None or drill.fingers_hold is FingersHold.ONE_KEY or not any(drill.right_fingers + drill.left_fingers):
        return ""
    colours = _colours(exercise, drill)
    wanted = next((own for key, own in colours if _sound_alike(key, home)), None)
    if wanted is None:
        wanted = _colours_at_home(drill, home, setting)
    if wanted is None:
        return ""
    other = [str(key) for key, own in colours if own != wanted]
    if not other:
        return ""
    where = " and ".join(other) if len(other) < 3 else f"{other[0]}, {other[1]} and {len(other) - 2} more keys"
    return f"the fingers typed in {home} meet other black and white keys in {where}; look at them again there"


def _colours_at_home(drill: DrillFamily, home: Key, setting: Setting) -> dict[Hand, tuple[bool, ...]] | None:
    try:
        exercise = dataclasses.replace(drill, key=home).build(setting)
    except ValueError:
        return None
    return next((own for key, own in _colours(exercise, drill) if _sound_alike(key, home)), None)


def _colours(exercise: Exercise, drill: DrillFamily) -> list[tuple[Key, dict[Hand, tuple[bool, ...]]]]:
    """For each key in order, which of the notes with typed fingers are black."""
    keys = key_onsets(exercise)
    ends = [*(onset for onset, _ in keys[1:]), exercise.length]
    answer = []
    for (onset, key), end in zip(keys, ends, strict=True):
        colours: dict[Hand, tuple[bool, ...]] = {}
        for hand, name in _NAMES.items():
            pitches = [pitch for event in exercise.of(hand) if onset <= event.onset < end for pitch in event.pitches]
            typed = getattr(drill, name)
            colours[hand] = tuple(pitch.is_black for pitch, finger in zip(pitches, typed, strict=False) if finger)
        answer.append((key, colours))
    return answer
