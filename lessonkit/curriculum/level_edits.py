"""Edits of a curriculum: functions from curriculum to curriculum, each one step of undo. Places count from 0.

A value that cannot be, such as an arrow that closes a loop, raises ValueError with a sentence.
"""

from __future__ import annotations

from dataclasses import replace

from lessonkit.curriculum.levels import Curriculum, Level, Requirement
from lessonkit.curriculum.seen import Skill
from lessonkit.lesson.lesson import clean_line


def set_title(curriculum: Curriculum, title: str) -> Curriculum:
    """The curriculum under another title."""
    return replace(curriculum, title=clean_line(title))


def add_level(curriculum: Curriculum, at: int, name: str = "New level") -> Curriculum:
    """The curriculum with an empty level more, before the one at a place; its name is made one that no other has."""
    taken = {level.name for level in curriculum.levels}
    found, number = name, 1
    while found in taken:
        number += 1
        found = f"{name} {number}"
    return replace(curriculum, levels=(*curriculum.levels[:at], Level(found), *curriculum.levels[at:]))


def rename_level(curriculum: Curriculum, at: int, name: str) -> Curriculum:
    """The curriculum with a level called otherwise."""
    name = clean_line(name)
    if not name:
        raise ValueError("a level needs a name")
    return _with_level(curriculum, at, replace(curriculum.levels[at], name=name))


def move_level(curriculum: Curriculum, at: int, to: int) -> Curriculum:
    """The curriculum with a level at another place, counted as it stands afterwards."""
    levels = list(curriculum.levels)
    levels.insert(to, levels.pop(at))
    return replace(curriculum, levels=tuple(levels))


def remove_level(curriculum: Curriculum, at: int) -> Curriculum:
    """The curriculum without a level; what comes before what stays."""
    return replace(curriculum, levels=(*curriculum.levels[:at], *curriculum.levels[at + 1 :]))


def add_requirement(curriculum: Curriculum, at: int, requirement: Requirement) -> Curriculum:
    """The curriculum with one thing more asked for by a level."""
    return _with_requirements(curriculum, at, (*curriculum.levels[at].requirements, requirement))


def set_requirement(curriculum: Curriculum, at: int, place: int, requirement: Requirement) -> Curriculum:
    """The curriculum with another thing in the place of one that a level asks for."""
    old = curriculum.levels[at].requirements
    return _with_requirements(curriculum, at, (*old[:place], requirement, *old[place + 1 :]))


def remove_requirement(curriculum: Curriculum, at: int, place: int) -> Curriculum:
    """The curriculum with one thing less asked for by a level."""
    old = curriculum.levels[at].requirements
    return _with_requirements(curriculum, at, (*old[:place], *old[place + 1 :]))


def add_before(curriculum: Curriculum, first: Skill, then: Skill) -> Curriculum:
    """The curriculum with a skill that has to come before another.

    Raises ValueError with a sentence that names every skill of the loop where there would be one.
    """
    if (first, then) in curriculum.before:
        return curriculum
    return replace(curriculum, before=(*curriculum.before, (first, then)))


def remove_before(curriculum: Curriculum, first: Skill, then: Skill) -> Curriculum:
    """The curriculum in which a skill need not come before another any more."""
    return replace(curriculum, before=tuple(pair for pair in curriculum.before if pair != (first, then)))


def _with_level(curriculum: Curriculum, at: int, level: Level) -> Curriculum:
    return replace(curriculum, levels=(*curriculum.levels[:at], level, *curriculum.levels[at + 1 :]))


def _with_requirements(curriculum: Curriculum, at: int, requirements: tuple[Requirement, ...]) -> Curriculum:
    return _with_level(curriculum, at, replace(curriculum.levels[at], requirements=requirements))
