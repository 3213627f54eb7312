"""A hand as the engine knows it: how far it opens and what is to be spared. Spans run from thumb to little finger."""

from __future__ import annotations

import re
from dataclasses import replace

from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import WHITE_KEY_MM
from lessonkit.values import dataclass

LEAST_SPAN_MM, MOST_SPAN_MM = 120.0, 300.0
"""A six-year-old opens about 130 mm; the widest pianists measured open under 280 mm."""


@dataclass(frozen=True, slots=True)
class HandProfile:
    """One player's hands: spans in millimetres and the strength of the preferences.

    ``right_span`` and ``left_span`` are measured flat, widest comfortable spread, tip of the thumb to tip of the little
    finger (120 to 300 mm). ``keep_thumb_off_black`` and ``keep_little_finger_off_black`` are strengths from 0 (no
    matter) over 1 (the trade's rule) to 3 (nearly never). ``avoid_stretches`` doubles the price of every wide stretch.
    """

    right_span: float = 205.0
    left_span: float = 205.0
    keep_thumb_off_black: float = 1.0
    keep_little_finger_off_black: float = 1.0
    avoid_stretches: bool = False

    def __post_init__(self) -> None:
        for side, span in (("right", self.right_span), ("left", self.left_span)):
            if not LEAST_SPAN_MM <= span <= MOST_SPAN_MM:
                raise ValueError(
                    f"a {side}-hand span of {span:g} mm is not a playing hand; "
                    f"measure thumb to little finger, {LEAST_SPAN_MM:g} to {MOST_SPAN_MM:g} mm"
                )
        for name in ("keep_thumb_off_black", "keep_little_finger_off_black"):
            strength = getattr(self, name)
            if not 0 <= strength <= 3:
                raise ValueError(f"{name.replace('_', ' ')} is {strength:g}; the strength runs from 0 to 3")

    def span(self, hand: Hand) -> float:
        """The span of one hand in millimetres."""
        return self.right_span if hand is Hand.RIGHT else self.left_span

    def with_span(self, millimetres: float) -> HandProfile:
        """The same player with both hands opening this far."""
        return replace(self, right_span=millimetres, left_span=millimetres)

    @staticmethod
    def parse(text: str) -> HandProfile:
        """Read a span as teachers say it: ``205``, ``20.5 cm``, ``8 in``, ``small`` or ``comfortable ninth``."""
        return HandProfile().with_span(span_from_words(text))


PRESETS = {"small": 185.0, "medium": 205.0, "large": 226.0}
"""Spans in millimetres. Published means of 473 adult pianists are 201 mm (women) and 226 mm (men), from "Pianist hand
spans: gender and ethnic differences and implications for piano playing", Proc. 12th Australasian Piano Pedagogy
Conference, 2015; the same figures call a hand under 216 mm small for the standard keyboard. Small is the example
hand of 185 mm in "The application of an ergonomically modified keyboard to reduce piano-related pain", 2009."""

COMFORT_MM = 46.0
"""An interval is comfortable when its edge reach leaves this much of the span unused (about two white keys). With it an
octave is comfortable from 216 mm and a ninth from 240 mm, the published 8.5 and 9.4 inches."""

EDGE_MM = 5.0
"""A key is caught at its very edge when the span exceeds the distance of the key centres by this much."""

_COMFORTABLE = {
    "sixth": 5, "seventh": 6, "octave": 7, "ninth": 8, "tenth": 9, "eleventh": 10,
    "6th": 5, "7th": 6, "8th": 7, "9th": 8, "10th": 9, "11th": 10,
}  # fmt: skip
_NUMBER = re.compile(r"(?P<number>\d+(?:\.\d+)?)\s*(?P<unit>mm|cm|in|inches|)")
_TO_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inches": 25.4}


def span_from_words(text: str) -> float:
    """The span in millimetres that a preset's name, a measured length or ``comfortable ninth`` stands for.

    A bare number of 40 or more is millimetres, below that centimetres. Raises ValueError for anything else.
    """
    said = " ".join(text.lower().split())
    if said in PRESETS:
        return PRESETS[said]
    white_steps = _COMFORTABLE.get(said.removeprefix("a ").removeprefix("comfortable "))
    if white_steps is not None:
        return round(white_steps * WHITE_KEY_MM + EDGE_MM + COMFORT_MM)
    match = _NUMBER.fullmatch(said)
    if match is None:
        raise ValueError(f"{text!r} is not a hand; write small, medium, large, 205 mm, 20.5 cm or comfortable ninth")
    number = float(match["number"])
    return number * _TO_MM[match["unit"] or ("mm" if number >= 40 else "cm")]
