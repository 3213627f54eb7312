"""Where an English word may be parted: by the patterns of a library, and only words that are long enough to bear it."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

LEAST_LETTERS = 7
"""Shorter words stay whole (common practice)."""

LEAST_BEFORE, LEAST_AFTER = 2, 3
"""Letters that must stand before and after a hyphen (common practice)."""

_WORD = re.compile(r"([^\w]*)([a-z]+)([^\w]*)")


@lru_cache(maxsize=4096)
def parts_of(token: str) -> tuple[int, ...]:
    """The places in a word, with the marks around it, before which a line may end in a hyphen; none for what is no
    small English word: names, abbreviations and words with a hyphen of their own stay whole.
    """
    match = _WORD.fullmatch(token)
    if match is None or len(match[2]) < LEAST_LETTERS:
        return ()
    return tuple(len(match[1]) + place for place in _patterns().positions(match[2]))


@lru_cache(maxsize=1)
def _patterns() -> Any:
    # Loaded when the first line asks, because most lines ask for nothing.
    import pyphen

    return pyphen.Pyphen(lang="en_US", left=LEAST_BEFORE, right=LEAST_AFTER)
