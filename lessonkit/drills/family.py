"""What a drill family is: a frozen dataclass whose fields declare the form, the file and the checks.

A family is one file in ``families/``. Its class says its ``code`` (never changed once shipped), its ``title`` and, in
the first paragraph of its docstring, what it is for; its fields are made with the functions of ``fields.py``; its
``build`` works the drill out. Nothing else needs to know that it exists.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache
from typing import Any, ClassVar

from lessonkit.drills import fields
from lessonkit.drills.declared import Declared
from lessonkit.drills.exercise import Exercise, FingersShown, Hand, Meter
from lessonkit.drills.setting import Setting
from lessonkit.hands.easier import As, Easier
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch

MOST_TYPED = 512
"""The most fingers that can be typed for one hand."""


class Hands(Enum):
    """Who plays."""

    RIGHT = "right"
    LEFT = "left"
    BOTH = "both"


class Direction(Enum):
    """Which way a drill goes."""

    UP = "up"
    DOWN = "down"
    UP_AND_DOWN = "up and down"


class Metre(Enum):
    """The metre on the page; free time prints no time signature and bars follow the groups."""

    FREE = "free"
    FOUR_FOUR = "4/4"
    THREE_FOUR = "3/4"
    TWO_FOUR = "2/4"
    SIX_EIGHT = "6/8"
    TWELVE_EIGHT = "12/8"

    @property
    def meter(self) -> Meter | None:
        """The time signature, or None in free time."""
        if self is Metre.FREE:
            return None
        beats, unit = self.value.split("/")
        return Meter(int(beats), int(unit))


class Texture(Enum):
    """What a hand does with single notes; solid chords are known by themselves."""

    FROM_NOTES = "as the notes lie"
    POSITIONS = "each group in one position of the hand"
    LINE = "one note after another"
    APART = "each group by itself, the hand lifted between them"


class FingersHold(Enum):
    """Where the fingers that a teacher typed hold."""

    EVERY_KEY = "in every key"
    ONE_KEY = "in one key only"


@dataclass(frozen=True, slots=True)
class PlayedChord:
    """One chord in an inversion, played as runs or as jumps, so that its difficulty and easier ways can be told."""

    chord: Chord
    inversion: int
    played: As


def begin_near(default: str) -> Any:
    """A field for the note near which a drill begins."""
    return fields.pitch(
        default, label="Begin near", group="Hands and range",
        help="The right hand begins at the nearest fitting note from here up; the left hand an octave or more below.",
    )  # fmt: skip


@dataclass(frozen=True)
class DrillFamily(Declared):
    """The settings that every family has; a family adds its own below them."""

    code: ClassVar[str] = ""
    words: ClassVar[tuple[str, ...]] = ()
    """More words under which a teacher may search for the family."""
    tensions: ClassVar[tuple[str, ...]] = ()
    """Degrees that the family's shapes may add to what chord symbols say, as a rootless shape adds the ninth."""
    has_passing_notes: ClassVar[bool] = False
    """Whether the family plays notes that do not belong to the chord named above them, as lines and scales do."""

    key: Key | None = fields.key(
        label="Key", group="Key", help="The drill follows the lesson's key unless one is chosen here."
    )
    hands: Hands = fields.choice(Hands.RIGHT, label="Hands", group="Hands and range")
    lowest: Pitch = begin_near("Gb3")
    octaves: int = fields.whole(2, least=1, most=4, label="Octaves", group="Hands and range")
    direction: Direction = fields.choice(Direction.UP_AND_DOWN, label="Direction", group="Hands and range")
    note_length: Fraction = fields.note_value("1/8", label="Note length", group="Time")
    metre: Metre = fields.choice(Metre.FOUR_FOUR, label="Metre", group="Time")
    shows_chord_names: bool = fields.yes_no(True, label="Chord names", group="On the page")
    shows_degrees: bool = fields.yes_no(False, label="Degrees", group="On the page")
    fingers_shown: FingersShown = fields.choice(FingersShown.ALL, label="Fingers", group="On the page")
    right_fingers: tuple[int, ...] = fields.numbers(
        label="Right hand fingers", group="Fingers typed", least=0, most=5, longest=MOST_TYPED,
        help="Fingers that must be, counted from each key's first note, 1 the thumb; 0 leaves a note to the program.",
    )  # fmt: skip
    left_fingers: tuple[int, ...] = fields.numbers(
        label="Left hand fingers", group="Fingers typed", least=0, most=5, longest=MOST_TYPED,
        help="Fingers that must be, counted from each key's first note, 1 the thumb; 0 leaves a note to the program.",
    )  # fmt: skip
    fingers_hold: FingersHold = fields.choice(
        FingersHold.EVERY_KEY, label="Typed fingers hold", group="Fingers typed",
        applies=lambda drill: any(drill.right_fingers + drill.left_fingers),
    )  # fmt: skip
    fingers_key: Key | None = fields.key(
        label="Typed in", group="Fingers typed", moves=False,
        help="In other keys you are told where typed fingers meet other black and white keys.",
        applies=lambda drill: any(drill.right_fingers + drill.left_fingers),
    )  # fmt: skip

    def build(self, setting: Setting) -> Exercise:
        """Work the drill out; raises ValueError with a sentence where the settings do not go together."""
        raise TypeError(f"{type(self).__name__} does not say how it is built")

    def summary(self, setting: Setting) -> str:
        """The drill in one line of plain words, as it is spoken and listed."""
        return self.title

    def texture(self) -> Texture:
        """What a hand does with the drill's single notes; a family says so where the notes leave it open."""
        return Texture.FROM_NOTES

    def played_chord(self, setting: Setting) -> PlayedChord | None:
        """The one chord that the drill plays as runs or jumps, or None where it does something else."""
        return None

    def eased(self, way: Easier, setting: Setting) -> DrillFamily | None:
        """The drill changed in one of the ways that make its ``played_chord`` easier, or None if it cannot say it."""
        return None

    def key_in(self, setting: Setting) -> Key:
        """The drill's key: its own, or the lesson's."""
        return self.key or setting.key

    @property
    def playing_hands(self) -> tuple[Hand, ...]:
        """The hands that play."""
        both = (Hand.RIGHT, Hand.LEFT)
        return {Hands.RIGHT: (Hand.RIGHT,), Hands.LEFT: (Hand.LEFT,), Hands.BOTH: both}[self.hands]

    @classmethod
    def about(cls) -> str:
        """What the family is for, from its docstring's first paragraph."""
        return " ".join((inspect.getdoc(cls) or "").split("\n\n")[0].split())


@cache
def families() -> dict[str, type[DrillFamily]]:
    """Every family by its code, found in ``families/`` and sorted by title."""
    package = importlib.import_module("lessonkit.drills.families")
    found: dict[str, type[DrillFamily]] = {}
    for module in pkgutil.iter_modules(package.__path__):
        loaded = importlib.import_module(f"{package.__name__}.{module.name}")
        for value in vars(loaded).values():
            is_own = isinstance(value, type) and value.__module__ == loaded.__name__
            if is_own and issubclass(value, DrillFamily) and value.code:
                if value.code in found:
                    raise TypeError(f"two drill families share the code {value.code!r}")
                found[value.code] = value
    return dict(sorted(found.items(), key=lambda item: item[1].title))


def family(code: str) -> type[DrillFamily]:
    """The family of a code; raises ValueError with the known ones."""
    known = families()
    if code not in known:
        raise ValueError(f"{code!r} is not a drill family; the families are {', '.join(known)}")
    return known[code]
