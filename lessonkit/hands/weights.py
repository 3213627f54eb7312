"""What a hand finds hard, as numbers. Prices add up; those of distances are per semitone of 13.75 mm.

The trade's prices were the start (passing under finger 2, 3, 4, 5: 1.2, 1.9, 2.3, 6; thumb on a black key 2 to 2.5).
The ones marked *fitted* were then moved by a linear programme with a margin of 0.15 until the fingerings printed in
O. Beringer and T. F. Dunhill, *Manual of Scales, Arpeggios and Broken Chords for Pianoforte* (1900), were cheapest.
"""

from __future__ import annotations

from dataclasses import fields, replace
from functools import lru_cache

from lessonkit.hands.profile import HandProfile
from lessonkit.values import dataclass


@dataclass(frozen=True)
class Weights:
    """Prices of the single things a hand does; all at least 0."""

    def __post_init__(self) -> None:
        # Every price that is kept is looked up by its weights, so they are hashed once and not at every look.
        object.__setattr__(self, "_hash", hash(tuple(getattr(self, one.name) for one in fields(self))))

    def __hash__(self) -> int:
        return self._hash  # type: ignore[attr-defined, no-any-return]

    pass_under_2: float = 1.2
    pass_under_3: float = 1.9
    pass_under_4: float = 1.474
    """Fitted. It undercuts finger 3 because the fourth finger pays ``use_of_4`` on every note besides."""
    pass_under_5: float = 6.0
    far_pass_under_2: float = 0.2
    """For each semitone beyond ``EASY_PASS_MM``."""
    fourth_under_4: float = 8.187
    """Fitted. For each semitone beyond ``FAR_PASS_MM``: the thumb passes a major third under 4, hardly a fourth."""
    crowded_pass: float = 1.0
    """Thumb under finger 2 between two white keys with no black key between."""
    thumb_passing_onto_black: float = 2.0
    thumb_on_black: float = 2.5
    little_finger_on_black: float = 1.0
    use_of_4: float = 0.36
    """Fitted."""
    use_of_5: float = 0.3
    wide_thumb: float = 0.3
    wide_2_3: float = 0.246
    """Fitted."""
    wide_2_4: float = 0.3
    wide_3_4: float = 0.3
    wide_3_5: float = 0.432
    """Fitted."""
    wide_4_5: float = 0.568
    """Fitted."""
    wide_2_5: float = 0.4
    narrow: float = 0.8
    narrow_thumb: float = 0.3
    changed_end: float = 0.531
    """Fitted. For each note of the last group that leaves the fingers its octave has elsewhere."""
    high_start: float = 0.5
    """For each finger above 2 on the first note of a run that begins before its thumb."""
    late_thumb: float = 1.823
    """Fitted. For each note before the first thumb."""
    position_change: float = 0.8
    """For a hand that closes or opens to another place without the thumb passing."""


WEIGHTS = Weights()


@lru_cache(maxsize=64)
def weights_for(profile: HandProfile, weights: Weights = WEIGHTS) -> Weights:
    """The prices for one player: preferences multiply the prices of black keys, avoided stretches double theirs."""
    stretch = 2.0 if profile.avoid_stretches else 1.0
    return replace(
        weights,
        thumb_on_black=weights.thumb_on_black * profile.keep_thumb_off_black,
        thumb_passing_onto_black=weights.thumb_passing_onto_black * profile.keep_thumb_off_black,
        little_finger_on_black=weights.little_finger_on_black * profile.keep_little_finger_off_black,
        wide_thumb=weights.wide_thumb * stretch,
        wide_2_3=weights.wide_2_3 * stretch,
        wide_2_4=weights.wide_2_4 * stretch,
        wide_3_4=weights.wide_3_4 * stretch,
        wide_3_5=weights.wide_3_5 * stretch,
        wide_4_5=weights.wide_4_5 * stretch,
        wide_2_5=weights.wide_2_5 * stretch,
    )
