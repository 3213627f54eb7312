"""Rootless voicings: the four-note shapes of one hand without roots, form A or B, through a progression in any key."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape, cheapest_chain, octaves_between
from lessonkit.drills.exercise import FingersShown
from lessonkit.drills.family import Hands
from lessonkit.drills.progression_family import Order, ProgressionFamily, bars_of_degrees, how_many_keys, order_of_keys
from lessonkit.drills.setting import Setting
from lessonkit.drills.voicing_plan import as_they_lead
from lessonkit.drills.wording import chords_words, hands_words
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.roman import RomanChord
from lessonkit.theory.voicing import ROOTLESS_FORMS, Voicing, movement, rootless
from lessonkit.values import dataclass

BEST_ABOVE_FLOOR = 5
"""How far above the floor the lowest note lies best, in semitones: F3 over C3 (common practice, no source)."""

WITHIN = 23
"""How far above the floor a shape's lowest note may lie, in semitones: each shape in two octaves."""


class Form(Enum):
    """Which of the two forms the shapes have."""

    BEST = "the one that lies better in each key"
    A = "A"
    B = "B"

    @property
    def forms(self) -> tuple[str, ...]:
        """The forms to choose from."""
        return ROOTLESS_FORMS if self is Form.BEST else (self.value,)


class MinorTonic(Enum):
    """What the tonic chord of a minor key has where the major key's has a seventh."""

    SIXTH = "its sixth"
    SEVENTH = "its seventh"


@dataclass(frozen=True)
class RootlessVoicings(ProgressionFamily):
    """Four notes without the root are a pianist's everyday chords: third, seventh, ninth and fifth or thirteenth.

    In form A the first chord has its third lowest, in form B its seventh; from ii to V one note moves by a semitone.
    The shapes stay above the floor, where they sound clear. With both hands the right hand has the shapes and the left
    hand the roots.
    """

    code = "rootless-voicings"
    title = "Rootless voicings"
    usual_fingers = FingersShown.CHANGES
    eases_by = ("form",)
    words = ("left hand", "form A", "form B", "two-five-one", "comping", "minor two-five-one")
    tensions = ("9", "13")

    progression: Progression = bars_of_degrees("iim9 | V13 | Imaj9 | Imaj9")
    minor_tonic: MinorTonic = fields.choice(
        MinorTonic.SIXTH, label="Minor tonic has", group="Progression", applies=lambda drill: drill.adapts_to_minor
    )
    order: Order = order_of_keys(Order.FOURTHS)
    count: int = how_many_keys(4)
    hands: Hands = fields.choice(Hands.LEFT, label="Hands", group="Hands and range")
    lowest: Pitch = fields.pitch(
        "C3", label="No shape below", group="Hands and range",
        help="The shapes lie from here up, whichever hand has them; roots lie below.",
    )  # fmt: skip
    form: Form = fields.choice(Form.BEST, label="Form", group="Voicing")

    def progression_in(self, key: Key) -> Progression:
        written = super().progression_in(key)
        if written is self.progression or self.minor_tonic is MinorTonic.SEVENTH:
            return written
        return Progression(tuple(tuple(_WITH_SIXTH.get(roman, roman) for roman in bar) for bar in written.bars))

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        shapes = min((self._chain(chords, form) for form in self.form.forms), key=self._off_the_best)
        if self.hands is Hands.LEFT:
            return [Voicing(shape, ()) for shape in shapes]
        floor = self.lowest.octaves_up(-1)
        roots = [(chord.lowest.nearest_above(floor),) for chord in chords]
        return [Voicing(root, shape) for root, shape in zip(roots, shapes, strict=True)]

    def summary(self, setting: Setting) -> str:
        keys = self.keys_in(setting)
        what = chords_words(self.progression_in(keys[0]), setting.label_style)
        form = "" if self.form is Form.BEST else f", form {self.form.value}"
        where = f"in {keys[0]}" if len(keys) == 1 else f"in {len(keys)} keys, {self.order.value}"
        chords = self.progression_in(keys[0]).chords
        says_it = all(any(degree.lstrip("b#") in ("9", "13") for degree in one.quality.degrees) for one in chords)
        ninths = "" if says_it else " with ninths"
        return f"Rootless {what}{ninths}{form}, {where}, {hands_words(self)}"

    def _chain(self, chords: Sequence[Chord], form: str) -> list[Shape]:
        lowest = self.lowest.midi
        chords = as_they_lead(chords)
        return cheapest_chain(
            [octaves_between(rootless(chord, form, self.lowest), lowest, lowest + WITHIN) for chord in chords], movement
        )

    def _off_the_best(self, chain: Sequence[Shape]) -> int:
        """How far a chain's lowest note lies from where it sounds best."""
        return abs(min(shape[0].midi for shape in chain) - self.lowest.midi - BEST_ABOVE_FLOOR)


_WITH_SIXTH = {
    RomanChord.parse("im9"): RomanChord.parse("im6/9"),
    RomanChord.parse("im7"): RomanChord.parse("im6"),
}
