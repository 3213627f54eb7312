"""The one front door to fingers: a line, groups or chords go in, a ``Fingering`` comes out; nothing is refused whole.

What is wrong with single notes (off the keyboard, six in one hand, pins that cross) is told in ``problems``; the other
notes keep their fingers. What the teacher pins is kept as written.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from itertools import chain, pairwise

from lessonkit.hands.explaining import reasons_for
from lessonkit.hands.frames import chained_frames, ranked_frames
from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import WHOLE_TONE_MM, distance_mm, is_on_keyboard, mirrored
from lessonkit.hands.line import ranked_lines
from lessonkit.hands.patterns import (
    LONGEST_CYCLE,
    Fingers,
    Fits,
    Ranked,
    cycle_of,
    judged_keys,
    price_of_pattern,
    ranked_patterns,
)
from lessonkit.hands.profile import EDGE_MM, HandProfile
from lessonkit.hands.scales import scale_fingers
from lessonkit.hands.weights import WEIGHTS, Weights, weights_for
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

CLOSE_COST = 1.5
"""A runner-up that costs at most this much more is worth offering."""

MOST_KEYS = 5
"""How many keys a hand can hold."""

MEDIUM = HandProfile()


@dataclass(frozen=True, slots=True)
class Problem:
    """Something about single notes that the hand cannot do: which notes, counted from 0, and one sentence."""

    notes: tuple[int, ...]
    sentence: str


@dataclass(frozen=True, slots=True)
class Fingering:
    """A finger for each note, 1 the thumb; None where no finger can be given.

    ``cost`` has no unit and serves to compare fingerings of the same notes; ``runner_up`` is the next best way, if
    there is one. ``pinned`` counts the notes whose finger the teacher wrote. ``kind`` says what the notes were
    taken for: scale, arpeggio, position, groups or line.
    """

    fingers: tuple[int | None, ...]
    cost: float = 0.0
    runner_up: tuple[int | None, ...] | None = None
    runner_up_cost: float | None = None
    reasons: tuple[tuple[str, ...], ...] = ()
    problems: tuple[Problem, ...] = ()
    pinned: frozenset[int] = field(default_factory=frozenset)
    kind: str = "line"

    @property
    def has_close_runner_up(self) -> bool:
        """Whether the runner-up costs so little more that it is worth offering."""
        return self.runner_up_cost is not None and self.runner_up_cost - self.cost <= CLOSE_COST


def finger_line(
    pitches: Sequence[Pitch],
    hand: Hand,
    profile: HandProfile = MEDIUM,
    pins: Mapping[int, int] | None = None,
    weights: Weights = WEIGHTS,
) -> Fingering:
    """Fingers for notes one after another, up, down or both, as a scale, an arpeggio or any other line.

    ``pins`` maps the index of a note to the finger the teacher wrote; raises ValueError for fingers other than 1 to 5.
    """
    fingering = unexplained_line(pitches, hand, profile, pins, weights)
    keys = tuple(_turned(pitch.midi, hand) for pitch in pitches)
    if not any(fingering.fingers):
        return fingering
    return replace(fingering, reasons=reasons_for(keys, fingering.fingers, fingering.pinned))


def unexplained_line(
    pitches: Sequence[Pitch],
    hand: Hand,
    profile: HandProfile = MEDIUM,
    pins: Mapping[int, int] | None = None,
    weights: Weights = WEIGHTS,
) -> Fingering:
    """The same fingers without the reasons, which take their time to say."""
    keys = tuple(pitch.midi for pitch in pitches)
    on, problems = _playable(pitches)
    if not on:
        return Fingering((None,) * len(keys), reasons=((),) * len(keys), problems=problems)
    turned = tuple(_turned(keys[index], hand) for index in on)
    wanted = _checked_pins(pins, len(keys))
    place = {index: number for number, index in enumerate(on)}
    kept, crossing = _without_crossings(pitches, {i: f for i, f in wanted.items() if i in place}, hand)
    local = {place[index]: finger for index, finger in kept.items()}
    kind, ranked = _ranked_ways(turned, hand, local, profile, weights)
    ways = [_spread(one.fingers, on, len(keys), wanted) for one in ranked[:2]]
    return Fingering(
        ways[0],
        ranked[0].cost,
        ways[1] if len(ways) > 1 else None,
        ranked[1].cost if len(ways) > 1 else None,
        (),
        problems + crossing,
        frozenset(wanted),
        kind,
    )


def finger_groups(
    pitches: Sequence[Pitch],
    size: int,
    hand: Hand,
    profile: HandProfile = MEDIUM,
    black_start: bool = False,
    pins: Mapping[int, int] | None = None,
    weights: Weights = WEIGHTS,
) -> Fingering:
    """Fingers for a broken chord in groups of ``size`` notes, each group lying in one position of the hand.

    A group of more than five different notes has no position and is told as a problem. ``black_start`` takes the
    printed alternative 2-1-2-4 where a low black note (in the left hand: a high one) is followed by a white one.
    """
    if not 1 <= size <= 12:
        raise ValueError(f"groups of {size} notes are not playable; groups hold 1 to 12")
    spans = [tuple(range(start, min(start + size, len(pitches)))) for start in range(0, len(pitches), size)]
    groups = [tuple(pitches[index] for index in span) for span in spans]
    wanted = _checked_pins(pins, len(pitches))
    pinned = {divmod(index, size): finger for index, finger in wanted.items()}
    fingering = finger_chords(groups, hand, profile, pinned, black_start=black_start, is_chain=False, weights=weights)
    flat = tuple(chain.from_iterable(fingering.fingers))
    other = None if fingering.runner_up is None else tuple(chain.from_iterable(fingering.runner_up))
    keys = tuple(_turned(pitch.midi, hand) for pitch in pitches)
    return Fingering(
        flat,
        fingering.cost,
        other,
        fingering.runner_up_cost,
        reasons_for(keys, flat, wanted.keys(), group=size),
        tuple(Problem(_flat_notes(spans, one.notes), one.sentence) for one in fingering.problems),
        frozenset(wanted),
        "groups",
    )


@dataclass(frozen=True, slots=True)
class ChordFingering:
    """Fingers for chords one after another, each chord's in the order of its notes as they were given."""

    fingers: tuple[tuple[int | None, ...], ...]
    cost: float = 0.0
    runner_up: tuple[tuple[int | None, ...], ...] | None = None
    runner_up_cost: float | None = None
    problems: tuple[Problem, ...] = ()


def finger_chords(
    chords: Sequence[Sequence[Pitch]],
    hand: Hand,
    profile: HandProfile = MEDIUM,
    pins: Mapping[tuple[int, int], int] | None = None,
    *,
    black_start: bool = False,
    is_chain: bool = True,
    weights: Weights = WEIGHTS,
) -> ChordFingering:
    """Fingers for solid chords. In a chain, what the hand does between two chords counts.

    ``pins`` maps the index of a chord and of a note in it to the finger the teacher wrote.
    ``notes`` of a problem count the chords. More than five keys in one hand, or a key off the keyboard, is a problem.
    """
    span, own = profile.span(hand), weights_for(profile, weights)
    shapes: list[tuple[int, ...] | None] = []
    problems: list[Problem] = []
    for index, chord in enumerate(chords):
        keys = tuple(sorted({_turned(pitch.midi, hand) for pitch in chord if pitch.is_on_keyboard}))
        problems.extend(Problem((index,), sentence) for sentence in _troubles_of_chord(chord, keys, hand))
        shapes.append(keys if 0 < len(keys) <= MOST_KEYS else None)
    playable = [keys for keys in shapes if keys is not None]
    places = [index for index, keys in enumerate(shapes) if keys is not None]
    ranked = []
    for index, keys in zip(places, playable, strict=True):
        wanted = {
            keys.index(_turned(chords[index][note].midi, hand)): finger
            for (chord_index, note), finger in (pins or {}).items()
            if chord_index == index and chords[index][note].is_on_keyboard
        }
        frames_here = ranked_frames(keys, span, own, black_start, is_chain)
        fitting = tuple(one for one in frames_here if all(one.fingers[at] == finger for at, finger in wanted.items()))
        if not fitting:
            names = " ".join(str(pitch) for pitch in chords[index])
            problems.append(
                Problem((index,), f"the pinned fingers do not fit {names} in the {hand.value} hand; change one of them")
            )
        ranked.append(fitting or frames_here)
    frames = chained_frames(playable, ranked) if is_chain and playable else tuple(one[0].fingers for one in ranked)
    cost = sum(one[0].cost for one in ranked)
    other, other_cost = _second_frames(frames, ranked)
    return ChordFingering(
        _by_note(chords, shapes, frames, hand, pins or {}),
        cost,
        _by_note(chords, shapes, other, hand, pins or {}) if other else None,
        cost + other_cost if other else None,
        tuple(problems),
    )


def finger_chord(
    chord: Sequence[Pitch], hand: Hand, profile: HandProfile = MEDIUM, weights: Weights = WEIGHTS
) -> ChordFingering:
    """Fingers for one solid chord."""
    return finger_chords((chord,), hand, profile, weights=weights)


def run_shape(keys: tuple[int, ...]) -> tuple[tuple[int, ...], int] | None:
    """The rising keys a run uses and after how many notes they repeat, or None where the line is no run.

    A run goes up, down or back and forth over its keys one by one, and its keys repeat an octave higher.
    """
    rising = tuple(sorted(set(keys)))
    cycle = cycle_of(rising)
    if cycle is None:
        return None
    place = {key: index for index, key in enumerate(rising)}
    steps = {abs(place[two] - place[one]) for one, two in pairwise(keys)}
    return (rising, cycle) if steps == {1} else None


def _ranked_ways(
    keys: tuple[int, ...], hand: Hand, pins: dict[int, int], profile: HandProfile, weights: Weights
) -> tuple[str, tuple[Ranked, ...]]:
    """The ways to finger turned keys, cheapest first, and what the line was taken for."""
    span, own = profile.span(hand), weights_for(profile, weights)
    shape = run_shape(keys)
    if shape is not None:
        rising, cycle = shape
        place = {key: index for index, key in enumerate(rising)}

        def fits(fingers: Fingers) -> bool:
            return all(fingers[place[keys[index]]] == finger for index, finger in pins.items())

        kind, ways = _ways_of_run(rising, cycle, hand, span, own, fits if pins else None)
        kept = ways[:2]
        if kept:
            return kind, tuple(Ranked(tuple(one.fingers[place[key]] for key in keys), one.cost) for one in kept)
    elif _lies_in_one_position(keys, span):
        rising = tuple(sorted(set(keys)))
        held = {index: rising.index(key) for index, key in enumerate(keys)}
        frames = [
            one
            for one in ranked_frames(rising, span, own)
            if all(one.fingers[held[index]] == finger for index, finger in pins.items())
        ][:2]
        if frames:
            return "position", tuple(
                Ranked(tuple(one.fingers[held[index]] for index in range(len(keys))), one.cost) for one in frames
            )
    return "line", ranked_lines(keys, span, own, tuple(sorted(pins.items())))


def _lies_in_one_position(keys: tuple[int, ...], span: float) -> bool:
    """Whether the notes are a broken chord under one hand: three to five keys, mostly thirds and more apart."""
    rising = sorted(set(keys))
    gaps = [distance_mm(low, high) for low, high in pairwise(rising)]
    width = sum(gaps)
    is_chordal = sum(gap > WHOLE_TONE_MM for gap in gaps) * 2 > len(gaps)
    return 3 <= len(rising) <= 5 and is_chordal and width + EDGE_MM <= span and len(keys) <= 2 * len(rising)


def _ways_of_run(
    rising: tuple[int, ...], cycle: int, hand: Hand, span: float, weights: Weights, fits: Fits | None
) -> tuple[str, tuple[Ranked, ...]]:
    """The standard fingerings of a scale before the searched ones, all held to what the teacher typed."""
    found = ranked_patterns(rising, cycle, span, weights, fits) if cycle <= LONGEST_CYCLE else ()
    if cycle not in (7, 12):
        return "arpeggio" if cycle < 5 else "scale", found
    judged_as = judged_keys(rising, cycle)
    standard = zip(_table(rising, hand), _table(judged_as, hand), strict=False)
    first = [
        Ranked(fingers, price_of_pattern(judged, judged_as, cycle, span, weights))
        for fingers, judged in standard
        if fits is None or fits(fingers)
    ]
    return "scale", (*first, *(one for one in found if all(one.fingers != other.fingers for other in first)))


def _table(rising: tuple[int, ...], hand: Hand) -> list[Fingers]:
    """The standard fingerings of a scale for turned keys."""
    real = rising if hand is Hand.RIGHT else tuple(mirrored(key) for key in reversed(rising))
    return [fingers if hand is Hand.RIGHT else fingers[::-1] for fingers in scale_fingers(real, hand)]


def _turned(key: int, hand: Hand) -> int:
    return key if hand is Hand.RIGHT else mirrored(key)


def _playable(pitches: Sequence[Pitch]) -> tuple[list[int], tuple[Problem, ...]]:
    on = [index for index, pitch in enumerate(pitches) if pitch.is_on_keyboard]
    off = [index for index, pitch in enumerate(pitches) if not pitch.is_on_keyboard]
    problems = tuple(
        Problem(
            (index,), f"{pitches[index]} lies off the keyboard, which runs from A0 to C8; move the run by an octave"
        )
        for index in off
    )
    return on, problems


def _checked_pins(pins: Mapping[int, int] | None, length: int) -> dict[int, int]:
    for index, finger in (pins or {}).items():
        if finger not in (1, 2, 3, 4, 5):
            raise ValueError(f"{finger} is not a finger; fingers are 1 (thumb) to 5 (little finger)")
        if not 0 <= index < length:
            raise ValueError(f"a finger is pinned on note {index + 1}, but there are only {length}")
    return dict(pins or {})


def _without_crossings(
    pitches: Sequence[Pitch], pins: dict[int, int], hand: Hand
) -> tuple[dict[int, int], tuple[Problem, ...]]:
    """The pins the search can keep, and a sentence for each neighbouring pair that no hand can play."""
    kept, problems = dict(pins), []
    for index in sorted(pins):
        if index + 1 not in pins:
            continue
        one, two = pins[index], pins[index + 1]
        first, second = pitches[index], pitches[index + 1]
        low, high = _turned(first.midi, hand), _turned(second.midi, hand)
        if low > high:
            low, high, one, two = high, low, two, one
        crosses = one > two > 1
        is_one_finger = one == two and low != high
        if low != high and distance_mm(low, high) < 165 and (crosses or is_one_finger):
            what = "the fingers would have to cross" if crosses else "one finger cannot play two keys smoothly"
            problems.append(
                Problem(
                    (index, index + 1),
                    f"{first}–{second} cannot be played {pins[index]}–{pins[index + 1]} in the {hand.value} hand: "
                    f"{what}; change one of the two pinned fingers",
                )
            )
            kept.pop(index, None)
            kept.pop(index + 1, None)
    return kept, tuple(problems)


def _spread(fingers: Fingers, on: list[int], length: int, pins: dict[int, int]) -> tuple[int | None, ...]:
    spread: list[int | None] = [None] * length
    for index, finger in zip(on, fingers, strict=True):
        spread[index] = pins.get(index, finger)
    return tuple(spread)


def _troubles_of_chord(chord: Sequence[Pitch], keys: tuple[int, ...], hand: Hand) -> list[str]:
    """A sentence for the first note off the keyboard and one for too many notes; the others keep their fingers."""
    off = [pitch for pitch in chord if not is_on_keyboard(pitch.midi)]
    troubles = []
    if off:
        troubles.append(f"{off[0]} lies off the keyboard, which runs from A0 to C8; move the chord by an octave")
    if len(keys) > MOST_KEYS:
        troubles.append(
            f"{' '.join(map(str, chord))} are {len(keys)} notes for the {hand.value} hand, which has five fingers; "
            "give some to the other hand or leave one out"
        )
    return troubles


def _second_frames(frames: tuple[Fingers, ...], ranked: list[tuple[Ranked, ...]]) -> tuple[tuple[Fingers, ...], float]:
    """The frames with the one change that costs least, made wherever the same frame stands for the same keys."""
    offers = [
        (round(other.cost - one[0].cost, 9), index, other.fingers)
        for index, one in enumerate(ranked)
        for other in one
        if other.fingers != frames[index]
    ]
    if not offers:
        return (), 0.0
    more, where, fingers = min(offers)
    same = ranked[where]
    return tuple(fingers if one == same else frame for one, frame in zip(ranked, frames, strict=True)), more


def _by_note(
    chords: Sequence[Sequence[Pitch]],
    shapes: list[tuple[int, ...] | None],
    frames: tuple[Fingers, ...],
    hand: Hand,
    pins: Mapping[tuple[int, int], int],
) -> tuple[tuple[int | None, ...], ...]:
    left = iter(frames)
    answer: list[tuple[int | None, ...]] = []
    for index, (chord, keys) in enumerate(zip(chords, shapes, strict=True)):
        if keys is None:
            answer.append((None,) * len(chord))
            continue
        finger_of = dict(zip(keys, next(left), strict=True))
        answer.append(
            tuple(pins.get((index, at), finger_of.get(_turned(pitch.midi, hand))) for at, pitch in enumerate(chord))
        )
    return tuple(answer)


def _flat_notes(spans: list[tuple[int, ...]], groups: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(note for group in groups for note in spans[group])
