"""Term files: what is written is what is read, and whatever else is in a file there is one sentence about it."""

from __future__ import annotations

import random
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from lessonkit.curriculum.term import Group, Holiday, Placement, Term, Week
from lessonkit.storage.strict import LessonFileError
from lessonkit.storage.term_file import read_term, save_term, term_from_bytes, term_to_bytes
from lessonkit.theory.key import Key
from tests.lessonkit.curriculum.shelf import random_term

OLD = Path(__file__).resolve().parents[2] / "old_files" / "v1" / "autumn.term"

FULL = Term(
    "Autumn term",
    date(2026, 9, 9),
    2,
    (
        Week((Placement("a.lesson", ("Duo",), ("C",), Key.parse("F#m"), 7, "ab12", "p1"),), "Two\nlines", 4, "w1"),
        Week((), "", None, "w2"),
    ),
    (Holiday("Half term", date(2026, 10, 19), date(2026, 10, 23)),),
    (Group("Duo", ("A", "B"), 5),),
    ("C", "D"),
    "Last autumn",
)


def test_a_term_survives_its_file(tmp_path: Path) -> None:
    """Every field, through the disk."""
    save_term(FULL, tmp_path / "a.term")
    assert read_term(tmp_path / "a.term") == FULL
    assert term_to_bytes(FULL) == (tmp_path / "a.term").read_bytes()


@settings(deadline=None, max_examples=20)
@given(some.integers(0, 10_000))
def test_any_term_survives_its_file(number: int) -> None:
    """Made up at random."""
    term, _ = random_term(number)
    assert term_from_bytes(term_to_bytes(term), "a.term") == term


def test_a_term_of_the_first_version_is_read() -> None:
    """The file in old_files is never edited: teachers' files of that day must open for ever."""
    assert read_term(OLD) == FULL


@pytest.mark.parametrize(
    ("find", "put", "said"),
    [
        ('"weekday": 2', '"weekday": 9', "weekday: this number is more than 6"),
        ('"F#m"', '"H"', r"weeks\[0\].lessons\[0\].key: 'H' is not a key"),
        ('"a.lesson"', '"../a.lesson"', r"weeks\[0\].lessons\[0\].lesson: .* is not a lesson beside the term"),
        ("2026-10-23", "2026-10-01", r"holidays\[0\]: Half term ends on 2026-10-01, before it begins"),
        ("2026-10-23", "2026-13-01", r"holidays\[0\].last: this is not a day"),
        ('"format": "term"', '"format": "lesson"', "this is not a term file"),
        ('"version": 1', '"version": 2', "newer lessonkit"),
        ('"came_from"', '"came"', "came"),
        ('"w2"', '"w1"', "share one id"),
    ],
)
def test_a_wrong_term_file_gets_a_sentence_that_names_the_place(find: str, put: str, said: str) -> None:
    """What is wrong, where, and what to do."""
    text = term_to_bytes(FULL).decode()
    assert find in text
    with pytest.raises(LessonFileError, match=f"a.term: .*{said}"):
        term_from_bytes(text.replace(find, put, 1).encode(), "a.term")


def test_bytes_that_are_broken_anywhere_give_a_term_or_a_sentence() -> None:
    """Never an exception of another kind."""
    data = term_to_bytes(FULL)
    chance = random.Random(4)
    for _ in range(400):
        broken = bytearray(data)
        for _ in range(chance.randint(1, 3)):
            broken[chance.randrange(len(broken))] = chance.randrange(256)
        try:
            said = term_to_bytes(term_from_bytes(bytes(broken), "a.term"))[:1].decode()
        except LessonFileError as error:
            said = str(error)
        assert said == "{" or (said.startswith("a.term: ") and "\n" not in said)
    for end in range(0, len(data), 37):
        with pytest.raises(LessonFileError):
            term_from_bytes(data[:end], "a.term")
