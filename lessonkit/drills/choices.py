"""The choices that every drill has: hands, direction, metre, what a hand does, faces of chord names, typed fingers."""

from __future__ import annotations

from dataclasses import replace
from enum import Enum
from functools import cache

from lessonkit.drills.exercise import Meter
from lessonkit.theory.label_style import LabelStyle


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
        return _meter_of(self)


@cache
def _meter_of(metre: Metre) -> Meter | None:
    if metre is Metre.FREE:
        return None
    beats, unit = metre.value.split("/")
    return Meter(int(beats), int(unit))


class Texture(Enum):
    """What a hand does with single notes; solid chords are known by themselves."""

    FROM_NOTES = "as the notes lie"
    POSITIONS = "each group in one position of the hand"
    LINE = "one note after another"
    APART = "each group by itself, the hand lifted between them"


class Turning(Enum):
    """How often the note or chord is struck on which a drill turns back."""

    ONCE = "once"
    TWICE = "twice"


class Faces(Enum):
    """In which faces a drill's chord names are written."""

    LESSON = "as the lesson"
    LETTERS = "in letters: Cmaj7, Cm7♭5, C°7"
    SIGNS = "in signs: CΔ7, Cø7, C°7"

    def of(self, style: LabelStyle) -> LabelStyle:
        """The style of a drill in a lesson that has a style of its own."""
        if self is Faces.LETTERS:
            return LabelStyle(numerals=style.numerals, notes=style.notes)
        return replace(style, half_diminished="ø7", major_seventh="Δ7") if self is Faces.SIGNS else style


class ShownAs(Enum):
    """What a drill is read from; a worksheet is always on staves, since anything else would give its answers away."""

    STAVES = "staves"
    LEFT_IN_LETTERS = "staves, the left hand in letters besides"
    LETTERS = "letters"
    PICTURES = "keyboard pictures and letters"
    EAR = "by ear"


class Wide(Enum):
    """What is done where a hand cannot reach."""

    AS_WRITTEN = "as written"
    ROLLED = "rolled, in lines lifted"


class FingersHold(Enum):
    """Where the fingers that a teacher typed hold."""

    EVERY_KEY = "in every key"
    ONE_KEY = "in one key only"
