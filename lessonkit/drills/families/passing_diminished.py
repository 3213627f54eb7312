"""Passing diminished chords: a diminished seventh between two chords a tone apart, the bass moving by semitones."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.family import Direction
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.drills.progression_family import Order, how_many_keys, order_of_keys
from lessonkit.drills.wording import chords_words
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass


class Part(Enum):
    """Which chords of the key are joined."""

    LOWER = "the lower three"
    UPPER = "the upper three"


_BARS = {
    (Part.LOWER, Direction.UP): (
        "Imaj7 #Idim7 | iim7 #IIdim7 | iiim7 | iiim7", "IIImaj7 #IIIdim7 | ivm7 #IVdim7 | V7 | im7",
    ),
    (Part.LOWER, Direction.DOWN): (
        "iiim7 bIIIdim7 | iim7 V7 | Imaj7 | Imaj7", "vm7 bVdim7 | ivm7 V7 | im7 | im7",
    ),
    (Part.LOWER, Direction.UP_AND_DOWN): (
        "Imaj7 #Idim7 | iim7 #IIdim7 | iiim7 bIIIdim7 | iim7 V7",
        "IIImaj7 #IIIdim7 | ivm7 #IVdim7 | vm7 bVdim7 | ivm7 V7",
    ),
    (Part.UPPER, Direction.UP): (
        "IVmaj7 #IVdim7 | V7 #Vdim7 | vim7 | vim7", "VImaj7 vidim7 | VII7 viidim7 | im7 | im7",
    ),
    (Part.UPPER, Direction.DOWN): (
        "vim7 bVIdim7 | V7 | Imaj7 | Imaj7", "im7 bIdim7 | VII7 V7 | im7 | im7",
    ),
    (Part.UPPER, Direction.UP_AND_DOWN): (
        "IVmaj7 #IVdim7 | V7 #Vdim7 | vim7 bVIdim7 | V7", "VImaj7 vidim7 | VII7 viidim7 | im7 bIdim7 | VII7 V7",
    ),
}  # fmt: skip
"""The bars in major and in minor; from the pattern I ♯I°7 ii, common practice."""


@dataclass(frozen=True)
class PassingDiminished(FormulaFamily):
    """A diminished seventh fills the step between two chords of the key, so that the bass walks by semitones.

    On the way up it stands on the lower root raised and is the leading-note chord of what follows; on the way down it
    is spelled with flats. In major the lower chords are I, ii and iii and the upper ones IV, V and vi; in minor they
    are III, iv and v, and VI, VII and i.
    """

    code = "passing-diminished"
    title = "Passing diminished chords"
    words = ("diminished seventh", "chromatic bass", "connecting chords", "I #I°7 ii", "walk-up")

    part: Part = fields.choice(Part.LOWER, label="Between", group="Progression")
    direction: Direction = fields.choice(Direction.UP, label="The bass goes", group="Progression")
    order: Order = order_of_keys(Order.FOURTHS)
    count: int = how_many_keys(4)

    def formula(self, is_minor: bool) -> str:
        return _BARS[self.part, self.direction][is_minor]

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return f"Passing diminished chords {self.direction.value}: {chords_words(self.progression_in(key), style)}"
