"""Reharmonisation steps: a plain progression made richer step by step, each line with its reason above it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from lessonkit.drills import fields
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import Hands
from lessonkit.drills.formula_family import FormulaFamily, PlacedBars, printed_in
from lessonkit.drills.melody_check import clash
from lessonkit.drills.progression_family import ChordSpan, Order, ProgressionFamily
from lessonkit.drills.reharmonised import explained
from lessonkit.drills.reharmonising import (
    Bars,
    Move,
    backdoor,
    modal_interchange,
    passing_diminished,
    relative_for_tonic,
    secondary_dominants,
    tritone_substitutes,
    two_before_five,
)
from lessonkit.drills.setting import Setting
from lessonkit.drills.voicing_plan import Plan, voiced
from lessonkit.drills.wording import begun, chords_words
from lessonkit.drills.writing import Step
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import Interval, NoteName
from lessonkit.theory.progression import PlacedChord, Progression
from lessonkit.values import dataclass

LEFT_BELOW = Interval.parse("m7")
"""How far below the usual register the left hand's chords begin where the right hand has the melody."""


@dataclass(frozen=True)
class ReharmonisationSteps(FormulaFamily):
    """A plain progression becomes a rich one in a few steps, and each step says why it works.

    First the chord on the sixth degree takes the place of a held tonic, then the second degree prepares the dominant,
    then dominants lead from chord to chord, and in the end each is replaced by the one a tritone away; other steps can
    be chosen. Steps that change nothing are left out. Where a melody is given, a bar whose new chord would not go with
    its note stays as it was, and the line says why; with both hands the right hand plays the melody.
    """

    code = "reharmonisation-steps"
    title = "Reharmonisation steps"
    words = ("reharmonise", "substitution", "secondary dominants", "arranging", "two-five", "richer chords",
             "backdoor", "modal interchange", "borrowed chords", "melody")  # fmt: skip
    has_passing_notes = True

    progression: Progression = fields.progression(
        "Imaj7 | Imaj7 | V7 | Imaj7", label="Plain progression", group="Progression",
        help="Bars of degrees parted by |; moves are made where a bar has one chord.",
    )  # fmt: skip
    has_relative: bool = fields.yes_no(True, label="Sixth degree for the tonic", group="Steps")
    has_two: bool = fields.yes_no(True, label="Second degree before a dominant", group="Steps")
    has_backdoor: bool = fields.yes_no(False, label="Backdoor for the last dominant", group="Steps")
    has_interchange: bool = fields.yes_no(False, label="Chords borrowed from minor", group="Steps")
    has_passing: bool = fields.yes_no(False, label="Passing diminished chords", group="Steps")
    has_secondary: bool = fields.yes_no(True, label="Dominants between chords", group="Steps")
    has_substitutes: bool = fields.yes_no(True, label="Tritone substitutes", group="Steps")
    melody: tuple[int, ...] = fields.numbers(
        label="Melody", group="Melody", least=0, most=7, longest=32,
        help="A degree of the key for each bar, such as 3 5 2 1, begun again where there are more bars; 0 is no note.",
    )  # fmt: skip
    order: Order = fields.choice(Order.FIFTHS, label="Order of keys", group="Keys", applies=fields.never)
    count: int = fields.whole(1, least=1, most=15, label="How many keys", group="Keys", applies=fields.never)
    keys: tuple[Key, ...] = fields.keys(label="Keys listed", group="Keys", applies=fields.never)

    def progression_in(self, key: Key) -> Progression:
        return ProgressionFamily.progression_in(self, key)

    def keys_in(self, setting: Setting) -> tuple[Key, ...]:
        """The drill's key, once for each step."""
        key = self.key_in(setting)
        return (key,) * len(self._steps(key))

    def rows_in(self, keys: Sequence[Key]) -> Sequence[PlacedBars]:
        return [
            tuple(tuple(PlacedChord(printed_in(roman, keys[0]), roman) for roman in bar) for bar in step.bars)
            for step in self._steps(keys[0])
        ]

    def labels(self, keys: Sequence[Key], firsts: Sequence[Chord]) -> Sequence[str]:
        return [f"{number}. {step.words}" for number, step in enumerate(self._steps(keys[0]), start=1)]

    @property
    def has_chance(self) -> bool:
        return False

    def remarks(self, keys: Sequence[Key], setting: Setting) -> tuple[str, ...]:
        """Why the melody keeps bars as they are."""
        return tuple(f"{step.name}: {kept}" for step in self._tried(keys[0]) for kept in step.kept)

    def reasons(self, setting: Setting) -> tuple[str, ...]:
        """For each step what each new chord shares with the one whose place it takes, and where its root goes."""
        key = self.key_in(setting)
        told = []
        for number, (before, line) in enumerate(pairwise(self._steps(key)), start=2):
            said = list(explained(before.bars, line.bars, key))
            if said:
                told.append(f"Line {number}: {'; '.join(said)}.")
        return tuple(told)

    def parts(self, spans: Sequence[ChordSpan], key: Key) -> dict[Hand, Sequence[Step]]:
        if not any(self.melody) or self.hands is not Hands.BOTH:
            return super().parts(spans, key)
        shapes = voiced([span.chord for span in spans], Plan.SMOOTH, self.lowest - LEFT_BELOW)
        left = [
            Step(shape.right, span.length, number)
            for number, (span, shape) in enumerate(zip(spans, shapes, strict=True))
        ]
        floor = self.lowest.octaves_up(1)
        bar = self.bar * self.bars_each
        notes = [self._note(place, key) for place in range(int(spans[-1].end // bar))]
        right = [
            Step(() if note is None else (note.nearest_above(floor),), bar, place) for place, note in enumerate(notes)
        ]
        return {Hand.RIGHT: right, Hand.LEFT: left}

    def summary(self, setting: Setting) -> str:
        key = self.key_in(setting)
        steps = len(self._steps(key)) - 1
        has_melody = any(self.melody) and self.hands is Hands.BOTH
        how = "the melody over chords in the left hand" if has_melody else self.voiced_words()
        return f"{self.phrase(key, setting.label_style)} in {steps} steps, {how}"

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return f"{begun(chords_words(self.progression_in(key), style))} made richer"

    def _steps(self, key: Key) -> list[_Line]:
        """The lines that are printed: the progression as written, and each step that changes something."""
        lines = self._tried(key)
        return [lines[0], *(line for before, line in pairwise(lines) if line.bars != before.bars)]

    def _tried(self, key: Key) -> list[_Line]:
        """The progression as written and each chosen step, with what the melody keeps from it."""
        found = [_Line("As written", self.progression_in(key).bars)]
        for name, (reason, move) in _MOVES.items():
            if getattr(self, name):
                found.append(self._moved(reason, move, found[-1].bars, key))
        return found

    def _moved(self, reason: str, move: Move, before: Bars, key: Key) -> _Line:
        """A step in which every bar that would clash with the melody stays as it was."""
        bars = list(move(before, key))
        kept: dict[int, str] = {}
        for place, (bar, old) in enumerate(zip(bars, before, strict=True)):
            note = self._note(place, key)
            if bar == old or note is None:
                continue
            for chord in (printed_in(roman, key) for roman in bar if roman not in old):
                why = clash(note, chord)
                if why is not None:
                    bars[place] = old
                    kept[place + 1] = f"{note} is {why} of {chord}, so bar {place + 1} stays"
                    break
        return _Line(reason, tuple(bars), tuple(kept.values()), tuple(kept))

    def _note(self, place: int, key: Key) -> NoteName | None:
        """The melody's note in a bar of the progression."""
        degree = self.melody[place % len(self.melody)] if self.melody else 0
        return key.degree(degree) if degree else None


@dataclass(frozen=True, slots=True)
class _Line:
    """One step: its reason, its bars, and what the melody keeps as it was."""

    reason: str
    bars: Bars
    kept: tuple[str, ...] = ()
    numbers: tuple[int, ...] = ()

    @property
    def name(self) -> str:
        """The reason's first words."""
        return self.reason.split(":")[0]

    @property
    def words(self) -> str:
        """What stands above the line."""
        if not self.numbers:
            return self.reason
        *first, last = map(str, self.numbers)
        bars = f"bars {', '.join(first)} and {last} stay" if first else f"bar {last} stays"
        return f"{self.name} ({bars} for the melody)"


_MOVES: dict[str, tuple[str, Move]] = {
    "has_relative": ("Sixth degree for the held tonic: they share all notes but one", relative_for_tonic),
    "has_two": ("Second degree before the dominant: its root falls a fifth too", two_before_five),
    "has_backdoor": ("Backdoor: minor fourth degree and lowered seventh lead home by a tone", backdoor),
    "has_interchange": ("Borrowed from minor: the flat sixth of the key falls to its fifth", modal_interchange),
    "has_passing": ("Passing diminished: the bass climbs by semitones", passing_diminished),
    "has_secondary": ("Dominants between chords: each leads down a fifth", secondary_dominants),
    "has_substitutes": ("Tritone substitutes: same third and seventh, the bass falls a semitone", tritone_substitutes),
}
