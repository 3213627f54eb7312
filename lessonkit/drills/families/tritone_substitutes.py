"""Tritone substitutes: the dominant seventh a tritone away takes the place of V, its third and seventh exchanged."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.drills.progression_family import Order, how_many_keys, order_of_keys
from lessonkit.drills.wording import chords_words
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass


class Beside(Enum):
    """How the substitute stands to the chord that it replaces."""

    AFTER = "after the plain cadence"
    SAME_BAR = "in the bar of the plain dominant"
    ALONE = "in its place"


@dataclass(frozen=True)
class TritoneSubstitutes(FormulaFamily):
    """The dominant a tritone from V has the same third and seventh, exchanged, and its root falls a semitone to I.

    First the plain cadence and then the substituted one show what stays and what moves; later the substitute stands
    alone. Where its root would need a double flat, the whole chord is written from the plain root.
    """

    code = "tritone-substitutes"
    title = "Tritone substitutes"
    words = ("tritone substitution", "flat two", "subV", "reharmonisation", "substitute dominant")

    beside: Beside = fields.choice(Beside.AFTER, label="Substitute stands", group="Progression")
    order: Order = order_of_keys(Order.FOURTHS)
    count: int = how_many_keys(4)

    def formula(self, is_minor: bool) -> str:
        two, one = ("iim7b5", "im7") if is_minor else ("iim7", "Imaj7")
        return {
            Beside.AFTER: f"{two} V7 | {one} | {two} subV7 | {one}",
            Beside.SAME_BAR: f"{two} | V7 subV7 | {one} | {one}",
            Beside.ALONE: f"{two} subV7 | {one}",
        }[self.beside]

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return f"Tritone substitute {self.beside.value}: {chords_words(self.progression_in(key), style)}"
