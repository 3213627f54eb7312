"""Lesson files: a lesson as JSON that people can read, and back. A file is read whole, or refused in a sentence."""

from __future__ import annotations

from pathlib import Path

from lessonkit.drills.exercise import FingersShown
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson.lesson import USUAL_STAFF, House, Lesson, Paper
from lessonkit.storage.blocks import block_from_shape, text_from_shape, tree_of_block, tree_of_text
from lessonkit.storage.safe_write import safe_write
from lessonkit.storage.shapes import LARGEST_FILE, HouseShape, LessonShape
from lessonkit.storage.strict import LessonFileError, at_place, decode, read_bytes, reason
from lessonkit.storage.upgrades import LESSON_STEPS
from lessonkit.storage.written import Tree, json_bytes
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle

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
    data = lesson_to_bytes(lesson, path.name)
    try:
        safe_write(path, data)
    except OSError as error:
        raise LessonFileError(
            f"{path.name} was not saved: {reason(error)}; save it under another name or in another folder"
        ) from error


def lesson_from_bytes(data: bytes, name: str) -> Lesson:
    """The lesson that a file's bytes hold; ``name`` stands in the sentence of a LessonFileError."""
    shape = decode(data, name, "lesson", VERSION, LessonShape, LESSON_STEPS)
    try:
        return lesson_from_shape(shape)
    except ValueError as error:
        raise LessonFileError(f"{name}: {error}") from None


def lesson_to_bytes(lesson: Lesson, name: str = "the lesson") -> bytes:
    """A lesson as it stands in a file; the same lesson makes the same bytes.

    Raises LessonFileError where the file could not be read back as the same lesson.
    """
    try:
        data = json_bytes(tree_of_lesson(lesson))
    except (ValueError, RecursionError) as error:
        raise LessonFileError(f"{name} cannot be written: {error}") from None
    if len(data) > LARGEST_FILE:
        raise LessonFileError(f"{name} would be larger than {LARGEST_FILE // 2**20} MB; make two lessons of it")
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
    style, hands = lesson.house.label_style, lesson.house.hands
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
            "label_style": {
                "half_diminished": style.half_diminished,
                "major_seventh": style.major_seventh,
                "minor": style.minor,
                "diminished": style.diminished,
            },
            "prefers_flats_at_six": lesson.house.prefers_flats_at_six,
            "is_friendly": lesson.house.is_friendly,
            "hands": {
                "right_span": int(hands.right_span),
                "left_span": int(hands.left_span),
                "keep_thumb_off_black": int(hands.keep_thumb_off_black),
                "keep_little_finger_off_black": int(hands.keep_little_finger_off_black),
                "avoid_stretches": hands.avoid_stretches,
            },
            "starts_black_with_second": lesson.house.starts_black_with_second,
            "shows_difficulty": lesson.house.shows_difficulty,
            "caution": lesson.house.caution,
            "fingers": lesson.house.fingers and lesson.house.fingers.value,
            # Written only where it is not the usual one, so that lessons of before stay as they are.
            **({} if lesson.house.staff_tenths == USUAL_STAFF else {"staff_tenths": lesson.house.staff_tenths}),
            **({"is_close": True} if lesson.house.is_close else {}),
        },
        "blocks": [tree_of_block(block) for block in lesson.blocks],
    }


def _house(shape: HouseShape) -> House:
    faces = shape.label_style
    style = at_place(
        "house.label_style",
        lambda: LabelStyle(faces.half_diminished, faces.major_seventh, faces.minor, faces.diminished),
    )
    hands = HandProfile(
        shape.hands.right_span,
        shape.hands.left_span,
        shape.hands.keep_thumb_off_black,
        shape.hands.keep_little_finger_off_black,
        shape.hands.avoid_stretches,
    )
    return at_place(
        "house.caution",
        lambda: House(
            style, shape.prefers_flats_at_six, shape.is_friendly, hands,
            shape.starts_black_with_second, shape.shows_difficulty, shape.caution,
            FingersShown(shape.fingers) if shape.fingers else None, shape.staff_tenths, shape.is_close,
        ),
    )  # fmt: skip
