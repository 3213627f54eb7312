"""Intros and endings: the formulas that begin and close a number, in two, four or eight bars."""

from __future__ import annotations

from enum import Enum
from itertools import groupby

from lessonkit.drills import fields
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.drills.wording import chords_words
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.progression import Progression
from lessonkit.theory.roman import RomanChord
from lessonkit.values import dataclass


class Kind(Enum):
    """Which formula is played."""

    TURNAROUND = "intro: turnaround"
    VAMP = "intro: vamp"
    PEDAL = "intro: the fifth held in the bass"
    LAST_PHRASE = "intro: last phrase"
    TAG = "ending: tag"
    FLAT_TWO = "ending: flat two"
    BACKDOOR = "ending: by the flat seventh degree"
    PLAGAL = "ending: minor fourth degree"
    DESCENT = "ending: chromatic descent"

    @property
    def is_intro(self) -> bool:
        """Whether it leads in; otherwise it closes."""
        return self.value.startswith("intro")

    @property
    def bars(self) -> tuple[str, str]:
        """Four bars in major and in minor."""
        return _BARS[self]


_BARS = {
    Kind.TURNAROUND: (
        "Imaj7 vim7 | iim7 V7 | iiim7 VI7 | iim7 V7", "im7 VImaj7 | iim7b5 V7 | IIImaj7 VI7 | iim7b5 V7",
    ),
    Kind.VAMP: (
        "Imaj7 iim7 | iiim7 iim7 | Imaj7 iim7 | iiim7 V7", "im7 VII7 | VImaj7 VII7 | im7 VII7 | VImaj7 V7",
    ),
    Kind.PEDAL: (
        "iim7/4 V7 | I/5 V7 | iim7/4 V7 | I/5 V7", "iim7b5/4 V7 | i/5 V7 | iim7b5/4 V7 | i/5 V7",
    ),
    Kind.LAST_PHRASE: (
        "IVmaj7 ivm6 | iiim7 VI7 | iim7 V7 | Imaj7 V7", "ivm7 VII7 | IIImaj7 VImaj7 | iim7b5 V7 | im7 V7",
    ),
    Kind.TAG: ("iiim7 VI7 | iim7 V7 | Imaj7 | Imaj7", "IIImaj7 VI7 | iim7b5 V7 | im6 | im6"),
    Kind.FLAT_TWO: ("iim7 V7 | bIImaj7 | Imaj7 | Imaj7", "iim7b5 V7 | bIImaj7 | im6 | im6"),
    Kind.BACKDOOR: ("ivm7 | bVII7 | Imaj7 | Imaj7", "ivm7 | VII7 | im6 | im6"),
    Kind.PLAGAL: ("IV | ivm6 | I | I", "ivm7 | ivm6 | i | i"),
    Kind.DESCENT: (
        "#ivm7b5 ivm6 | iiim7 bIIIdim7 | iim7 bIImaj7 | Imaj7", "#ivm7b5 ivm6 | IIImaj7 | iim7b5 bIImaj7 | im6",
    ),
}  # fmt: skip
"""Common practice, no source."""


class Length(Enum):
    """How long the formula lasts."""

    TWO = "two bars"
    FOUR = "four bars"
    EIGHT = "eight bars"


@dataclass(frozen=True)
class IntrosAndEndings(FormulaFamily):
    """A number begins and ends in good order when the pianist has a few formulas ready in every key.

    Intros end on the dominant and lead in; endings come to rest on the tonic and fill their last bar. An intro of eight
    bars plays its four twice and one of two bars is its second half; an ending goes at half or double the pace.
    """

    code = "intros-and-endings"
    title = "Intros and endings"
    words = ("introduction", "coda", "tag", "outro", "backdoor", "plagal", "vamp", "pedal point", "last bars")

    kind: Kind = fields.choice(Kind.TAG, label="Formula", group="Progression")
    length: Length = fields.choice(Length.FOUR, label="Length", group="Progression")

    def formula(self, is_minor: bool) -> str:
        bars = Progression.parse(self.kind.bars[is_minor]).bars
        if self.length is not Length.FOUR:
            bars = _IN_LENGTH[self.kind.is_intro, self.length](bars)
        return Progression(bars).ascii

    def phrase(self, key: Key, style: LabelStyle) -> str:
        what = self.kind.value[0].upper() + self.kind.value[1:]
        return f"{what}, {self.length.value}: {chords_words(self.progression_in(key), style)}"


_Bars = tuple[tuple[RomanChord, ...], ...]


def _slower(bars: _Bars) -> _Bars:
    """Each bar's chords over two bars."""
    return tuple(half for bar in bars for half in ((bar[:1], bar[1:]) if len(bar) == 2 else (bar, bar)))


def _faster(bars: _Bars) -> _Bars:
    """Two bars' chords in one; a chord that was held is written once."""
    pairs = (bars[:2], bars[2:])
    return tuple(tuple(roman for roman, _ in groupby(one + two)) for one, two in pairs)


_IN_LENGTH = {
    (True, Length.TWO): lambda bars: bars[2:],
    (True, Length.EIGHT): lambda bars: bars + bars,
    (False, Length.TWO): _faster,
    (False, Length.EIGHT): _slower,
}
