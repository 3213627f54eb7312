"""House style files: a studio's agreement as JSON, in the form of an empty lesson with what is locked and advised."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from msgspec import Meta, Struct

from lessonkit.curriculum.house import POINTS, Binding, HouseStyle
from lessonkit.storage.lesson_file import lesson_from_shape, tree_of_lesson
from lessonkit.storage.shapes import LessonShape, Line
from lessonkit.storage.strict import LessonFileError, decode, read_bytes
from lessonkit.storage.whole_files import save_bytes
from lessonkit.storage.written import Tree, json_bytes

VERSION = 1
"""The version of the house style files that are written."""

SUFFIX = ".house"
"""The ending of a house style file's name."""


class BindingShape(Struct, forbid_unknown_fields=True):
    """How much one point holds."""

    point: Line
    holds: Literal["locked", "advised", "free"]


class HouseStyleShape(Struct, forbid_unknown_fields=True):
    """A house style."""

    format: Literal["house style"]
    version: Literal[1]
    name: Line
    points: Annotated[list[BindingShape], Meta(max_length=len(POINTS) + 20)]
    model: LessonShape


def read_house(path: Path) -> HouseStyle:
    """The house style in a file; raises LessonFileError with one sentence that names the file and the place."""
    return house_from_bytes(read_bytes(path), path.name)


def save_house(style: HouseStyle, path: Path) -> None:
    """Write a house style to a file, the old one staying whole until the new one is."""
    save_bytes(house_to_bytes(style, path.name), path)


def house_from_bytes(data: bytes, name: str) -> HouseStyle:
    """The house style that a file's bytes hold; ``name`` stands in the sentence of a LessonFileError."""
    shape = decode(data, name, "house style", VERSION, HouseStyleShape)
    try:
        bindings = tuple((one.point, Binding(one.holds)) for one in shape.points)
        if len({point for point, _ in bindings}) != len(bindings):
            raise ValueError("points: a point stands twice; keep one of them")
        return HouseStyle(shape.name, lesson_from_shape(shape.model), bindings)
    except ValueError as error:
        raise LessonFileError(f"{name}: {error}") from None


def house_to_bytes(style: HouseStyle, name: str = "the house style") -> bytes:
    """A house style as it stands in a file; raises LessonFileError where it could not be read back as the same."""
    tree: Tree = {
        "format": "house style",
        "version": VERSION,
        "name": style.name,
        "points": [{"point": point, "holds": binding.value} for point, binding in style.bindings],
        "model": tree_of_lesson(style.model),
    }
    data = json_bytes(tree)
    if house_from_bytes(data, name) != style:
        raise LessonFileError(f"{name} cannot be written so that it reads back the same")
    return data
