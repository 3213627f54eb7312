"""The one file that holds a teacher's presets, as strict as lesson files are."""

from __future__ import annotations

from pathlib import Path

from lessonkit.lesson.presets import Preset
from lessonkit.storage.blocks import block_from_shape, tree_of_block
from lessonkit.storage.safe_write import safe_write
from lessonkit.storage.shapes import MOST_PRESETS, PresetsShape
from lessonkit.storage.strict import LessonFileError, decode, read_bytes, reason
from lessonkit.storage.written import json_bytes

VERSION = 1
"""The version of the preset files that are written."""


def read_presets(path: Path) -> tuple[Preset, ...]:
    """The presets in a file, none where there is no file; raises LessonFileError with one sentence."""
    return presets_from_bytes(read_bytes(path), path.name) if path.exists() else ()


def save_presets(presets: tuple[Preset, ...], path: Path) -> None:
    """Write all presets to their file, making its folder; raises LessonFileError with one sentence."""
    data = presets_to_bytes(presets, path.name)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        safe_write(path, data)
    except OSError as error:
        raise LessonFileError(f"{path.name} was not saved: {reason(error)}; the presets are as they were") from error


def presets_from_bytes(data: bytes, name: str) -> tuple[Preset, ...]:
    """The presets that a file's bytes hold; ``name`` stands in the sentence of a LessonFileError."""
    shape = decode(data, name, "lesson presets", VERSION, PresetsShape)
    presets: list[Preset] = []
    for place, one in enumerate(shape.presets):
        try:
            presets.append(Preset(one.name, block_from_shape(one.block, f"presets[{place}].block")))
        except ValueError as error:
            sentence = str(error) if str(error).startswith("presets[") else f"presets[{place}].name: {error}"
            raise LessonFileError(f"{name}: {sentence}") from None
    return tuple(presets)


def presets_to_bytes(presets: tuple[Preset, ...], name: str = "the presets") -> bytes:
    """The presets as they stand in their file; raises LessonFileError where they could not be read back."""
    if len(presets) > MOST_PRESETS:
        raise LessonFileError(f"{len(presets)} presets are more than {MOST_PRESETS}; delete some")
    data = json_bytes(
        {
            "format": "lesson presets",
            "version": VERSION,
            "presets": [{"name": preset.name, "block": tree_of_block(preset.block)} for preset in presets],
        }
    )
    if presets_from_bytes(data, name) != presets:
        raise LessonFileError(f"{name} cannot be written so that they read back the same")
    return data
