"""How older files are brought up to date: one pure step from each version to the next, none of them ever changed.

A file version that is left behind moves its shape into a file here (``v1.py``), together with the function that makes
the next version's shape of it, and a ``Step`` joins the list. Old shapes are decoded as strictly as the newest one.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import msgspec

from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """From one version to the next: the shape of the older file, and the function that makes the newer shape of it."""

    version: int
    shape: type[msgspec.Struct]
    upgrade: Callable[[Any], msgspec.Struct]


LESSON_STEPS: tuple[Step, ...] = ()
"""The steps of lesson files; version 1 is the first and has none yet."""


def shape_of(version: int, newest: type[msgspec.Struct], steps: Sequence[Step]) -> type[msgspec.Struct]:
    """The shape in which a file of a version is decoded."""
    return next((step.shape for step in steps if step.version == version), newest)


def brought_up(found: msgspec.Struct, version: int, steps: Sequence[Step]) -> msgspec.Struct:
    """The newest shape of what was decoded from a file of a version, step by step."""
    for step in sorted(steps, key=lambda one: one.version):
        if step.version >= version:
            found = step.upgrade(found)
    return found
