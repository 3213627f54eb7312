"""What every kind of file has in common: it is written whole or not at all, and what is wrong names the file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from lessonkit.storage.safe_write import safe_write
from lessonkit.storage.shapes import LARGEST_FILE
from lessonkit.storage.strict import LessonFileError, reason
from lessonkit.storage.written import Tree, json_bytes

Value = TypeVar("Value")


def save_bytes(data: bytes, path: Path) -> None:
    """Write a file, the old one staying whole until the new one is; raises LessonFileError where it cannot be done."""
    try:
        safe_write(path, data)
    except OSError as error:
        raise LessonFileError(
            f"{path.name} was not saved: {reason(error)}; save it under another name or in another folder"
        ) from error


def made_of_file(name: str, make: Callable[[], Value]) -> Value:
    """What ``make`` makes of a decoded file; a ValueError, which names the place, becomes one that names the file."""
    try:
        return make()
    except ValueError as error:
        raise LessonFileError(f"{name}: {error}") from None


def bytes_of(name: str, tree: Callable[[], Tree], if_too_large: str) -> bytes:
    """A tree as it stands in a file; ``if_too_large`` says what to do where it is larger than a file may be."""
    try:
        data = json_bytes(tree())
    except (ValueError, RecursionError) as error:
        raise LessonFileError(f"{name} cannot be written: {error}") from None
    if len(data) > LARGEST_FILE:
        raise LessonFileError(f"{name} would be larger than {LARGEST_FILE // 2**20} MB; {if_too_large}")
    return data
