"""Chord qualities: what a chord is made of above its root. Tones are spelled; each degree has its own letter."""

from __future__ import annotations

from functools import cache, lru_cache

from lessonkit.theory.authority import worked_out
from lessonkit.theory.pitch import NATURAL_SEMITONES, Interval
from lessonkit.values import dataclass

_NUMBERS = tuple(str(number) for number in range(1, 14))


@cache
def interval_of_degree(degree: str) -> Interval:
    """The interval above a root that a degree such as ``5``, ``b7`` or ``#9`` names, counted from the major scale.

    Reads ``♭`` and ``♯`` too; raises ValueError with a sentence for anything that is not a degree from 1 to 13.
    """
    plain = degree.strip().replace("♭", "b").replace("♯", "#")
    number = plain.lstrip("b#")
    sign = plain[: len(plain) - len(number)]
    if sign not in ("b" * len(sign), "#" * len(sign)) or len(sign) > 8 or number not in _NUMBERS:
        raise ValueError(f"{degree!r} is not a chord degree; write it like 3, b7 or #9")
    steps = int(number) - 1
    octaves, within = divmod(steps, 7)
    alteration = len(sign) if sign.startswith("#") else -len(sign)
    return Interval(steps, 12 * octaves + NATURAL_SEMITONES[within] + alteration)


@cache
def degree_of_interval(interval: Interval) -> str:
    """The degree that an upward interval is: ``b7`` for a minor seventh, ``#9`` for an augmented ninth."""
    plain = interval_of_degree(str(interval.steps + 1))
    off = interval.semitones - plain.semitones
    return ("#" * off if off > 0 else "b" * -off) + str(interval.steps + 1)


@dataclass(frozen=True, slots=True)
class Quality:
    """What a chord is made of above its root.

    ``key`` is the plain name that stands in files and never changes; ``tones`` are the intervals from the root, root
    first and low to high, with extensions as ninths, elevenths and thirteenths; ``words`` is how it is spoken.

    >>> Quality.named("m7b5").degrees
    ('1', 'b3', 'b5', 'b7')
    """

    key: str
    tones: tuple[Interval, ...]
    words: str

    @property
    def degrees(self) -> tuple[str, ...]:
        """The degree of each tone, counted from the major scale of the root: ``("1", "b3", "b5", "b7")``."""
        return _degrees(self)

    @property
    def suffix(self) -> str:
        """What follows the root in a plain chord symbol; nothing for a major triad."""
        return "" if self.key == "maj" else self.key

    @property
    def is_minor(self) -> bool:
        """Whether the chord has a minor third."""
        return any(tone.steps == 2 and tone.semitones == 3 for tone in self.tones)

    @staticmethod
    def named(key: str) -> Quality:
        """The quality of a plain name; raises ValueError with a sentence where there is none."""
        quality = _by_key().get(key)
        if quality is None:
            raise ValueError(f"{key!r} is not a chord quality; write it like maj7 or m7b5")
        return quality

    def __hash__(self) -> int:
        # Chords are looked up all the time; the plain name tells qualities apart, and equality still compares all.
        return hash(self.key)

    def __repr__(self) -> str:
        return f"Quality.named({self.key!r})"


@lru_cache(maxsize=256)
def _degrees(quality: Quality) -> tuple[str, ...]:
    return tuple(degree_of_interval(tone) for tone in quality.tones)


KEPT = ""
"""Stands in a table for degrees that music21 has worked out (``worked_out.json``); the others are our own entries,
common practice, no source."""

_TABLE = (
    # Triads and chords of two and three notes.
    ("maj", KEPT, "major"),
    ("m", KEPT, "minor"),
    ("dim", KEPT, "diminished"),
    ("aug", KEPT, "augmented"),
    ("sus2", KEPT, "suspended second"),
    ("sus4", KEPT, "suspended fourth"),
    ("5", KEPT, "fifth"),
    # Sixths and sevenths.
    ("6", KEPT, "major sixth"),
    ("m6", KEPT, "minor sixth"),
    ("maj7", KEPT, "major seventh"),
    ("7", KEPT, "dominant seventh"),
    ("m7", KEPT, "minor seventh"),
    ("m7b5", KEPT, "half-diminished seventh"),
    ("dim7", KEPT, "diminished seventh"),
    ("m(maj7)", KEPT, "minor with major seventh"),
    ("maj7#5", KEPT, "major seventh sharp five"),
    ("7#5", KEPT, "augmented seventh"),
    ("7sus4", KEPT, "dominant seventh suspended fourth"),
    ("7b5", KEPT, "dominant seventh flat five"),
    # Altered dominants.
    ("7b9", "1 3 5 b7 b9", "dominant seventh flat nine"),
    ("7#9", "1 3 5 b7 #9", "dominant seventh sharp nine"),
    ("7#11", "1 3 5 b7 #11", "dominant seventh sharp eleven"),
    ("7b13", "1 3 5 b7 b13", "dominant seventh flat thirteen"),
    ("7b9b13", "1 3 5 b7 b9 b13", "dominant seventh flat nine flat thirteen"),
    ("7alt", "1 3 #5 b7 #9", "altered dominant seventh"),
    # Added notes and ninths.
    ("add9", "1 3 5 9", "major added ninth"),
    ("m(add9)", "1 b3 5 9", "minor added ninth"),
    ("6/9", "1 3 5 6 9", "six nine"),
    ("m6/9", "1 b3 5 6 9", "minor six nine"),
    ("9", KEPT, "dominant ninth"),
    ("maj9", KEPT, "major ninth"),
    ("m9", KEPT, "minor ninth"),
    ("9sus4", "1 4 5 b7 9", "dominant ninth suspended fourth"),
    ("maj7#11", "1 3 5 7 #11", "major seventh sharp eleven"),
    # Elevenths and thirteenths. The natural eleventh is left out above a major third in thirteenths (common practice).
    ("11", KEPT, "dominant eleventh"),
    ("m11", KEPT, "minor eleventh"),
    ("13", "1 3 5 b7 9 13", "dominant thirteenth"),
    ("maj13", "1 3 5 7 9 13", "major thirteenth"),
    ("m13", KEPT, "minor thirteenth"),
)

_SCALE_NINTHS_TABLE = (
    ("m7b9", "1 b3 5 b7 b9", "minor seventh flat nine"),
    ("m7b5b9", "1 b3 b5 b7 b9", "half-diminished seventh flat nine"),
    ("m9b5", "1 b3 b5 b7 9", "half-diminished ninth"),
    ("m(maj9)", "1 b3 5 7 9", "minor with major ninth"),
    ("maj9#5", "1 3 #5 7 9", "major ninth sharp five"),
    ("maj7#9", "1 3 5 7 #9", "major seventh sharp nine"),
    ("dim7b9", "1 b3 b5 bb7 b9", "diminished seventh flat nine"),
)


_UPPER_STRUCTURES_TABLE = (
    ("13#11", "1 3 5 b7 9 #11 13", "dominant thirteenth sharp eleven"),
    ("13b9", "1 3 5 b7 b9 13", "dominant thirteenth flat nine"),
    ("13b9#11", "1 3 5 b7 b9 #11 13", "dominant thirteenth flat nine sharp eleven"),
    ("7b9#11", "1 3 5 b7 b9 #11", "dominant seventh flat nine sharp eleven"),
    ("7#9#11", "1 3 5 b7 #9 #11", "dominant seventh sharp nine sharp eleven"),
)


def _tones(key: str, degrees: str) -> tuple[Interval, ...]:
    if degrees == KEPT:
        return tuple(Interval.parse(name) for name in worked_out()["qualities"][key])
    return tuple(interval_of_degree(degree) for degree in degrees.split())


QUALITIES: tuple[Quality, ...] = tuple(Quality(key, _tones(key, degrees), words) for key, degrees, words in _TABLE)
"""Every quality in the order in which they are taught."""


SCALE_NINTHS: tuple[Quality, ...] = tuple(
    Quality(key, _tones(key, degrees), words) for key, degrees, words in _SCALE_NINTHS_TABLE
)
"""The ninth chords that the degrees of major, harmonic and melodic minor make beside those of ``QUALITIES``."""

UPPER_STRUCTURES: tuple[Quality, ...] = tuple(
    Quality(key, _tones(key, degrees), words) for key, degrees, words in _UPPER_STRUCTURES_TABLE
)
"""The dominants that triads over third and seventh make beside those of ``QUALITIES`` (common practice, no source)."""

ALL_QUALITIES = QUALITIES + SCALE_NINTHS + UPPER_STRUCTURES


@lru_cache(maxsize=1)
def _by_key() -> dict[str, Quality]:
    return {quality.key: quality for quality in ALL_QUALITIES}
