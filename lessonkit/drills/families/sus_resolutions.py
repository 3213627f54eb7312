"""Suspended dominants: the fourth resolves to the third, with or without the ninth moving too."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.drills.progression_family import Order, how_many_keys, order_of_keys
from lessonkit.drills.wording import chords_words
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass


class Resolution(Enum):
    """Which notes of the suspended chord move."""

    FOURTH = "fourth to third"
    NINTH_TOO = "fourth to third, ninth to root"
    NINTH_KEPT = "fourth to third under a held ninth"
    NINTH_LOWERED = "fourth to third, ninth lowered"

    @property
    def chords(self) -> tuple[str, str]:
        """The suspended chord and what it resolves to, in major and in minor."""
        return {
            Resolution.FOURTH: ("V7sus4 V7", "V7sus4 V7"),
            Resolution.NINTH_TOO: ("V9sus4 V7", "V9sus4 V7"),
            Resolution.NINTH_KEPT: ("V9sus4 V9", "V9sus4 V9"),
            Resolution.NINTH_LOWERED: ("V9sus4 V7b9", "V9sus4 V7b9"),
        }[self]


class Around(Enum):
    """What the dominant stands between."""

    TWO_AND_ONE = "after ii, before I"
    ONE = "before I"
    NOTHING = "alone"


@dataclass(frozen=True)
class SusResolutions(FormulaFamily):
    """A suspended dominant holds the fourth where the third will be; one note falls a semitone and the chord opens.

    Listen to that note and keep the others still. The suspended ninth chord is the second degree's seventh over the
    fifth in the bass; its ninth may fall to the root, stay, or be lowered on the way.
    """

    code = "sus-resolutions"
    title = "Suspended dominants"
    words = ("sus4", "suspension", "resolution", "four to three", "7sus4", "9sus4")

    resolution: Resolution = fields.choice(Resolution.FOURTH, label="What moves", group="Progression")
    around: Around = fields.choice(Around.TWO_AND_ONE, label="Dominant stands", group="Progression")
    order: Order = order_of_keys(Order.FOURTHS)
    count: int = how_many_keys(4)

    def formula(self, is_minor: bool) -> str:
        two, one = ("iim7b5", "im7") if is_minor else ("iim7", "Imaj7")
        dominant = self.resolution.chords[is_minor]
        return {
            Around.TWO_AND_ONE: f"{two} | {dominant} | {one} | {one}",
            Around.ONE: f"{dominant} | {one}",
            Around.NOTHING: dominant,
        }[self.around]

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return f"Suspended dominant, {self.resolution.value}: {chords_words(self.progression_in(key), style)}"
