"""Ostinato: the left hand repeats one bar while the right improvises on notes and rhythms that change as asked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.degrees_over import degree_over
from lessonkit.drills.exercise import ChordMark, Exercise, FingersShown, Hand
from lessonkit.drills.family import Direction, DrillFamily, Hands, Texture
from lessonkit.drills.progression_family import LARGEST_SEED
from lessonkit.drills.scale_choice import ScaleChoice
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import counted, hands_words
from lessonkit.drills.writing import Section, Step, check_size, write
from lessonkit.theory.chord import Chord
from lessonkit.theory.enharmonic import shuffled
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.theory.roman import recognise
from lessonkit.values import dataclass


class Figure(Enum):
    """What the left hand repeats: degrees over the tonic, one note each."""

    FIFTHS = "1-5-8-5"
    ROCKING = "1-5-6-5"
    SEVENTH = "1-5-7-5"
    TENTH = "1-5-8-10"
    TYPED = "as typed"


class NoteSets(Enum):
    """Which notes are asked for."""

    GROWING = "few notes first, then more"
    DRAWN = "drawn from the scale"
    WHOLE = "the whole scale each time"


RHYTHMS = (
    "half notes and longer",
    "quarter notes",
    "quarter notes and eighths",
    "eighths",
    "begin after the beat",
    "two bars of playing, two of silence",
    "one rhythm, four times",
    "a note on each beat, then only on 2 and 4",
)
"""What the right hand is asked to play; common practice, no source."""

LEAST_NOTES = 3


@dataclass(frozen=True)
class Ostinato(DrillFamily):
    """The left hand repeats one bar and does not stop; the right improvises over it on the notes asked for.

    Notes and rhythm stand above the line and change every few bars. They are drawn by a number that is printed, so that
    the same number always asks the same. Begin with the left hand alone until it goes by itself.
    """

    code = "ostinato"
    title = "Ostinato with a free right hand"
    eases_by = ("figure",)
    words = ("improvisation", "independence", "riff", "ground", "groove", "vamp", "prompts")
    has_passing_notes = True
    left_out = frozenset({"turning", "rest_between", "shaping"})
    usual_fingers = FingersShown.FIRST_GROUP

    figure: Figure = fields.choice(Figure.FIFTHS, label="Left hand repeats", group="Left hand")
    typed: tuple[int, ...] = fields.numbers(
        label="Figure typed", group="Left hand", least=0, most=17, longest=32,
        help="Degrees over the tonic, one note each, such as 1 5 8 10; 0 is a rest.",
        applies=lambda drill: drill.figure is Figure.TYPED,
    )  # fmt: skip
    scale: ScaleChoice = fields.choice(ScaleChoice.MAJOR_PENTATONIC, label="Scale", group="Right hand")
    notes: NoteSets = fields.choice(NoteSets.GROWING, label="Notes asked for", group="Right hand")
    changes: int = fields.whole(3, least=1, most=12, label="How many tasks", group="Right hand")
    bars: int = fields.whole(4, least=1, most=8, label="Each lasts", unit="bars", group="Right hand")
    seed: int = fields.whole(
        1, least=0, most=LARGEST_SEED, label="Sheet number", group="Right hand",
        help="The same number always asks the same.",
    )  # fmt: skip
    hands: Hands = fields.choice(
        Hands.BOTH, label="Hands", group="Hands and range", help="One hand alone practises the figure itself."
    )
    lowest: Pitch = fields.pitch(
        "F3", label="Begin near", group="Hands and range",
        help="The left hand's figure begins an octave below the tonic that lies from here up.",
    )  # fmt: skip
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range", applies=fields.never)
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range", applies=fields.never)

    def texture(self) -> Texture:
        return Texture.APART

    def key_in(self, setting: Setting) -> Key:
        """The key of the scale: E dorian in E has two sharps."""
        return self.scale.key_on(super().key_in(setting), setting.prefers_flats_at_six)

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        chord = self.scale.chord_on(key)
        figure = self._figure()
        check_size(self.changes * self.bars * int(self._bar // self.note_length + 1))
        sections = [
            Section(
                key, self._parts(chord, key, figure), (ChordMark(Fraction(0), chord, recognise(chord, key)),),
                label=label, starts_line=True, bars=(self._bar,) * self.bars,
            )
            for label in self.tasks(key)
        ]  # fmt: skip
        return write(self, sections, summary=self.summary(setting), seed=self.seed)

    def summary(self, setting: Setting) -> str:
        key = self.key_in(setting)
        scale = str(key) if self.scale is ScaleChoice.KEY else f"{key.tonic} {self.scale.value}"
        figure = "-".join(map(str, self._figure()))
        return f"Left hand repeats {figure} under {counted(self.changes, 'task')} on {scale}, {hands_words(self)}"

    def tasks(self, key: Key) -> list[str]:
        """What is asked for, one line for each task: its notes and its rhythm."""
        names = self.scale.on(key).names
        rhythms = [*shuffled(RHYTHMS, self.seed)] * (1 + self.changes // len(RHYTHMS))
        return [
            f"{number + 1}. {' '.join(map(str, self._asked(names, number)))} · {rhythm}"
            for number, rhythm in zip(range(self.changes), rhythms, strict=False)
        ]

    def _asked(self, names: Sequence[NoteName], number: int) -> tuple[NoteName, ...]:
        """The notes of one task, from the tonic up; the tonic is always among them."""
        if self.notes is NoteSets.WHOLE:
            return tuple(names)
        if self.notes is NoteSets.GROWING:
            return tuple(names[: min(len(names), LEAST_NOTES + number)])
        count = min(len(names), LEAST_NOTES + number % 2)
        others = sorted(shuffled(range(1, len(names)), self.seed * 31 + number)[: count - 1])
        return (names[0], *(names[place] for place in others))

    @property
    def _bar(self) -> Fraction:
        meter = self.metre.meter
        return Fraction(1) if meter is None else meter.bar

    def _figure(self) -> tuple[int, ...]:
        if self.figure is not Figure.TYPED:
            return tuple(int(degree) for degree in self.figure.value.split("-"))
        if not any(self.typed):
            raise ValueError("no figure is typed; type its degrees over the tonic, such as 1 5 8 5")
        return self.typed

    def _parts(self, chord: Chord, key: Key, figure: Sequence[int]) -> dict[Hand, Sequence[Step]]:
        tonic = key.tonic.nearest_above(self.lowest)
        parts: dict[Hand, Sequence[Step]] = {}
        for hand in self.playing_hands:
            if hand is Hand.RIGHT and self.hands is Hands.BOTH:
                parts[hand] = [Step((), self._bar, bar, is_open=True) for bar in range(self.bars)]
            else:
                bass = tonic.octaves_up(-1) if hand is Hand.LEFT else tonic
                bars = range(self.bars)
                parts[hand] = [step for bar in bars for step in self._repeated(chord, key, bass, figure, bar)]
        return parts

    def _repeated(self, chord: Chord, key: Key, bass: Pitch, figure: Sequence[int], bar: int) -> Iterator[Step]:
        """The figure in one bar: as often as it goes in, cut at the bar line, so that every bar is the same."""
        left, place = self._bar, 0
        while left > 0:
            length = min(self.note_length, left)
            degree = figure[place % len(figure)]
            turn = 2 * bar + int((self._bar - left) * 2)
            yield Step((degree_over(bass, chord, degree, key),) if degree else (), length, 8 * bar + turn)
            left -= length
            place += 1
