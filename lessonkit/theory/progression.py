"""Progressions: bars of degrees that hold for every key. A bar has one chord or more; bars are never empty."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import TypeVar

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import PLAIN_STYLE, LabelStyle
from lessonkit.theory.roman import RomanChord, recognise
from lessonkit.values import dataclass

MOST_BARS = 200
"""The most bars in a progression."""

MOST_CHORDS_IN_BAR = 8
"""The most chords in one bar."""

REPEAT = "%"
"""Stands for the whole bar before it."""

_LIKE = "write it like Imaj7 | vim7 | IVmaj7 | V7"


@dataclass(frozen=True, slots=True)
class PlacedChord:
    """A chord worked out in a key, with the degree it came from."""

    chord: Chord
    roman: RomanChord


@dataclass(frozen=True, slots=True)
class Progression:
    """Bars of degrees.

    >>> [str(bar[0].chord) for bar in Progression.parse("Imaj7 | vim7 | IVmaj7 | V7").in_key(Key.parse("Ab"))]
    ['A♭maj7', 'Fm7', 'D♭maj7', 'E♭7']
    """

    bars: tuple[tuple[RomanChord, ...], ...]

    def __post_init__(self) -> None:
        if not self.bars or not all(self.bars):
            raise ValueError(f"a progression needs a chord in every bar; {_LIKE}")

    @staticmethod
    @lru_cache(maxsize=1024)
    def parse(text: str) -> Progression:
        """Read bars of degrees parted by ``|``, the chords of a bar by spaces; ``%`` repeats the bar before.

        Raises ValueError with a sentence that names the bar and the chord.
        """
        return Progression(tuple(tuple(_read(RomanChord.parse, *place) for place in bar) for bar in _bars(text)))

    @staticmethod
    def from_symbols(text: str, key: Key) -> Progression:
        """Bars of chord symbols in one key, recognised as degrees; raises ValueError as ``parse`` does."""
        bars = tuple(tuple(_read(Chord.parse, *place) for place in bar) for bar in _bars(text))
        return Progression(tuple(tuple(recognise(chord, key) for chord in bar) for bar in bars))

    def in_key(self, key: Key) -> tuple[tuple[PlacedChord, ...], ...]:
        """The chords of each bar in a key, spelled as they are printed (see ``RomanChord.in_key``)."""
        return tuple(tuple(PlacedChord(roman.in_key(key), roman) for roman in bar) for bar in self.bars)

    @property
    def chords(self) -> tuple[RomanChord, ...]:
        """All degrees in order without their bars."""
        return tuple(roman for bar in self.bars for roman in bar)

    def text(self, style: LabelStyle = PLAIN_STYLE) -> str:
        """The bars as they are printed in a style."""
        return " | ".join(" ".join(roman.text(style) for roman in bar) for bar in self.bars)

    @property
    def ascii(self) -> str:
        """The bars in plain letters, which ``parse`` reads again."""
        return " | ".join(" ".join(roman.ascii for roman in bar) for bar in self.bars)

    def __str__(self) -> str:
        return self.text()

    def __repr__(self) -> str:
        return f"Progression.parse({self.ascii!r})"


_Place = tuple[str, int, int]


def _bars(text: str) -> list[list[_Place]]:
    """The chord texts of each bar with their bar's and their own number; repeat signs are worked out."""
    parts = text.strip().strip("|").replace("||", "|").split("|")
    if len(parts) > MOST_BARS:
        raise ValueError(f"a progression of {len(parts)} bars is longer than {MOST_BARS}")
    bars: list[list[_Place]] = []
    for number, part in enumerate(parts, start=1):
        words = part.split()
        if not words:
            raise ValueError(f"bar {number} has no chord; {_LIKE}" if text.strip() else f"nothing is written; {_LIKE}")
        if len(words) > MOST_CHORDS_IN_BAR:
            raise ValueError(f"bar {number} has {len(words)} chords; a bar holds {MOST_CHORDS_IN_BAR} at most")
        if words == [REPEAT]:
            if not bars:
                raise ValueError(f"bar 1 repeats the bar before it, and there is none; {_LIKE}")
            bars.append(bars[-1])
        else:
            bars.append([(word, number, place) for place, word in enumerate(words, start=1)])
    return bars


_Value = TypeVar("_Value")


def _read(parse: Callable[[str], _Value], word: str, bar: int, place: int) -> _Value:
    try:
        return parse(word)
    except ValueError as error:
        raise ValueError(f"bar {bar}, chord {place}: {error}") from None
