"""Two–five–one chains: ii, V and I in key after key, each tonic the next key's second degree where keys go down."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.drills.progression_family import Order, how_many_keys, order_of_keys
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass


class Colour(Enum):
    """Which notes the three chords have."""

    SEVENTHS = "sevenths"
    FLAT_NINTH = "a flat ninth on the dominant"
    NINTHS = "ninths and thirteenth"
    ALTERED = "an altered dominant"

    @property
    def degrees(self) -> tuple[str, str]:
        """The three chords in major and in minor."""
        return {
            Colour.SEVENTHS: ("iim7 V7 Imaj7", "iim7b5 V7 im7"),
            Colour.FLAT_NINTH: ("iim7 V7b9 Imaj7", "iim7b5 V7b9 im6"),
            Colour.NINTHS: ("iim9 V13 Imaj9", "iim7b5 V7b9 im6/9"),
            Colour.ALTERED: ("iim9 V7alt Imaj9", "iim7b5 V7alt im6/9"),
        }[self]


class Pace(Enum):
    """How long the chords of a key last."""

    TWO = "two bars a key"
    FOUR = "four bars a key"


@dataclass(frozen=True)
class TwoFiveOneChains(FormulaFamily):
    """The commonest cadence of the repertoire is played in key after key without a stop.

    Where the keys go down by whole tones, each tonic turns minor and is the second degree of the next key; six keys
    make a chain, and the other six begin a semitone below the first. A note that changes its name on the way is shown
    with both. The chords move by the smallest steps from key to key.
    """

    code = "two-five-one-chains"
    title = "Two–five–one chains"
    words = ("ii V I", "2-5-1", "cadence", "chain of keys", "minor two-five-one", "twelve keys")
    leads_on = True

    extensions: Colour = fields.choice(Colour.SEVENTHS, label="Chords have", group="Progression")
    pace: Pace = fields.choice(Pace.TWO, label="Pace", group="Progression")
    order: Order = order_of_keys(Order.WHOLE_TONES_DOWN)
    count: int = how_many_keys(6)

    def formula(self, is_minor: bool) -> str:
        two, five, one = self.extensions.degrees[is_minor].split()
        return f"{two} {five} | {one}" if self.pace is Pace.TWO else f"{two} | {five} | {one} | {one}"

    def phrase(self, key: Key, style: LabelStyle) -> str:
        numerals = [roman.text(style) for roman in dict.fromkeys(self.progression_in(key).chords)]
        return "–".join(numerals)
