"""Guide tones: the third and seventh of each chord, led by the smallest steps, over its root."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from functools import lru_cache

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape, cheapest_chain, octaves_between
from lessonkit.drills.chord_parts import parts_of, stacked
from lessonkit.drills.progression_family import Order, ProgressionFamily, bars_of_degrees, how_many_keys, order_of_keys
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.voicing import Voicing, movement
from lessonkit.values import dataclass

WITHIN = 16
"""How far above the floor the lower guide tone may lie, in semitones: room for third and seventh either way up."""


class Line(Enum):
    """Which guide tones are played."""

    BOTH_THIRD_FIRST = "both, the third below at first"
    BOTH_SEVENTH_FIRST = "both, the seventh below at first"
    FROM_THIRD = "one line that begins on the third"
    FROM_SEVENTH = "one line that begins on the seventh"

    @property
    def has_both(self) -> bool:
        """Whether third and seventh sound together."""
        return self in (Line.BOTH_THIRD_FIRST, Line.BOTH_SEVENTH_FIRST)

    @property
    def begins_on_third(self) -> bool:
        """Whether the third is the lower note, or the only one, of the first chord."""
        return self in (Line.BOTH_THIRD_FIRST, Line.FROM_THIRD)


@dataclass(frozen=True)
class GuideTones(ProgressionFamily):
    """Third and seventh alone say what a chord is; the drill leads them by the smallest steps through a progression.

    Where roots fall by fifths, the seventh falls a step to the next third and the third stays or falls to the next
    seventh. With both hands the left one plays the roots. A single line of guide tones is the skeleton of a melody.
    """

    code = "guide-tones"
    title = "Guide tones"
    words = ("thirds and sevenths", "voice leading", "two-five-one", "guide-tone line", "improvising")

    progression: Progression = bars_of_degrees("iim7 | V7 | Imaj7 | Imaj7")
    order: Order = order_of_keys(Order.FOURTHS)
    count: int = how_many_keys(4)
    line: Line = fields.choice(Line.BOTH_THIRD_FIRST, label="Guide tones", group="Voicing")

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        choices: list[Sequence[Shape]] = [_choices(chord, self.line.has_both, self.lowest) for chord in chords]
        begin = _third_and_seventh(chords[0])[0 if self.line.begins_on_third else -1]
        choices[0] = [shape for shape in choices[0] if shape[0].name == begin]
        rights = cheapest_chain(choices, movement)
        return [
            Voicing(self._root(chord, right) if len(self.playing_hands) == 2 else (), right)
            for chord, right in zip(chords, rights, strict=True)
        ]

    def voiced_words(self) -> str:
        return "guide tones" if self.line.has_both else f"a line of guide tones that begins on the {self._begin}"

    @property
    def _begin(self) -> str:
        return "third" if self.line.begins_on_third else "seventh"

    def _root(self, chord: Chord, right: Shape) -> Shape:
        """The bass note from an octave below the floor up, lower where it would reach into the right hand."""
        root = chord.lowest.nearest_above(self.lowest.octaves_up(-1))
        return (root if root.midi < right[0].midi else root.octaves_up(-1),)


@lru_cache(maxsize=2048)
def _choices(chord: Chord, has_both: bool, floor: Pitch) -> tuple[Shape, ...]:
    """The guide tones in every octave and order near the floor, the lowest first."""
    names = _third_and_seventh(chord)
    orders = (names, names[::-1]) if has_both else tuple((name,) for name in names)
    found: list[Shape] = []
    for order in orders:
        found += octaves_between(stacked(order, floor), floor.midi, floor.midi + WITHIN)
    return tuple(sorted(found, key=lambda shape: shape[0].midi))


def _third_and_seventh(chord: Chord) -> tuple[NoteName, ...]:
    """The two notes that tell a chord; a chord that has neither third nor seventh gives its fifth alone."""
    parts = parts_of(chord)
    return tuple(dict.fromkeys((parts.third, parts.seventh)))
