"""Student files: what is kept comes back, what is broken gets a sentence with its place, a save is whole or none."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from lessonkit.drills.family import Hands
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson.lesson import Paper
from lessonkit.storage.adapted_file import adapted_from_bytes, adapted_to_bytes, read_adapted, save_adapted
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.strict import LessonFileError
from lessonkit.storage.student_file import read_student, save_student, student_from_bytes, student_to_bytes
from lessonkit.students.adapt import adapt
from lessonkit.students.item import Item
from lessonkit.students.marks import Cause, Mark, Source
from lessonkit.students.schedule import Rhythm
from lessonkit.students.student import AgeBand, GivenBlock, Handout, ReadingLevel, Student
from lessonkit.theory.key import MAJOR_KEYS
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.quality import QUALITIES
from tests.lessonkit.students.test_adapt import LESSONS, STUDENTS

OLD_FILES = Path(__file__).resolve().parents[2] / "old_files" / "v1"
SAMPLES = Path(__file__).resolve().parents[3] / "sample_lessons"

DAYS = some.integers(0, 1000).map(lambda number: date(2025, 1, 1) + timedelta(number))
ITEMS = some.builds(
    Item, some.sampled_from(["broken-chords", "x-1"]), some.sampled_from(MAJOR_KEYS), some.sampled_from(Hands),
    some.sampled_from(["", *(quality.key for quality in QUALITIES)]), some.sampled_from(["", "A", "second inversion"]),
)  # fmt: skip
MARKS = some.builds(
    Mark, DAYS, some.lists(ITEMS, min_size=1, max_size=3).map(tuple), some.integers(0, 3), some.sampled_from(Source),
    some.none() | some.sampled_from(Cause), some.none() | some.sampled_from((40, 72, 208)),
)  # fmt: skip
LINES = some.text(some.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"]), max_size=20)
HANDOUTS = some.builds(
    Handout, some.sampled_from(["a1", "b2"]), DAYS, LINES,
    some.lists(some.builds(GivenBlock, some.sampled_from(["b", "c"]), LINES, some.lists(ITEMS, max_size=2).map(tuple)),
               max_size=2).map(tuple),
)  # fmt: skip
EVERY_STUDENT = some.builds(
    Student,
    LINES.filter(str.strip),
    some.builds(HandProfile, some.integers(120, 300), some.integers(120, 300), some.integers(0, 3), some.integers(0, 3),
                some.booleans()),
    some.booleans(), some.booleans(), some.sampled_from(ReadingLevel),
    some.frozensets(some.sampled_from([quality.key for quality in QUALITIES])),
    some.sampled_from([LabelStyle(), LabelStyle("ø7", "Δ7")]), some.integers(60, 160), some.sampled_from(Paper),
    some.integers(5, 240), some.sampled_from(AgeBand), some.integers(0, 100),
    some.builds(Rhythm, some.frozensets(some.integers(0, 6), min_size=1), some.none() | DAYS), some.none() | DAYS,
    some.lists(LINES, max_size=3).map("\n".join), some.lists(MARKS, max_size=4).map(tuple),
    some.lists(HANDOUTS, max_size=2).map(tuple), some.sampled_from(["", "a1"]), some.sampled_from(["", "2H3"]),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(EVERY_STUDENT)
def test_a_student_survives_the_file(student: Student) -> None:
    data = student_to_bytes(student)
    assert student_from_bytes(data, "a.student") == student
    assert student_to_bytes(student_from_bytes(data, "a.student")) == data


@settings(max_examples=15, deadline=None)
@given(LESSONS, STUDENTS)
def test_an_adapted_lesson_survives_the_file_with_its_original(lesson: Any, student: Student) -> None:
    adapted = adapt(lesson, student, date(2026, 3, 2))
    again = adapted_from_bytes(adapted_to_bytes(adapted), "a.adapted")
    assert (again.original, again.lesson, again.changes) == (adapted.original, adapted.lesson, adapted.changes)
    assert (again.code, again.day) == (adapted.code, adapted.day)


def test_an_adapted_lesson_remembers_its_original_and_what_was_changed_by_hand(tmp_path: Path) -> None:
    """Both folders can be moved together; hand-made changes are told apart from those that were made of themselves."""
    lesson = read_lesson(next(iter(sorted(SAMPLES.glob("*.lesson")))))
    adapted = adapt(lesson, read_student(SAMPLES / "m_k.student"), date(2026, 3, 2))
    by_hand = replace(adapted, lesson=replace(adapted.lesson, title="Yours"), from_file=tmp_path / "all" / "one.lesson")
    (tmp_path / "m_k").mkdir()
    save_adapted(by_hand, tmp_path / "m_k" / "one.adapted")
    assert read_adapted(tmp_path / "m_k" / "one.adapted").from_file == tmp_path / "m_k" / "../all/one.lesson"
    assert read_adapted(tmp_path / "m_k" / "one.adapted").made == adapted.made
    assert read_adapted(tmp_path / "m_k" / "one.adapted").lesson.title == "Yours"


def test_a_file_of_the_first_version_is_read_for_ever() -> None:
    """Never edited: teachers' files of that day must open for ever."""
    student = read_student(OLD_FILES / "every_field.student")
    assert (student.code, student.hands.right_span, student.paper) == ("M. K.", 188, Paper.LETTER)
    assert (student.keys_typed, len(student.marks), student.marks[-1].cause) == ("2H3-", 8, Cause.READING)
    assert student.rhythm == Rhythm(frozenset(range(5)), date(2026, 6, 26))
    adapted = read_adapted(OLD_FILES / "one.adapted")
    assert (adapted.code, adapted.choices, adapted.original.title) == ("M. K.", {"care": False}, "Old")


def test_the_sample_student_is_written_as_the_program_writes() -> None:
    path = SAMPLES / "m_k.student"
    assert student_to_bytes(read_student(path)) == path.read_bytes()


def _with(change: dict[str, Any]) -> bytes:
    tree = json.loads((SAMPLES / "m_k.student").read_bytes())
    for path, value in change.items():
        *way, last = path.split("/")
        at = tree
        for part in way:
            at = at[int(part)] if part.isdigit() else at[part]
        at[last] = value
    return json.dumps(tree).encode()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"marks/2/rating": 7}, "marks[2].rating: this number is more than 3"),
        ({"marks/0/day": "2026-02-30"}, "marks[0].day: '2026-02-30' is not a day; write it like 2026-03-05"),
        ({"marks/1/items": ["broken-chords/H"]}, "marks[1].items[0]: 'H' is not a key"),
        ({"marks/1/items": []}, "marks[1]: a mark is for something"),
        ({"marks/1/tempo": 61}, "marks[1]: 61 is not a mark of a metronome"),
        ({"reading": "some"}, "reading: 'some' is not one of keyboard pictures"),
        ({"hands/right_span": 40}, "hands.right_span: this number is less than 120"),
        ({"practice_days": []}, "practice_days: a student practises on one day of the week at least"),
        ({"vocabulary": ["maj7", "zz"]}, "'zz' is not a chord quality"),
        ({"version": 2}, "newer lessonkit"),
        ({"format": "lesson"}, "this is not a student file"),
        ({"shoe_size": 4}, "shoe_size: there is no such field"),
        ({"code": "  "}, "a student has a code"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(change: dict[str, Any], sentence: str) -> None:
    with pytest.raises(LessonFileError) as error:
        student_from_bytes(_with(change), "m_k.student")
    assert sentence in str(error.value)
    assert str(error.value).startswith("m_k.student: ")
    assert "\n" not in str(error.value)


@settings(max_examples=150, deadline=None)
@given(some.integers(0, 6000), some.binary(max_size=3))
def test_broken_bytes_get_a_sentence_and_never_another_error(at: int, junk: bytes) -> None:
    data = (SAMPLES / "m_k.student").read_bytes()
    said = "x.student: "
    try:
        student_from_bytes(data[:at] + junk + data[at + len(junk) :], "x.student")
    except LessonFileError as error:
        said = str(error)
    assert said.startswith("x.student: ")


def test_a_failed_save_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.student"
    save_student(Student("A. B."), path)
    before = path.read_bytes()

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", refuse)
    with pytest.raises(LessonFileError, match="was not saved"):
        save_student(Student("C. D."), path)
    assert path.read_bytes() == before
