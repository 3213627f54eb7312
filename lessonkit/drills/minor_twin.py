"""Carries a progression into minor: each chord of the major key becomes the minor key's on its degree."""

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


def in_minor(progression: Progression) -> Progression:
    """The progression as it is in minor: ``Imaj7 | vim7 | IVmaj7 | V7`` becomes ``im7 | VImaj7 | ivm7 | V7``.

    A chord that does not belong to the major key stays as it is; a chord over another bass keeps that degree of it.
    """
    return Progression(tuple(tuple(_twin(roman) for roman in bar) for bar in progression.bars))


def _twin(roman: RomanChord) -> RomanChord:
    twin = _TWINS.get(replace(roman, bass=None))
    if twin is None or roman.bass is None:
        return twin or roman
    number = roman.bass.lstrip("b#")
    own = {degree.lstrip("b#"): degree for degree in twin.quality.degrees}
    return replace(twin, bass=own.get(number, roman.bass))
