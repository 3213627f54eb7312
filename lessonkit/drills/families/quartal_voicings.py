"""Quartal voicings: stacks of perfect fourths on the notes of a mode, one after another up the keyboard."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape
from lessonkit.drills.exercise import ChordMark, Exercise, FingersShown, Hand, Roll
from lessonkit.drills.family import Direction, DrillFamily, Hands
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import hands_words, range_words
from lessonkit.drills.writing import Section, Step, held_to_the_bar, write
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, Key
from lessonkit.theory.pitch import Interval, NoteName, Pitch
from lessonkit.theory.quality import Quality
from lessonkit.theory.roman import recognise
from lessonkit.values import dataclass

FOURTH, THIRD = Interval.parse("P4"), Interval.parse("M3")

NINTH = 14
"""The widest span in semitones that one hand strikes at once; a wider stack is rolled."""


class Colour(Enum):
    """The chord that the stacks stand for, on the notes of the key's signature."""

    MINOR_SEVENTH = "minor seventh, dorian"
    MAJOR_SEVENTH = "major seventh, lydian"
    SUSPENDED = "suspended dominant"
    SIX_NINE = "six-nine"

    @property
    def chord(self) -> tuple[int, str]:
        """The degree of the signature's major key that it stands on, and its quality."""
        return {
            Colour.MINOR_SEVENTH: (2, "m7"), Colour.MAJOR_SEVENTH: (4, "maj7#11"),
            Colour.SUSPENDED: (5, "9sus4"), Colour.SIX_NINE: (1, "6/9"),
        }[self]  # fmt: skip

    @property
    def degrees(self) -> tuple[int, ...]:
        """The degrees of that major key from which the stacks are made; the others would give away another chord."""
        return {Colour.SUSPENDED: (1, 2, 3, 4, 5, 6), Colour.SIX_NINE: (1, 2, 3, 5, 6)}.get(self, tuple(range(1, 8)))

    @property
    def has_whole_mode(self) -> bool:
        """Whether all seven notes may sound over the chord."""
        return len(self.degrees) == 7


class Stack(Enum):
    """How many notes a stack has."""

    THREE = "three notes in fourths"
    FOUR = "four notes in fourths"
    WITH_THIRD = "four notes in fourths and a third on top"

    @property
    def steps(self) -> tuple[Interval, ...]:
        """The intervals from each note to the next."""
        return {
            Stack.THREE: (FOURTH,) * 2, Stack.FOUR: (FOURTH,) * 3, Stack.WITH_THIRD: (FOURTH, FOURTH, FOURTH, THIRD)
        }[self]  # fmt: skip


class Steps(Enum):
    """From which notes of the mode the stacks are made."""

    PERFECT = "where every fourth is perfect"
    EVERY = "on every step of the mode"


@dataclass(frozen=True)
class QuartalVoicings(DrillFamily):
    """Stacks of fourths float over one chord: they say its colour without settling, and slide up and down the mode.

    They stand where every fourth is perfect, which leaves steps of the mode out, or on every step, where one fourth is
    augmented and the hand never moves further than to the next key of the mode. With both hands three notes lie in the
    right hand over the root; larger stacks are shared, the lower two notes in the left.
    """

    code = "quartal-voicings"
    title = "Quartal voicings"
    words = ("fourths", "modal", "dorian", "suspended", "planing", "vamp")
    usual_fingers = FingersShown.CHANGES
    tensions = ("9", "11", "13")
    left_out = frozenset()

    sound: Colour = fields.choice(
        Colour.MINOR_SEVENTH, label="Chord", group="Chord",
        help="It takes the key's own notes: in C major Dm7, Fmaj7♯11, G9sus4 or C6/9, and so it does in A minor.",
    )  # fmt: skip
    stack: Stack = fields.choice(Stack.THREE, label="Stacks of", group="Voicing")
    steps: Steps = fields.choice(
        Steps.PERFECT, label="Stacks stand", group="Voicing",
        help="In D dorian the stacks on F and C have the augmented fourth F B.",
        applies=lambda drill: drill.sound.has_whole_mode,
    )  # fmt: skip
    hands: Hands = fields.choice(Hands.BOTH, label="Hands", group="Hands and range")
    lowest: Pitch = fields.pitch(
        "A3", label="Begin near", group="Hands and range",
        help="The right hand's stacks begin from here up; stacks for two hands begin an octave lower.",
    )  # fmt: skip
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range")
    direction: Direction = fields.choice(Direction.UP_AND_DOWN, label="Direction", group="Hands and range")
    note_length: Fraction = fields.note_value(
        "1/2", label="Chord length", group="Time", allowed=(Fraction(1), Fraction(1, 2), Fraction(1, 4), Fraction(1, 8))
    )

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        chord = self._chord(key)
        stacks = self._stacks(key)
        parts = {
            hand: held_to_the_bar([self._step(stack, chord, hand, number) for number, stack in enumerate(stacks)], self)
            for hand in self.playing_hands
        }
        section = Section(key, parts, (ChordMark(Fraction(0), chord, recognise(chord, key)),))
        return write(self, [section], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        chord = self._chord(self.key_in(setting)).symbol(setting.label_style)
        steps = f", {self.steps.value}" if self.sound.has_whole_mode else ""
        return f"{chord} in stacks of {self.stack.value}{steps}, {hands_words(self)}, {range_words(self)}"

    def _chord(self, key: Key) -> Chord:
        degree, quality = self.sound.chord
        return Chord(_major(key).degree(degree), Quality.named(quality))

    def _stacks(self, key: Key) -> list[Shape]:
        """The stacks in playing order; the top one stands on the first one's note an octave or more higher."""
        major = _major(key)
        allowed = {major.degree(degree) for degree in self.sound.degrees}
        is_shared = self.hands is Hands.BOTH and self.stack is not Stack.THREE
        floor = self.lowest.octaves_up(-1) if is_shared else self.lowest
        if self.steps is Steps.EVERY and self.sound.has_whole_mode:
            found = [self._along(major, degree, floor) for degree in range(1, 8)]
        else:
            found = [stack for name in allowed if (stack := self._stack(name, floor, allowed)) is not None]
        lowest = sorted(found, key=lambda stack: stack[0].midi)
        up = [tuple(pitch.octaves_up(octave) for pitch in one) for octave in range(self.octaves) for one in lowest]
        up.append(tuple(pitch.octaves_up(self.octaves) for pitch in lowest[0]))
        return self.turned(up)

    def _along(self, major: Key, degree: int, floor: Pitch) -> Shape:
        """The stack on a degree in the fourths, and the third, that the mode itself has there."""
        shape = [major.degree(degree).nearest_above(floor)]
        for step in self.stack.steps:
            degree = (degree + step.steps - 1) % 7 + 1
            shape.append(major.degree(degree).nearest_above(shape[-1]))
        return tuple(shape)

    def _stack(self, name: NoteName, floor: Pitch, allowed: set[NoteName]) -> Shape | None:
        """The stack on a note, or None where it needs a note that the chord's colour has not."""
        shape = [name.nearest_above(floor)]
        for step in self.stack.steps:
            shape.append(shape[-1] + step)
        return tuple(shape) if all(pitch.name in allowed for pitch in shape) else None

    def _step(self, stack: Shape, chord: Chord, hand: Hand, number: int) -> Step:
        if self.hands is not Hands.BOTH:
            own = stack if hand is Hand.RIGHT else tuple(pitch.octaves_up(-1) for pitch in stack)
            if len(own) > len(Stack.FOUR.steps) + 1:
                raise ValueError("one hand cannot hold five notes in fourths and a third; choose both hands")
            roll = Roll.UP if own[-1].midi - own[0].midi > NINTH else Roll.NONE
            return Step(own, self.note_length, number, roll)
        if self.stack is Stack.THREE:
            root = chord.root.nearest_above(self.lowest.octaves_up(-1) - Interval.parse("P4"))
            return Step(stack if hand is Hand.RIGHT else (root,), self.note_length, number)
        return Step(stack[2:] if hand is Hand.RIGHT else stack[:2], self.note_length, number)


def _major(key: Key) -> Key:
    """The major key of the same signature."""
    return next(major for major in MAJOR_KEYS if major.signature == key.signature)
