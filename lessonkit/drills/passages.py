"""Cuts an exercise into what a hand does at a stretch: solid chords, groups in one position each, lines, bass notes.

Families need not say it: solid chords are known by their notes, and groups that turn back on themselves lie in
positions. Where that leaves it open, a family's ``texture`` decides. Keys part passages, rests do not; groups do where
a family says that the hand is lifted between them.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from enum import Enum
from fractions import Fraction
from itertools import pairwise

from lessonkit.drills.exercise import ChordMark, Event, Exercise
from lessonkit.drills.family import Texture
from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import distance_mm
from lessonkit.hands.profile import EDGE_MM, HandProfile
from lessonkit.theory.key import Key
from lessonkit.values import dataclass

FINGERS = 5
"""How many keys a hand can hold."""

SMALLEST_POSITION = 3
"""Fewer notes than these make no position of the hand by themselves."""


MOST_BETWEEN_CHORDS = 2
"""So many single notes among chords are no line of their own."""

Placed = tuple[int, Event]
"""The index of an event in its exercise, and the event."""


class Kind(Enum):
    """What a hand does in a passage."""

    CHORDS = "solid chords"
    POSITIONS = "groups in one position each"
    LINE = "a line of notes"
    BASS = "bass notes, one under each harmony"


@dataclass(frozen=True, slots=True)
class Passage:
    """A stretch of one hand in one key.

    ``places`` are the indices of its events in the exercise, ``events`` the events themselves (no rests), and
    ``first_note`` counts the notes that the hand has played in this key before.
    """

    hand: Hand
    kind: Kind
    key: Key
    places: tuple[int, ...]
    events: tuple[Event, ...]
    first_note: int

    @property
    def groups(self) -> tuple[tuple[int, ...], ...]:
        """The keys of each position or chord as MIDI numbers in playing order; a line is one group."""
        if self.kind is Kind.CHORDS:
            return tuple(tuple(pitch.midi for pitch in event.pitches) for event in self.events)
        if self.kind in (Kind.LINE, Kind.BASS):
            return (tuple(event.pitches[0].midi for event in self.events),)
        return _groups_of(self.events)


def passages(exercise: Exercise, texture: Texture, profile: HandProfile) -> tuple[Passage, ...]:
    """The passages of an exercise, the right hand's first, each hand's in order."""
    return tuple(_passages(exercise, texture, profile))


def key_onsets(exercise: Exercise) -> list[tuple[Fraction, Key]]:
    """Where each key of an exercise begins."""
    return [(bar.onset, bar.key) for bar in exercise.bars if bar.key is not None]


def _passages(exercise: Exercise, texture: Texture, profile: HandProfile) -> Iterator[Passage]:
    keys = key_onsets(exercise)
    onsets = [onset for onset, _ in keys]
    harmonies = [mark.onset for mark in exercise.chords]
    for hand in Hand:
        sounding = [
            (index, event) for index, event in enumerate(exercise.events) if event.hand is hand and event.pitches
        ]
        for section, stretch in _in_keys(sounding, onsets):
            before = 0
            key = keys[section][1]
            for is_chord, part in _parted(stretch, texture):
                places, events = zip(*part, strict=True)
                if is_chord:
                    kind = Kind.CHORDS
                elif hand is Hand.LEFT and _is_bass(events, exercise.chords, harmonies):
                    kind = Kind.BASS
                else:
                    kind = _kind_of_notes(events, texture, profile.span(hand))
                yield Passage(hand, kind, key, places, events, before)
                before += sum(len(event.pitches) for event in events)


def _in_keys(sounding: list[Placed], onsets: list[Fraction]) -> Iterator[tuple[int, list[Placed]]]:
    """The events of a hand, which stand in order, by the number of the key they are in."""
    begin = 0
    for section in range(len(onsets)):
        end = len(sounding)
        if section + 1 < len(onsets):
            end = bisect_left(sounding, onsets[section + 1], lo=begin, key=lambda item: item[1].onset)
        if end > begin:
            yield section, sounding[begin:end]
        begin = end


def _parted(stretch: list[Placed], texture: Texture) -> list[tuple[bool, list[Placed]]]:
    """Chords and single notes parted; a note or two among chords, as a bass between them, is struck as they are."""
    parts: list[tuple[bool, list[Placed]]] = []
    before: tuple[bool, int] | None = None
    for item in stretch:
        stretched = _stretch_of(item[1], texture)
        if stretched != before:
            before = stretched
            parts.append((stretched[0], []))
        parts[-1][1].append(item)
    if texture is Texture.APART or not any(is_chord for is_chord, _ in parts):
        return parts
    merged: list[tuple[bool, list[Placed]]] = []
    for is_chord, part in parts:
        is_struck = is_chord or len(part) <= MOST_BETWEEN_CHORDS
        if merged and merged[-1][0] and is_struck:
            merged[-1][1].extend(part)
        else:
            merged.append((is_struck, part))
    return merged


def _stretch_of(event: Event, texture: Texture) -> tuple[bool, int]:
    """What neighbours share that are played without lifting the hand."""
    return len(event.pitches) > 1, event.group if texture is Texture.APART else 0


def _is_bass(events: Sequence[Event], chords: Sequence[ChordMark], harmonies: list[Fraction]) -> bool:
    """Whether each note is the bass of its harmony, and all that the hand plays until the next one or a rest."""
    place = bisect_right(harmonies, events[0].onset) - 1
    last, before = -1, events[0]
    for event in events:
        while place + 1 < len(harmonies) and harmonies[place + 1] <= event.onset:
            place += 1
        key = event.pitches[0].midi
        if place < 0 or chords[place].chord.lowest.pitch_class != key % 12:
            return False
        if place == last and key != before.pitches[0].midi and event.onset == before.end:
            return False
        last, before = place, event
    return True


def _kind_of_notes(events: Sequence[Event], texture: Texture, span: float) -> Kind:
    if texture is Texture.LINE:
        return Kind.LINE
    groups = _groups_of(events)
    if not all(_lies_under_a_hand(group, span) for group in groups):
        return Kind.LINE
    if texture is Texture.POSITIONS or _turn_back(groups):
        return Kind.POSITIONS
    return Kind.LINE


def _groups_of(events: Sequence[Event]) -> tuple[tuple[int, ...], ...]:
    groups: list[list[int]] = []
    before: int | None = None
    for event in events:
        if event.group != before:
            before = event.group
            groups.append([])
        groups[-1].append(event.pitches[0].midi)
    return tuple(map(tuple, groups))


def _lies_under_a_hand(group: tuple[int, ...], span: float) -> bool:
    return len(set(group)) <= FINGERS and distance_mm(min(group), max(group)) + EDGE_MM <= span


def _turn_back(groups: Sequence[tuple[int, ...]]) -> bool:
    """Whether groups of three to five notes begin anew instead of going on where the one before ended."""
    if not all(len(set(group)) >= SMALLEST_POSITION for group in groups[:-1]):
        return False
    return any((after[0] - before[-1]) * (before[-1] - before[0]) <= 0 for before, after in pairwise(groups))
