"""Lesson files: a lesson as JSON that people can read, and back. A file is read whole, or refused in a sentence."""

from __future__ import annotations

from base64 import b64decode, b64encode
from pathlib import Path

from lessonkit.drills.exercise import FingersShown
from lessonkit.lesson.lesson import USUAL_STAFF, House, Lesson, Paper
from lessonkit.lesson.letterhead import Letterhead
from lessonkit.storage.blocks import block_from_shape, text_from_shape, tree_of_block, tree_of_text
from lessonkit.storage.hands_and_faces import faces_of, hands_of, tree_of_faces, tree_of_hands
from lessonkit.storage.shapes import HouseShape, LessonShape
from lessonkit.storage.strict import LessonFileError, at_place, decode, read_bytes
from lessonkit.storage.upgrades import LESSON_STEPS
from lessonkit.storage.whole_files import bytes_of, made_of_file, save_bytes
from lessonkit.storage.written import Tree
from lessonkit.theory.key import Key

__all__ = ["VERSION", "LessonFileError", "lesson_from_bytes", "lesson_to_bytes", "read_lesson", "save_lesson"]

VERSION = 1
"""The version of the lesson files that are written."""

SUFFIX = ".lesson"
"""The ending of a lesson file's name."""


def read_lesson(path: Path) -> Lesson:
    """The lesson in a file; raises LessonFileError with one sentence that names the file and the place."""
    return lesson_from_bytes(read_bytes(path), path.name)


def save_lesson(lesson: Lesson, path: Path) -> None:
    """Write a lesson to a file, the old one staying whole until the new one is.

    Raises LessonFileError with one sentence where that cannot be done.
    """
    save_bytes(lesson_to_bytes(lesson, path.name), path)


def lesson_from_bytes(data: bytes, name: str) -> Lesson:
    """The lesson that a file's bytes hold; ``name`` stands in the sentence of a LessonFileError."""
    shape = decode(data, name, "lesson", VERSION, LessonShape, LESSON_STEPS)
    return made_of_file(name, lambda: lesson_from_shape(shape))


def lesson_to_bytes(lesson: Lesson, name: str = "the lesson") -> bytes:
    """A lesson as it stands in a file; the same lesson makes the same bytes.

    Raises LessonFileError where the file could not be read back as the same lesson.
    """
    data = bytes_of(name, lambda: tree_of_lesson(lesson), "make two lessons of it")
    if lesson_from_bytes(data, name) != lesson:
        raise LessonFileError(f"{name} cannot be written so that it reads back the same")
    return data


def lesson_from_shape(shape: LessonShape) -> Lesson:
    """The lesson that a decoded file stands for; raises ValueError with the place."""
    return Lesson(
        title=shape.title,
        aims=text_from_shape(shape.aims),
        author=shape.author,
        key=at_place("key", lambda: Key.parse(shape.key)),
        tempo=shape.tempo,
        paper=Paper(shape.paper),
        house=_house(shape.house),
        blocks=tuple(block_from_shape(block, f"blocks[{place}]") for place, block in enumerate(shape.blocks)),
    )


def tree_of_lesson(lesson: Lesson) -> dict[str, Tree]:
    """A lesson as it is written, format and version first."""
    return {
        "format": "lesson",
        "version": VERSION,
        "title": lesson.title,
        "aims": tree_of_text(lesson.aims),
        "author": lesson.author,
        "key": lesson.key.ascii,
        "tempo": lesson.tempo,
        "paper": lesson.paper.value,
        "house": {
            "label_style": tree_of_faces(lesson.house.label_style),
            "prefers_flats_at_six": lesson.house.prefers_flats_at_six,
            "is_friendly": lesson.house.is_friendly,
            "hands": tree_of_hands(lesson.house.hands),
            "starts_black_with_second": lesson.house.starts_black_with_second,
            "shows_difficulty": lesson.house.shows_difficulty,
            "caution": lesson.house.caution,
            "fingers": lesson.house.fingers and lesson.house.fingers.value,
            # Written only where it is not the usual one, so that lessons of before stay as they are.
            **({} if lesson.house.staff_tenths == USUAL_STAFF else {"staff_tenths": lesson.house.staff_tenths}),
            **({"is_close": True} if lesson.house.is_close else {}),
            **({} if lesson.house.is_two_sided else {"is_two_sided": False}),
            **_tree_of_letterhead(lesson.house.letterhead),
        },
        "blocks": [tree_of_block(block) for block in lesson.blocks],
    }


def _tree_of_letterhead(letterhead: Letterhead | None) -> dict[str, Tree]:
    return {} if letterhead is None else {"letterhead": b64encode(letterhead.content).decode("ascii")}


def _letterhead(text: str) -> Letterhead | None:
    if not text:
        return None
    try:
        content = b64decode(text, validate=True)
    except ValueError:
        raise ValueError("this is no picture in base64; take the field out") from None
    return Letterhead(content)


def _house(shape: HouseShape) -> House:
    style = at_place("house.label_style", lambda: faces_of(shape.label_style))
    hands = hands_of(shape.hands)
    letterhead = at_place("house.letterhead", lambda: _letterhead(shape.letterhead))
    return at_place(
        "house.caution",
        lambda: House(
            style, shape.prefers_flats_at_six, shape.is_friendly, hands,
            shape.starts_black_with_second, shape.shows_difficulty, shape.caution,
            FingersShown(shape.fingers) if shape.fingers else None, shape.staff_tenths, shape.is_close,
            shape.is_two_sided, letterhead,
        ),
    )  # fmt: skip
