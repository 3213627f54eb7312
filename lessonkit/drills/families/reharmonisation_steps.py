"""Reharmonisation steps: a plain progression made richer step by step, each line with its reason above it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lessonkit.drills import fields
from lessonkit.drills.formula_family import FormulaFamily, PlacedBars, printed_in
from lessonkit.drills.progression_family import Order, ProgressionFamily
from lessonkit.drills.reharmonising import (
    Bars,
    Move,
    relative_for_tonic,
    secondary_dominants,
    tritone_substitutes,
    two_before_five,
)
from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.progression import PlacedChord, Progression


@dataclass(frozen=True)
class ReharmonisationSteps(FormulaFamily):
    """A plain progression becomes a rich one in a few steps, and each step says why it works.

    First the chord on the sixth degree takes the place of a held tonic, then the second degree prepares the dominant,
    then dominants lead from chord to chord, and in the end each is replaced by the one a tritone away. Steps that
    change nothing are left out. No melody is looked at: try yours over each line.
    """

    code = "reharmonisation-steps"
    title = "Reharmonisation steps"
    words = ("reharmonise", "substitution", "secondary dominants", "arranging", "two-five", "richer chords")

    progression: Progression = fields.progression(
        "Imaj7 | Imaj7 | V7 | Imaj7", label="Plain progression", group="Progression",
        help="Bars of degrees parted by |; moves are made where a bar has one chord.",
    )  # fmt: skip
    has_relative: bool = fields.yes_no(True, label="Sixth degree for the tonic", group="Steps")
    has_two: bool = fields.yes_no(True, label="Second degree before a dominant", group="Steps")
    has_secondary: bool = fields.yes_no(True, label="Dominants between chords", group="Steps")
    has_substitutes: bool = fields.yes_no(True, label="Tritone substitutes", group="Steps")
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
            tuple(tuple(PlacedChord(printed_in(roman, keys[0]), roman) for roman in bar) for bar in bars)
            for _, bars in self._steps(keys[0])
        ]

    def labels(self, keys: Sequence[Key], firsts: Sequence[Chord]) -> Sequence[str]:
        return [f"{number}. {reason}" for number, (reason, _) in enumerate(self._steps(keys[0]), start=1)]

    @property
    def has_chance(self) -> bool:
        return False

    def summary(self, setting: Setting) -> str:
        key = self.key_in(setting)
        steps = len(self._steps(key)) - 1
        return f"{self.phrase(key, setting.label_style)} in {steps} steps, {self.voiced_words()}"

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return f"{self.progression_in(key).text(style)} made richer"

    def _steps(self, key: Key) -> list[tuple[str, Bars]]:
        """Each step's reason and bars; the first is the progression as written."""
        chosen = (self.has_relative, self.has_two, self.has_secondary, self.has_substitutes)
        found: list[tuple[str, Bars]] = [("As written", self.progression_in(key).bars)]
        for (reason, move), is_chosen in zip(_MOVES, chosen, strict=True):
            bars = move(found[-1][1], key) if is_chosen else found[-1][1]
            if bars != found[-1][1]:
                found.append((reason, bars))
        return found


_MOVES: tuple[tuple[str, Move], ...] = (
    ("Sixth degree for the held tonic: they share all notes but one", relative_for_tonic),
    ("Second degree before the dominant: its root falls a fifth too", two_before_five),
    ("Dominants between chords: each leads down a fifth", secondary_dominants),
    ("Tritone substitutes: same third and seventh, the bass falls a semitone", tritone_substitutes),
)
