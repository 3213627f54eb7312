"""A teacher's own chord chart: bars of chord symbols in a key, or of degrees, and the plain text of it.

``in F | Gm7 | C7 / / Gb7 | Fmaj7 | %``: the key first, then bars parted by ``|``. A stroke gives the chord before it
another share of the bar; ``%`` is the bar before again, ``%%`` the two bars before; ``|:`` and ``:|`` stand around bars
that are played twice. Degrees such as ``iim7 | V7 | Imaj7`` need no key.
"""

from __future__ import annotations

import re
from functools import lru_cache

from lessonkit.drills.carrying import carried_chords
from lessonkit.drills.minor_twin import in_minor
from lessonkit.drills.phrase import key_and_rest
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.progression import MOST_BARS, MOST_CHORDS_IN_BAR, Progression
from lessonkit.theory.roman import RomanChord
from lessonkit.values import dataclass

MOST_TEXT = 6000
"""The longest text of a chart, in characters."""

BAR_LINE, STROKE, AGAIN, TWO_AGAIN = "|", "/", "%", "%%"

LIKE = "write it like in F | Gm7 | C7 / / Gb7 | Fmaj7 | %, or in degrees like iim7 | V7 | Imaj7"

BARS_ON_A_LINE = 4
"""How many bars the text has on a line."""

_DEGREE = re.compile(r"(?:sub)?[b♭#♯]*(?:[IViv])")


@dataclass(frozen=True, slots=True)
class Share:
    """A chord, or a degree, and how many shares of its bar it has."""

    chord: Chord | RomanChord
    shares: int = 1


@dataclass(frozen=True, slots=True)
class Charted:
    """A chord of a chart in a key, as it is printed, with its degree where it has one and its shares of the bar."""

    chord: Chord
    degree: RomanChord | None
    shares: int


@dataclass(frozen=True, slots=True)
class Chart:
    """Bars of chords in the key they are typed in, or of degrees where there is none.

    >>> Chart.parse("in F | Gm7 | C7 / / Gb7").ascii
    'in F | Gm7 | C7 / / Gb7'
    """

    key: Key | None
    bars: tuple[tuple[Share, ...], ...]

    def __post_init__(self) -> None:
        if not self.bars or not all(self.bars):
            raise ValueError(f"a chart needs a chord in every bar; {LIKE}")
        if len(self.bars) > MOST_BARS:
            raise ValueError(f"a chart of {len(self.bars)} bars is longer than {MOST_BARS}")

    @staticmethod
    @lru_cache(maxsize=256)
    def parse(text: str) -> Chart:
        """Read the text; raises ValueError with a sentence that names the bar and the chord."""
        if len(text) > MOST_TEXT:
            raise ValueError(f"a chart of {len(text)} characters is longer than {MOST_TEXT}")
        first = text.replace(BAR_LINE, " ").replace(":", " ").split()
        if not first:
            raise ValueError(f"nothing is written; {LIKE}")
        if first[0].lower() != "in" and _DEGREE.match(first[0]):
            return Chart(None, _read(text, is_degrees=True))
        key, rest = key_and_rest(text, LIKE)
        return Chart(key, _read(rest, is_degrees=False))

    def in_key(self, key: Key, follows_mode: bool = True) -> tuple[tuple[Charted, ...], ...]:
        """The bars in another key, or where they were typed.

        In a key of the other mode, where that is followed, chords become those on the same degrees of the new key.
        """
        if self.key is None:
            return self._degrees_in(key, follows_mode)
        flat = tuple(share.chord for bar in self.bars for share in bar if isinstance(share.chord, Chord))
        carried = iter(carried_chords(flat, self.key, key, follows_mode))
        return tuple(
            tuple(
                Charted(one.printed, one.degree, share.shares)
                for share, one in ((share, next(carried)) for share in bar)
            )
            for bar in self.bars
        )  # fmt: skip

    def _degrees_in(self, key: Key, follows_mode: bool) -> tuple[tuple[Charted, ...], ...]:
        flat = tuple(share.chord for bar in self.bars for share in bar if isinstance(share.chord, RomanChord))
        degrees = in_minor(Progression((flat,))).bars[0] if follows_mode and key.is_minor else flat
        left = iter(degrees)
        return tuple(
            tuple(
                Charted(roman.in_key(key), roman, share.shares)
                for share, roman in ((share, next(left)) for share in bar)
            )
            for bar in self.bars
        )  # fmt: skip

    @property
    def ascii(self) -> str:
        """The chart in plain letters, which ``parse`` reads again; repeats are written out."""
        bars = [
            AGAIN if place and bar == self.bars[place - 1] else _written(bar) for place, bar in enumerate(self.bars)
        ]
        lines = [bars[first : first + BARS_ON_A_LINE] for first in range(0, len(bars), BARS_ON_A_LINE)]
        head = "" if self.key is None else f"in {self.key.ascii} | "
        return head + " |\n".join(" | ".join(line) for line in lines)

    def __str__(self) -> str:
        return self.ascii

    def __repr__(self) -> str:
        return f"Chart.parse({self.ascii!r})"


def _written(bar: tuple[Share, ...]) -> str:
    return " ".join(" ".join([share.chord.ascii, *[STROKE] * (share.shares - 1)]) for share in bar)


_Bars = list[tuple[Share, ...]]


OPEN, CLOSE, CLOSE_AND_OPEN = "|:", ":|", ":|:"
_SIGN = re.compile(r":\|:|\|:|:\|+|\|+|[^\s|:]+|:")


def _read(text: str, is_degrees: bool) -> tuple[tuple[Share, ...], ...]:
    """The bars with all their repeats written out."""
    bars: _Bars = []
    words: list[str] = []
    began, number = 0, 0
    for sign in [*_SIGN.findall(text), BAR_LINE]:
        if sign[0] not in "|:":
            words.append(sign)
            continue
        if sign == ":":
            raise ValueError(f"bar {number + 1}: a colon stands alone; write |: and :| around bars that come twice")
        if words:
            number += 1
            bars += _bar(words, number, bars, is_degrees)
            words = []
        if sign.startswith(CLOSE):
            bars += bars[began:]
        if sign.startswith(CLOSE) or sign == OPEN:
            began = len(bars)
        if len(bars) > MOST_BARS:
            raise ValueError(f"a chart of {len(bars)} bars is longer than {MOST_BARS}")
    if not bars:
        raise ValueError(f"the chart has no chord; {LIKE}")
    return tuple(bars)


def _bar(words: list[str], number: int, before: _Bars, is_degrees: bool) -> _Bars:
    """What one written bar stands for: itself, or the bars that it says again."""
    if words[0] in (AGAIN, TWO_AGAIN):
        wanted = len(words[0])
        if len(words) > 1:
            raise ValueError(f"bar {number}: {words[0]} stands for whole bars; write nothing beside it")
        if len(before) < wanted:
            raise ValueError(f"bar {number}: {words[0]} has too few bars before it to say again")
        return before[-wanted:]
    shares: list[Share] = []
    for place, word in enumerate(words, start=1):
        if word == STROKE:
            if not shares:
                raise ValueError(
                    f"bar {number} begins with a stroke; write a chord first, or {AGAIN} for the bar before"
                )
            shares[-1] = Share(shares[-1].chord, shares[-1].shares + 1)
            continue
        try:
            shares.append(Share(RomanChord.parse(word) if is_degrees else Chord.parse(word)))
        except ValueError as error:
            raise ValueError(f"bar {number}, place {place}: {error}") from None
    if sum(share.shares for share in shares) > MOST_CHORDS_IN_BAR:
        raise ValueError(f"bar {number} has more than {MOST_CHORDS_IN_BAR} chords and strokes; part it into two bars")
    return [tuple(shares)]
