"""A lesson as it is handed out in its week: in the placement's key, dealt by its number, and the mark it leaves."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import fields, replace
from functools import lru_cache
from typing import Any

from lessonkit.curriculum.term import Placement, Term
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.key_deck import LARGEST_SEED
from lessonkit.lesson.edits import set_key
from lessonkit.lesson.lesson import Drill, House, Lesson
from lessonkit.values import dataclass

SEEDS = ("seed", "key_seed")
"""The settings of drills that say how chance deals."""


@lru_cache(maxsize=4096)
def issued(lesson: Lesson, placed: Placement) -> Lesson:
    """The lesson as its week gives it out; with no key and the deal 0 it is the file's own."""
    if placed.key is not None and placed.key != lesson.key:
        lesson = set_key(lesson, placed.key)
    return dealt(lesson, placed.seed)


def dealt(lesson: Lesson, seed: int) -> Lesson:
    """The lesson with every drill dealt anew that chance has a hand in: the same number always deals the same."""
    if not seed:
        return lesson
    blocks = tuple(
        replace(block, family=_dealt(block.family, seed)) if isinstance(block, Drill) else block
        for block in lesson.blocks
    )
    return replace(lesson, blocks=blocks)


def _dealt(drill: DrillFamily, seed: int) -> DrillFamily:
    declared = drill.declared()
    for name in SEEDS:
        if name in declared:
            drill = drill.with_value(name, (getattr(drill, name) + 97 * seed) % (LARGEST_SEED + 1))
    return drill


def mark_of(lesson: Lesson) -> str:
    """A short mark that changes when anything does that a student would see.

    Only what differs from the defaults goes into it, so that a setting which a later lessonkit adds changes no mark.
    """
    told = [
        repr((lesson.title, lesson.aims, lesson.key.ascii, lesson.tempo, lesson.paper)),
        *_told(lesson.house, House()),
    ]
    for block in lesson.blocks:
        told.append(type(block).__name__)
        if isinstance(block, Drill):
            told += [block.family.code, *_told(block.family, type(block.family)())]
        else:
            told += [f"{one.name}={getattr(block, one.name)!r}" for one in fields(block) if one.name != "id"]
    return hashlib.sha256("\n".join(told).encode()).hexdigest()[:24]


def _told(value: Any, usual: Any) -> list[str]:
    """The fields of a value that are not as usual."""
    return [
        f"{one.name}={getattr(value, one.name)!r}"
        for one in fields(value)
        if getattr(value, one.name) != getattr(usual, one.name)
    ]


@dataclass(frozen=True, slots=True)
class Improved:
    """A lesson that is no longer as it was when it was given."""

    placement_id: str
    lesson: str
    week: int

    def __str__(self) -> str:
        return f"week {self.week}: {self.lesson} has been changed since it was last given"


def improved_since(term: Term, lessons: Mapping[str, Lesson]) -> tuple[Improved, ...]:
    """The lessons of a term that were given before and have been changed since, in the order of teaching."""
    return tuple(
        Improved(placed.id, placed.lesson, place + 1)
        for place, placed in term.placements
        if placed.given and placed.lesson in lessons and mark_of(lessons[placed.lesson]) != placed.given
    )
