"""Letting go of what is kept by value: what was worked out for one player's hands is of no use for another's.

Every cache of the engine has its bound, but many of them are filled anew for each hand. Who prints for one student
after another would carry the last hundred students along; memory stays level where each is forgotten.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from functools import _lru_cache_wrapper

ROOMS_OF_HANDS = ("hands", "drills", "lesson", "pages", "engraving", "students")
"""The rooms that keep what depends on the player's hands, or on a lesson made for them."""


def forget_hands() -> None:
    """Empty the caches of these rooms that have a bound; those without one hold what is the same for everybody."""
    for cache in _caches(ROOMS_OF_HANDS):
        cache.cache_clear()


def _caches(rooms: tuple[str, ...]) -> Iterator[_lru_cache_wrapper[object]]:
    wanted = tuple(f"lessonkit.{room}." for room in rooms)
    for name, module in list(sys.modules.items()):
        if name.startswith(wanted):
            for value in vars(module).values():
                is_own = isinstance(value, _lru_cache_wrapper) and value.__module__ == name
                if is_own and value.cache_info().maxsize is not None:
                    yield value
