"""What a hand can span. Each verdict carries its reason in words and what to do instead; nobody is told to stretch.

From the middle of one key to the middle of another, a hand needs 20 mm more to hold both keys, half a fingertip on
either side (from memory). With 5 mm more it catches the keys at their edges: 170 mm for an octave, 194 for a ninth and
217 for a tenth, the published 6.7, 7.6 and 8.5 inches. Comfort asks for 46 mm more than the edge.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from enum import Enum

from lessonkit.hands.costs import REFERENCE_SPAN_MM
from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import SEMITONE_MM, distance_mm
from lessonkit.hands.profile import COMFORT_MM, EDGE_MM, HandProfile
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

SECURE_MM = 20.0
"""What a hand needs beyond the distance of the key centres to hold two keys securely."""

_WIDEST_PAIRS_MM = {
    (1, 2): 150.0, (1, 3): 175.0, (1, 4): 190.0, (2, 3): 85.0, (2, 4): 115.0,
    (2, 5): 150.0, (3, 4): 75.0, (3, 5): 110.0, (4, 5): 80.0,
}  # fmt: skip
"""How far two fingers of a 205 mm hand can be drawn apart on the keys at all (from memory)."""


class Ease(Enum):
    """How a span lies under a hand."""

    COMFORTABLE = "comfortable"
    PLAYABLE = "playable"
    EDGE = "only at the edge of the keys"
    OUT_OF_REACH = "out of reach"


@dataclass(frozen=True, slots=True)
class Reach:
    """Whether one hand reaches from a low note to a high one.

    ``needs`` and ``has`` are millimetres. ``sentence`` is empty where the span is comfortable or playable; ``advice``
    then is empty too.
    """

    ease: Ease
    low: Pitch
    high: Pitch
    needs: float
    has: float
    sentence: str = ""
    advice: tuple[str, ...] = ()

    @property
    def is_within(self) -> bool:
        """Whether the hand can hold the notes together without hanging on the edges of the keys."""
        return self.ease in (Ease.COMFORTABLE, Ease.PLAYABLE)


def needed_mm(low: Pitch, high: Pitch) -> float:
    """The span a hand needs to hold two notes securely: 185 mm for an octave, 232 for C3–E4."""
    return abs(distance_mm(low.midi, high.midi)) + SECURE_MM


def reach_of_chord(chord: Sequence[Pitch], hand: Hand, profile: HandProfile) -> Reach:
    """Whether the hand can hold all notes of a solid chord; raises ValueError for a chord without notes."""
    if not chord:
        raise ValueError("a chord without notes cannot be reached for; give at least one note")
    low, high = min(chord, key=lambda pitch: pitch.midi), max(chord, key=lambda pitch: pitch.midi)
    centres = distance_mm(low.midi, high.midi)
    needs, has = centres + SECURE_MM, profile.span(hand)
    if centres + EDGE_MM + COMFORT_MM <= has:
        return Reach(Ease.COMFORTABLE, low, high, needs, has)
    if needs <= has:
        return Reach(Ease.PLAYABLE, low, high, needs, has)
    ease = Ease.EDGE if centres + EDGE_MM <= has else Ease.OUT_OF_REACH
    sentence = f"the {hand.value} hand needs {needs:.0f} mm for {low}–{high}; this hand has {has:.0f}"
    return Reach(ease, low, high, needs, has, sentence, _advice(chord, centres, has))


def reach_in_run(
    pitches: Sequence[Pitch], fingers: Sequence[int | None], hand: Hand, profile: HandProfile
) -> tuple[Reach, ...]:
    """The places in a fingered run where two neighbouring notes lie further apart than their fingers open.

    Where the thumb passes or the hand leaps nothing is stretched, and nothing is said.
    """
    found = []
    scale = profile.span(hand) / REFERENCE_SPAN_MM
    notes = list(zip(pitches, fingers, strict=True))
    for (one, finger), (two, next_finger) in itertools.pairwise(notes):
        if finger is None or next_finger is None or one.midi == two.midi:
            continue
        rises = (two.midi > one.midi) == (hand is Hand.RIGHT)
        pair = (finger, next_finger) if rises else (next_finger, finger)
        if pair[0] >= pair[1]:
            continue
        widest = profile.span(hand) - EDGE_MM if pair == (1, 5) else _WIDEST_PAIRS_MM[pair] * scale
        far = abs(distance_mm(one.midi, two.midi))
        if far > widest:
            low, high = sorted((one, two), key=lambda pitch: pitch.midi)
            sentence = (
                f"fingers {pair[0]} and {pair[1]} of the {hand.value} hand would have to open {far:.0f} mm for "
                f"{low}–{high}; they open {widest:.0f}"
            )
            advice = ("take another inversion", "share the notes between the hands")
            found.append(Reach(Ease.OUT_OF_REACH, low, high, far + EDGE_MM, widest + EDGE_MM, sentence, advice))
    return tuple(found)


def _advice(chord: Sequence[Pitch], centres: float, has: float) -> tuple[str, ...]:
    """What to do instead, the least change first."""
    rising = sorted({pitch.midi for pitch in chord})
    advice = []
    if len(rising) >= 3 and _closest_position_mm(rising) + SECURE_MM <= has:
        advice.append("take another inversion")
    advice.extend(("open the chord to both hands", "roll it"))
    fifth = _fifth_of(rising)
    if fifth is not None:
        advice.append("leave out the fifth")
    return tuple(advice)


def _closest_position_mm(rising: list[int]) -> float:
    """About how wide the chord is in its closest inversion, its notes brought within one octave."""
    classes = sorted({key % 12 for key in rising})
    gaps = [(classes[(index + 1) % len(classes)] - note) % 12 or 12 for index, note in enumerate(classes)]
    return (12 - max(gaps)) * SEMITONE_MM


def _fifth_of(rising: list[int]) -> int | None:
    """A fifth above the lowest note that is neither the lowest nor alone with it."""
    return next((key for key in rising[1:] if (key - rising[0]) % 12 == 7 and len(rising) > 3), None)
