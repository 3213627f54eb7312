"""Voices a chain of chords for two hands by a plan. A plan decides every chord in view of those around it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import Enum
from functools import lru_cache

from lessonkit.drills.chains import Shape, cheapest_chain, octaves_between, top_moves
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import OCTAVE, Interval, NoteName, Pitch
from lessonkit.theory.quality import Quality
from lessonkit.theory.voicing import (
    ROOTLESS_FORMS,
    Shell,
    Voicing,
    close_position,
    movement_of_keys,
    rootless,
    shell,
    smoothest,
)

RANGE = Interval.parse("M10")
"""How far above its lowest note the right hand's chords may lie: room for every inversion of a seventh."""

THIRDS_FROM = -12
"""Where roots with a third above them may begin, in semitones from the right hand's floor: a low third is muddy."""

SEVENTHS_FROM = -17
"""Where roots with a seventh above them may begin; sevenths and tenths stay clear lower down."""

SEVENTHS_UNDER_CHORDS = -20
"""The same under the right hand's chords, which leave the left hand less room: from D2 under B♭3."""

ROOTS_WITHIN = 15
"""How far above its lowest place a root may lie: more than an octave, so that there is a choice."""

LARGE, FINGERS = 4, 5
"""Chords of more notes than the first are thinned out for one hand; no hand plays more notes than the second."""


FOURTH_UP = 5
"""In semitones: where a root lies that is reached by a falling fifth."""


class Plan(Enum):
    """How the chords of a progression lie in the hands."""

    ROOT_LEFT = "root in the left hand, smooth chords in the right"
    SMOOTH = "smooth"
    ROOT_POSITION = "root position"
    SHELLS = "shells in the left hand, chords in the right"
    ROOTLESS = "rootless over left-hand roots"

    @property
    def is_for_two_hands(self) -> bool:
        """Whether each hand has something else to do; otherwise both would play the same shapes."""
        return self not in (Plan.SMOOTH, Plan.ROOT_POSITION)

    @property
    def words(self) -> str:
        """The plan as a summary says it."""
        return _WORDS[self]


_WORDS = {
    Plan.ROOT_LEFT: "smooth chords over roots",
    Plan.SMOOTH: "smooth",
    Plan.ROOT_POSITION: "in root position",
    Plan.SHELLS: "chords over shells",
    Plan.ROOTLESS: "chords with ninths, without roots, over roots in the bass",
}


def voiced(chords: Sequence[Chord], plan: Plan, low: Pitch) -> tuple[Voicing, ...]:
    """The chords in both hands; the right hand lies from ``low`` up, the left hand's roots about an octave below.

    Plans for one hand leave the left hand empty. Raises ValueError where a chord has no place.
    """
    rights = _RIGHT[plan](chords, low)
    lefts = _LEFT[plan](chords, low)
    return tuple(Voicing(_below(left, right), right) for left, right in zip(lefts, rights, strict=True))


def _smooth(chords: Sequence[Chord], low: Pitch) -> Sequence[Shape]:
    return _smooth_for_one_hand(chords, low, has_root=True)


def _smooth_over_root(chords: Sequence[Chord], low: Pitch) -> Sequence[Shape]:
    return _smooth_for_one_hand(chords, low, has_root=False)


def _smooth_for_one_hand(chords: Sequence[Chord], low: Pitch, has_root: bool) -> Sequence[Shape]:
    if all(tone.steps < OCTAVE.steps for chord in chords for tone in chord.quality.tones):
        return smoothest(chords, low, low + RANGE)
    return least_moving([close_positions(_tones_for_one_hand(chord, has_root), low) for chord in chords])


def _tones_for_one_hand(chord: Chord, has_root: bool) -> list[NoteName]:
    """The notes that one hand plays of a chord, folded into the octave so that no inversion is wider.

    Of a large chord it leaves the root to the other hand and then, as commonly practised, its fifth.
    """
    tones = dict(zip(chord.quality.degrees, chord.tones, strict=True))
    if len(tones) > LARGE and not has_root:
        del tones["1"]
    for degree in ("5", "1"):
        if len(tones) > (FINGERS if has_root else LARGE):
            tones.pop(degree, None)
    return sorted(tones.values(), key=lambda tone: (tone.pitch_class - chord.root.pitch_class) % 12)


def close_positions(tones: Sequence[NoteName], low: Pitch) -> list[Shape]:
    """Every close position of notes that lies from ``low`` up within the range, the lowest first."""
    found: list[Shape] = []
    for first in range(len(tones)):
        shape = [tones[first].nearest_above(low)]
        for name in (*tones[first + 1 :], *tones[:first]):
            shape.append(name.nearest_above(shape[-1]))
        found.append(tuple(shape))
    inside = [shape for shape in found if shape[-1].midi <= low.midi + RANGE.semitones]
    return sorted(inside or found, key=lambda shape: shape[0].midi)


def _root_position(chords: Sequence[Chord], low: Pitch) -> Sequence[Shape]:
    return [close_position(chord, 0, low) for chord in chords]


def _rootless(chords: Sequence[Chord], low: Pitch) -> Sequence[Shape]:
    """Each chord in form A or B so that the voices move least; ties keep to form A and to the higher octave."""
    chords = as_they_lead(chords)
    floors = (low, low - Interval.parse("P5"))
    places = [(floor, form) for floor in floors for form in ROOTLESS_FORMS]
    return least_moving([[rootless(chord, form, floor) for floor, form in places] for chord in chords])


def as_they_lead(chords: Sequence[Chord]) -> list[Chord]:
    """The chords with the tensions that they are given where none is told, for voicing only.

    A dominant that falls a fifth to a minor chord takes the flat ninth and the flat thirteenth, which are that chord's
    own scale: B♭7 to E♭m7 has C♭ and G♭ (common practice, no source). After the last chord the first comes again.
    """
    led: list[Chord] = []
    for place, chord in enumerate(chords):
        after = next((other for other in (*chords[place + 1 :], *chords) if other != chord), chord)
        falls_a_fifth = (after.root.pitch_class - chord.root.pitch_class) % 12 == FOURTH_UP
        is_plain = chord.quality.key == "7" and falls_a_fifth and after.quality.is_minor
        led.append(Chord(chord.root, Quality.named("7b9b13"), chord.bass) if is_plain else chord)
    return led


def _roots(chords: Sequence[Chord], low: Pitch) -> Sequence[Shape]:
    floor = _left_floor(low)
    return [(chord.lowest.nearest_above(floor),) for chord in chords]


@lru_cache(maxsize=2048)
def shell_choices(
    chord: Chord, shells: tuple[Shell, ...], floor: Pitch, sevenths_from: int = SEVENTHS_FROM
) -> tuple[Shape, ...]:
    """The shells in the octaves where they sound clear, those whose upper note lies most in the middle first.

    Where there is a choice of third and seventh, a suspended chord has its fourth, which is about to fall to the third.
    """
    if len(shells) > 1 and is_suspended(chord):
        shells = (Shell.ROOT_THIRD,)
    found: list[Shape] = []
    for kind in shells:
        has_low_third = kind in (Shell.ROOT_THIRD, Shell.ROOT_THIRD_SEVENTH)
        lowest = floor.midi + (THIRDS_FROM if has_low_third else sevenths_from)
        found += octaves_between(shell(chord, kind, floor), lowest, lowest + ROOTS_WITHIN)
    return tuple(sorted(found, key=lambda shape: abs(shape[-1].midi - floor.midi)))


def is_suspended(chord: Chord) -> bool:
    """Whether a second or a fourth stands in the place of the chord's third."""
    degrees = set(chord.quality.degrees)
    return bool({"2", "4"} & degrees) and not {"3", "b3"} & degrees


def _shells(chords: Sequence[Chord], low: Pitch) -> Sequence[Shape]:
    """Root and seventh or root and third under the right hand, so that the upper note moves least; a seventh begins."""
    both = (Shell.ROOT_SEVENTH, Shell.ROOT_THIRD)
    choices: list[Sequence[Shape]] = []
    for chord, right in zip(chords, _smooth_over_root(chords, low), strict=True):
        kinds = both if choices or is_suspended(chord) else both[:1]
        own = shell_choices(chord, kinds, low, SEVENTHS_UNDER_CHORDS)
        below = [shape for shape in own if shape[-1].midi < right[0].midi]
        choices.append(below or [_below(shape, right) for shape in own])
    return cheapest_chain(choices, top_moves)


def _nothing(chords: Sequence[Chord], low: Pitch) -> Sequence[Shape]:
    return [()] * len(chords)


_RIGHT: dict[Plan, Callable[[Sequence[Chord], Pitch], Sequence[Shape]]] = {
    Plan.ROOT_LEFT: _smooth_over_root,
    Plan.SMOOTH: _smooth,
    Plan.ROOT_POSITION: _root_position,
    Plan.SHELLS: _smooth_over_root,
    Plan.ROOTLESS: _rootless,
}
_LEFT: dict[Plan, Callable[[Sequence[Chord], Pitch], Sequence[Shape]]] = {
    Plan.ROOT_LEFT: _roots,
    Plan.SMOOTH: _nothing,
    Plan.ROOT_POSITION: _nothing,
    Plan.SHELLS: _shells,
    Plan.ROOTLESS: _roots,
}


def _left_floor(low: Pitch) -> Pitch:
    return low.octaves_up(-1)


def _below(left: Shape, right: Shape) -> Shape:
    """The left hand's shape, an octave lower where it would reach into the right hand."""
    while left and right and left[-1].midi >= right[0].midi:
        left = tuple(pitch.octaves_up(-1) for pitch in left)
    return left


def least_moving(choices: Sequence[Sequence[Shape]]) -> Sequence[Shape]:
    """One shape of each row so that the whole chain moves least; of equal chains, the one with the first choices."""
    keys = {shape: tuple([pitch.midi for pitch in shape]) for row in choices for shape in row}
    return cheapest_chain(choices, lambda one, two: movement_of_keys(keys[one], keys[two]))
