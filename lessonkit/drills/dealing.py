"""The same things in one order after another, all from one number: each order dealt by itself, none soon again."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from itertools import pairwise
from typing import TypeVar

from lessonkit.theory.enharmonic import shuffled

Item = TypeVar("Item")

FAR = 1 << 32
"""So far apart lie the seeds of deals that are dealt again."""

_TRIES = 32
"""How many deals are looked at; with three things to order, each of their six orders is among so many."""


def dealt_in_turn(names: Sequence[Hashable], seeds: Sequence[int]) -> list[tuple[int, ...]]:
    """An order of the places of ``names`` for each seed.

    The first deal of a seed is taken unless equal names would stand side by side in it, or its order has been there
    before; then the best of some further deals is.
    """
    orders: list[tuple[int, ...]] = []
    told: list[tuple[Hashable, ...]] = []
    for seed in seeds:
        best: tuple[int, tuple[int, ...]] | None = None
        for again in range(_TRIES):
            order = shuffled(range(len(names)), seed + again * FAR)
            row = tuple(names[place] for place in order)
            faults = 2 * told.count(row) + (told[-1:] == [row]) + 2 * _pairs(row)
            if best is None or faults < best[0]:
                best = faults, order
            if faults == 0:
                break
        assert best is not None
        orders.append(best[1])
        told.append(tuple(names[place] for place in best[1]))
    return orders


def _pairs(row: Sequence[Hashable]) -> int:
    """How often the same name stands twice side by side."""
    return sum(one == other for one, other in pairwise(row))
