"""Chord jumps: one chord is leapt up and down the keyboard, in the same shape or another inversion at each landing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum
from fractions import Fraction
from itertools import pairwise

from lessonkit.drills import fields
from lessonkit.drills.chord_family import ChordFamily
from lessonkit.drills.chord_parts import with_ninth
from lessonkit.drills.exercise import ChordMark, Dynamic, Exercise, FingersShown, Hand, Roll
from lessonkit.drills.family import Direction, DrillFamily, Hands, Metre, PlayedChord
from lessonkit.drills.patterns import UPPER_PART, Group, upper_part
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import hands_words, range_words
from lessonkit.drills.writing import Section, Step, for_hands, onsets, write
from lessonkit.hands.easier import As, Easier, Way
from lessonkit.theory.chord import Chord
from lessonkit.theory.roman import recognise
from lessonkit.theory.voicing import close_position
from lessonkit.values import dataclass

QUARTER = Fraction(1, 4)


class Path(Enum):
    """Through which registers the chord leaps."""

    BY_OCTAVE = "one octave at a time"
    FROM_HOME = "from home and back, wider each time"
    END_TO_END = "from end to end"


class Inversions(Enum):
    """Which shape the chord has at each landing."""

    SAME = "the same"
    IN_TURN = "all in turn"
    CHOSEN = "as listed"


class Touch(Enum):
    """How the notes of a chord are played."""

    SOLID = "solid"
    ROLLED = "rolled"
    ROLLED_DOWN = "rolled downward"


class Terraces(Enum):
    """How loud the chords are."""

    NONE = "not marked"
    LOUD_SOFT = "loud and soft in turn"
    SOFT_LOUD = "soft and loud in turn"
    LOUD = "all loud"
    SOFT = "all soft"

    @property
    def marks(self) -> tuple[str, ...]:
        """The dynamics that take turns."""
        return {Terraces.LOUD_SOFT: ("f", "p"), Terraces.SOFT_LOUD: ("p", "f"), Terraces.LOUD: ("f",),
                Terraces.SOFT: ("p",)}.get(self, ())  # fmt: skip


class Sharing(Enum):
    """What the two hands do."""

    WHOLE = "each hand plays the whole chord"
    SHARED = "the chord is shared between the hands"
    OVER_ROOT = "upper part over a left-hand root"


@dataclass(frozen=True)
class ChordJumps(ChordFamily):
    """One chord is leapt from register to register, so that the hand finds its shape anywhere without feeling for it.

    Before each landing there may be beats of rest in which to look, move and touch.
    """

    code = "chord-jumps"
    title = "Chord jumps"
    usual_fingers = FingersShown.CHANGES
    nothing_easier = "No other inversion, touch or sharing of the hands is noticeably easier here"
    words = ("leaps", "registers", "octave jumps", "loud and soft")
    # Loudness comes in terraces, and each landing is prepared.
    left_out = frozenset({"turning", "rest_between", "shaping", "loudness"})

    path: Path = fields.choice(
        Path.BY_OCTAVE, label="Path", group="Landings", applies=lambda drill: not drill.registers
    )
    registers: tuple[int, ...] = fields.numbers(
        label="Path typed", group="Landings", least=0, most=6, longest=64,
        help="Octaves above the lowest landing, such as 0 1 2 1 0; typed, they count instead of path and direction.",
    )  # fmt: skip
    inversions: Inversions = fields.choice(Inversions.SAME, label="Inversion at each landing", group="Landings")
    inversion: int = fields.whole(
        0, least=0, most=6, label="First inversion", group="Landings", help="0 is root position.",
        applies=lambda drill: drill.inversions is not Inversions.CHOSEN,
    )  # fmt: skip
    chosen: tuple[int, ...] = fields.numbers(
        label="Inversions listed", group="Landings", least=0, most=6, longest=64,
        help="One for each landing, such as 0 1 2 0; a short list begins again.",
        applies=lambda drill: drill.inversions is Inversions.CHOSEN,
    )  # fmt: skip
    sharing: Sharing = fields.choice(
        Sharing.WHOLE, label="The hands", group="Hands and range",
        help="The upper part is 3 5 7 9; shared, the left hand has the lower half of the chord.",
    )  # fmt: skip
    hands: Hands = fields.choice(
        Hands.RIGHT, label="Hands", group="Hands and range", applies=lambda drill: drill.sharing is Sharing.WHOLE
    )
    touch: Touch = fields.choice(Touch.SOLID, label="Chords are played", group="Touch")
    terraces: Terraces = fields.choice(Terraces.NONE, label="Loudness", group="Touch")
    preparation: int = fields.whole(
        2, least=0, most=3, label="Rest before each landing", unit="quarters", group="Time",
        help="Time to look, move and touch before the chord is played.",
    )  # fmt: skip
    note_length: Fraction = fields.note_value("1/2", label="Chord length", group="Time")
    octaves: int = fields.whole(
        2, least=1, most=4, label="Octaves", group="Hands and range", applies=lambda drill: not drill.registers
    )
    direction: Direction = fields.choice(
        Direction.UP_AND_DOWN, label="Direction", group="Hands and range", applies=lambda drill: not drill.registers
    )

    @property
    def playing_hands(self) -> tuple[Hand, ...]:
        return super().playing_hands if self.sharing is Sharing.WHOLE else (Hand.RIGHT, Hand.LEFT)

    def played_chord(self, setting: Setting) -> PlayedChord | None:
        if self.sharing is not Sharing.WHOLE or self.inversions is not Inversions.SAME:
            return None
        return PlayedChord(self.chord_in(setting)[0], self.inversion, As.JUMP)

    def eased(self, way: Easier, setting: Setting) -> DrillFamily | None:
        if way.way is Way.INVERSION and way.inversion is not None:
            return replace(self, inversion=way.inversion)
        if way.way is Way.ROLL:
            return replace(self, touch=Touch.ROLLED)
        if way.way is Way.UPPER:
            return replace(self, sharing=Sharing.OVER_ROOT, inversion=0)
        return replace(self, sharing=Sharing.SHARED) if way.way is Way.SPLIT else None

    def build(self, setting: Setting) -> Exercise:
        chord, degree = self.chord_in(setting)
        shapes = self._shapes(chord)
        sounding = self._sounding(chord)
        if sounding != chord:
            degree = recognise(sounding, self.key_in(setting))
        roll = {Touch.ROLLED: Roll.UP, Touch.ROLLED_DOWN: Roll.DOWN}.get(self.touch, Roll.NONE)
        steps: list[Step] = []
        for number, shape in enumerate(shapes):
            if number and self.preparation:
                steps.append(Step((), self.preparation * QUARTER, 2 * number - 1))
            steps.append(Step(shape, self.note_length, 2 * number, roll))
        landings = [onset for step, onset in zip(steps, onsets(steps), strict=True) if step.pitches]
        section = Section(
            self.key_in(setting),
            self._parts(steps, chord),
            (ChordMark(Fraction(0), sounding, degree),),
            self._dynamics(landings),
            bars=self._free_bars(landings, steps),
        )
        return write(self, [section], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        chord, _ = self.chord_in(setting)
        where = f"{len(self.registers)} chords" if self.registers else range_words(self)
        shape = {
            Inversions.SAME: "in one shape", Inversions.IN_TURN: "through its inversions",
            Inversions.CHOSEN: "in chosen inversions",
        }[self.inversions]  # fmt: skip
        hands = {
            Sharing.WHOLE: hands_words(self), Sharing.SHARED: "shared between the hands",
            Sharing.OVER_ROOT: "rootless over a left-hand root",
        }[self.sharing]  # fmt: skip
        chord = self._sounding(chord)
        return f"{chord.symbol(setting.label_style)} jumping {shape}, {self.touch.value}, {hands}, {where}"

    def _sounding(self, chord: Chord) -> Chord:
        """The chord as it is named: with the ninth, where the upper part has it."""
        return with_ninth(chord) if self.sharing is Sharing.OVER_ROOT else chord

    def _parts(self, steps: list[Step], chord: Chord) -> dict[Hand, Sequence[Step]]:
        if self.sharing is Sharing.WHOLE:
            return for_hands(self, steps)
        lower: list[Step] = []
        upper: list[Step] = []
        for step in steps:
            half = len(step.pitches) // 2
            below = step.pitches[:half] if self.sharing is Sharing.SHARED else _root_below(step.pitches, chord)
            above = step.pitches[half:] if self.sharing is Sharing.SHARED else step.pitches
            lower.append(replace(step, pitches=below))
            upper.append(replace(step, pitches=above))
        return {Hand.RIGHT: upper, Hand.LEFT: lower}

    def _path(self) -> list[int]:
        """The register of each landing, counted in octaves from the lowest."""
        if self.registers:
            return list(self.registers)
        top = self.octaves
        if self.path is Path.BY_OCTAVE:
            up = list(range(top + 1))
            down = up[::-1]
            return {Direction.UP: up, Direction.DOWN: down}.get(self.direction, up + down[1:])
        home, away = (top, -1) if self.direction is Direction.DOWN else (0, 1)
        far = range(1, top + 1) if self.path is Path.FROM_HOME else [top] * 2
        path = [home]
        for distance in far:
            path += [home + away * distance, home]
        # Up alone ends on the farthest landing, up and down at home.
        return path if self.direction is Direction.UP_AND_DOWN else path[:-1]

    def _shapes(self, chord: Chord) -> list[Group]:
        size = len(UPPER_PART) if self.sharing is Sharing.OVER_ROOT else len(chord.quality.tones)
        path = self._path()
        if self.inversions is Inversions.CHOSEN:
            if not self.chosen:
                raise ValueError("no inversions are listed; list one for each landing, such as 0 1 2 0")
            inversions = [self.chosen[place % len(self.chosen)] for place in range(len(path))]
        elif self.inversions is Inversions.IN_TURN:
            inversions = [(self.inversion + place) % size for place in range(len(path))]
        else:
            inversions = [self.inversion] * len(path)
        position = upper_part if self.sharing is Sharing.OVER_ROOT else close_position
        lowest = {inversion: position(chord, inversion, self.lowest) for inversion in set(inversions)}
        return [
            tuple(pitch.octaves_up(register) for pitch in lowest[inversion])
            for register, inversion in zip(path, inversions, strict=True)
        ]

    def _dynamics(self, landings: list[Fraction]) -> tuple[Dynamic, ...]:
        marks = self.terraces.marks
        if len(marks) == 1:
            return (Dynamic(landings[0], marks[0]),)
        return tuple(Dynamic(onset, marks[place % 2]) for place, onset in enumerate(landings)) if marks else ()

    def _free_bars(self, landings: list[Fraction], steps: list[Step]) -> tuple[Fraction, ...]:
        """In free time each landing has a bar of its own, with the rest that prepares the next one."""
        if self.metre is not Metre.FREE:
            return ()
        end = sum((step.length for step in steps), Fraction(0))
        return tuple(until - onset for onset, until in pairwise([*landings, end]))


def _root_below(shape: Group, chord: Chord) -> Group:
    """The root next below a shape, none below a rest."""
    if not shape:
        return ()
    root = chord.root.nearest_above(shape[0].octaves_up(-1))
    return (root if root.midi < shape[0].midi else root.octaves_up(-1),)
