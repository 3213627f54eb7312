"""The ten-second record: what was on the last handout, a digit for each first try and a letter where it was not right.

A record that is being typed is nothing but its handout and the keys pressed so far; it stands in the student's file,
so that nothing typed is lost, and the last key is taken back by taking it off the end.

Keys: ``0`` to ``3`` rate the block that is asked for; ``H R T E P`` name the cause of less than 3; ``-`` passes a block
over that was not heard, or a cause that is not clear. After a 3 no cause is asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from lessonkit.students.marks import Cause, Mark, Source
from lessonkit.students.student import GivenBlock, Handout, Student
from lessonkit.values import dataclass

PASS = "-"
BEST = 3


@dataclass(frozen=True, slots=True)
class TypedLine:
    """One block of the record: how its first try went, None where it was not heard."""

    block: GivenBlock
    rating: int | None = None
    cause: Cause | None = None


@dataclass(frozen=True, slots=True)
class Record:
    """A record as far as it is typed: the lines that are done, and what is asked next in words."""

    handout: Handout
    lines: tuple[TypedLine, ...]
    asks: str
    is_done: bool


def record_of(handout: Handout, keys: str) -> Record:
    """What some keys say; keys that say nothing where they stand were never taken in by ``pressed``."""
    lines: list[TypedLine] = []
    rating: int | None = None
    for key in keys:
        if len(lines) == len(handout.blocks):
            break
        block = handout.blocks[len(lines)]
        if rating is None:
            if key == PASS:
                lines.append(TypedLine(block))
            elif key == str(BEST):
                lines.append(TypedLine(block, BEST))
            else:
                rating = int(key)
        else:
            lines.append(TypedLine(block, rating, None if key == PASS else Cause(key)))
            rating = None
    is_done = len(lines) == len(handout.blocks)
    return Record(handout, tuple(lines), _asks(handout, len(lines), rating), is_done)


def begin_record(student: Student, handout_id: str) -> Student:
    """The student with a record begun; the same one is gone on with. Raises KeyError where there is no such handout."""
    student.handout(handout_id)
    if student.handout_typed == handout_id:
        return student
    return replace(student, handout_typed=handout_id, keys_typed="")


def pressed(student: Student, key: str) -> Student:
    """The student with one more key typed; raises ValueError with a sentence for a key that says nothing here."""
    record = record_of(student.handout(student.handout_typed), student.keys_typed)
    key = key.upper()
    if record.is_done:
        raise ValueError("every block has its mark; take the record in, or take the last key back")
    wants_cause = student.keys_typed and _is_rating_open(record, student.keys_typed)
    causes = "".join(cause.value for cause in Cause)
    if wants_cause and key not in (*causes, PASS):
        raise ValueError(f"{key!r} is no cause; type one of {' '.join(causes)}, or - where it is not clear")
    if not wants_cause and key not in ("0", "1", "2", "3", PASS):
        raise ValueError(f"{key!r} is no rating; type 0, 1, 2 or 3, or - where it was not heard")
    return replace(student, keys_typed=student.keys_typed + key)


def key_taken_back(student: Student) -> Student:
    """The student without the key that was typed last."""
    return replace(student, keys_typed=student.keys_typed[:-1])


def taken_in(student: Student, day: date, source: Source = Source.TEACHER) -> Student:
    """The student with the record as marks of a day, and nothing left to type; a record may end early."""
    record = record_of(student.handout(student.handout_typed), student.keys_typed)
    marks = marks_of(record.lines, day, source)
    return replace(student, marks=(*student.marks, *marks), handout_typed="", keys_typed="")


def marks_of(lines: Sequence[TypedLine], day: date, source: Source) -> tuple[Mark, ...]:
    """The marks that typed lines stand for."""
    return tuple(
        Mark(day, line.block.items, line.rating, source, line.cause) for line in lines if line.rating is not None
    )


def _is_rating_open(record: Record, keys: str) -> bool:
    """Whether the last key was a rating whose cause is still asked for."""
    return record.asks.startswith("why")


def _asks(handout: Handout, place: int, rating: int | None) -> str:
    if place == len(handout.blocks):
        return ""
    title = handout.blocks[place].title
    if rating is not None:
        return f"why {title} was not right at tempo: " + ", ".join(f"{one.value} {one.words}" for one in Cause)
    return f"the first try of {title}: 0 could not, 1 stopped, 2 right but slow, 3 right at tempo"
