"""The standard fingerings of the scales by key. A scale is known by its notes; what has no table is left to the search.

The conventions are those of O. Beringer and T. F. Dunhill, *Manual of Scales, Arpeggios and Broken Chords for
Pianoforte* (1900) and common practice: each octave has one group of three and one of four fingers, so that naming the
note that takes the fourth finger names the whole fingering. The chromatic scale has the third finger on black keys.
"""

from __future__ import annotations

import itertools

from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import is_black, mirrored
from lessonkit.hands.patterns import Fingers, closing_finger

_MAJOR = (0, 2, 4, 5, 7, 9, 11)
_HARMONIC_MINOR = (0, 2, 3, 5, 7, 8, 11)
_MELODIC_MINOR = (0, 2, 3, 5, 7, 9, 11)
_NATURAL_MINOR = (0, 2, 3, 5, 7, 8, 10)

_FOURTH_IN_MAJOR: dict[int, tuple[int, int]] = {
    # tonic: (note under the right hand's fourth finger, note under the left hand's)
    0: (11, 2), 7: (6, 9), 2: (1, 4), 9: (8, 11), 4: (3, 6), 11: (10, 6),
    6: (10, 6), 1: (10, 6), 8: (10, 1), 3: (10, 8), 10: (10, 3), 5: (10, 7),
}  # fmt: skip
_FOURTH_IN_MINOR: dict[int, tuple[int | None, int]] = {
    # tonic: the same for minor scales; None stands for a note that depends on the kind of minor
    0: (None, 2), 7: (None, 9), 2: (None, 4), 9: (None, 11), 4: (None, 6), 11: (None, 6),
    6: (8, 6), 1: (3, 6), 8: (10, 1), 3: (10, 6), 10: (10, 6), 5: (None, 7),
}  # fmt: skip
_KINDS = (
    (_MAJOR, (0, 4)),  # from the tonic, and from the third as scales in thirds begin
    (_HARMONIC_MINOR, (0, 3)),
    (_MELODIC_MINOR, (0, 3)),
    (_NATURAL_MINOR, (0,)),
)


def scale_fingers(keys: tuple[int, ...], hand: Hand) -> tuple[Fingers, ...]:
    """The standard fingerings for rising ``keys`` of a scale, first choice first; empty where no table has the scale.

    The keys are the real ones (not mirrored), each note once, at least an octave. The second choice keeps the fingers
    of the interior to the ends.
    """
    if len(keys) > 12 and all(high - low == 1 for low, high in itertools.pairwise(keys)):
        return (_chromatic(keys, hand),)
    fourth = _fourth_finger_note(keys, hand)
    if fourth is None:
        return ()
    upward = keys if hand is Hand.RIGHT else tuple(mirrored(key) for key in reversed(keys))
    fourth = fourth if hand is Hand.RIGHT else mirrored(fourth) % 12
    chosen = _with_ends(upward, fourth)
    return chosen if hand is Hand.RIGHT else tuple(fingers[::-1] for fingers in chosen)


def _fourth_finger_note(keys: tuple[int, ...], hand: Hand) -> int | None:
    notes = {key % 12 for key in keys}
    if len(notes) != 7:
        return None
    lowest = keys[0] % 12
    side = 0 if hand is Hand.RIGHT else 1
    for kind, (steps, starts) in enumerate(_KINDS):
        for start in starts:
            tonic = (lowest - start) % 12
            if notes != {(tonic + step) % 12 for step in steps}:
                continue
            if kind == 0:
                return _FOURTH_IN_MAJOR[tonic][side]
            return _minor_fourth(tonic, steps, side)
    return None


def _minor_fourth(tonic: int, steps: tuple[int, ...], side: int) -> int:
    note = _FOURTH_IN_MINOR[tonic][side]
    if note is None:
        # The fourth finger takes the seventh degree, in F minor the fourth; both follow the kind of minor scale.
        return 10 if tonic == 5 else (tonic + steps[6]) % 12
    if tonic == 10 and side == 1:
        return (tonic + steps[5]) % 12  # B♭ minor: the left hand's fourth finger takes the sixth degree, G♭ or G.
    if tonic == 6 and side == 0 and steps == _MELODIC_MINOR:
        return 3  # F♯ minor with a raised sixth: G♯ 3 would leave D♯ to the thumb, so the fourth finger takes D♯.
    if tonic == 1 and side == 0 and steps == _MELODIC_MINOR:
        return 10  # C♯ minor with a raised sixth: the fourth finger takes A♯.
    return note


def _with_ends(keys: tuple[int, ...], fourth: int) -> tuple[Fingers, ...]:
    """Interior fingers from the fourth finger's note, then free ends: a low start and a closing finger."""
    # Seven notes a round: the fourth finger ends one group, so the notes after it run 1 2 3 1 2 3 4.
    place = next(index for index, key in enumerate(keys) if key % 12 == fourth)
    around = (1, 2, 3, 1, 2, 3, 4)
    interior = [around[(index - place - 1) % 7] for index in range(len(keys))]
    ends = list(interior)
    if ends[-1] == 1:
        ends[-1] = closing_finger(ends[-2], keys[-1] - keys[-2])
    lead = interior.index(1)
    low_start = list(ends)
    low_start[:lead] = range(2, 2 + lead)
    if lead == 1 and not is_black(keys[0]) and keys[1] - keys[0] == 1:
        low_start[0] = max(3, interior[0] if interior[0] < 4 else 3)  # Two white neighbours leave no room under 2.
    choices = dict.fromkeys((tuple(low_start), tuple(ends)))
    return tuple(choices)


def _chromatic(keys: tuple[int, ...], hand: Hand) -> Fingers:
    second = (0, 5) if hand is Hand.RIGHT else (4, 11)
    return tuple(3 if is_black(key) else 2 if key % 12 in second else 1 for key in keys)
