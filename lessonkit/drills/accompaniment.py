"""What families of left-hand textures share: a figure over each chord in the left hand, plain chords in the right.

The right hand's chords lie above everything the left hand plays, so that the hands never meet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import Hands
from lessonkit.drills.progression_family import ChordSpan, ProgressionFamily, bars_of_degrees
from lessonkit.drills.voicing_plan import Plan, voiced
from lessonkit.drills.writing import Step
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.progression import Progression
from lessonkit.values import dataclass


@dataclass(frozen=True)
class AccompanimentFamily(ProgressionFamily):
    """A family about what the left hand plays under a progression."""

    progression: Progression = bars_of_degrees("Imaj7 | vim7 | iim7 | V7")
    count: int = fields.whole(1, least=1, most=15, label="How many keys", group="Keys")
    hands: Hands = fields.choice(
        Hands.LEFT, label="Hands", group="Hands and range",
        help="The right hand, where it plays, holds the chords so that the left can be heard against them.",
    )  # fmt: skip
    lowest: Pitch = fields.pitch(
        "E4", label="Right hand begins near", group="Hands and range",
        help="The right hand's chords lie from here up; the left hand's basses two octaves lower or more.",
    )  # fmt: skip

    def left_hand(self, spans: Sequence[ChordSpan], key: Key) -> Sequence[Step]:
        """What the left hand does under the chords of one key."""
        raise TypeError(f"{type(self).__name__} does not say what the left hand plays")

    def parts(self, spans: Sequence[ChordSpan], key: Key) -> dict[Hand, Sequence[Step]]:
        left = self.left_hand(spans, key)
        parts: dict[Hand, Sequence[Step]] = {}
        for hand in self.playing_hands:
            parts[hand] = left if hand is Hand.LEFT else self.right_hand(spans, left)
        return parts

    def right_hand(self, spans: Sequence[ChordSpan], left: Sequence[Step]) -> Sequence[Step]:
        """The chords in close positions that move least, each held for as long as it lasts."""
        shapes = enumerate(held_above(spans, left, self.lowest))
        return [Step(shape, span.length, number) for span, (number, shape) in zip(spans, shapes, strict=True)]


def held_above(spans: Sequence[ChordSpan], left: Sequence[Step], low: Pitch) -> list[tuple[Pitch, ...]]:
    """The chords in close positions that move least, from ``low`` up and above all that the left hand plays."""
    top = max((pitch for step in left for pitch in step.pitches), key=lambda pitch: pitch.midi, default=None)
    if top is not None and top.midi >= low.midi:
        low = top + Interval(1, 1)
    return [voicing.right for voicing in voiced([span.chord for span in spans], Plan.SMOOTH, low)]


def in_bars(spans: Sequence[ChordSpan], bar: Fraction) -> Iterator[ChordSpan]:
    """The same chords, each taken up again at every bar line that it lasts beyond."""
    for span in spans:
        now = span.onset
        while now < span.end:
            until = min(span.end, (now // bar + 1) * bar)
            yield replace(span, onset=now, length=until - now)
            now = until
