"""Carries chords into the other mode: each chord of the key becomes the one on the same degree of minor or major."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.theory.progression import Progression
from lessonkit.theory.roman import RomanChord

_TABLE = {
    "I": "i", "Imaj7": "im7", "I6": "im6", "Imaj9": "im9",
    "ii": "iidim", "iim7": "iim7b5", "iim9": "iim7b5",
    "iii": "III", "iiim7": "IIImaj7",
    "IV": "iv", "IVmaj7": "ivm7", "IV6": "ivm6", "IVmaj9": "ivm9",
    "V9": "V7b9", "V13": "V7b9b13", "I6/9": "im6/9",
    "vi": "VI", "vim7": "VImaj7", "vim9": "VImaj9",
    "viim7b5": "viidim7",
    "I7": "im7", "IV7": "ivm7",
}  # fmt: skip
"""Common practice, no source: the fifth degree keeps its major third and takes the minor key's ninth and thirteenth;
the seventh degree keeps its leading note; the dominant sevenths on I and IV are those of a blues."""

_TWINS = {RomanChord.parse(major): RomanChord.parse(minor) for major, minor in _TABLE.items()}

_BACK = {
    "i": "I", "im7": "Imaj7", "im6": "I6", "im9": "Imaj9", "im6/9": "I6/9", "im(maj7)": "Imaj7",
    "iidim": "ii", "iim7b5": "iim7", "III": "iii", "IIImaj7": "iiim7",
    "iv": "IV", "ivm7": "IVmaj7", "ivm6": "IV6", "ivm9": "IVmaj9",
    "v": "V", "vm7": "V7", "V7b9": "V9", "V7b9b13": "V13",
    "VI": "vi", "VImaj7": "vim7", "VImaj9": "vim9", "viidim7": "viim7b5", "viidim": "viidim",
}  # fmt: skip
"""From minor to major; common practice, no source. The dominant seventh on VII is left to what it leads to."""

_TWINS_BACK = {RomanChord.parse(minor): RomanChord.parse(major) for minor, major in _BACK.items()}


def in_minor(progression: Progression) -> Progression:
    """The progression as it is in minor: ``Imaj7 | vim7 | IVmaj7 | V7`` becomes ``im7 | VImaj7 | ivm7 | V7``.

    A chord that does not belong to the major key stays as it is; a chord over another bass keeps that degree of it.
    """
    return Progression(tuple(tuple(_twin(roman) for roman in bar) for bar in progression.bars))


def twin(roman: RomanChord, to_minor: bool) -> RomanChord | None:
    """The chord on the same degree of minor, or of major; None for a chord that does not belong to its key."""
    found = (_TWINS if to_minor else _TWINS_BACK).get(replace(roman, bass=None))
    return None if found is None else _over_same_degree(found, roman)


def _twin(roman: RomanChord) -> RomanChord:
    return twin(roman, True) or roman


def _over_same_degree(twin: RomanChord, roman: RomanChord) -> RomanChord:
    if roman.bass is None:
        return twin
    number = roman.bass.lstrip("b#")
    own = {degree.lstrip("b#"): degree for degree in twin.quality.degrees}
    return replace(twin, bass=own.get(number, roman.bass))
