"""What families about one chord share: its degree in the key and its quality, so that the chord follows the key."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.exercise import Blank
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.quality import Quality
from lessonkit.theory.roman import RomanChord, degree_note, diatonic_chord, recognise
from lessonkit.theory.scale import Scale
from lessonkit.values import dataclass


class Degree(Enum):
    """A degree of the key on which a chord stands; signs count from the major scale of the tonic."""

    ONE = "1"
    FLAT_TWO = "b2"
    TWO = "2"
    FLAT_THREE = "b3"
    THREE = "3"
    FOUR = "4"
    SHARP_FOUR = "#4"
    FIVE = "5"
    FLAT_SIX = "b6"
    SIX = "6"
    FLAT_SEVEN = "b7"
    SEVEN = "7"

    @property
    def number(self) -> int:
        """The degree without its sign."""
        return int(self.value[-1])

    @property
    def alteration(self) -> int:
        """The sign in semitones."""
        return {"b": -1, "#": 1}.get(self.value[0], 0)


class Size(Enum):
    """How many thirds the key stacks into a chord."""

    TRIAD = "triad"
    SEVENTH = "seventh"
    NINTH = "ninth"

    @property
    def words(self) -> str:
        """Several such chords in words; a seventh alone would be an interval."""
        return {Size.SEVENTH: "seventh chords", Size.NINTH: "ninth chords"}.get(self, "triads")

    @property
    def number(self) -> int:
        """The size as ``diatonic_chord`` counts it."""
        return {Size.TRIAD: 3, Size.SEVENTH: 7, Size.NINTH: 9}[self]


@dataclass(frozen=True)
class ChordFamily(DrillFamily):
    """A family about one chord on a degree of the key."""

    degree: Degree = fields.choice(
        Degree.ONE, label="Chord on degree", group="Chord",
        help="The chord moves with the key: on degree 4 it is F in C major and A♭ in E♭ major.",
    )  # fmt: skip
    quality: Quality | None = fields.quality_or_key(
        label="Chord quality", group="Chord", help="As the key has it, unless a quality is chosen."
    )
    size: Size = fields.choice(
        Size.SEVENTH, label="Size of the key's chord", group="Chord", applies=lambda drill: drill.quality is None
    )

    def answers_in_summary(self, setting: Setting) -> dict[str, str]:
        if Blank.CHORD_NAMES not in self.worksheet.blank:
            return {}
        return {self.chord_in(setting)[0].symbol(setting.label_style): "a chord"}

    def chord_in(self, setting: Setting) -> tuple[Chord, RomanChord]:
        """The chord and its degree; raises ValueError where the key has no chord of its own on the degree."""
        key = self.key_in(setting)
        root = degree_note(key.tonic, key.mode, self.degree.number, self.degree.alteration)
        if self.quality is not None:
            degree = recognise(Chord(root, self.quality), key)
            return degree.in_key(key), degree
        names = Scale.of_key(key).names
        if root not in names:
            shown = self.degree.value.replace("b", "♭").replace("#", "♯")
            raise ValueError(f"{key} has no chord of its own on its degree {shown}; choose a chord quality")
        chord = diatonic_chord(key, names.index(root) + 1, self.size.number)
        return chord, recognise(chord, key)
