"""Double notes: a scale in thirds, sixths, octaves or tenths, as a melody is thickened."""

from __future__ import annotations

from dataclasses import replace
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.exercise import ChordMark, Exercise, Hand, Roll
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.patterns import Group
from lessonkit.drills.scale_choice import ScaleChoice
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import hands_words, range_words
from lessonkit.drills.worksheet import LINE_BLANKS
from lessonkit.drills.writing import Section, Step, for_hands, held_to_the_bar, write
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.roman import recognise
from lessonkit.values import dataclass

SEVEN = 7
"""How many notes a scale needs so that every other one makes a third."""


class Doubled(Enum):
    """What lies under the melody."""

    THIRDS = "thirds"
    SIXTHS = "sixths"
    OCTAVES = "octaves"
    TENTHS = "tenths"
    OCTAVES_AND_THIRDS = "octaves with the third inside"

    @property
    def below(self) -> tuple[int, ...]:
        """How many notes of the scale below the melody, the lowest first."""
        return {
            Doubled.THIRDS: (2,), Doubled.SIXTHS: (5,), Doubled.OCTAVES: (7,), Doubled.TENTHS: (9,),
            Doubled.OCTAVES_AND_THIRDS: (7, 5),
        }[self]  # fmt: skip


@dataclass(frozen=True)
class DoubleNotes(DrillFamily):
    """A scale is played as a melody that one hand thickens, in thirds, sixths or octaves of the scale itself.

    The intervals are the key's own, large or small as the scale makes them. Sixths and thirds under a melody are the
    quickest way to make a tune sound full. In tenths two hands share the notes, and one hand alone rolls them.
    """

    code = "double-notes"
    title = "Double notes"
    nothing_easier = "The interval is what this drill teaches, so none is exchanged for an easier one"
    words = ("thirds", "sixths", "octaves", "tenths", "harmonised melody", "thickened melody")
    has_passing_notes = True
    left_out = frozenset()
    blanks = LINE_BLANKS

    doubled: Doubled = fields.choice(Doubled.THIRDS, label="The melody goes in", group="Scale")
    scale: ScaleChoice = fields.choice(
        ScaleChoice.KEY, label="Scale", group="Scale", help="A scale of seven notes; a third is every other note of it."
    )
    lowest: Pitch = fields.pitch(
        "Bb3", label="Begin near", group="Hands and range",
        help="The lower notes of the right hand begin at the tonic from here up, in sixths at the third; the left hand "
        "an octave or more below.",
    )  # fmt: skip
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range")
    note_length: Fraction = fields.note_value("1/4", label="Note length", group="Time")

    def key_in(self, setting: Setting) -> Key:
        """The key of the scale: E dorian in E has two sharps."""
        return self.scale.key_on(super().key_in(setting), setting.prefers_flats_at_six)

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        is_wide = self.doubled is Doubled.TENTHS
        roll = Roll.UP if is_wide else Roll.NONE
        shapes = self._shapes(setting)
        steps = [Step(shape, self.note_length, number // 4, roll) for number, shape in enumerate(shapes)]
        parts = dict(for_hands(self, held_to_the_bar(steps, self)))
        if self._is_shared:
            # The right hand has the melody and the left the note a tenth below it.
            lower = [replace(step, pitches=step.pitches[:1], roll=Roll.NONE) for step in parts[Hand.RIGHT]]
            upper = [replace(step, pitches=step.pitches[1:], roll=Roll.NONE) for step in parts[Hand.RIGHT]]
            parts = {Hand.RIGHT: upper, Hand.LEFT: lower}
        chord = self.scale.chord_on(key)
        mark = ChordMark(Fraction(0), chord, recognise(chord, key))
        section = Section(key, parts, (mark,))
        return write(self, [section], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        key = self.key_in(setting)
        scale = str(key) if self.scale is ScaleChoice.KEY else f"{key.tonic} {self.scale.value}"
        return f"{scale} in {self.doubled.value}, {hands_words(self)}, {range_words(self)}"

    @property
    def _is_shared(self) -> bool:
        """Whether the two hands share what one hand cannot hold."""
        return self.doubled is Doubled.TENTHS and len(self.playing_hands) == 2

    def _shapes(self, setting: Setting) -> list[Group]:
        """Melody and what lies under it, each low to high; the melody of sixths begins on the tonic above its third."""
        scale = self.scale.on(self.key_in(setting))
        if len(scale.kind.tones) != SEVEN:
            raise ValueError(f"the {scale.kind.key} scale has not seven notes and makes no thirds; choose another one")
        below = self.doubled.below
        lowest = scale.degree(3) if self.doubled is Doubled.SIXTHS else scale.tonic
        # Between two hands tenths lie an octave lower, so that the melody is where a hand alone has it.
        floor = self.lowest.octaves_up(-1) if self._is_shared else self.lowest
        ladder = scale.ladder(lowest.nearest_above(floor), SEVEN * self.octaves + below[0] + 1)
        melody = range(below[0], below[0] + SEVEN * self.octaves + 1)
        up = [tuple(ladder[place - under] for under in (*below, 0)) for place in melody]
        return self.turned(up)
