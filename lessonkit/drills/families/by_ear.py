"""By ear: a progression is heard, and only its bass or its first chord is printed; the rest is to be found."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.exercise import Blank
from lessonkit.drills.formula_family import PlacedBars
from lessonkit.drills.minor_twin import in_minor
from lessonkit.drills.progression_family import ProgressionFamily
from lessonkit.drills.puzzle_family import PuzzleFamily
from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.enharmonic import shuffled
from lessonkit.theory.key import Key
from lessonkit.theory.progression import Progression
from lessonkit.values import dataclass


class Source(Enum):
    """Which progressions are heard."""

    DEALT = "dealt from common ones"
    WRITTEN = "the one written below"


class Given(Enum):
    """What the student is shown."""

    BASS = "the bass"
    FIRST = "the first chord's name"
    NOTHING = "nothing"

    @property
    def blank(self) -> frozenset[Blank]:
        """What is left out; the bass is what the left hand plays."""
        asked = {Blank.KEY, Blank.DEGREES, Blank.CHORD_NAMES}
        return frozenset(asked | {Blank.RIGHT_HAND if self is Given.BASS else Blank.NOTES})


_COMMON = tuple(
    Progression.parse(text)
    for text in (
        "Imaj7 | vim7 | IVmaj7 | V7",
        "Imaj7 | vim7 | iim7 | V7",
        "Imaj7 | IVmaj7 | iim7 | V7",
        "Imaj7 | iiim7 | IVmaj7 | V7",
        "iim7 | V7 | Imaj7 | vim7",
        "iim7 | V7 | Imaj7 | IVmaj7",
        "iiim7 | vim7 | iim7 | V7",
        "IVmaj7 | V7 | iiim7 | vim7",
        "vim7 | IVmaj7 | Imaj7 | V7",
        "vim7 | iim7 | V7 | Imaj7",
        "Imaj7 | V7 | vim7 | IVmaj7",
        "IVmaj7 | iiim7 | iim7 | V7",
    )
)
"""Four bars each, all with the dominant seventh that tells the key; common practice, no source."""


@dataclass(frozen=True)
class ByEar(PuzzleFamily):
    """The student hears four chords and writes down the key, their names and their degrees.

    Begin with the bass printed, go on with the first chord's name only, and in the end give nothing. The answers are
    what is heard; puzzles and answers come from the same number. The left hand plays the bass.
    """

    code = "by-ear"
    title = "By ear"
    words = ("ear training", "dictation", "listening", "worksheet", "find the chords", "transcribing")

    source: Source = fields.choice(Source.DEALT, label="Progressions", group="Puzzles")
    progression: Progression = fields.progression(
        "Imaj7 | vim7 | IVmaj7 | V7", label="Progression heard", group="Puzzles",
        help="Bars of degrees parted by |, two or more chords to a bar parted by spaces.",
        applies=lambda drill: drill.source is Source.WRITTEN,
    )  # fmt: skip
    given: Given = fields.choice(Given.BASS, label="The student is given", group="Puzzles")
    count: int = fields.whole(4, least=1, most=15, label="How many puzzles", group="Puzzles")

    @property
    def blank(self) -> frozenset[Blank]:
        return self.given.blank

    def progression_in(self, key: Key) -> Progression:
        return ProgressionFamily.progression_in(self, key)

    def rows_in(self, keys: Sequence[Key]) -> Sequence[PlacedBars]:
        if self.source is Source.WRITTEN:
            return [self.placed_in(key) for key in keys]
        dealt = shuffled(_COMMON, self.seed)
        progressions = [dealt[number % len(dealt)] for number in range(len(keys))]
        return [
            (in_minor(progression) if key.is_minor else progression).in_key(key)
            for progression, key in zip(progressions, keys, strict=True)
        ]

    def labels(self, keys: Sequence[Key], firsts: Sequence[Chord]) -> Sequence[str]:
        numbered = super().labels(keys, firsts)
        if self.given is not Given.FIRST:
            return numbered
        return [label.replace(" ", f" Begins with {first}. ") for label, first in zip(numbered, firsts, strict=True)]

    def summary(self, setting: Setting) -> str:
        given = "nothing given" if self.given is Given.NOTHING else f"{self.given.value} given"
        return f"Listen, and write down the key, the chords and their degrees, {given}"
