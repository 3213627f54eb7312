"""Term files: a term as JSON that people can read, and back. A file is read whole, or refused in a sentence."""

from __future__ import annotations

from pathlib import Path

from lessonkit.curriculum.term import Group, Holiday, Placement, Term, Week
from lessonkit.storage.blocks import text_from_shape, tree_of_text
from lessonkit.storage.strict import LessonFileError, at_place, decode, read_bytes
from lessonkit.storage.term_shapes import GroupShape, HolidayShape, PlacementShape, TermShape, WeekShape
from lessonkit.storage.whole_files import made_of_file, save_bytes
from lessonkit.storage.written import Tree, json_bytes
from lessonkit.theory.key import Key

VERSION = 1
"""The version of the term files that are written."""

SUFFIX = ".term"
"""The ending of a term file's name."""


def read_term(path: Path) -> Term:
    """The term in a file; raises LessonFileError with one sentence that names the file and the place."""
    return term_from_bytes(read_bytes(path), path.name)


def save_term(term: Term, path: Path) -> None:
    """Write a term to a file, the old one staying whole until the new one is.

    Raises LessonFileError with one sentence where that cannot be done.
    """
    save_bytes(term_to_bytes(term, path.name), path)


def term_from_bytes(data: bytes, name: str) -> Term:
    """The term that a file's bytes hold; ``name`` stands in the sentence of a LessonFileError."""
    shape = decode(data, name, "term", VERSION, TermShape)
    return made_of_file(name, lambda: _term(shape))


def term_to_bytes(term: Term, name: str = "the term") -> bytes:
    """A term as it stands in a file; the same term makes the same bytes.

    Raises LessonFileError where the file could not be read back as the same term.
    """
    try:
        data = json_bytes(_tree(term))
    except (ValueError, RecursionError) as error:
        raise LessonFileError(f"{name} cannot be written: {error}") from None
    if term_from_bytes(data, name) != term:
        raise LessonFileError(f"{name} cannot be written so that it reads back the same")
    return data


def _term(shape: TermShape) -> Term:
    return Term(
        title=shape.title,
        starts=shape.starts,
        weekday=shape.weekday,
        weeks=tuple(_week(week, f"weeks[{place}]") for place, week in enumerate(shape.weeks)),
        holidays=tuple(_holiday(one, f"holidays[{place}]") for place, one in enumerate(shape.holidays)),
        groups=tuple(_group(one, f"groups[{place}]") for place, one in enumerate(shape.groups)),
        students=tuple(shape.students),
        came_from=shape.came_from,
    )


def _week(shape: WeekShape, place: str) -> Week:
    lessons = tuple(_placement(one, f"{place}.lessons[{number}]") for number, one in enumerate(shape.lessons))
    return at_place(place, lambda: Week(lessons, text_from_shape(shape.note), shape.weekday, shape.id))


def _placement(shape: PlacementShape, place: str) -> Placement:
    key = at_place(f"{place}.key", lambda: Key.parse(shape.key) if shape.key is not None else None)
    return at_place(
        f"{place}.lesson",
        lambda: Placement(
            shape.lesson, tuple(shape.groups), tuple(shape.students), key, shape.seed, shape.given, shape.id
        ),
    )


def _holiday(shape: HolidayShape, place: str) -> Holiday:
    return at_place(place, lambda: Holiday(shape.name, shape.first, shape.last))


def _group(shape: GroupShape, place: str) -> Group:
    return at_place(place, lambda: Group(shape.name, tuple(shape.students), shape.weekday))


def _tree(term: Term) -> Tree:
    return {
        "format": "term",
        "version": VERSION,
        "title": term.title,
        "starts": term.starts.isoformat(),
        "weekday": term.weekday,
        "came_from": term.came_from,
        "holidays": [
            {"name": one.name, "first": one.first.isoformat(), "last": one.last.isoformat()} for one in term.holidays
        ],
        "groups": [
            {"name": one.name, "students": list(one.students), "weekday": one.weekday} for one in term.groups
        ],
        "students": list(term.students),
        "weeks": [
            {
                "id": week.id,
                "note": tree_of_text(week.note),
                "weekday": week.weekday,
                "lessons": [_placement_tree(placed) for placed in week.lessons],
            }
            for week in term.weeks
        ],
    }  # fmt: skip


def _placement_tree(placed: Placement) -> Tree:
    return {
        "id": placed.id,
        "lesson": placed.lesson,
        "groups": list(placed.groups),
        "students": list(placed.students),
        "key": placed.key.ascii if placed.key is not None else None,
        "seed": placed.seed,
        "given": placed.given,
    }
