"""Modal vamps: two chords that show a mode and lead nowhere, under a right hand that plays them or is left free."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import Hands
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.drills.progression_family import ChordSpan
from lessonkit.drills.setting import Setting
from lessonkit.drills.voicing_plan import Plan, voiced
from lessonkit.drills.wording import chords_words
from lessonkit.drills.writing import Step
from lessonkit.theory.enharmonic import key_of_mode
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import Interval
from lessonkit.theory.progression import Progression
from lessonkit.values import dataclass

LEFT_BELOW = Interval.parse("m7")
"""How far below the right hand's register chords of the left hand alone begin: C3, clear of the mud, below B♭3."""


class ModeOf(Enum):
    """The mode of the vamp."""

    KEY = "as the key has it"
    MAJOR = "major"
    MINOR = "minor"
    DORIAN = "dorian"
    PHRYGIAN = "phrygian"
    LYDIAN = "lydian"
    MIXOLYDIAN = "mixolydian"
    LOCRIAN = "locrian"


class Pair(Enum):
    """Which two chords take turns."""

    FIRST = "the usual pair"
    SECOND = "another pair"
    PEDAL = "a pair over the tonic"


class RightHand(Enum):
    """What the right hand does where both hands play."""

    CHORDS = "plays the chords"
    OPEN = "is left open for improvising"


_PAIRS = {
    Mode.MAJOR: ("Imaj7 | IVmaj7", "Imaj7 | iim7", "I | IV/5"),
    Mode.MINOR: ("im7 | ivm7", "im7 | VImaj7", "im7 | VII/2"),
    Mode.DORIAN: ("im7 | IV7", "im7 | iim7", "im7 | IV/5"),
    Mode.PHRYGIAN: ("im7 | IImaj7", "im7 | viim7", "im7 | II/7"),
    Mode.LYDIAN: ("Imaj7 | II7", "Imaj7 | viim7", "Imaj7 | II/b7"),
    Mode.MIXOLYDIAN: ("I7 | vm7", "I7 | VIImaj7", "I7 | VII/2"),
    Mode.LOCRIAN: ("im7b5 | IImaj7", "im7b5 | viim7", "im7b5 | II/7"),
}
"""The pairs of each mode, counted in its own degrees; each has the note that sets the mode apart. Common practice."""


@dataclass(frozen=True)
class ModalVamps(FormulaFamily):
    """Two chords go round and round without a cadence, so that the ear takes the mode's tonic for home.

    The key signature is the mode's own: none for D dorian. The right hand may be left open over left-hand chords, to
    improvise on the mode's scale.
    """

    code = "modal-vamps"
    title = "Modal vamps"
    words = ("vamp", "dorian", "mixolydian", "lydian", "phrygian", "modes", "ostinato", "improvising")

    mode: ModeOf = fields.choice(
        ModeOf.KEY, label="Mode", group="Progression", help="A mode chosen here stands on the key's tonic."
    )
    pair: Pair = fields.choice(Pair.FIRST, label="Chords", group="Progression")
    times: int = fields.whole(2, least=1, most=16, label="Goes round", unit="times", group="Progression")
    right_hand: RightHand = fields.choice(
        RightHand.CHORDS, label="Right hand", group="Hands and range", applies=lambda drill: drill.hands is Hands.BOTH
    )

    def key_in(self, setting: Setting) -> Key:
        key = super().key_in(setting)
        if self.mode is ModeOf.KEY:
            return key
        mode = next(mode for mode in Mode if mode.word == self.mode.value)
        return key if mode is key.mode else key_of_mode(key.tonic, mode, setting.prefers_flats_at_six)

    def progression_in(self, key: Key) -> Progression:
        once = _PAIRS[key.mode][list(Pair).index(self.pair)]
        return Progression.parse(" | ".join([once] * self.times))

    def parts(self, spans: Sequence[ChordSpan], key: Key) -> dict[Hand, Sequence[Step]]:
        if self.right_hand is RightHand.CHORDS or self.hands is not Hands.BOTH:
            return super().parts(spans, key)
        shapes = voiced([span.chord for span in spans], Plan.SMOOTH, self.lowest - LEFT_BELOW)
        left = [
            Step(shape.right, span.length, number)
            for number, (span, shape) in enumerate(zip(spans, shapes, strict=True))
        ]
        right = [Step((), span.length, number, is_open=True) for number, span in enumerate(spans)]
        return {Hand.RIGHT: right, Hand.LEFT: left}

    def voiced_words(self) -> str:
        is_open = self.right_hand is RightHand.OPEN and self.hands is Hands.BOTH
        return "chords under open bars" if is_open else super().voiced_words()

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return f"Vamp {chords_words(Progression(self.progression_in(key).bars[:2]), style)}"
