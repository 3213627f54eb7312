"""Two-hand spreads: open five-note voicings, root with fifth or seventh below and the telling notes above."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape, cheapest_chain, octaves_between
from lessonkit.drills.chord_parts import ChordParts, parts_of, stacked
from lessonkit.drills.progression_family import Order, ProgressionFamily, bars_of_degrees, how_many_keys, order_of_keys
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval
from lessonkit.theory.progression import Progression
from lessonkit.theory.voicing import Voicing, movement
from lessonkit.values import dataclass

ROOTS_FROM = Interval.parse("A11")
"""How far under the right hand's floor the lowest roots lie: E2 under B♭3, where fifths and sevenths are clear."""

WITHIN = 14
"""How far above the floor the right hand's lowest note may lie, in semitones."""


class Left(Enum):
    """What the left hand has over its root."""

    MIXED = "the fifth, in dominants the seventh"
    FIFTH = "the fifth"
    SEVENTH = "the seventh"

    def has_seventh(self, parts: ChordParts) -> bool:
        """Whether the seventh lies in the left hand for a chord of these parts."""
        return self is Left.SEVENTH or (self is Left.MIXED and parts.is_dominant)


@dataclass(frozen=True)
class TwoHandSpreads(ProgressionFamily):
    """Open chords of five notes for two hands, the full sound under a slow melody or a singer.

    The left hand has the root with its fifth or seventh, the right hand third, ninth and what else tells the chord; no
    third and no seventh is doubled, and no ninth rubs against the third. The right hand moves as little as it can.
    """

    code = "two-hand-spreads"
    title = "Two-hand spreads"
    eases_by = ("left",)
    words = ("open voicings", "spread voicings", "ballad", "accompanying", "ninths and thirteenths")
    tensions = ("9", "13")

    progression: Progression = bars_of_degrees("iim9 | V13 | Imaj9 | vim9")
    order: Order = order_of_keys(Order.FOURTHS)
    count: int = how_many_keys(2)
    left: Left = fields.choice(Left.MIXED, label="Left hand has the root and", group="Voicing")

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        parts = [parts_of(chord) for chord in chords]
        rights = cheapest_chain([self._rights(one) for one in parts], movement)
        return [
            Voicing(self._left(chord, one, right), right)
            for chord, one, right in zip(chords, parts, rights, strict=True)
        ]

    def voiced_words(self) -> str:
        return "in open spreads"

    def _rights(self, parts: ChordParts) -> list[Shape]:
        """The right hand's shapes in the octaves near the floor, the third lowest first."""
        third, seventh, ninth = parts.third, parts.seventh, parts.ninth
        if self.left.has_seventh(parts):
            orders = ((third, parts.colour, ninth), (ninth, third, parts.colour))
        else:
            orders = ((third, seventh, ninth), (seventh, ninth, third))
        lowest = self.lowest.midi
        clear = orders[:1] if (third.pitch_class - ninth.pitch_class) % 12 == 1 else orders
        return [
            shape
            for order in clear
            for shape in octaves_between(stacked(order, self.lowest), lowest, lowest + WITHIN)
        ]  # fmt: skip

    def _left(self, chord: Chord, parts: ChordParts, right: Shape) -> Shape:
        upper = parts.seventh if self.left.has_seventh(parts) else parts.fifth
        shape = stacked((chord.lowest, upper), self.lowest - ROOTS_FROM)
        while shape[-1].midi >= right[0].midi:
            shape = tuple(pitch.octaves_up(-1) for pitch in shape)
        return shape
