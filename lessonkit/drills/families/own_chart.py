"""The teacher's own chord chart: bars of chord symbols or degrees, realised for two hands in any key."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.carrying import FARTHEST
from lessonkit.drills.chart import Chart
from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.families.fills_between_phrases import Fill, filled
from lessonkit.drills.families.left_hand_arpeggios import LeftHandArpeggios
from lessonkit.drills.families.stride import Stride
from lessonkit.drills.families.two_hand_spreads import TwoHandSpreads
from lessonkit.drills.families.walking_bass import WalkingBass
from lessonkit.drills.family import Texture
from lessonkit.drills.formula_family import FormulaFamily, PlacedBars
from lessonkit.drills.progression_family import ChordSpan, ProgressionFamily, how_many_keys
from lessonkit.drills.setting import Setting
from lessonkit.drills.voicing_plan import Plan
from lessonkit.drills.wording import counted
from lessonkit.drills.writing import Step
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.progression import PlacedChord
from lessonkit.theory.roman import recognise
from lessonkit.theory.voicing import Voicing
from lessonkit.values import dataclass

BEATS = 2
"""How many beats at the end of a phrase are filled."""


class Realised(Enum):
    """What the hands play from the chart."""

    ROOT_LEFT = "root in the left hand, smooth chords in the right"
    SMOOTH = "smooth"
    ROOT_POSITION = "root position"
    SHELLS = "shells in the left hand, chords in the right"
    ROOTLESS = "rootless over left-hand roots"
    SPREAD = "spread over both hands"
    STRIDE = "stride"
    WALKING = "walking bass"
    ARPEGGIOS = "left-hand arpeggios"


class Fills(Enum):
    """What fills the last beats of each phrase in the right hand."""

    NONE = "nothing"
    ARPEGGIO = Fill.ARPEGGIO.value
    PENTATONIC_UP = Fill.PENTATONIC_UP.value
    PENTATONIC_DOWN = Fill.PENTATONIC_DOWN.value
    THIRDS = Fill.THIRDS.value
    SIXTHS = Fill.SIXTHS.value


@dataclass(frozen=True)
class OwnChart(FormulaFamily):
    """The teacher's own chord sequence, typed in bars and played as the teacher wishes, in any key.

    Chords are known as degrees and carried to other keys; in a key of the other mode they become that key's own, and
    what does not belong to the key keeps its distance to the chord it leads to. The last beats of each phrase may be
    filled.
    """

    code = "own-chart"
    title = "Own chord chart"
    words = ("chord chart", "changes", "lead sheet", "song form", "my own", "transpose", "comping", "fills")
    has_passing_notes = True
    left_out = FormulaFamily.left_out | {"plan"}

    chart: Chart = fields.chart(
        "in C | Cmaj7 | A7 | Dm7 | G7 | Em7 A7 | Dm7 / / G7 | C6 Am7 | Dm7 G7", label="Chart", group="Chart",
        help="The key, then bars parted by |. A / gives the chord before it another share, % is the bar before again, "
        "|: and :| stand around what comes twice. Degrees such as iim7 | V7 need no key.",
    )  # fmt: skip
    adapts_to_minor: bool = fields.yes_no(
        True, label="Follows the key's mode", group="Chart",
        help="In keys of the other mode the chords become those on the same degrees; otherwise all intervals stay.",
    )  # fmt: skip
    realised: Realised = fields.choice(Realised.ROOT_LEFT, label="Played as", group="Chart")
    fills: Fills = fields.choice(
        Fills.NONE, label="Phrase ends filled with", group="Fills",
        help="In the right hand, over the last two beats of each phrase.",
    )  # fmt: skip
    phrase_bars: int = fields.whole(
        4, least=1, most=16, label="A phrase has", unit="bars", group="Fills",
        applies=lambda drill: drill.fills is not Fills.NONE,
    )  # fmt: skip
    fill_length: Fraction = fields.note_value(
        "1/8", label="Fill notes", group="Fills", applies=lambda drill: drill.fills is not Fills.NONE
    )
    count: int = how_many_keys(1)

    def texture(self) -> Texture:
        if self.fills is not Fills.NONE:
            return Texture.APART
        return _FAMILIES[self.realised][0]().texture() if self.realised in _FAMILIES else super().texture()

    def build(self, setting: Setting) -> Exercise:
        exercise = super().build(setting)
        # A degree with a double sign says nothing to a reader; such a chord is carried by its interval alone.
        marks = tuple(
            replace(mark, degree=None) if mark.degree is not None and abs(mark.degree.alteration) > FARTHEST else mark
            for mark in exercise.chords
        )
        return replace(exercise, chords=marks)

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return f"Own chart of {counted(len(self.chart.bars), 'bar')}"

    def answers_in_summary(self, setting: Setting) -> dict[str, str]:
        # The line above a chart names none of its chords.
        return {}

    def voiced_words(self) -> str:
        fills = "" if self.fills is Fills.NONE else f", phrase ends filled with {self.fills.value}"
        return f"{self.realised.value}{fills}"

    def placed_in(self, key: Key) -> PlacedBars:
        return tuple(
            tuple(PlacedChord(one.chord, one.degree or recognise(one.chord, key)) for one in bar)
            for bar in self.chart.in_key(key, self.adapts_to_minor)
        )

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        plan = _PLANS[self.realised]
        return super().voicings(chords, key) if self.plan is plan else replace(self, plan=plan).voicings(chords, key)

    def parts(self, spans: Sequence[ChordSpan], key: Key) -> dict[Hand, Sequence[Step]]:
        if self.realised in _FAMILIES:
            family, above = _FAMILIES[self.realised]
            other = family(metre=self.metre, hands=self.hands, lowest=self.lowest + above)
            parts = other.parts(spans, key)
        else:
            parts = super().parts(spans, key)
        if self.fills is not Fills.NONE and Hand.RIGHT in parts:
            parts[Hand.RIGHT] = list(self._with_fills(parts[Hand.RIGHT], spans, key))
        return parts

    def _placed(self, bars: PlacedBars) -> Iterator[tuple[PlacedChord, Fraction]]:
        """Each chord with the sum of its shares of the bar."""
        for bar, typed in zip(bars, self.chart.bars, strict=True):
            lengths = iter(self._lengths(sum(share.shares for share in typed)))
            for placed, share in zip(bar, typed, strict=True):
                yield placed, sum((next(lengths) for _ in range(share.shares)), Fraction(0))

    def _with_fills(self, right: Sequence[Step], spans: Sequence[ChordSpan], key: Key) -> Iterator[Step]:
        """The right hand's part with the last beats of each phrase filled, but for the last bar of all."""
        now, group = Fraction(0), 2 * len(right)
        end = spans[-1].end
        phrase = self.bar * self.bars_each * self.phrase_bars
        for step in right:
            until = now + step.length
            begin, goal = self._fill_at(until, phrase)
            is_last = goal >= end > phrase
            if goal > end or is_last or until <= begin or not step.pitches:
                yield step
            elif now < begin:
                yield replace(step, length=begin - now)
            if goal <= end and not is_last and until == goal and step.pitches:
                chord = next(span.chord for span in reversed(spans) if span.onset < goal)
                for pitches, length in self._fill(chord, step.pitches[-1], key, goal - begin):
                    yield Step(pitches, length, group)
                group += 1
            now = until

    def _fill_at(self, until: Fraction, phrase: Fraction) -> tuple[Fraction, Fraction]:
        """When the fill of the phrase begins and ends in which a step ends."""
        goal = -(-until // phrase) * phrase
        return goal - min(BEATS * self._beat, self.bar / 2), goal

    @property
    def _beat(self) -> Fraction:
        meter = self.metre.meter
        return Fraction(3, 8) if meter is not None and meter.unit == 8 else Fraction(1, 4)

    def _fill(
        self, chord: Chord, above: Pitch, key: Key, time: Fraction
    ) -> Iterator[tuple[tuple[Pitch, ...], Fraction]]:
        each = min(self.fill_length, time)
        lengths = [each] * int(time // each)
        if rest := time - sum(lengths):
            lengths.append(rest)
        yield from zip(filled(Fill(self.fills.value), chord, above, key, len(lengths)), lengths, strict=True)


_PLANS = {
    Realised.ROOT_LEFT: Plan.ROOT_LEFT, Realised.SMOOTH: Plan.SMOOTH, Realised.ROOT_POSITION: Plan.ROOT_POSITION,
    Realised.SHELLS: Plan.SHELLS, Realised.ROOTLESS: Plan.ROOTLESS,
}  # fmt: skip
_FAMILIES: dict[Realised, tuple[type[ProgressionFamily], Interval]] = {
    Realised.SPREAD: (TwoHandSpreads, Interval.parse("P1")),
    Realised.STRIDE: (Stride, Interval.parse("P5")),
    Realised.WALKING: (WalkingBass, Interval.parse("-m2")),
    Realised.ARPEGGIOS: (LeftHandArpeggios, Interval.parse("A4")),
}
"""Families whose playing is borrowed, and how far above the chart's register theirs begins."""
