"""The fingers of one passage, searched once for each shape: the same shape in another octave is not searched again.

The typed fingers constrain the search. In positions and chords, what is typed on one shape holds for the same shape in
every octave of the passage, unless something else is typed there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import chain

from lessonkit.drills.passages import Kind, Passage
from lessonkit.hands.bass import bass_fingers
from lessonkit.hands.fingering import finger_chords, unexplained_line
from lessonkit.hands.frames import ranked_frames
from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import is_on_keyboard, mirrored
from lessonkit.hands.profile import HandProfile
from lessonkit.hands.weights import Weights, weights_for
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

Keys = tuple[int, ...]
Flat = tuple[int | None, ...]
Pins = tuple[tuple[int, int], ...]
"""Typed fingers: the number of the note, counted from the first of the passage, and the finger."""

_LOWEST_C = 24
"""Shapes are searched in the octave that begins here."""

_NAMES = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
_NAMED = tuple(Pitch.parse(f"{_NAMES[midi % 12]}{midi // 12 - 1}") for midi in range(128))
"""Any spelling of each key; fingers do not depend on it."""


@dataclass(frozen=True, slots=True)
class Found:
    """A finger for each note of a passage in playing order, the next best way, and what could not be done.

    ``other`` is None where there is no second way; ``more`` is how much more it costs. ``problems`` are sentences.
    """

    fingers: Flat
    other: Flat | None = None
    more: float = 0.0
    problems: tuple[str, ...] = ()


def found_fingers(passage: Passage, pins: Mapping[int, int], profile: HandProfile, starts_black: bool) -> Found:
    """The fingers of a passage. ``pins`` are typed fingers by the number of the note, 0 the passage's first."""
    groups = passage.groups
    every = list(chain.from_iterable(groups))
    shift = (min(every) - _LOWEST_C) // 12 * 12
    if not is_on_keyboard(max(every) - shift):
        shift = 0
    moved = tuple(tuple(key - shift for key in group) for group in groups)
    wanted = tuple(sorted((note, finger) for note, finger in pins.items() if note < len(every)))
    found = _of_shape(passage.kind, moved, passage.hand, wanted, profile, starts_black)
    return _with_true_names(found, passage, wanted, profile) if found.problems else found


@lru_cache(maxsize=8192)
def _of_shape(
    kind: Kind, groups: tuple[Keys, ...], hand: Hand, pins: Pins, profile: HandProfile, starts_black: bool
) -> Found:
    if kind is Kind.LINE:
        return _line([_NAMED[key] for key in groups[0]], hand, pins, profile)
    if kind is Kind.BASS:
        typed = dict(pins)
        return Found(tuple(typed.get(note, finger) for note, finger in enumerate(bass_fingers(groups[0]))))
    held = _Held(groups, hand, dict(pins), profile, starts_black and kind is Kind.POSITIONS)
    return held.chords() if kind is Kind.CHORDS else held.positions()


def _with_true_names(found: Found, passage: Passage, pins: Pins, profile: HandProfile) -> Found:
    """The same with sentences that name the notes as they are written."""
    pitches = [pitch for event in passage.events for pitch in event.pitches]
    if passage.kind is Kind.LINE:
        return _line(pitches, passage.hand, pins, profile)
    problems = [
        one.sentence
        for one in finger_chords([event.pitches for event in passage.events], passage.hand, profile).problems
    ]
    problems += [_impossible(pitches, passage.groups, number, passage.hand) for number in _numbers(found.problems)]
    return Found(found.fingers, found.other, found.more, tuple(dict.fromkeys(problems)))


def _numbers(problems: tuple[str, ...]) -> list[int]:
    """The numbers of the groups whose typed fingers cannot be; other problems are found anew."""
    return [int(problem) for problem in problems if problem.isdigit()]


def _impossible(pitches: Sequence[Pitch], groups: tuple[Keys, ...], number: int, hand: Hand) -> str:
    first = sum(len(group) for group in groups[:number])
    names = " ".join(str(pitch) for pitch in pitches[first : first + len(groups[number])])
    return (
        f"the fingers typed on {names} cannot be taken in one position of the {hand.value} hand; change one of them or "
        f"leave it to the program with 0"
    )


def _line(pitches: Sequence[Pitch], hand: Hand, pins: Pins, profile: HandProfile) -> Found:
    if hand is Hand.LEFT and not pins and len({pitch.midi for pitch in pitches}) == 1:
        # The engine knows no reason for any finger on a single key; a bass note takes the little finger.
        return Found((5,) * len(pitches))
    fingering = unexplained_line(pitches, hand, profile, dict(pins))
    more = 0.0 if fingering.runner_up_cost is None else fingering.runner_up_cost - fingering.cost
    problems = tuple(problem.sentence for problem in fingering.problems)
    return Found(fingering.fingers, fingering.runner_up, more, problems)


class _Held:
    """Groups of keys, each held or played in one position of the hand."""

    def __init__(
        self, groups: tuple[Keys, ...], hand: Hand, pins: Mapping[int, int], profile: HandProfile, starts_black: bool
    ) -> None:
        self.groups = groups
        self.hand = hand
        self.profile = profile
        self.starts_black = starts_black
        self.is_struck = False
        self.weights: Weights = weights_for(profile)
        self.typed: list[dict[int, int]] = []
        first = 0
        for group in groups:
            own = {key: pins[first + note] for note, key in enumerate(group) if first + note in pins}
            self.typed.append({self._turned(key): finger for key, finger in own.items()})
            first += len(group)

    def positions(self) -> Found:
        """Fingers of groups played note by note; a group that leaves notes of the one before out keeps its frame."""
        shapes: list[Keys] = []
        for number, group in enumerate(self.groups):
            own = self._shape(group)
            before = shapes[-1] if shapes else ()
            if set(own) < set(before) and not self.typed[number]:
                own = before
            shapes.append(own)
        return self._answer(shapes, {})

    def chords(self) -> Found:
        """Fingers of solid chords, where what the hand does between two of them counts."""
        self.is_struck = True
        shapes = [self._shape(group) for group in self.groups]
        chords = [[_NAMED[key] for key in group] for group in self.groups]
        chained = finger_chords(chords, self.hand, self.profile)
        frames: dict[int, tuple[int, ...]] = {}
        for number, (group, fingers) in enumerate(zip(self.groups, chained.fingers, strict=True)):
            given = {self._turned(key): finger for key, finger in zip(group, fingers, strict=True) if finger}
            if len(given) > 1:
                frames[number] = tuple(given[key] for key in shapes[number])
        return self._answer(shapes, frames)

    def _answer(self, shapes: list[Keys], chosen: dict[int, tuple[int, ...]]) -> Found:
        wanted = self._wanted_of_shapes(shapes)
        frames: list[tuple[int, ...] | None] = []
        problems: list[str] = []
        offers: dict[Keys, tuple[float, tuple[int, ...]]] = {}
        for number, shape in enumerate(shapes):
            typed = self.typed[number]
            shared = wanted.get(_class_of(shape), {})
            ways = self._ways(shape)
            fits = _fitting(ways, shape, {**_on(shape, shared), **typed}) or _fitting(ways, shape, typed)
            if not ways or not fits:
                frames.append(ways[0][0] if ways else None)
                problems.append(str(number) if ways else "too many notes")
                continue
            kept = chosen.get(number)
            if kept is None or shared or typed:
                kept = self._lone(number, shapes) if len(shape) == 1 and not typed else fits[0][0]
            frames.append(kept)
            cost = next((price for frame, price in fits if frame == kept), fits[0][1])
            for frame, price in fits:
                if frame != kept and len(shape) > 1:
                    offers.setdefault(_class_of(shape), (price - cost, frame))
                    break
        fingers = self._flat(shapes, frames)
        if not offers:
            return Found(fingers, problems=tuple(problems))
        shape, (more, frame) = min(offers.items(), key=lambda item: (round(item[1][0], 6), item[0]))
        swapped = [frame if _class_of(one) == shape else own for one, own in zip(shapes, frames, strict=True)]
        return Found(fingers, self._flat(shapes, swapped), max(0.0, more), tuple(problems))

    def _wanted_of_shapes(self, shapes: list[Keys]) -> dict[Keys, dict[int, int]]:
        """For each shape, wherever it lies, the fingers typed on it by their place from below; the first typed wins."""
        wanted: dict[Keys, dict[int, int]] = {}
        for shape, typed in zip(shapes, self.typed, strict=True):
            places = wanted.setdefault(_class_of(shape), {})
            for key, finger in typed.items():
                places.setdefault(shape.index(key), finger)
        return wanted

    def _ways(self, shape: Keys) -> list[tuple[tuple[int, ...], float]]:
        if len(shape) > 5:
            return []
        ranked = ranked_frames(shape, self.profile.span(self.hand), self.weights, self.starts_black, self.is_struck)
        return [(one.fingers, one.cost) for one in ranked]

    def _lone(self, number: int, shapes: list[Keys]) -> tuple[int, ...]:
        """The finger of a single note after or before a position: the little finger outwards, the thumb inwards."""
        neighbour = shapes[number - 1] if number else shapes[min(1, len(shapes) - 1)]
        return (5,) if shapes[number][0] > neighbour[-1] else (1,) if shapes[number][0] < neighbour[0] else (3,)

    def _flat(self, shapes: list[Keys], frames: Sequence[tuple[int, ...] | None]) -> Flat:
        answer: list[int | None] = []
        for number, (group, shape, frame) in enumerate(zip(self.groups, shapes, frames, strict=True)):
            held = dict(zip(shape, frame, strict=True)) if frame else {}
            for key in group:
                turned = self._turned(key)
                answer.append(self.typed[number].get(turned, held.get(turned)))
        return tuple(answer)

    def _shape(self, group: Keys) -> Keys:
        return tuple(sorted({self._turned(key) for key in group}))

    def _turned(self, key: int) -> int:
        return key if self.hand is Hand.RIGHT else mirrored(key)


def _class_of(shape: Keys) -> Keys:
    """The shape wherever it lies: the same in every octave."""
    octaves = shape[0] // 12 * 12
    return tuple(key - octaves for key in shape)


def _on(shape: Keys, places: Mapping[int, int]) -> dict[int, int]:
    return {shape[place]: finger for place, finger in places.items()}


def _fitting(
    ways: list[tuple[tuple[int, ...], float]], shape: Keys, typed: Mapping[int, int]
) -> list[tuple[tuple[int, ...], float]]:
    return [
        (frame, cost)
        for frame, cost in ways
        if all(frame[place] == typed[key] for place, key in enumerate(shape) if key in typed)
    ]
