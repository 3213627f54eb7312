"""The skills that a curriculum can ask for: those of every drill family as it comes, and those in use already."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from lessonkit.curriculum.seen import ORDER, Axis, Skill, counted
from lessonkit.drills.family import families
from lessonkit.drills.setting import Setting
from lessonkit.theory.key import Key


@lru_cache(maxsize=1)
def skills_of_families() -> frozenset[Skill]:
    """Every skill that some family has as it comes."""
    setting = Setting(Key.parse("C"))
    return frozenset(one.skill for family in families().values() for one in counted(family(), setting).seen)


def skills_offered(used: Iterable[Skill]) -> tuple[Skill, ...]:
    """The skills of all families and those that are used, in the order of their words."""
    return tuple(sorted(skills_of_families() | set(used), key=ORDER[Axis.SKILL]))
