"""A block put in where a note is parted: no word is lost, no live word is cut."""

from __future__ import annotations

import pytest

from lessonkit.lesson.edits import insert_in_note
from lessonkit.lesson.lesson import Lesson, Note, Space


def texts(text: str, at: int) -> list[str]:
    """The note's halves around a space that is put in."""
    lesson = insert_in_note(Lesson(blocks=(Note(text, "one"),)), "one", at, (Space(10, id="space"),))
    return [block.text if isinstance(block, Note) else "|" for block in lesson.blocks]


@pytest.mark.parametrize(
    ("text", "at", "parted"),
    [
        ("One two", 3, ["One", "|", " two"]),
        ("One", 3, ["One", "|"]),
        ("One", 0, ["|", "One"]),
        ("", 0, ["|"]),
        ("One\n\nTwo", 4, ["One", "|", "Two"]),
        ("Play {notes V7} now", 8, ["Play {notes V7}", "|", " now"]),
    ],
)
def test_a_note_is_parted_around_the_block(text: str, at: int, parted: list[str]) -> None:
    """Halves without words are left out."""
    assert texts(text, at) == parted


def test_the_first_half_keeps_the_notes_name() -> None:
    """What refers to the note still finds it."""
    lesson = insert_in_note(Lesson(blocks=(Note("One two", "one"),)), "one", 3, (Space(10, id="space"),))
    assert lesson.blocks[0].id == "one"
    assert lesson.blocks[2].id not in ("one", "space")
