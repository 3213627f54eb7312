"""Keys dealt anew: a strong one first, then as many weak ones as the teacher asks for, then those there were."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from lessonkit.drills.family import DrillFamily
from lessonkit.drills.key_deck import Order
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.students.weakness import Row, Step, plain_key
from lessonkit.theory.enharmonic import printed_key
from lessonkit.theory.key import Key

FULL_CIRCLE = 12
"""A drill through all keys loses none; weak ones come again in a half deck behind them."""

MOST_AGAIN = 6
FEWEST = 3
"""Through fewer keys there is nothing to deal."""


def keys_of_drill(drill: DrillFamily, setting: Setting) -> tuple[Key, ...]:
    """The keys in which a drill is played, in order; raises ValueError as ``realise`` does."""
    exercise = realise(drill, setting)
    return tuple(bar.key for bar in exercise.bars if bar.key is not None) or (exercise.key,)


def dealt(keys: Sequence[Key], rows: Mapping[Key, Row], share: int, prefers_flats: bool) -> tuple[Key, ...]:
    """The keys dealt anew, as they were where there is no reason to change them.

    Weak keys are those that have been marked and are shaky or weak; the strong one is the most secure of all. A drill
    through fewer than twelve keys keeps their number; through all twelve the weak ones come once more at the end.
    """
    mode = keys[0].mode
    known = {key: row for key, row in rows.items() if key.mode is mode and row.marks}
    weak = sorted(
        (key for key, row in known.items() if row.step in (Step.SHAKY, Step.WEAK)),
        key=lambda key: (-known[key].weakness, key.ascii),
    )
    secure = [key for key, row in known.items() if row.step in (Step.SECURE, Step.COMING)]
    sounding = [plain_key(key) for key in keys]
    if not weak or not secure or share == 0 or len(set(sounding)) < FEWEST:
        return tuple(keys)
    strong = min(secure, key=lambda key: (known[key].weakness, key.ascii))
    if len(set(sounding)) >= FULL_CIRCLE:
        return _full_circle(keys, sounding, strong, weak, prefers_flats)
    # A drill may stay in a key for several sections.
    turns = [key for key, _ in groupby(sounding)]
    wanted = min(len(weak), len(turns) - 1, math.ceil(Fraction(share, 100) * len(turns)))
    has_enough = sum(key in weak for key in turns) >= wanted
    if has_enough and sounding[0] in secure:
        return tuple(keys)
    taken = [strong, *weak[:wanted]]
    rest = [key for key in dict.fromkeys(sounding) if key not in taken]
    chosen = (taken + rest)[: len(turns)]
    written = dict(zip(sounding, keys, strict=True))
    return tuple(written.get(key) or printed_key(key, prefers_flats) for key in chosen)


def with_keys(drill: DrillFamily, keys: Sequence[Key]) -> dict[str, object] | None:
    """The settings that list these keys in a drill, or None where its family cannot list keys."""
    declared = drill.declared()
    if "key_list" in declared:
        return {"key_order": Order.CHOSEN, "key_list": tuple(keys)}
    if "keys" in declared and "order" in declared:
        return {"order": Order.CHOSEN, "keys": tuple(keys)}
    return None


def in_keys(drill: DrillFamily, keys: Sequence[Key]) -> DrillFamily | None:
    """The drill in these keys, or None where its family cannot list keys."""
    settings = with_keys(drill, keys)
    if settings is None:
        return None
    changed: DrillFamily = replace(drill, **settings)  # type: ignore[arg-type]
    return changed


def _full_circle(
    keys: Sequence[Key], sounding: Sequence[Key], strong: Key, weak: Sequence[Key], prefers_flats: bool
) -> tuple[Key, ...]:
    """All keys with the strong one first and the weak ones once more behind them."""
    written = dict(reversed(list(zip(sounding, keys, strict=True))))
    names = list(dict.fromkeys(sounding))
    circle = [strong, *(key for key in names if key != strong)] if strong in names else names
    again = [key for key in weak if key in names][:MOST_AGAIN]
    if len(sounding) > len(names):
        # The half deck is there already.
        return tuple(keys)
    return tuple(written.get(key) or printed_key(key, prefers_flats) for key in (*circle, *again))
