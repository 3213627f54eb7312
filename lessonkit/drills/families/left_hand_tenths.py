"""Left-hand tenths: bass and tenth over each chord, broken, rolled or held, up the scale or through a progression."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.accompaniment import AccompanimentFamily, in_bars
from lessonkit.drills.degrees_over import degree_over
from lessonkit.drills.exercise import Roll
from lessonkit.drills.family import Direction, Texture
from lessonkit.drills.progression_family import ChordSpan
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import hands_words
from lessonkit.drills.writing import Step
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.roman import diatonic_chord, recognise
from lessonkit.values import dataclass


class Along(Enum):
    """What the tenths follow."""

    SCALE = "the scale"
    PROGRESSION = "a progression"


class Touch(Enum):
    """How the notes of a tenth are played."""

    BROKEN = "broken"
    ROLLED = "rolled"
    SOLID = "solid"


@dataclass(frozen=True)
class LeftHandTenths(AccompanimentFamily):
    """The left hand sounds as wide as two: a bass with its tenth, broken with the pedal down so that any hand can.

    Broken, the fifth leads from the bass to the tenth, which is held. Rolled, the bass comes on the beat. Solid tenths
    are for hands that hold them with ease; where yours do not, the page says so.
    """

    code = "left-hand-tenths"
    title = "Left-hand tenths"
    eases_by = ("touch", "has_fifth")
    words = ("wide", "stretch", "rolled", "walking tenths", "ballad")

    along: Along = fields.choice(Along.SCALE, label="Tenths follow", group="Progression")
    progression: Progression = fields.progression(
        "Imaj7 | vim7 | iim7 | V7", label="Progression", group="Progression",
        help="Bars of degrees parted by |, two or more chords to a bar parted by spaces.",
        applies=lambda drill: drill.along is Along.PROGRESSION,
    )  # fmt: skip
    touch: Touch = fields.choice(Touch.BROKEN, label="Tenths are played", group="Touch")
    has_fifth: bool = fields.yes_no(True, label="With the fifth between", group="Touch")
    direction: Direction = fields.choice(
        Direction.UP_AND_DOWN, label="Direction", group="Hands and range",
        applies=lambda drill: drill.along is Along.SCALE,
    )  # fmt: skip
    note_length: Fraction = fields.note_value(
        "1/8", label="Note length", group="Time",
        help="Of the notes before the tenth, which lasts until the next bass.",
        applies=lambda drill: drill.touch is Touch.BROKEN,
    )  # fmt: skip

    def texture(self) -> Texture:
        return Texture.APART

    def progression_in(self, key: Key) -> Progression:
        """The chosen progression, or the key's own triads up its scale and down again, two to a bar."""
        if self.along is Along.PROGRESSION:
            return super().progression_in(key)
        up = [recognise(diatonic_chord(key, degree, 3), key) for degree in (1, 2, 3, 4, 5, 6, 7, 1)]
        down = up[::-1]
        rungs = {Direction.UP: up, Direction.DOWN: down}.get(self.direction, up + down[1:])
        return Progression(tuple(tuple(rungs[place : place + 2]) for place in range(0, len(rungs), 2)))

    def left_hand(self, spans: Sequence[ChordSpan], key: Key) -> Sequence[Step]:
        basses = dict(zip([span.onset for span in spans], self._basses(spans), strict=True))
        steps: list[Step] = []
        bass = basses[spans[0].onset]
        for number, span in enumerate(in_bars(spans, self.bar)):
            bass = basses.get(span.onset, bass)
            degrees = (1, 5, 10) if self.has_fifth else (1, 10)
            notes = [degree_over(bass, span.chord, degree, key) for degree in degrees]
            steps += self._played(notes, span.length, number)
        return steps

    def voiced_words(self) -> str:
        return f"{self.touch.value} tenths"

    def summary(self, setting: Setting) -> str:
        if self.along is Along.PROGRESSION:
            return super().summary(setting)
        keys = self.keys_in(setting)
        where = f"{keys[0]}" if len(keys) == 1 else f"{len(keys)} keys, {self.order.value}"
        return f"{self.voiced_words().capitalize()} along the scale of {where}, {hands_words(self)}"

    def _basses(self, spans: Sequence[ChordSpan]) -> Iterator[Pitch]:
        """The bass of each chord: along the scale each as near as can be to the one before."""
        floor = self.lowest.octaves_up(-2)
        if self.along is Along.PROGRESSION:
            yield from (span.chord.lowest.nearest_above(floor) for span in spans)
            return
        bass = spans[0].chord.lowest.nearest_above(floor - Interval(4, 7))
        if self.direction is Direction.DOWN:
            bass = bass.octaves_up(1)
        for span in spans:
            above = span.chord.lowest.nearest_above(bass)
            below = above.octaves_up(-1)
            bass = above if above.midi - bass.midi <= bass.midi - below.midi else below
            yield bass

    def _played(self, notes: list[Pitch], length: Fraction, number: int) -> Iterator[Step]:
        fingers = (5, 2, 1) if len(notes) == 3 else (5, 1)
        if self.touch is not Touch.BROKEN:
            roll = Roll.UP if self.touch is Touch.ROLLED else Roll.NONE
            yield Step(tuple(notes), length, number, roll, fingers=fingers)
            return
        before = len(notes) - 1
        each = self.note_length if self.note_length * before < length else length / len(notes)
        lengths = [each] * before + [length - each * before]
        for pitch, lasts, finger in zip(notes, lengths, fingers, strict=True):
            yield Step((pitch,), lasts, number, fingers=(finger,))
