"""Stride: bass notes on the strong beats, chords on the others, the left hand leaping between them."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.accompaniment import AccompanimentFamily
from lessonkit.drills.degrees_over import degree_over
from lessonkit.drills.family import Texture
from lessonkit.drills.progression_family import ChordSpan
from lessonkit.drills.voicing_plan import close_positions, least_moving
from lessonkit.drills.writing import Step
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, NoteName, Pitch
from lessonkit.values import dataclass

THREE = 3
"""How many notes the left hand's chords have."""


class Bass(Enum):
    """What the bass does while a chord lasts."""

    ROOT_AND_FIFTH = "root and fifth in turn"
    ROOT_AND_TENTH = "root and tenth in turn"
    ROOT = "root only"

    @property
    def second(self) -> int:
        """The degree over the root that every other bass is."""
        return {Bass.ROOT_AND_FIFTH: 5, Bass.ROOT_AND_TENTH: 10}.get(self, 1)


@dataclass(frozen=True)
class Stride(AccompanimentFamily):
    """The left hand strides: a low bass on the strong beats, a chord in the middle of the keyboard on the others.

    Bass and chord alternate in metres of two and four; in metres of three one bass is followed by two chords, which is
    the waltz. The chords have three notes and move as little as they can, so that the leap stays the same.
    """

    code = "stride"
    title = "Stride"
    eases_by = ("bass", "has_octaves")
    words = ("oom-pah", "waltz", "left-hand leaps", "ragtime", "bass and chord")

    bass: Bass = fields.choice(Bass.ROOT_AND_FIFTH, label="Bass", group="Figure")
    has_octaves: bool = fields.yes_no(False, label="Basses in octaves", group="Figure")
    lowest: Pitch = fields.pitch(
        "F4", label="Right hand begins near", group="Hands and range",
        help="The right hand's chords lie from here up, the left hand's an octave lower, its basses another two.",
    )  # fmt: skip
    note_length: Fraction = fields.note_value("1/4", label="Note length", group="Time", applies=fields.never)

    def texture(self) -> Texture:
        return Texture.APART

    def left_hand(self, spans: Sequence[ChordSpan], key: Key) -> Sequence[Step]:
        meter = self.metre.meter
        pulse = Fraction(1, meter.unit if meter else 4)
        cell = 3 if meter is not None and meter.beats % 3 == 0 else 2
        floor = self.lowest.octaves_up(-3) + Interval(1, 2)
        shapes = least_moving([close_positions(_three(span.chord), self.lowest.octaves_up(-1)) for span in spans])
        steps: list[Step] = []
        for number, (span, shape) in enumerate(zip(spans, shapes, strict=True)):
            root = span.chord.lowest.nearest_above(floor)
            now, basses = span.onset, 0
            while now < span.end:
                is_bass = now == span.onset or (now % self.bar) / pulse % cell == 0
                length = min(pulse, span.end - now)
                low = degree_over(root, span.chord, self.bass.second, key) if basses % 2 == 1 else root
                basses_now = (low, low.octaves_up(1)) if self.has_octaves else (low,)
                fingers = (5, 1)[: len(basses_now)]
                steps.append(
                    Step(basses_now, length, number, fingers=fingers) if is_bass else Step(shape, length, number)
                )
                basses += is_bass
                now += length
        return steps

    def voiced_words(self) -> str:
        return f"stride over {self.bass.value}{', basses in octaves' if self.has_octaves else ''}"


def _three(chord: Chord) -> list[NoteName]:
    """The three notes that tell a chord over its bass: of larger chords not the root, then not the fifth."""
    tones = dict(zip(chord.quality.degrees, chord.tones, strict=True))
    if len(tones) > THREE:
        del tones["1"]
    names = list(tones.values())
    if len(names) > THREE:
        third, _, seventh, *colours = names
        names = [third, seventh, colours[-1]]
    return sorted(names, key=lambda name: (name.pitch_class - chord.root.pitch_class) % 12)
