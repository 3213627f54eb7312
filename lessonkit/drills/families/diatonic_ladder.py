"""Diatonic ladder: the chords of a key climb it by thirds, steps, fourths or fifths, and come back."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.chord_family import Size
from lessonkit.drills.exercise import ChordMark, Exercise, Roll
from lessonkit.drills.family import Direction, DrillFamily
from lessonkit.drills.patterns import Group, Order, in_order, mirrored
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import INVERSIONS, hands_words, range_words
from lessonkit.drills.writing import (
    Section,
    Step,
    Threes,
    for_hands,
    group_onsets,
    in_groups,
    note_in_group,
    threes_setting,
    write,
)
from lessonkit.theory.enharmonic import key_of_mode
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.roman import diatonic_chord, recognise
from lessonkit.theory.scale import SCALES, Scale
from lessonkit.values import dataclass

SEVEN = 7
"""How many degrees the scales of this family have."""


class Climb(Enum):
    """From which degree to which the chords go."""

    THIRDS = "every other degree"
    STEPS = "every degree"
    FOURTHS = "up a fourth"
    FIFTHS = "up a fifth"

    @property
    def degrees(self) -> int:
        """How many degrees it goes up at a time."""
        return {Climb.THIRDS: 2, Climb.STEPS: 1, Climb.FOURTHS: 3, Climb.FIFTHS: 4}[self]


class Touch(Enum):
    """How the notes of a chord are played."""

    BROKEN = "broken"
    SOLID = "solid"
    ROLLED = "rolled"
    ROLLED_DOWN = "rolled downward"


class ScaleOf(Enum):
    """The scale that the chords are taken from."""

    KEY = "as the key has it"
    MAJOR = "major"
    NATURAL_MINOR = "natural minor"
    HARMONIC_MINOR = "harmonic minor"
    MELODIC_MINOR = "melodic minor"
    DORIAN = "dorian"
    PHRYGIAN = "phrygian"
    LYDIAN = "lydian"
    MIXOLYDIAN = "mixolydian"
    LOCRIAN = "locrian"


@dataclass(frozen=True)
class DiatonicLadder(DrillFamily):
    """The chords that a key makes on its degrees climb the keyboard, so that hand and ear learn which degree is which.

    On every other degree the chords reach the tonic again after two octaves. Where a climb would pass the top of the
    chosen octaves, it goes on an octave lower, until it ends on the top tonic.
    """

    code = "diatonic-ladder"
    title = "Diatonic ladder"
    eases_by = ("inversion", "touch")
    words = ("diatonic sevenths", "harmonised scale", "chords of the key", "stacked thirds")

    climb: Climb = fields.choice(Climb.THIRDS, label="Chords on", group="Chords")
    size: Size = fields.choice(Size.SEVENTH, label="Chords are", group="Chords")
    scale: ScaleOf = fields.choice(
        ScaleOf.KEY, label="Scale", group="Chords", help="A scale chosen here stands on the key's tonic."
    )
    inversion: int = fields.whole(
        0, least=0, most=4, label="Inversion", group="Chords", help="0 is root position; 1 has the third lowest."
    )
    rotates: bool = fields.yes_no(
        False, label="Inversions take turns", group="Chords",
        help="The next chord has the next inversion, and after the last one root position comes again.",
    )  # fmt: skip
    touch: Touch = fields.choice(Touch.BROKEN, label="Chords are played", group="Chords")
    order: Order = fields.choice(
        Order.UP, label="Order of the notes", group="Chords", applies=lambda drill: drill.touch is Touch.BROKEN
    )
    turns_in_chord: bool = fields.yes_no(
        False, label="Chords turn on the way back", group="Chords",
        help="On the way down each chord is played from its top note.",
        applies=lambda drill: drill.touch is Touch.BROKEN and drill.direction is Direction.UP_AND_DOWN,
    )  # fmt: skip
    repeats_top: bool = fields.yes_no(
        False, label="Top chord again", group="Chords",
        applies=lambda drill: drill.direction is Direction.UP_AND_DOWN,
    )  # fmt: skip
    chord_length: Fraction = fields.note_value(
        "1/2", label="Chord length", group="Time", applies=lambda drill: drill.touch is not Touch.BROKEN
    )
    threes: Threes = threes_setting(applies=lambda drill: drill.touch is Touch.BROKEN)
    note_length: Fraction = fields.note_value(
        "1/8", label="Note length", group="Time", applies=lambda drill: drill.touch is Touch.BROKEN
    )

    def build(self, setting: Setting) -> Exercise:
        key = self._key(setting)
        scale = self._scale(key)
        rungs = self._path()
        shapes = self._shapes(scale, rungs)
        steps = self._steps(shapes)
        chords = [diatonic_chord(scale, rung % SEVEN + 1, self.size.number) for rung in rungs]
        marks = tuple(
            ChordMark(onset, chord, recognise(chord, key))
            for onset, chord in zip(group_onsets(steps), chords, strict=True)
        )
        section = Section(key, for_hands(self, steps), marks)
        return write(self, [section], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        key = self._key(setting)
        named = str(key) if self.scale is ScaleOf.KEY else f"{key.tonic} {self.scale.value}"
        inverted = f", in {INVERSIONS[self.inversion]}" if self.inversion else ""
        inverted = ", inversions in turn" if self.rotates else inverted
        return (
            f"{self.size.words.capitalize()} of {named} on {_ON[self.climb]}, {self.touch.value}{inverted}, "
            f"{hands_words(self)}, {range_words(self)}"
        )

    def _key(self, setting: Setting) -> Key:
        """The key that is printed: the drill's, or that of the chosen scale on its tonic."""
        key = self.key_in(setting)
        if self.scale is ScaleOf.KEY:
            return key
        mode = SCALES[self.scale.value].mode or Mode.MAJOR
        return key if mode is key.mode else key_of_mode(key.tonic, mode, setting.prefers_flats_at_six)

    def _scale(self, key: Key) -> Scale:
        return Scale.of_key(key) if self.scale is ScaleOf.KEY else Scale(key.tonic, SCALES[self.scale.value])

    def _path(self) -> list[int]:
        """The rungs of the scale, 0 the lowest tonic, in the order in which their chords are played."""
        up = list(_climb(self.climb.degrees, SEVEN * self.octaves))
        down = up[::-1]
        if self.direction is Direction.UP:
            return up
        if self.direction is Direction.DOWN:
            return down
        return up + (down if self.repeats_top else down[1:])

    def _shapes(self, scale: Scale, rungs: list[int]) -> list[Group]:
        """The chord on each rung, low to high, in the chosen inversion."""
        thirds = {Size.TRIAD: 3, Size.SEVENTH: 4, Size.NINTH: 5}[self.size]
        if self.inversion >= thirds:
            raise ValueError(
                f"a {self.size.value} has no inversion {self.inversion}; "
                f"its inversions run from 0 (root position) to {thirds - 1}"
            )
        start = scale.tonic.nearest_above(self.lowest)
        # The way back has each chord in the inversion that it had on the way up.
        turns = {rung: place for place, rung in reversed(list(enumerate(rungs)))}
        inversions = [(self.inversion + (turns[rung] if self.rotates else 0)) % thirds for rung in rungs]
        above = [self._above(thirds, inversion) for inversion in range(thirds)]
        ladder = scale.ladder(start, max(rungs) + max(steps[-1] for steps in above) + 1)
        return [
            tuple(ladder[rung + step] for step in above[inversion])
            for rung, inversion in zip(rungs, inversions, strict=True)
        ]

    def _above(self, thirds: int, inversion: int) -> list[int]:
        """How many steps of the scale the notes of an inversion lie above its rung."""
        # Inversions of a ninth chord move its lowest notes up two octaves, above the ninth.
        raised = 2 * SEVEN if self.size is Size.NINTH else SEVEN
        above = sorted(2 * place + (raised if place < inversion else 0) for place in range(thirds))
        return [step - above[0] // SEVEN * SEVEN for step in above]

    def _steps(self, shapes: list[Group]) -> list[Step]:
        if self.touch is not Touch.BROKEN:
            roll = {Touch.ROLLED: Roll.UP, Touch.ROLLED_DOWN: Roll.DOWN}.get(self.touch, Roll.NONE)
            return [Step(shape, self.chord_length, number, roll) for number, shape in enumerate(shapes)]
        length = note_in_group(self.note_length, len(shapes[0]), self, self.threes)
        is_back_and_forth = self.direction is Direction.UP_AND_DOWN
        turning = len(shapes) // 2 + (0 if self.repeats_top else 1) if is_back_and_forth else len(shapes)
        return in_groups(
            [
                mirrored(shape, self.order) if self.turns_in_chord and place >= turning else in_order(shape, self.order)
                for place, shape in enumerate(shapes)
            ],
            length,
        )


_ON = {
    Climb.THIRDS: "every other degree", Climb.STEPS: "every degree", Climb.FOURTHS: "degrees a fourth apart",
    Climb.FIFTHS: "degrees a fifth apart",
}  # fmt: skip


def _climb(degrees: int, top: int) -> Iterator[int]:
    """Rungs from 0 up to ``top``; where the next would lie higher than the top, it is taken an octave lower."""
    rung = 0
    while rung != top:
        yield rung
        rung += degrees
        if rung > top:
            rung -= SEVEN
    yield top
