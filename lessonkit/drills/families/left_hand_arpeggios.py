"""Left-hand arpeggios: a figure of degrees, such as 1-5-8-9-10, flows under each chord of a progression."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.accompaniment import AccompanimentFamily
from lessonkit.drills.degrees_over import degree_over
from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import Texture
from lessonkit.drills.progression_family import ChordSpan
from lessonkit.drills.setting import Setting
from lessonkit.drills.writing import Step
from lessonkit.hands.costs import REFERENCE_SPAN_MM
from lessonkit.hands.keyboard import distance_mm
from lessonkit.theory.key import Key
from lessonkit.values import dataclass

THUMB_TO_SECOND_MM = 135.0
"""How far the thumb of a hand of 205 mm opens from the second finger without strain; less than it can at all."""


class Tenths(Enum):
    """How 1-5-10-5 is played."""

    AS_THE_HAND_SPANS = "as the hand spans"
    DIRECT = "straight from the fifth"
    OVER_THE_OCTAVE = "over the octave"


class Figure(Enum):
    """The degrees over the bass, in the order in which they are played."""

    FLOWING = "1-5-8-9-10-9-8-5"
    OCTAVE = "1-5-8-5"
    TENTH = "1-5-10-5"
    CLOSE = "1-5-3-5"
    TYPED = "as typed"


@dataclass(frozen=True)
class LeftHandArpeggios(AccompanimentFamily):
    """The left hand accompanies by itself, with a figure of degrees that flows under each chord.

    1 is the bass, 8 its octave, 10 the third above that. Degrees that the chord has are the chord's own, so the 5 of a
    half-diminished chord is flat; the others are the key's. The name over a figure is the whole chord's, as on a lead
    sheet: what the figure leaves out, its seventh or its third, is the melody's to bring. Where a chord ends before its
    figure, the figure turns back halfway; where it lasts longer, the figure begins again or swings on.
    """

    code = "left-hand-arpeggios"
    title = "Left-hand arpeggios"
    eases_by = ("figure",)
    words = ("accompaniment", "broken chords", "ballad", "alberti", "open position")
    has_passing_notes = True

    figure: Figure = fields.choice(Figure.FLOWING, label="Figure", group="Figure")
    typed: tuple[int, ...] = fields.numbers(
        label="Figure typed", group="Figure", least=0, most=17, longest=32,
        help="Degrees over the bass, such as 1 5 8 10; 0 is a rest.",
        applies=lambda drill: drill.figure is Figure.TYPED,
    )  # fmt: skip
    tenths: Tenths = fields.choice(
        Tenths.AS_THE_HAND_SPANS, label="The tenth is reached", group="Figure",
        help="Over the octave it becomes 1-5-8-10: the second finger crosses the thumb, and nothing is stretched.",
        applies=lambda drill: drill.figure is Figure.TENTH,
    )  # fmt: skip
    note_length: Fraction = fields.note_value("1/8", label="Note length", group="Time")

    def texture(self) -> Texture:
        return Texture.APART

    def build(self, setting: Setting) -> Exercise:
        fitting = self._fitting(setting)
        return super().build(setting) if fitting is self else fitting.build(setting)

    def summary(self, setting: Setting) -> str:
        fitting = self._fitting(setting)
        return super().summary(setting) if fitting is self else fitting.summary(setting)

    def _fitting(self, setting: Setting) -> LeftHandArpeggios:
        """The drill with its tenths over the octave where the hand would have to stretch for them."""
        is_open_to_choice = self.figure is Figure.TENTH and self.tenths is Tenths.AS_THE_HAND_SPANS
        if is_open_to_choice and not self._spans_tenths(setting):
            return replace(self, tenths=Tenths.OVER_THE_OCTAVE)
        return self

    def _spans_tenths(self, setting: Setting) -> bool:
        """Whether the thumb reaches every tenth while the second finger is on the fifth below it."""
        widest = THUMB_TO_SECOND_MM * setting.hands.left_span / REFERENCE_SPAN_MM
        floor = self.lowest.octaves_up(-2)
        for key in self.keys_in(setting):
            for chord in (placed.chord for bar in self.progression_in(key).in_key(key) for placed in bar):
                bass = chord.lowest.nearest_above(floor)
                fifth, tenth = (degree_over(bass, chord, degree, key) for degree in (5, 10))
                if distance_mm(fifth.midi, tenth.midi) > widest:
                    return False
        return True

    def left_hand(self, spans: Sequence[ChordSpan], key: Key) -> Sequence[Step]:
        floor = self.lowest.octaves_up(-2)
        degrees, fingers = self._degrees(), dict(_FINGERS.get(self.figure, {}))
        if self._goes_over_the_octave:
            fingers[10] = (2,)
        steps: list[Step] = []
        for number, span in enumerate(spans):
            bass = span.chord.lowest.nearest_above(floor)
            count = -(-span.length // self.note_length)
            left = span.length
            for degree in _fitted(degrees, int(count)):
                length = min(self.note_length, left)
                pitches = (degree_over(bass, span.chord, degree, key),) if degree else ()
                steps.append(Step(pitches, length, number, fingers=fingers.get(degree, ())))
                left -= length
        return steps

    def voiced_words(self) -> str:
        return f"with the figure {'-'.join(map(str, self._degrees()))}"

    @property
    def _goes_over_the_octave(self) -> bool:
        return self.figure is Figure.TENTH and self.tenths is Tenths.OVER_THE_OCTAVE

    def _degrees(self) -> tuple[int, ...]:
        if self._goes_over_the_octave:
            return 1, 5, 8, 10
        if self.figure is not Figure.TYPED:
            return tuple(int(degree) for degree in self.figure.value.split("-"))
        if not any(self.typed):
            raise ValueError("no figure is typed; type its degrees over the bass, such as 1 5 8 10")
        return self.typed


_OPEN = {1: (5,), 5: (2,), 8: (1,), 9: (2,), 10: (1,)}
_FINGERS = {
    Figure.FLOWING: _OPEN, Figure.OCTAVE: _OPEN, Figure.TENTH: _OPEN, Figure.CLOSE: {1: (5,), 3: (3,), 5: (1,)},
}  # fmt: skip
"""The fingers of each degree; common practice, no source."""


def _fitted(degrees: tuple[int, ...], count: int) -> list[int]:
    """So many notes of a figure: it turns back halfway where it is too long, swings on where too short."""
    if count < len(degrees):
        there = degrees[: count // 2 + 1]
        return [*there, *there[-2::-1]][:count]
    whole, rest = divmod(count, len(degrees))
    swing = degrees[-2:]
    return [*(degrees * whole), *(swing[place % len(swing)] for place in range(rest))]
