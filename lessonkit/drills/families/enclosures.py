"""Enclosures: each note of a chord is approached from both sides, or from one, and lands on a beat."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.chord_family import ChordFamily
from lessonkit.drills.exercise import ChordMark, Exercise
from lessonkit.drills.family import Texture, begin_near
from lessonkit.drills.neighbours import Side, semitone_beside, step_beside, tone_beside
from lessonkit.drills.patterns import Rungs, chord_ladder
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import hands_words, range_words
from lessonkit.drills.worksheet import LINE_BLANKS
from lessonkit.drills.writing import Section, Step, for_hands, held_to_the_bar, write
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass


class Approach(Enum):
    """The notes before the target, in the order in which they are played."""

    ABOVE_BELOW = "from the scale above, then a semitone below"
    BELOW_ABOVE = "from a semitone below, then the scale above"
    FROM_BELOW = "by two semitones from below"
    FROM_ABOVE = "by two semitones from above"
    BOTH_SIDES = "by two semitones from above and two from below"
    SEMITONE_BELOW = "by one semitone from below"

    def notes(self, target: Pitch, key: Key) -> tuple[Pitch, ...]:
        """The notes that lead to a target."""
        above, below = Side.ABOVE, Side.BELOW
        if self is Approach.ABOVE_BELOW:
            return step_beside(target, above, key), semitone_beside(target, below)
        if self is Approach.BELOW_ABOVE:
            return semitone_beside(target, below), step_beside(target, above, key)
        if self is Approach.SEMITONE_BELOW:
            return (semitone_beside(target, below),)
        from_above = (tone_beside(target, above), semitone_beside(target, above))
        from_below = (tone_beside(target, below), semitone_beside(target, below))
        return {Approach.FROM_ABOVE: from_above, Approach.FROM_BELOW: from_below}.get(self, from_above + from_below)


class Lands(Enum):
    """Where in the bar the targets come."""

    STRONG = "on strong beats"
    WEAK = "after the approach"


@dataclass(frozen=True)
class Enclosures(ChordFamily):
    """Every note of a chord is led to by its neighbours, so that a line can wander and still land where it should.

    The approach is short, the target is held and comes on a beat. From below a semitone is written as the letter below,
    raised; the scale's note above is the key's own.
    """

    code = "enclosures"
    title = "Enclosures"
    nothing_easier = "The approach is what this drill teaches, so none is exchanged for an easier one"
    words = ("approach notes", "target notes", "chromatic neighbours", "surround", "bebop", "improvisation")
    has_passing_notes = True
    left_out = frozenset()
    blanks = LINE_BLANKS

    approach: Approach = fields.choice(Approach.ABOVE_BELOW, label="Targets are approached", group="Line")
    lands: Lands = fields.choice(
        Lands.STRONG, label="Targets come", group="Line",
        help="On strong beats the line begins with a rest; otherwise with the approach itself.",
    )  # fmt: skip
    lowest: Pitch = begin_near("Bb3")
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range")

    def texture(self) -> Texture:
        return Texture.LINE

    def build(self, setting: Setting) -> Exercise:
        chord, degree = self.chord_in(setting)
        key = self.key_in(setting)
        ladder = chord_ladder(chord, 0, self.lowest, self.octaves, Rungs.FOLDED)
        steps = list(self._steps(tuple(self.turned(ladder)), key))
        section = Section(key, for_hands(self, held_to_the_bar(steps, self)), (ChordMark(Fraction(0), chord, degree),))
        return write(self, [section], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        chord, _ = self.chord_in(setting)
        return (
            f"{chord.symbol(setting.label_style)}, each note approached {self.approach.value}, "
            f"{hands_words(self)}, {range_words(self)}"
        )

    def _steps(self, targets: tuple[Pitch, ...], key: Key) -> Iterator[Step]:
        """Each approach and its target, which lasts as long as the approach; on strong beats a rest comes first."""
        each = self.note_length
        for number, target in enumerate(targets):
            approach = self.approach.notes(target, key)
            if number == 0 and self.lands is Lands.STRONG:
                yield Step((), each * len(approach), 0)
            for pitch in approach:
                yield Step((pitch,), each, 2 * number + 1)
            yield Step((target,), each * len(approach), 2 * number + 2)
