"""Rocking fifths: root and fifth, root and sixth, root and seventh in turn, as the left hand of a boogie plays them."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.accompaniment import AccompanimentFamily
from lessonkit.drills.degrees_over import interval_over
from lessonkit.drills.family import Texture
from lessonkit.drills.progression_family import ChordSpan, bars_of_degrees
from lessonkit.drills.writing import Step
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.progression import Progression
from lessonkit.values import dataclass


class Figure(Enum):
    """Which notes rock above the root."""

    SIXTH = "fifth and sixth"
    SEVENTH = "fifth, sixth, seventh, sixth"


@dataclass(frozen=True)
class RockingFifths(AccompanimentFamily):
    """The left hand holds the root and rocks above it from the fifth to the sixth and the seventh, through a blues.

    The little finger stays on the root; fifth, sixth and seventh lie under the second finger and the thumb. The same
    movement comes very often: play a few bars at a time, with a loose wrist, and rest.
    """

    code = "rocking-fifths"
    title = "Rocking fifths"
    eases_by = ("figure",)
    words = ("boogie", "shuffle", "blues", "rock and roll", "sixths")
    has_passing_notes = True

    progression: Progression = bars_of_degrees("I7 | IV7 | I7 | % | IV7 | % | I7 | % | V7 | IV7 | I7 | V7")
    figure: Figure = fields.choice(Figure.SEVENTH, label="Above the root", group="Figure")
    times: int = fields.whole(2, least=1, most=4, label="Each is struck", unit="times", group="Figure")
    is_swung: bool = fields.yes_no(
        True, label="Swung", group="Time", help="Written even, with the word swing; the first of two is played longer."
    )
    lowest: Pitch = fields.pitch(
        "E4", label="Right hand begins near", group="Hands and range",
        help="The right hand's chords lie from here up; the left hand's roots from two octaves lower up.",
    )  # fmt: skip
    note_length: Fraction = fields.note_value("1/8", label="Note length", group="Time")

    def texture(self) -> Texture:
        return Texture.APART

    def left_hand(self, spans: Sequence[ChordSpan], key: Key) -> Sequence[Step]:
        floor = self.lowest.octaves_up(-2)
        steps: list[Step] = []
        for number, span in enumerate(spans):
            root = span.chord.lowest.nearest_above(floor)
            above = {5: interval_over(span.chord, 5, key), 6: _SIXTH, 7: _SEVENTH}
            now, struck = span.onset, 0
            while now < span.end:
                figure = _FIGURES[self.figure]
                degree = figure[struck // self.times % len(figure)]
                length = min(self.note_length, span.end - now)
                steps.append(Step((root, root + above[degree]), length, number, fingers=_FINGERS[degree]))
                now += length
                struck += 1
        return steps

    def label_in(self, key: Key) -> str:
        return f"{key}, swing" if self.is_swung else str(key)

    def voiced_words(self) -> str:
        return f"rocking from {'fifth to sixth' if self.figure is Figure.SIXTH else 'fifth to seventh'}"


_FIGURES = {Figure.SIXTH: (5, 6), Figure.SEVENTH: (5, 6, 7, 6)}
_FINGERS = {5: (5, 2), 6: (5, 1), 7: (5, 1)}
_SIXTH, _SEVENTH = Interval.parse("M6"), Interval.parse("m7")
