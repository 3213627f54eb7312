"""Weights moved at random, to see which facts rest on their exact size. A seed makes the draws the same each time."""

import random
from dataclasses import fields, replace
from typing import TypeVar

Weighed = TypeVar("Weighed")


def shaken(weights: Weighed, draws: int, by: float = 0.3) -> list[Weighed]:
    """So many copies in which every price is multiplied by its own factor between ``1 - by`` and ``1 + by``."""
    chance = random.Random(1900)

    def moved(value: object) -> object:
        if isinstance(value, tuple):
            return tuple(moved(one) for one in value)
        assert isinstance(value, float)
        return value * chance.uniform(1 - by, 1 + by)

    return [
        replace(weights, **{field.name: moved(getattr(weights, field.name)) for field in fields(weights)})  # type: ignore[type-var, arg-type]
        for _ in range(draws)
    ]
