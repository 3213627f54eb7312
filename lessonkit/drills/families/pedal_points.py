"""Pedal points: chords move over a bass that stays, on the tonic or the dominant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape
from lessonkit.drills.exercise import Hand
from lessonkit.drills.progression_family import ChordSpan, ProgressionFamily, how_many_keys
from lessonkit.drills.setting import Setting
from lessonkit.drills.voicing_plan import Plan, voiced
from lessonkit.drills.wording import begun, chords_words, hands_words
from lessonkit.drills.writing import Step
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName
from lessonkit.theory.progression import Progression
from lessonkit.theory.roman import RomanChord, recognise
from lessonkit.theory.voicing import Voicing
from lessonkit.values import dataclass

MOST_HELD = 4
"""For so many bars a bass note sounds on well enough (common practice, no source)."""


class Pedal(Enum):
    """Which note of the key stays in the bass."""

    TONIC = "tonic"
    DOMINANT = "dominant"

    def note(self, key: Key) -> NoteName:
        """The note in a key."""
        return key.degree(1 if self is Pedal.TONIC else 5)


class Bass(Enum):
    """What the left hand plays."""

    SINGLE = "the bass note"
    OCTAVE = "the bass note in octaves"


@dataclass(frozen=True)
class PedalPoints(ProgressionFamily):
    """Chords move over a bass that does not, the sound of many an introduction, a vamp or an ending.

    Over the tonic the dominant pulls and comes home without the bass leaving; over the dominant everything waits. The
    chords are named with their bass, as in F/C, and the right hand moves as little as it can.
    """

    code = "pedal-points"
    title = "Pedal points and slash chords"
    words = ("slash chords", "bass", "vamp", "introduction", "held bass", "organ point")

    progression: Progression = fields.progression(
        "I | IV | V | I", label="Progression", group="Progression",
        help="Bars of degrees parted by |. Over the dominant, iim7 | V7 | I | V7 is common.",
    )  # fmt: skip
    count: int = how_many_keys(1)
    pedal: Pedal = fields.choice(Pedal.TONIC, label="The bass stays on the", group="Voicing")
    bass: Bass = fields.choice(Bass.SINGLE, label="Left hand plays", group="Voicing")
    shows_degrees: bool = fields.yes_no(False, label="Degrees", group="On the page")

    def progression_in(self, key: Key) -> Progression:
        bars = super().progression_in(key).bars
        return Progression(tuple(tuple(_over(roman, self.pedal.note(key), key) for roman in bar) for bar in bars))

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        rights = voiced([replace(chord, bass=None) for chord in chords], Plan.ROOT_LEFT, self.lowest)
        return [Voicing(self._left(key) if len(self.playing_hands) == 2 else (), one.right) for one in rights]

    def parts(self, spans: Sequence[ChordSpan], key: Key) -> dict[Hand, Sequence[Step]]:
        """The chords as they are struck over a bass that is held, and struck anew after four bars at the latest."""
        parts = super().parts(spans, key)
        if len(self.playing_hands) < 2:
            return parts
        held: list[Step] = []
        left, number = spans[-1].end, 0
        while left > 0:
            held.append(Step(self._left(key), min(left, MOST_HELD * self.bar), number))
            left, number = left - held[-1].length, number + 1
        return {**parts, Hand.LEFT: held}

    def summary(self, setting: Setting) -> str:
        keys = self.keys_in(setting)
        above = begun(chords_words(super().progression_in(keys[0]), setting.label_style))
        where = f"in {keys[0]}" if len(keys) == 1 else f"in {len(keys)} keys, {self.order.value}"
        return f"{above} over a held {self.pedal.value} {where}, {hands_words(self)}"

    def _left(self, key: Key) -> Shape:
        low = self.pedal.note(key).nearest_above(self.lowest.octaves_up(-1))
        return (low,) if self.bass is Bass.SINGLE else (low.octaves_up(-1), low)


def _over(roman: RomanChord, bass: NoteName, key: Key) -> RomanChord:
    """The chord over another bass note; its degree says how the bass lies above the root."""
    chord = replace(roman, bass=None).in_key(key)
    over = None if chord.root == bass else bass
    return replace(roman, bass=recognise(replace(chord, bass=over), key).bass)
