"""Where an English word may be parted: by the patterns of a library, and only words that are long enough to bear it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

LEAST_LETTERS = 7
"""Shorter words stay whole (common practice)."""

LEAST_BEFORE, LEAST_AFTER = 2, 3
"""Letters that must stand before and after a hyphen (common practice)."""

_DIGIT_AND_LETTER = re.compile(r"(\d?)(\D?)")
_WORD = re.compile(r"([^\w]*)([a-z]+)([^\w]*)")


@lru_cache(maxsize=4096)
def parts_of(token: str) -> tuple[int, ...]:
    """The places in a word, with the marks around it, before which a line may end in a hyphen; none for what is no
    small English word: names, abbreviations and words with a hyphen of their own stay whole.
    """
    match = _WORD.fullmatch(token)
    if match is None or len(match[2]) < LEAST_LETTERS:
        return ()
    return tuple(len(match[1]) + place for place in _places(match[2]))


def _places(word: str) -> Iterator[int]:
    """The places in a word before which the patterns allow a hyphen (F. M. Liang's way, from memory)."""
    patterns, longest = _patterns()
    framed = f".{word}."
    levels = [0] * (len(framed) + 1)
    for start in range(len(framed)):
        for end in range(start + 1, min(start + longest, len(framed)) + 1):
            pattern = patterns.get(framed[start:end])
            if pattern is not None:
                for place, level in enumerate(_levels(pattern), start):
                    levels[place] = max(levels[place], level)
    for place in range(LEAST_BEFORE, len(word) - LEAST_AFTER + 1):
        if levels[place + 1] % 2:
            yield place


@lru_cache(maxsize=4096)
def _levels(pattern: str) -> tuple[int, ...]:
    """The numbers of a pattern, one before each of its letters and one behind; 0 where none is written."""
    return tuple(int(digit or "0") for digit, _ in _DIGIT_AND_LETTER.findall(pattern))


@lru_cache(maxsize=1)
def _patterns() -> tuple[dict[str, str], int]:
    """The patterns by their letters, and how many letters the longest has.

    The library with the patterns takes them all to pieces when it is asked for its first word, which a window would
    feel; so they are read from its file, and only those that a word needs are taken to pieces.
    """
    place = find_spec("pyphen")
    assert place is not None
    assert place.origin is not None
    text = (Path(place.origin).parent / "dictionaries" / "hyph_en_US.dic").read_text("utf-8")
    lines = [line for line in text.split("\n") if line and (line[0].islower() or line[0] in ".12345678")]
    letters = "\n".join(lines).encode().translate(None, b"0123456789").decode().split("\n")
    return dict(zip(letters, lines, strict=True)), max(map(len, letters))
