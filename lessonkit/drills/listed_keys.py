"""The keys that a drill goes through as they are listed: a family that goes through keys can list them."""

from __future__ import annotations

from lessonkit.drills.family import DrillFamily
from lessonkit.drills.fields import never
from lessonkit.drills.key_deck import Order
from lessonkit.theory.key import Key

_NAMES = (("key_list", "key_order"), ("keys", "order"))
"""The settings for the list and for the order: those of most families, and those of families of progressions."""


def names_of_list(family: DrillFamily) -> tuple[str, str] | None:
    """The names of the settings for the list and for the order of keys; None where a family lists no keys."""
    declared = family.declared()
    for names in _NAMES:
        if all(name in declared for name in names) and declared[names[0]].applies is not never:
            return names
    return None


def listed_keys(family: DrillFamily) -> tuple[Key, ...]:
    """The keys that a drill goes through as listed; none where it does otherwise."""
    names = names_of_list(family)
    if names is None or getattr(family, names[1]) is not Order.CHOSEN:
        return ()
    found: tuple[Key, ...] = getattr(family, names[0])
    return found
