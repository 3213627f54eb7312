"""Degree detective: shuffled chords of an unnamed key, whose key and degrees are to be found."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from itertools import count as counted_from

from lessonkit.drills import fields
from lessonkit.drills.dealing import FAR, dealt_in_turn
from lessonkit.drills.exercise import Blank
from lessonkit.drills.family import Hands
from lessonkit.drills.formula_family import FormulaFamily, PlacedBars
from lessonkit.drills.key_search import check_one_reading
from lessonkit.drills.minor_twin import in_minor
from lessonkit.drills.progression_family import ProgressionFamily
from lessonkit.drills.puzzle_family import PuzzleFamily
from lessonkit.drills.setting import Setting
from lessonkit.drills.voicing_plan import Plan
from lessonkit.drills.wording import number_word
from lessonkit.theory.enharmonic import shuffled
from lessonkit.theory.key import Key
from lessonkit.theory.progression import PlacedChord, Progression
from lessonkit.theory.roman import RomanChord
from lessonkit.values import dataclass

ALL = Progression.parse("Imaj7 | iim7 | iiim7 | IVmaj7 | V7 | vim7 | viim7b5")
"""The sevenths of a major key, one on each degree."""

TRIADS = Progression.parse("I | ii | iii | IV | V | vi | viio")
"""The triads of a major key, one on each degree."""


class Source(Enum):
    """Where a puzzle's chords come from."""

    WRITTEN = "the chords written below"
    DEALT = "dealt from all degrees"
    DEALT_TRIADS = "triads dealt from all degrees"


class Given(Enum):
    """What the student is shown."""

    NAMES = "chord names"
    NOTES = "notes"
    BOTH = "chord names and notes"

    @property
    def blank(self) -> frozenset[Blank]:
        """What is left out beside the key and the degrees."""
        left_out = {Given.NAMES: {Blank.NOTES}, Given.NOTES: {Blank.CHORD_NAMES}}.get(self, set())
        return frozenset({Blank.KEY, Blank.DEGREES} | left_out)


@dataclass(frozen=True)
class DegreeDetective(PuzzleFamily):
    """The chords of a key stand in any order, and the student finds the key and each chord's degree in it.

    Look for the dominant seventh: there is one in a major key, and the key lies a fifth below it. Every puzzle has one
    answer only; all keys are tried before it is printed, and chords that fit two keys are refused. In minor keys V7 and
    vii°7 have the leading note. Puzzles and answers come from the same number.
    """

    code = "degree-detective"
    title = "Degree detective"
    words = ("find the key", "worksheet", "puzzle", "1 6 4 5", "roman numerals", "analysis", "theory")

    source: Source = fields.choice(Source.WRITTEN, label="Chords", group="Puzzles")
    progression: Progression = fields.progression(
        "Imaj7 | vim7 | IVmaj7 | V7", label="Chords of a puzzle", group="Puzzles",
        help="Degrees; they come in another order in every puzzle.",
        applies=lambda drill: drill.source is Source.WRITTEN,
    )  # fmt: skip
    size: int = fields.whole(
        4, least=3, most=7, label="Chords in a puzzle", group="Puzzles",
        applies=lambda drill: drill.source is not Source.WRITTEN,
    )  # fmt: skip
    given: Given = fields.choice(Given.NAMES, label="The student is given", group="Puzzles")
    hands: Hands = fields.choice(Hands.RIGHT, label="Hands", group="Hands and range")
    plan: Plan = fields.choice(Plan.ROOT_POSITION, label="Voicing", group="Voicing")

    @property
    def blank(self) -> frozenset[Blank]:
        return self.given.blank

    def progression_in(self, key: Key) -> Progression:
        return ProgressionFamily.progression_in(self, key)

    def rows_in(self, keys: Sequence[Key]) -> Sequence[PlacedBars]:
        if self.source is not Source.WRITTEN:
            return self._dealt(keys)
        rows = [_once(FormulaFamily.placed_in(self, key)) for key in keys]
        for key, row in zip(keys, rows, strict=True):
            check_one_reading([placed.chord for placed in row], key)
        orders = dealt_in_turn(
            [placed.roman for placed in rows[0]], [self.chance(number) for number in range(len(keys))]
        )
        return [tuple((row[place],) for place in order) for row, order in zip(rows, orders, strict=True)]

    def summary(self, setting: Setting) -> str:
        size = self.size if self.source is not Source.WRITTEN else len(_once(self.placed_in(self.key_in(setting))))
        return f"Find the key and the degree of each of {number_word(size)} chords, {self.given.value} given"

    def _dealt(self, keys: Sequence[Key]) -> list[PlacedBars]:
        """Some of the key's chords in any order for each puzzle.

        A deal that fits two keys, or that repeats the degrees of the puzzle before, is dealt again; with a chord on
        every degree some deal always fits one key only.
        """
        rows: list[PlacedBars] = []
        before: frozenset[RomanChord] = frozenset()
        source = ALL if self.source is Source.DEALT else TRIADS
        for number, key in enumerate(keys):
            every = (in_minor(source) if key.is_minor else source).in_key(key)
            for again in counted_from():
                dealt = shuffled(every, self.chance(number) + again * FAR)[: self.size]
                degrees = frozenset(bar[0].roman for bar in dealt)
                if degrees == before and self.size < len(every):
                    continue
                try:
                    check_one_reading([bar[0].chord for bar in dealt], key)
                except ValueError:
                    continue
                rows.append(dealt)
                before = degrees
                break
        return rows


def _once(bars: PlacedBars) -> tuple[PlacedChord, ...]:
    """Each chord once, in the order in which they come."""
    return tuple({placed.chord: placed for bar in bars for placed in bar}.values())
