"""Student files: one student as JSON that people can read, and back. A file is read whole, or refused in a sentence."""

from __future__ import annotations

from datetime import date
from enum import Enum
from functools import partial
from pathlib import Path
from typing import TypeVar

from lessonkit.lesson.lesson import Paper
from lessonkit.storage.blocks import text_from_shape, tree_of_text
from lessonkit.storage.hands_and_faces import faces_of, hands_of, tree_of_faces, tree_of_hands
from lessonkit.storage.strict import LessonFileError, at_place, decode, read_bytes
from lessonkit.storage.student_shapes import HandoutShape, MarkShape, StudentShape
from lessonkit.storage.whole_files import bytes_of, made_of_file, save_bytes
from lessonkit.storage.written import Tree
from lessonkit.students.item import Item
from lessonkit.students.marks import Cause, Mark, Source
from lessonkit.students.schedule import Rhythm
from lessonkit.students.student import AgeBand, GivenBlock, Handout, ReadingLevel, Student, in_teaching_order

VERSION = 1
"""The version of the student files that are written."""

SUFFIX = ".student"
"""The ending of a student file's name."""

Named = TypeVar("Named", bound=Enum)


def read_student(path: Path) -> Student:
    """The student in a file; raises LessonFileError with one sentence that names the file and the place."""
    return student_from_bytes(read_bytes(path), path.name)


def save_student(student: Student, path: Path) -> None:
    """Write a student to a file, the old one staying whole until the new one is.

    Raises LessonFileError with one sentence where that cannot be done.
    """
    save_bytes(student_to_bytes(student, path.name), path)


def student_from_bytes(data: bytes, name: str) -> Student:
    """The student that a file's bytes hold; ``name`` stands in the sentence of a LessonFileError."""
    shape = decode(data, name, "student", VERSION, StudentShape)
    return made_of_file(name, lambda: student_from_shape(shape))


def student_to_bytes(student: Student, name: str = "the student") -> bytes:
    """A student as it stands in a file; the same student makes the same bytes.

    Raises LessonFileError where the file could not be read back as the same student.
    """
    data = bytes_of(name, lambda: tree_of_student(student), "take old handouts out")
    if student_from_bytes(data, name) != student:
        raise LessonFileError(f"{name} cannot be written so that it reads back the same")
    return data


def student_from_shape(shape: StudentShape) -> Student:
    """The student that a decoded file stands for; raises ValueError with the place."""
    rhythm = at_place("practice_days", lambda: Rhythm(frozenset(shape.practice_days), _day_or_none(shape.goal, "goal")))
    return Student(
        code=shape.code,
        hands=hands_of(shape.hands),
        is_growing=shape.is_growing,
        was_injured=shape.was_injured,
        reading=_named(ReadingLevel, shape.reading, "reading"),
        vocabulary=frozenset(shape.vocabulary),
        label_style=at_place("label_style", lambda: faces_of(shape.label_style)),
        staff_tenths=shape.staff_tenths,
        paper=Paper(shape.paper),
        minutes=shape.minutes,
        age=_named(AgeBand, shape.age, "age"),
        weak_share=shape.weak_share,
        rhythm=rhythm,
        pain_cleared=_day_or_none(shape.pain_cleared, "pain_cleared"),
        notes=text_from_shape(shape.notes),
        marks=tuple(_mark(mark, f"marks[{place}]") for place, mark in enumerate(shape.marks)),
        handouts=tuple(_handout(one, f"handouts[{place}]") for place, one in enumerate(shape.handouts)),
        handout_typed=shape.typing.handout,
        keys_typed=shape.typing.keys,
    )


def tree_of_student(student: Student) -> dict[str, Tree]:
    """A student as it is written, format and version first."""
    return {
        "format": "student",
        "version": VERSION,
        "code": student.code,
        "hands": tree_of_hands(student.hands),
        "is_growing": student.is_growing,
        "was_injured": student.was_injured,
        "age": student.age.value,
        "reading": student.reading.value,
        "vocabulary": list(in_teaching_order(student.vocabulary)),
        "label_style": tree_of_faces(student.label_style),
        "staff_tenths": student.staff_tenths,
        "paper": student.paper.value,
        "minutes": student.minutes,
        "weak_share": student.weak_share,
        "practice_days": sorted(student.rhythm.days),
        "goal": _written(student.rhythm.goal),
        "pain_cleared": _written(student.pain_cleared),
        "notes": tree_of_text(student.notes),
        "marks": [_mark_tree(mark) for mark in student.marks],
        "handouts": [_handout_tree(handout) for handout in student.handouts],
        "typing": {"handout": student.handout_typed, "keys": student.keys_typed},
    }


def read_day(text: str) -> date:
    """A day as it is written, 2026-03-05; raises ValueError with a sentence for anything else."""
    try:
        found = date.fromisoformat(text)
    except ValueError:
        found = None
    if found is None or found.isoformat() != text:
        raise ValueError(f"{text!r} is not a day; write it like 2026-03-05")
    return found


def _mark(shape: MarkShape, place: str) -> Mark:
    day = at_place(f"{place}.day", lambda: read_day(shape.day))
    items = tuple(
        at_place(f"{place}.items[{number}]", partial(Item.parse, text)) for number, text in enumerate(shape.items)
    )
    cause = Cause(shape.cause) if shape.cause else None
    return at_place(place, lambda: Mark(day, items, shape.rating, Source(shape.by), cause, shape.tempo))


def _handout(shape: HandoutShape, place: str) -> Handout:
    blocks = tuple(
        GivenBlock(
            block.id,
            block.title,
            tuple(
                at_place(f"{place}.blocks[{number}].items[{count}]", partial(Item.parse, text))
                for count, text in enumerate(block.items)
            ),
        )
        for number, block in enumerate(shape.blocks)
    )
    day = at_place(f"{place}.day", lambda: read_day(shape.day))
    return at_place(f"{place}.title", lambda: Handout(shape.id, day, shape.title, blocks))


def _mark_tree(mark: Mark) -> dict[str, Tree]:
    tree: dict[str, Tree] = {
        "day": mark.day.isoformat(),
        "items": [item.ascii for item in mark.items],
        "rating": mark.rating,
    }
    if mark.source is Source.STUDENT:
        tree["by"] = mark.source.value
    if mark.cause is not None:
        tree["cause"] = mark.cause.value
    if mark.tempo is not None:
        tree["tempo"] = mark.tempo
    return tree


def _handout_tree(handout: Handout) -> dict[str, Tree]:
    return {
        "id": handout.id,
        "day": handout.day.isoformat(),
        "title": handout.title,
        "blocks": [
            {"id": block.block_id, "title": block.title, "items": [item.ascii for item in block.items]}
            for block in handout.blocks
        ],
    }


def _named(kind: type[Named], text: str, place: str) -> Named:
    known = [one.value for one in kind]
    if text not in known:
        raise ValueError(f"{place}: {text!r} is not one of {', '.join(known)}")
    return kind(text)


def _day_or_none(text: str | None, place: str) -> date | None:
    return None if text is None else at_place(place, lambda: read_day(text))


def _written(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
