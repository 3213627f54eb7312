"""What families share that have chords of their own, a formula for major and one for minor, to take through keys.

A family says its formulas and what they are called; keys, voicings, lines and worksheets are here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import ClassVar

from lessonkit.drills import fields
from lessonkit.drills.bass_line import bass_line
from lessonkit.drills.exercise import Blank, ChordMark, Exercise, FingersShown, Hand
from lessonkit.drills.progression_family import ChordSpan, Order, ProgressionFamily, how_many_keys
from lessonkit.drills.progression_family import PlacedBars as PlacedBars
from lessonkit.drills.setting import Setting
from lessonkit.drills.voicing_plan import Plan, voiced
from lessonkit.drills.wording import hands_words
from lessonkit.drills.writing import Section, Step, check_size, write
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import Interval
from lessonkit.theory.progression import PlacedChord, Progression
from lessonkit.theory.roman import RomanChord
from lessonkit.theory.voicing import Voicing
from lessonkit.values import dataclass

BARS_ON_A_LINE = 4
"""Phrases of four bars stand on a line; shorter keys share one."""

BASS_BELOW = Interval.parse("P11")
"""How far below the right hand's register that of the bass begins: F2 below B♭3."""


@dataclass(frozen=True)
class FormulaFamily(ProgressionFamily):
    """A family with chords of its own, in one key or in key after key."""

    leads_on: ClassVar[bool] = False
    """Whether the voices of one key lead on into the next; otherwise each key begins afresh."""
    usual_fingers = FingersShown.FIRST_GROUP

    progression: Progression = fields.progression(
        "Imaj7 | vim7 | IVmaj7 | V7", label="Progression", group="Progression", applies=fields.never
    )
    adapts_to_minor: bool = fields.yes_no(
        True, label="Minor keys use their own chords", group="Progression", applies=fields.never
    )
    count: int = how_many_keys(1)
    plan: Plan = fields.choice(Plan.ROOT_LEFT, label="Voicing", group="Voicing")

    def formula(self, is_minor: bool) -> str:
        """The bars of degrees for major or for minor keys, as they are typed."""
        raise TypeError(f"{type(self).__name__} does not say its chords")

    def phrase(self, key: Key, style: LabelStyle) -> str:
        """What is played, in the few words that begin a summary."""
        raise TypeError(f"{type(self).__name__} does not say what is played")

    def progression_in(self, key: Key) -> Progression:
        return Progression.parse(self.formula(key.is_minor))

    def placed_in(self, key: Key) -> PlacedBars:
        """The chords of each bar in a key, as they are printed."""
        bars = self.progression_in(key).bars
        return tuple(tuple(PlacedChord(printed_in(roman, key), roman) for roman in bar) for bar in bars)

    def rows_in(self, keys: Sequence[Key]) -> Sequence[PlacedBars]:
        """The bars of each of the keys that are played; raises ValueError where they make no drill."""
        return [self.placed_in(key) for key in keys]

    def answers(self, keys: Sequence[Key]) -> Sequence[str]:
        """What the label of each key asks for, where a key is to be found."""
        return [""] * len(keys)

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        lying = voiced(chords, self.plan, self.lowest)
        if self.plan not in (Plan.ROOT_LEFT, Plan.ROOTLESS):
            return lying
        ceilings = [voicing.right[0] for voicing in lying]
        line = bass_line([chord.lowest for chord in chords], self.lowest - BASS_BELOW, ceilings)
        return [Voicing((bass,), voicing.right) for bass, voicing in zip(line, lying, strict=True)]

    def voiced_words(self) -> str:
        return self.plan.words

    def labels(self, keys: Sequence[Key], firsts: Sequence[Chord]) -> Sequence[str]:
        """What stands above the first bar of each key, given the chord that begins there.

        Where voices lead on through an enharmonic seam, the note's two names are told.
        """
        named = [str(key) for key in keys]
        for number, (before, first) in enumerate(zip(keys, firsts[1:], strict=False), start=1):
            is_seam = before.tonic != first.root and before.tonic.pitch_class == first.root.pitch_class
            if self.leads_on and is_seam:
                named[number] += f" ({before.tonic} = {first.root})"
        return named

    def summary(self, setting: Setting) -> str:
        keys = self.keys_in(setting)
        phrase = self.phrase(keys[0], setting.label_style)
        where = f"in {keys[0]}" if len(keys) == 1 else f"in {len(keys)} keys, {self.order.value}"
        return f"{phrase} {where}, {self.voiced_words()}, {hands_words(self)}"

    @property
    def blank(self) -> frozenset[Blank]:
        """What the drill leaves to be found, whatever its worksheet."""
        return frozenset()

    @property
    def has_chance(self) -> bool:
        """Whether a seed decides something."""
        return self.order is Order.SHUFFLED

    def build(self, setting: Setting) -> Exercise:
        keys = self.keys_in(setting)
        rows = [self._spans(bars) for bars in self.rows_in(keys)]
        strikes = sum(-(-span.length // self.note_length) for row in rows for span in row)
        check_size(strikes * len(self.playing_hands))
        exercise = write(
            self,
            list(self._sections(keys, rows)),
            summary=self.summary(setting),
            blank=self.blank,
            seed=self.seed if self.has_chance else None,
            open_signature=self.open_signature,
            remarks=self.remarks(keys, setting),
        )
        return _in_lines(exercise)

    def _spans(self, bars: PlacedBars) -> list[ChordSpan]:
        spans: list[ChordSpan] = []
        now = Fraction(0)
        for placed, length in self._placed(bars):
            spans.append(ChordSpan(placed.chord, placed.roman, now, length))
            now += length
        return spans

    def _sections(self, keys: Sequence[Key], rows: Sequence[list[ChordSpan]]) -> Iterator[Section]:
        labels = self.labels(keys, [row[0].chord for row in rows])
        answers = self.answers(keys)
        bar = self.bar * self.bars_each
        filled = BARS_ON_A_LINE
        for number, (key, row, parts) in enumerate(zip(keys, rows, self._parts(keys, rows), strict=True)):
            bars = (row[-1].end // bar) * self.bars_each
            starts_line = filled + bars > BARS_ON_A_LINE
            filled = bars if starts_line else filled + bars
            marks = tuple(ChordMark(span.onset, span.chord, span.roman) for span in row)
            free = tuple([bar] * (row[-1].end // bar))
            yield Section(
                key, parts, marks, label=labels[number], answer=answers[number], starts_line=starts_line, bars=free
            )

    def _parts(self, keys: Sequence[Key], rows: Sequence[list[ChordSpan]]) -> Iterator[dict[Hand, Sequence[Step]]]:
        """What the hands do in each key."""
        if not self.leads_on:
            yield from (self.parts(row, key) for key, row in zip(keys, rows, strict=True))
            return
        # Steps are numbered by their chord, so that what was voiced as one chain is parted again.
        whole = self.parts([span for row in rows for span in row], keys[0])
        first = 0
        for row in rows:
            last = first + len(row)
            yield {hand: [step for step in part if first <= step.group < last] for hand, part in whole.items()}
            first = last


def printed_in(roman: RomanChord, key: Key) -> Chord:
    """The chord as it is printed in a key; a diminished seventh keeps the letter from which it leads on.

    On a lowered degree it falls, and so keeps its flats: E♭°7 leads down to Dm7. Where a reader would be given another
    root even so (A♭°7), the printed root is taken. On a raised degree it rises as a leading note: F𝄪°7 to G♯m7, which
    the reading-friendly spelling makes G°7.
    """
    printed = roman.in_key(key)
    if roman.alteration == 0 or roman.quality.key != "dim7":
        return printed
    strict = roman.strict_in_key(key)
    if roman.alteration > 0:
        return strict
    return strict if strict.friendly(key).chord.root == strict.root else printed


def _in_lines(exercise: Exercise) -> Exercise:
    """The exercise with a new line after every four bars of a key whose bars go up in fours."""
    bars = list(exercise.bars)
    begins = [number for number, bar in enumerate(bars) if bar.key is not None]
    for first, last in zip(begins, [*begins[1:], len(bars)], strict=True):
        if (last - first) % BARS_ON_A_LINE == 0:
            for number in range(first + BARS_ON_A_LINE, last, BARS_ON_A_LINE):
                bars[number] = replace(bars[number], starts_line=True)
    return replace(exercise, bars=tuple(bars))
