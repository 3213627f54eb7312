"""Displacement: a cell that does not fit the bar runs on until it falls together with a bar line again."""

from __future__ import annotations

import math
from dataclasses import replace
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.exercise import ChordMark, Exercise, Hand, Meter
from lessonkit.drills.family import Direction, DrillFamily, Texture
from lessonkit.drills.own_phrase import own_key, own_phrase_setting, run_on
from lessonkit.drills.phrase import Phrase
from lessonkit.drills.scale_choice import ScaleChoice, as_it_moves
from lessonkit.drills.setting import Setting
from lessonkit.drills.shaping import steps_of
from lessonkit.drills.wording import counted, hands_words, number_word
from lessonkit.drills.worksheet import LINE_BLANKS
from lessonkit.drills.writing import Section, Step, check_size, write
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.roman import recognise
from lessonkit.values import dataclass


class Cell(Enum):
    """The steps of the scale that the cell takes, one note each."""

    THREE = "1-2-3"
    FIVE = "5-3-2-1-2"
    SIX = "1-2-3-5-3-2"
    SEVEN = "1-2-3-5-6-5-3"
    TYPED = "as typed"


class Way(Enum):
    """How the cell comes to stand elsewhere in the bar."""

    RUNS_ON = "the cell runs on without a rest"
    ONE = "a bar for each, then an eighth later"
    TWO = "a bar for each, then two eighths later"
    THREE = "a bar for each, then three eighths later"

    @property
    def eighths(self) -> int:
        """How much later each repetition comes; 0 where the cell runs on."""
        return list(Way).index(self)


class Beams(Enum):
    """What the beams show."""

    METRE = "the metre"
    CELL = "the cell"


@dataclass(frozen=True)
class Displacement(DrillFamily):
    """A short cell is repeated against the bar, so that it begins somewhere else each time and the pulse must be felt.

    Three eighths in a bar of eight come together with the bar line again after three bars, five after five. Or the cell
    has a bar of its own and comes an eighth, two or three later each time. With both hands, the left holds the bar.
    Count aloud; where beams show the cell they are meant to cross the beats.
    """

    code = "displacement"
    title = "Displacement"
    nothing_easier = "The cell is what this drill teaches, so none is exchanged for an easier one"
    words = ("cross rhythm", "three against four", "polymetre", "syncopation", "rhythmic shift")
    has_passing_notes = True
    left_out = frozenset({"turning", "rest_between", "shaping"})
    blanks = LINE_BLANKS

    scale: ScaleChoice = fields.choice(
        ScaleChoice.MAJOR_PENTATONIC, label="Scale", group="Cell", applies=lambda drill: drill.own is None
    )
    cell: Cell = fields.choice(Cell.THREE, label="Cell", group="Cell", applies=lambda drill: drill.own is None)
    typed: tuple[int, ...] = fields.numbers(
        label="Cell typed", group="Cell", least=0, most=9, longest=16,
        help="Steps of the scale, one note each, such as 1 2 3 5 3; 0 is a rest.",
        applies=lambda drill: drill.cell is Cell.TYPED and drill.own is None,
    )  # fmt: skip
    own: Phrase | None = own_phrase_setting(
        group="Cell",
        help="Repeated with its own rhythm in place of the cell; typed as in C | 1/8 E4 G 1/4 A.",
    )
    way: Way = fields.choice(Way.RUNS_ON, label="It is repeated", group="Cell")
    beams: Beams = fields.choice(Beams.METRE, label="Beams show", group="On the page")
    lowest: Pitch = fields.pitch(
        "C4", label="Begin near", group="Hands and range",
        help="The right hand's tonic is the nearest one from here up; the left hand's an octave or more below.",
    )  # fmt: skip
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range", applies=fields.never)
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range", applies=fields.never)

    def texture(self) -> Texture:
        return Texture.LINE

    def key_in(self, setting: Setting) -> Key:
        """The key of the scale: E dorian in E has two sharps."""
        return self._scale.key_on(super().key_in(setting), setting.prefers_flats_at_six)

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        if self.own is None:
            check_size(len(self._period()) * self.repetitions())
        chord = self._scale.chord_on(key)
        parts: dict[Hand, list[Step]] = {}
        for hand in self.playing_hands:
            tonic = key.tonic.nearest_above(self.lowest.octaves_up(-1 if hand is Hand.LEFT else 0))
            is_holding = hand is Hand.LEFT and len(self.playing_hands) == 2
            if is_holding:
                parts[hand] = self._holding(tonic)
            elif self.own is not None:
                parts[hand] = self._own_running(self.own, key, hand)
            else:
                parts[hand] = self._running(tonic, setting)
        section = Section(key, parts, (ChordMark(Fraction(0), chord, recognise(chord, key)),))
        return write(self, [section], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        key = self.key_in(setting)
        scale = str(key) if self._scale is ScaleChoice.KEY else f"{key.tonic} {self._scale.value}"
        bars = counted(self.bars(), "bar")
        later = f", {counted(self.way.eighths, 'eighth')} later each time" if self.way.eighths else " against the bar"
        cell = f"a cell of {number_word(len(self._cell()))}" if self.own is None else "a phrase of your own"
        return f"{scale}, {cell}{later}, together again after {bars}, {hands_words(self)}"

    def bars(self) -> int:
        """After how many bars the cell falls together with the bar line again."""
        if self.own is not None:
            return (self._own_period(self.own) / self._meter().bar).numerator
        period = len(self._period())
        return period // math.gcd(period, self._notes_in_bar())

    def repetitions(self) -> int:
        """How often the cell is played until then."""
        return self.bars() * self._notes_in_bar() // len(self._period())

    @property
    def _scale(self) -> ScaleChoice:
        """The scale whose chord stands above the drill: the teacher's own phrase is in the key."""
        return self.scale if self.own is None else ScaleChoice.KEY

    def _own_period(self, own: Phrase) -> Fraction:
        """After how long the phrase comes again."""
        if not self.way.eighths:
            return own.length
        bar = self._meter().bar
        return -(-own.length // bar) * bar + Fraction(self.way.eighths, 8)

    def _own_running(self, own: Phrase, key: Key, hand: Hand) -> list[Step]:
        low = self.lowest.octaves_up(-1 if hand is Hand.LEFT else 0)
        whole, times = run_on(own_key(own, key, low), self._own_period(own), self._meter())
        steps = steps_of(whole, self._meter())
        if self.beams is Beams.METRE:
            return steps
        each = len(steps) // times
        return [replace(step, group=place // each) for place, step in enumerate(steps)]

    def _meter(self) -> Meter:
        meter = self.metre.meter
        if meter is None:
            raise ValueError("a cell can only be displaced against a metre; choose one, such as 4/4")
        return meter

    def _period(self) -> tuple[int, ...]:
        """The cell with the rests that follow it, so that the next one comes as much later as is asked."""
        cell = self._cell()
        if not self.way.eighths:
            return cell
        later = Fraction(self.way.eighths, 8) / self.note_length
        if later.denominator != 1:
            raise ValueError("notes of this length do not go up into eighths; choose eighths or shorter ones")
        notes = self._notes_in_bar()
        if len(cell) > notes:
            raise ValueError(f"a cell of {len(cell)} notes is longer than the bar; take a shorter one")
        return cell + (0,) * (notes + int(later) - len(cell))

    def _cell(self) -> tuple[int, ...]:
        if self.cell is not Cell.TYPED:
            return tuple(int(step) for step in self.cell.value.split("-"))
        if not any(self.typed):
            raise ValueError("no cell is typed; type steps of the scale, such as 1 2 3 5 3")
        return self.typed

    def _notes_in_bar(self) -> int:
        meter = self._meter()
        notes = meter.bar / self.note_length
        if notes.denominator != 1:
            raise ValueError(
                f"a bar of {meter} does not hold a whole number of these notes; choose another note length"
            )
        return int(notes)

    def _running(self, tonic: Pitch, setting: Setting) -> list[Step]:
        scale = self.scale.on(self.key_in(setting))
        ladder = scale.ladder(tonic, 10)
        cell = self._period()
        sounding = iter(as_it_moves([ladder[step - 1] for step in cell if step] * self.repetitions(), scale))
        steps: list[Step] = []
        beamed = self._beamed()
        bar = self._notes_in_bar()
        for place, step in enumerate(cell * self.repetitions()):
            group = place // len(cell) if self.beams is Beams.CELL else int(place * self.note_length // beamed)
            if not step and steps and not steps[-1].pitches and place % bar:
                # Rests within a bar are one long one.
                steps[-1] = replace(steps[-1], length=steps[-1].length + self.note_length)
                continue
            steps.append(Step((next(sounding),) if step else (), self.note_length, group))
        return steps

    def _beamed(self) -> Fraction:
        """How long a beam is that shows the metre: half a bar of four quarters, a dotted beat, a quarter elsewhere."""
        meter = self.metre.meter
        if meter is None or meter.beats == 4:
            return Fraction(1, 2)
        return Fraction(3, 8) if meter.unit == 8 else Fraction(1, 4)

    def _holding(self, tonic: Pitch) -> list[Step]:
        """The tonic and its fifth, held for each bar."""
        return [Step((tonic, tonic + Interval(4, 7)), self._meter().bar, bar) for bar in range(self.bars())]
