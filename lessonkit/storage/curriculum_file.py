"""Curriculum files: levels and what comes before what, as JSON that people can read, and back."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from msgspec import Meta, Struct

from lessonkit.curriculum.levels import (
    MOST_ARROWS,
    MOST_LEVELS,
    MOST_REQUIREMENTS,
    Curriculum,
    Level,
    Requirement,
)
from lessonkit.curriculum.seen import Skill
from lessonkit.hands.hand import Hand
from lessonkit.storage.shapes import Line
from lessonkit.storage.strict import LessonFileError, at_place, decode, read_bytes
from lessonkit.storage.whole_files import save_bytes
from lessonkit.storage.written import Tree, json_bytes
from lessonkit.theory.key import Key

VERSION = 1
"""The version of the curriculum files that are written."""

SUFFIX = ".curriculum"
"""The ending of a curriculum file's name."""

SkillText = Annotated[str, Meta(max_length=100)]
Short = Annotated[str, Meta(max_length=20)]


class RequirementShape(Struct, forbid_unknown_fields=True):
    """A skill that a level asks for; an empty list asks for none in particular, a tempo of 0 for none."""

    skill: SkillText
    keys: Annotated[list[Short], Meta(max_length=30)]
    hands: Annotated[list[Literal["right", "left"]], Meta(max_length=2)]
    qualities: Annotated[list[Short], Meta(max_length=60)]
    tempo: Annotated[int, Meta(ge=0, le=300)]


class LevelShape(Struct, forbid_unknown_fields=True):
    """A level."""

    name: Line
    requirements: Annotated[list[RequirementShape], Meta(max_length=MOST_REQUIREMENTS)]


class CurriculumShape(Struct, forbid_unknown_fields=True):
    """A curriculum; ``before`` holds pairs of skills, the first to be taught first."""

    format: Literal["curriculum"]
    version: Literal[1]
    title: Line
    levels: Annotated[list[LevelShape], Meta(max_length=MOST_LEVELS)]
    before: Annotated[list[tuple[SkillText, SkillText]], Meta(max_length=MOST_ARROWS)]


def read_curriculum(path: Path) -> Curriculum:
    """The curriculum in a file; raises LessonFileError with one sentence that names the file and the place."""
    return curriculum_from_bytes(read_bytes(path), path.name)


def save_curriculum(curriculum: Curriculum, path: Path) -> None:
    """Write a curriculum to a file, the old one staying whole until the new one is."""
    save_bytes(curriculum_to_bytes(curriculum, path.name), path)


def curriculum_from_bytes(data: bytes, name: str) -> Curriculum:
    """The curriculum that a file's bytes hold; ``name`` stands in the sentence of a LessonFileError."""
    shape = decode(data, name, "curriculum", VERSION, CurriculumShape)
    try:
        levels = tuple(_level(one, f"levels[{place}]") for place, one in enumerate(shape.levels))
        before = tuple(
            at_place(f"before[{place}]", lambda pair=pair: (Skill.parse(pair[0]), Skill.parse(pair[1])))  # type: ignore[misc]
            for place, pair in enumerate(shape.before)
        )
        return Curriculum(shape.title, levels, before)
    except ValueError as error:
        raise LessonFileError(f"{name}: {error}") from None


def curriculum_to_bytes(curriculum: Curriculum, name: str = "the curriculum") -> bytes:
    """A curriculum as it stands in a file; raises LessonFileError where it could not be read back as the same."""
    data = json_bytes(_tree(curriculum))
    if curriculum_from_bytes(data, name) != curriculum:
        raise LessonFileError(f"{name} cannot be written so that it reads back the same")
    return data


def _level(shape: LevelShape, place: str) -> Level:
    found = tuple(_requirement(one, f"{place}.requirements[{n}]") for n, one in enumerate(shape.requirements))
    return at_place(place, lambda: Level(shape.name, found))


def _requirement(shape: RequirementShape, place: str) -> Requirement:
    skill = at_place(f"{place}.skill", lambda: Skill.parse(shape.skill))
    keys = at_place(f"{place}.keys", lambda: tuple(map(Key.parse, shape.keys)))
    hands = tuple(map(Hand, shape.hands))
    return at_place(place, lambda: Requirement(skill, keys, hands, tuple(shape.qualities), shape.tempo))


def _tree(curriculum: Curriculum) -> Tree:
    return {
        "format": "curriculum",
        "version": VERSION,
        "title": curriculum.title,
        "levels": [
            {
                "name": level.name,
                "requirements": [
                    {
                        "skill": one.skill.ascii,
                        "keys": [key.ascii for key in one.keys],
                        "hands": [hand.value for hand in one.hands],
                        "qualities": list(one.qualities),
                        "tempo": one.tempo,
                    }
                    for one in level.requirements
                ],
            }
            for level in curriculum.levels
        ],
        "before": [[first.ascii, then.ascii] for first, then in curriculum.before],
    }
