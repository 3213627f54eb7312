"""Musical values in the words of a form."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from desktop.words import english, say
from lessonkit.theory.key import Key
from lessonkit.theory.quality import Quality

_LENGTHS = {
    Fraction(1): english("Whole notes"),
    Fraction(1, 2): english("Half notes"),
    Fraction(1, 4): english("Quarter notes"),
    Fraction(1, 8): english("Eighth notes"),
    Fraction(1, 12): english("Eighth triplets"),
    Fraction(1, 16): english("Sixteenth notes"),
    Fraction(1, 24): english("Sixteenth triplets"),
}


def capital(words: str) -> str:
    """The words with a capital at the start, the rest as it is."""
    return words[:1].upper() + words[1:]


def length_words(length: Fraction) -> str:
    """A note length in words."""
    return say(_LENGTHS.get(length, str(length)))


def quality_words(quality: Quality) -> str:
    """A chord quality in words, with what is written after the root."""
    words = capital(say(quality.words))
    suffix = quality.suffix.replace("b", "♭").replace("#", "♯")
    return f"{words}  ({suffix})" if suffix else words


def list_text(keys: Sequence[Key]) -> str:
    """Keys as they are typed."""
    return ", ".join(f"{key.tonic}m" if key.ascii.endswith("m") else str(key.tonic) for key in keys)


def numbers_text(numbers: Sequence[int]) -> str:
    """Numbers as they are typed."""
    return " ".join(str(number) for number in numbers)


def unit_words(unit: str, count: int) -> str:
    """A unit as it is said of a count: ``bars``, but one ``bar``."""
    first, blank, rest = unit.partition(" ")
    return (first.removesuffix("s") if count == 1 else first) + blank + rest
