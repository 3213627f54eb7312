"""Turnarounds: the two bars that lead back to the beginning, plain, with dominants, diminished or substituted."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.drills.progression_family import Order, how_many_keys, order_of_keys
from lessonkit.drills.wording import chords_words
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.progression import Progression
from lessonkit.values import dataclass


class Kind(Enum):
    """What the two bars are made of."""

    DIATONIC = "chords of the key"
    DOMINANT = "a dominant on six"
    FROM_THREE = "beginning on three"
    DIMINISHED = "passing diminished chords"
    TRITONES = "dominants a semitone apart"

    @property
    def bars(self) -> tuple[str, str]:
        """The two bars in major and in minor."""
        return {
            Kind.DIATONIC: ("Imaj7 vim7 | iim7 V7", "im7 VImaj7 | iim7b5 V7"),
            Kind.DOMINANT: ("Imaj7 VI7 | iim7 V7", "im7 VI7 | iim7b5 V7"),
            Kind.FROM_THREE: ("iiim7 VI7 | iim7 V7", "IIImaj7 VI7 | iim7b5 V7"),
            Kind.DIMINISHED: ("Imaj7 #Idim7 | iim7 #IIdim7", "im7 vidim7 | iim7b5 viidim7"),
            Kind.TRITONES: ("Imaj7 bIII7 | II7 bII7", "im7 III7 | II7 bII7"),
        }[self]


@dataclass(frozen=True)
class Turnarounds(FormulaFamily):
    """Two bars fill the end of a form and lead back to its beginning, so a pianist needs them in every key by heart.

    They are played as often as is asked and may come to rest on the tonic. In minor keys each kind has the chords that
    are usual there.
    """

    code = "turnarounds"
    title = "Turnarounds"
    words = ("turnback", "I vi ii V", "1-6-2-5", "ending", "vamp", "loop")

    kind: Kind = fields.choice(Kind.DIATONIC, label="Turnaround with", group="Progression")
    times: int = fields.whole(1, least=1, most=8, label="Goes round", unit="times", group="Progression")
    rests_on_tonic: bool = fields.yes_no(
        True, label="Comes to rest on the tonic", group="Progression", help="For two bars, after the last time."
    )
    order: Order = order_of_keys(Order.FOURTHS)
    count: int = how_many_keys(4)

    def formula(self, is_minor: bool) -> str:
        bars = [self.kind.bars[is_minor]] * self.times
        tonic = "im7" if is_minor else "Imaj7"
        return " | ".join([*bars, tonic, tonic] if self.rests_on_tonic else bars)

    def phrase(self, key: Key, style: LabelStyle) -> str:
        once = chords_words(Progression(self.progression_in(key).bars[:2]), style)
        return f"Turnaround {once}"
