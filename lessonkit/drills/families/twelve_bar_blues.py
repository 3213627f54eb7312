"""Twelve-bar blues: the form in four degrees of richness, in major and in minor, three lines of four bars."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass


class Form(Enum):
    """Which chords the twelve bars have."""

    PLAIN = "three chords"
    QUICK = "three chords, quick change"
    TWO_FIVES = "with two-fives"
    SUBSTITUTES = "with more two-fives and substitutes"

    @property
    def bars(self) -> tuple[str, str]:
        """The first ten bars in major and in minor."""
        return {
            Form.PLAIN: (
                "I7 | % | % | % | IV7 | % | I7 | % | V7 | IV7",
                "im7 | % | % | % | ivm7 | % | im7 | % | V7 | ivm7",
            ),
            Form.QUICK: (
                "I7 | IV7 | I7 | % | IV7 | % | I7 | % | V7 | IV7",
                "im7 | ivm7 | im7 | % | ivm7 | % | im7 | % | V7 | ivm7",
            ),
            Form.TWO_FIVES: (
                "I7 | IV7 | I7 | % | IV7 | #IVdim7 | I7 | VI7 | iim7 | V7",
                "im7 | ivm7 | im7 | % | ivm7 | % | im7 | % | VI7 | V7",
            ),
            Form.SUBSTITUTES: (
                "I7 | IV7 | I7 | vm7 subV7/IV | IV7 | #IVdim7 | I7 | iiim7 VI7 | iim7 | V7",
                "im7 | iim7b5 V7 | im7 | vm7b5 V7b9/iv | ivm7 | % | im7 | % | VI7 | V7",
            ),
        }[self]

    @property
    def turnaround(self) -> tuple[str, str]:
        """The last two bars in major and in minor, leading back to the first."""
        return {
            Form.PLAIN: ("I7 | V7", "im7 | V7"),
            Form.QUICK: ("I7 | V7", "im7 | V7"),
            Form.TWO_FIVES: ("I7 VI7 | iim7 V7", "im7 | iim7b5 V7"),
            Form.SUBSTITUTES: ("I7 bIII7 | II7 bII7", "im7 VI7 | iim7b5 V7"),
        }[self]


@dataclass(frozen=True)
class TwelveBarBlues(FormulaFamily):
    """The twelve bars that every pianist is asked for, from three chords to a form full of two-fives.

    Each line of four bars begins a phrase: the tonic, the fourth degree, the way home. The last two bars lead back or
    come to rest. In minor keys the form has the minor chords.
    """

    code = "twelve-bar-blues"
    title = "Twelve-bar blues"
    words = ("blues form", "12 bar", "comping", "quick change", "minor blues", "turnaround")

    form: Form = fields.choice(Form.TWO_FIVES, label="Form", group="Progression")
    ends: bool = fields.yes_no(
        False, label="Comes to rest at the end", group="Progression",
        help="The last two bars stay on the tonic in place of leading back.",
    )  # fmt: skip

    def formula(self, is_minor: bool) -> str:
        tonic = "im7" if is_minor else "I7"
        end = f"{tonic} | {tonic}" if self.ends else self.form.turnaround[is_minor]
        return f"{self.form.bars[is_minor]} | {end}"

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return f"Twelve-bar {'minor ' if key.is_minor else ''}blues, {self.form.value},"
