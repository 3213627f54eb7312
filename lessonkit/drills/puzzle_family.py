"""What families share that hide keys: puzzles in keys dealt by a number, each with a line to write its key on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonkit.drills import fields
from lessonkit.drills.exercise import Exercise, FingersShown
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.drills.progression_family import DEALS, LARGEST_SEED, Deck, Order, Worksheet
from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.enharmonic import shuffled
from lessonkit.theory.key import Key, Mode
from lessonkit.values import dataclass


@dataclass(frozen=True)
class PuzzleFamily(FormulaFamily):
    """A family of puzzles. The drill's own key is always among those dealt, in a place that chance gives."""

    # A puzzle has its own answers to write, and its summary says nothing of the key.
    left_out = FormulaFamily.left_out | {"repeats"}
    usual_fingers = FingersShown.NONE
    blanks = (Worksheet.NOTHING,)
    # What a puzzle's summary says leaves the voicing out, and rootless shapes are among those that can be chosen.
    tensions = ("9", "13")

    order: Order = fields.choice(Order.SHUFFLED, label="Order of keys", group="Keys", applies=fields.never)
    keys: tuple[Key, ...] = fields.keys(label="Keys listed", group="Keys", applies=fields.never)
    count: int = fields.whole(6, least=1, most=15, label="How many puzzles", group="Puzzles")
    deck: Deck = fields.choice(Deck.TWELVE, label="Keys dealt from", group="Puzzles")
    seed: int = fields.whole(
        1, least=0, most=LARGEST_SEED, label="Sheet number", group="Puzzles",
        help="The same number always gives the same puzzles and answers.",
    )  # fmt: skip
    open_signature: bool = fields.yes_no(True, label="No key signatures", group="On the page", applies=fields.never)
    worksheet: Worksheet = fields.choice(Worksheet.NOTHING, label="Left blank", group="Worksheet", applies=fields.never)

    @property
    def has_chance(self) -> bool:
        return True

    def keys_in(self, setting: Setting) -> tuple[Key, ...]:
        """The puzzles' keys; raises ValueError for a mode, whose chords are those of some major key."""
        start = self.key_in(setting)
        if start.mode not in (Mode.MAJOR, Mode.MINOR):
            raise ValueError(
                f"a key to be found is a major or a minor one; choose such a key for this drill, not {start}"
            )
        deck = shuffled(self._deck(start, setting), self.seed)
        others = [key for key in deck if key.tonic.pitch_class != start.tonic.pitch_class]
        return shuffled((start, *others[: self.count - 1]), self.seed)

    def chance(self, number: int) -> int:
        """The seed of one puzzle of the sheet, counted from 0."""
        return self.seed * DEALS + number

    def labels(self, keys: Sequence[Key], firsts: Sequence[Chord]) -> Sequence[str]:
        return [f"{number}. Key:" for number in range(1, len(keys) + 1)]

    def answers(self, keys: Sequence[Key]) -> Sequence[str]:
        return [str(key) for key in keys]

    def build(self, setting: Setting) -> Exercise:
        # A signature would tell the key, whatever the drill says.
        return replace(super().build(setting), key=self.key_in(setting), open_signature=True)
