"""Walking bass: from root to root in even beats, each root led to by a semitone or a step of the scale."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.accompaniment import AccompanimentFamily, in_bars
from lessonkit.drills.degrees_over import degree_over
from lessonkit.drills.family import Texture
from lessonkit.drills.progression_family import ChordSpan, bars_of_degrees
from lessonkit.drills.walking import Approach, Stretch, walked
from lessonkit.drills.writing import Step
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import Progression
from lessonkit.values import dataclass

FOUR = 4
"""The most beats that the bass walks before it comes to a root again."""


class Feel(Enum):
    """How often the bass moves."""

    WALKING = "on every beat"
    TWO = "twice in a bar"


@dataclass(frozen=True)
class WalkingBass(AccompanimentFamily):
    """The left hand walks as a bass player does: the root on the first beat, the last beat leading to the next root.

    The beats between take notes of the chord or the scale, so that the whole line is as smooth as it can be. Twice in a
    bar, the bass plays root and fifth instead. The line comes to rest on the last chord's root.
    """

    code = "walking-bass"
    title = "Walking bass"
    nothing_easier = "The bass walks where the harmony leads it, so nothing easier can be exchanged for it"
    words = ("bass line", "two-feel", "approach notes", "swing", "jazz")
    has_passing_notes = True

    progression: Progression = bars_of_degrees("Imaj7 | vim7 | iim7 | V7 | iiim7 | V7/ii | iim7 V7 | Imaj7")
    feel: Feel = fields.choice(Feel.WALKING, label="The bass moves", group="Line")
    approach: Approach = fields.choice(
        Approach.BEST, label="The next root is led to", group="Line", applies=lambda drill: drill.feel is Feel.WALKING
    )
    lowest: Pitch = fields.pitch(
        "A3", label="Right hand begins near", group="Hands and range",
        help="The right hand's chords lie from here up; the left hand's roots from two octaves lower up.",
    )  # fmt: skip
    note_length: Fraction = fields.note_value("1/4", label="Note length", group="Time", applies=fields.never)

    def texture(self) -> Texture:
        return Texture.LINE

    def left_hand(self, spans: Sequence[ChordSpan], key: Key) -> Sequence[Step]:
        cells = list(in_bars(spans, self.bar))
        floor = self.lowest.octaves_up(-2)
        return self._walking(cells, key, floor) if self.feel is Feel.WALKING else self._in_two(cells, key, floor)

    def voiced_words(self) -> str:
        return "walking bass" if self.feel is Feel.WALKING else "bass in two"

    @property
    def _beat(self) -> Fraction:
        meter = self.metre.meter
        return Fraction(1, 4) if meter is None or meter.unit == FOUR else Fraction(3, 8)

    def _walking(self, cells: Sequence[ChordSpan], key: Key, floor: Pitch) -> list[Step]:
        """A note a beat; the last chord's root is held."""
        beats = [max(1, int(cell.length / self._beat)) for cell in cells[:-1]]
        stretches = [Stretch(cell.chord, count) for cell, count in zip(cells, [*beats, 1], strict=True)]
        steps: list[Step] = []
        for number, (notes, cell) in enumerate(zip(walked(stretches, self.approach, key, floor), cells, strict=True)):
            each = cell.length / len(notes)
            steps += [Step((note,), each, number) for note in notes]
        return steps

    def _in_two(self, cells: Sequence[ChordSpan], key: Key, floor: Pitch) -> list[Step]:
        """Root and fifth, the first of them longer where the beats do not go up evenly."""
        steps: list[Step] = []
        for number, cell in enumerate(cells):
            root = cell.chord.lowest.nearest_above(floor)
            beats = int(cell.length / self._beat)
            if beats < 2 or number + 1 == len(cells):
                steps.append(Step((root,), cell.length, number))
                continue
            first = -(-beats // 2) * self._beat
            fifth = degree_over(root, cell.chord, 5, key)
            steps += [Step((root,), first, number), Step((fifth,), cell.length - first, number)]
        return steps
