"""Dominant chains: dominants of dominants down to the tonic, plain or substituted, and the key's own cycle."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.drills.progression_family import Order, how_many_keys, order_of_keys
from lessonkit.drills.wording import begun, chords_words
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass

_ROOTS = ("V", "II", "VI", "III", "VII", "#IV")
_MINOR_ROOTS = ("V", "II", "#VI", "#III", "#VII", "#IV")
"""The roots from the last dominant back; in minor they are those of the major key on the same tonic."""

_SUBSTITUTES = {"V": "bII", "VI": "bIII", "VII": "IV"}
_MINOR_SUBSTITUTES = {"V": "bII", "#VI": "III", "#VII": "IV"}
"""What stands a tritone from every other root, so that the bass falls by semitones."""


class Kind(Enum):
    """What falls by fifths."""

    DOMINANTS = "dominants"
    SUBSTITUTED = "dominants, every other one substituted"
    KEY = "the chords of the key"


@dataclass(frozen=True)
class DominantChains(FormulaFamily):
    """Each dominant leads to the next, a fifth lower, until the last one finds the tonic.

    Third and seventh both fall by a semitone at every step. With every other dominant replaced by the one a tritone
    away, the bass falls by semitones too. The chords of the key make the full cycle through all seven degrees.
    """

    code = "dominant-chains"
    title = "Dominant chains"
    words = ("secondary dominants", "extended dominants", "cycle of fifths", "circle", "bridge", "III7 VI7 II7 V7")

    kind: Kind = fields.choice(Kind.DOMINANTS, label="Chain of", group="Progression")
    links: int = fields.whole(
        4, least=1, most=6, label="How many dominants", group="Progression",
        applies=lambda drill: drill.kind is not Kind.KEY,
    )  # fmt: skip
    order: Order = order_of_keys(Order.FOURTHS)
    count: int = how_many_keys(4)

    def formula(self, is_minor: bool) -> str:
        if self.kind is Kind.KEY:
            in_major, in_minor = (
                "Imaj7 IVmaj7 | viim7b5 iiim7 | vim7 iim7 | V7 Imaj7",
                "im7 ivm7 | VII7 IIImaj7 | VImaj7 iim7b5 | V7 im7",
            )
            return in_minor if is_minor else in_major
        roots = (_MINOR_ROOTS if is_minor else _ROOTS)[: self.links]
        if self.kind is Kind.SUBSTITUTED:
            other = _MINOR_SUBSTITUTES if is_minor else _SUBSTITUTES
            roots = tuple(other.get(root, root) for root in roots)
        chords = [f"{root}7" for root in reversed(roots)]
        # Bars are paired from the end, so that the last dominant stands in the second half of its bar.
        odd = len(chords) % 2
        bars = chords[:odd] + [" ".join(chords[place : place + 2]) for place in range(odd, len(chords), 2)]
        tonic = "im7" if is_minor else "Imaj7"
        return " | ".join([*bars, tonic, tonic] if len(bars) == 2 else [*bars, tonic])

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return begun(chords_words(self.progression_in(key), style))
