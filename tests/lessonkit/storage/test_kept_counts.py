"""Counts of lessons kept on disk: the same as counting, quick to open, and never trusted when they are not ours."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from lessonkit.curriculum.coverage import Coverage, coverage_of, with_lesson
from lessonkit.curriculum.seen import NOTHING, Axis
from lessonkit.drills.family import family
from lessonkit.lesson.edits import set_title
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.storage import kept_counts
from lessonkit.storage.kept_counts import KeptCounts, Shelf, engine_mark
from lessonkit.storage.lesson_file import read_lesson, save_lesson
from tests.lessonkit.curriculum.shelf import random_lesson

PAIRS = ((Axis.SKILL, Axis.KEY), (Axis.QUALITY, Axis.HAND), (Axis.FAMILY, Axis.READING))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder of a dozen lessons."""
    lessons = tmp_path / "lessons"
    lessons.mkdir()
    for number in range(12):
        save_lesson(random_lesson(number), lessons / f"{number:02d}.lesson")
    return lessons


def paths(folder: Path) -> list[tuple[str, Path]]:
    return [(path.name, path) for path in sorted(folder.glob("*.lesson"))]


def plain(folder: Path) -> Coverage:
    """Everything counted by itself."""
    return coverage_of((name, read_lesson(path)) for name, path in paths(folder))


def assert_same(one: Coverage, other: Coverage) -> None:
    assert [lesson.name for lesson in one.lessons] == [lesson.name for lesson in other.lessons]
    for axes in PAIRS:
        assert dict(one.counts(*axes)) == dict(other.counts(*axes))
        assert one.spans(*axes) == other.spans(*axes)
    for mine, theirs in zip(one.lessons, other.lessons, strict=True):
        assert [(name, count.seen) for name, count in mine.blocks] == [(n, count.seen) for n, count in theirs.blocks]


def kept(folder: Path) -> Path:
    """The file of counts, beside the folder of the lessons."""
    return folder.parent / "cache" / "counts.json"


def looked(folder: Path) -> Shelf:
    """A shelf that was looked at in a fresh start, and kept."""
    shelf = Shelf(KeptCounts(kept(folder)))
    shelf.look(paths(folder))
    shelf.save()
    return shelf


def test_a_kept_shelf_is_the_counted_one_and_reads_no_lesson(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second start counts nothing; a lesson is read when somebody asks for it."""
    before = sorted(folder.iterdir())
    assert_same(looked(folder).coverage, plain(folder))
    assert sorted(folder.iterdir()) == before
    expected = plain(folder)
    read = []
    lesson_from_bytes = kept_counts.lesson_from_bytes

    def counted_reading(data: bytes, name: str) -> Lesson:
        read.append(name)
        return lesson_from_bytes(data, name)

    monkeypatch.setattr(kept_counts, "lesson_from_bytes", counted_reading)
    shelf = looked(folder)
    assert_same(shelf.coverage, expected)
    assert read == []
    assert shelf.coverage.lessons[3].lesson == read_lesson(folder / "03.lesson")
    assert read == ["03.lesson"]


def test_a_drill_that_cannot_be_written_out_is_kept_as_such(tmp_path: Path) -> None:
    """It is told of as before."""
    lessons = tmp_path / "lessons"
    lessons.mkdir()
    broken = Drill(family("broken-chords").from_settings({"lowest": "C8"}), "x")
    save_lesson(Lesson("Broken", blocks=(broken,)), lessons / "a.lesson")
    for _ in range(2):
        [one] = looked(lessons).coverage.lessons
        assert [count is NOTHING for _, count in one.blocks] == [True]


def test_looked_at_again_only_what_changed_is_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An edit, a new lesson, one that is gone, one that cannot be read."""
    shelf = looked(folder)
    first = shelf.coverage
    assert shelf.look(paths(folder)) is first
    save_lesson(random_lesson(99), folder / "04.lesson")
    assert_same(shelf.look(paths(folder)), plain(folder))
    assert shelf.coverage.lessons[5] is first.lessons[5]
    save_lesson(random_lesson(98), folder / "99.lesson")
    (folder / "00.lesson").unlink()
    assert_same(shelf.look(paths(folder)), plain(folder))
    (folder / "01.lesson").write_text("{")
    names = [one.name for one in shelf.look(paths(folder)).lessons]
    assert "01.lesson" not in names
    assert len(names) == 11
    assert len(shelf.problems) == 1


def test_many_changed_lessons_are_added_up_anew(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One by one would take longer."""
    monkeypatch.setattr("lessonkit.curriculum.coverage.FEW", 2)
    shelf = looked(folder)
    shelf.coverage.counts(*PAIRS[0])
    for name, path in paths(folder):
        save_lesson(set_title(read_lesson(path), f"Other {name}"), path)
    assert_same(shelf.look(paths(folder)), plain(folder))


@pytest.mark.parametrize(
    "content",
    [
        b"", b"{", b"[]", b"null", b"\xff\xfe", b"[" * 100_000, b'{"format": "lesson"}',
        b'{"format":"lesson counts","version":2,"engine":"","seen":[],"counts":[],"lessons":{}}',
    ],
)  # fmt: skip
def test_a_file_that_is_none_is_passed_over_and_made_anew(folder: Path, content: bytes) -> None:
    """The folder of the cache is nobody's to trust."""
    looked(folder)
    kept(folder).write_bytes(content)
    assert_same(looked(folder).coverage, plain(folder))
    assert json.loads(kept(folder).read_text())["engine"] == engine_mark()


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("engine", "of yesterday"), ("counts", [[0, 999_999]]), ("counts", [[-1]]), ("lessons", {"zz": []}),
        ("lessons", {"00": [["a", -2]]}), ("lessons", {"00": [["a", 10**6]]}),
        ("seen", [["no skill", "C", "left", "", "one staff"]]),
        ("seen", [["stride:bass", "H", "left", "", "one staff"]]),
        ("seen", [["stride:bass", "C", "left", "", "by nose"]]),
        ("seen", [["stride:bass", "C", "left", "loud", "one staff"]]),
    ],
)  # fmt: skip
def test_a_file_that_says_what_cannot_be_is_passed_over(folder: Path, name: str, value: object) -> None:
    """Also one that another lessonkit wrote, which may count otherwise."""
    looked(folder)
    told = json.loads(kept(folder).read_text())
    told[name] = value
    kept(folder).write_text(json.dumps(told))
    assert_same(looked(folder).coverage, plain(folder))


def test_where_nothing_can_be_kept_everything_is_counted(folder: Path) -> None:
    """A disk that is full or read-only costs time."""
    (folder.parent / "cache").write_text("a file where a folder should be")
    assert_same(looked(folder).coverage, plain(folder))


def test_the_lessons_asked_for_last_stay(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file does not grow without end."""
    monkeypatch.setattr(kept_counts, "MOST_KEPT", 5)
    looked(folder)
    assert len(json.loads(kept(folder).read_text())["lessons"]) == 5


def test_a_shelf_that_nobody_wants_any_more_stops(folder: Path) -> None:
    """What was there stays."""
    shelf = Shelf(KeptCounts(kept(folder)))
    turns = iter([True, True, False])
    assert shelf.look(paths(folder), lambda: next(turns)).lessons == ()


@settings(deadline=None, max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(some.lists(some.tuples(some.integers(0, 4), some.integers(0, 400)), min_size=1, max_size=6))
def test_spans_after_edits_are_those_of_a_full_recount(numbers: list[tuple[int, int]]) -> None:
    """First and last place too, whatever is edited."""
    lessons = [(f"{at}.lesson", random_lesson(at)) for at in range(5)]
    coverage = coverage_of(lessons)
    for axes in PAIRS:
        coverage.spans(*axes)
    for at, number in numbers:
        lessons[at] = (lessons[at][0], random_lesson(number))
        coverage = with_lesson(coverage, at, lessons[at][1])
        assert_same(coverage, coverage_of(lessons))
