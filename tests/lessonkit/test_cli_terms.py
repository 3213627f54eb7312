"""The commands about terms, from the outside: what they print, what they make, how they end."""

from __future__ import annotations

import csv
import json
import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from lessonkit.cli import main
from lessonkit.curriculum.house import Binding, house_of
from lessonkit.curriculum.plan_table import plan_csv
from lessonkit.curriculum.term import Group, Holiday, Placement, Term, Week
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.curriculum_file import curriculum_from_bytes, curriculum_to_bytes, read_curriculum
from lessonkit.storage.house_file import house_from_bytes, house_to_bytes, save_house
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.strict import LessonFileError
from lessonkit.storage.term_file import read_term, save_term

SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
TERM = SAMPLES / "twelve_keys.term"
LEVELS = SAMPLES / "three_levels.curriculum"


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A term of two lessons, one of which is not there."""
    shutil.copy(SAMPLES / "a_left_hand_that_flows.lesson", tmp_path)
    weeks = (Week((Placement("a_left_hand_that_flows.lesson"),)), Week((Placement("gone.lesson"),)))
    save_term(Term("Small", weeks=weeks, students=("JP",)), tmp_path / "small.term")
    return tmp_path / "small.term"


def test_cover_answers_every_grid_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    """For a term and for a folder; the same lessons in the same order of weeks or of names."""
    assert main(["cover", str(TERM), "--json", "--level", str(LEVELS)]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert [grid["columns"] for grid in answer["grids"]] == ["keys", "chords", "hands", "families", "reading"]
    assert answer["missing_keys"] == answer["too_early"] == []
    assert all(level["missing"] == [] for level in answer["levels"])
    cell = next(
        one for one in answer["grids"][0]["cells"] if (one["row"], one["column"]) == ("chord-jumps:chords", "Ab")
    )
    assert cell["first"] == {"lesson": "broken_chords.lesson", "week": 3, "block": "broken-23-drill"}
    assert main(["cover", str(SAMPLES), "--json"]) == 0
    folder = json.loads(capsys.readouterr().out)
    assert sum(one["drills"] for one in folder["grids"][0]["cells"]) == sum(
        one["drills"] for one in answer["grids"][0]["cells"]
    )


def test_cover_tells_people_too(capsys: pytest.CaptureFixture[str]) -> None:
    """Without JSON."""
    assert main(["cover", str(TERM), "--level", str(LEVELS)]) == 0
    told = capsys.readouterr().out
    assert "keys that do not come: none" in told
    assert "First level: 12 of 12" in told


def test_find_and_compare(capsys: pytest.CaptureFixture[str]) -> None:
    """In plain words."""
    assert main(["find", str(TERM), "half-diminished", "in", "the", "left", "hand"]) == 0
    assert "week 12, letting_in_air.lesson" in capsys.readouterr().out
    assert main(["find", str(SAMPLES), "m13"]) == 0
    assert "nothing found for chords: m13" in capsys.readouterr().out
    blues, air = SAMPLES / "twelve_bars.lesson", SAMPLES / "letting_in_air.lesson"
    assert main(["compare", str(blues), str(blues)]) == 0
    assert "alike" in capsys.readouterr().out
    assert main(["compare", str(blues), str(air)]) == 0
    assert "keys only in the first: A major" in capsys.readouterr().out


def test_plan_lists_the_weeks_with_their_days(capsys: pytest.CaptureFixture[str]) -> None:
    """As a calendar."""
    assert main(["plan", str(TERM)]) == 0
    assert "3  2026-09-23  broken_chords.lesson" in capsys.readouterr().out


def test_plan_as_a_table_for_spreadsheets(small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Read back by Python's own reader: a row for each day of teaching. Source of the form: RFC 4180."""
    assert main(["plan", str(TERM), "--csv", str(tmp_path / "plan.csv")]) == 0
    with (tmp_path / "plan.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    term = read_term(TERM)
    taught = [row for row in rows if row["File"]]
    assert {row["File"] for row in taught} == {placed.lesson for _, placed in term.placements}
    days = {(dated.number, dated.day.isoformat()) for dated in term.dated}
    assert {(int(row["Week"]), row["Date"]) for row in taught if not term.groups} <= days
    for row in taught:
        lesson = read_lesson(SAMPLES / row["File"])
        assert row["Key"] in (str(lesson.key), *(str(p.key) for _, p in term.placements))
        assert row["Lesson"]
    assert sum(bool(row["Drills"]) for row in taught) == len(taught)
    capsys.readouterr()
    assert main(["plan", str(small), "--csv", str(tmp_path / "small.csv")]) == 1
    assert "gone.lesson" in capsys.readouterr().err
    assert "gone.lesson" in (tmp_path / "small.csv").read_text(encoding="utf-8-sig")


def test_a_table_holds_no_formula_and_each_group_its_day() -> None:
    """Words that begin like a formula stay words; a group with a day of its own has a row of its own."""
    groups = (Group("Monday", ("AB",)), Group("Friday", ("CD",), weekday=4))
    weeks = (Week((Placement("a.lesson"),), note="=1+1"),)
    holidays = (Holiday("Autumn", date(2026, 10, 12), date(2026, 10, 23)),)
    term = Term("T", date(2026, 9, 7), weeks=weeks, groups=groups, holidays=holidays)
    rows = list(csv.reader(plan_csv(term, {"a.lesson": Lesson("Title")}).decode("utf-8-sig").splitlines()))
    assert rows[1:] == [
        ["1", "2026-09-07", "Monday", "Monday", "Title", "a.lesson", "C major", "", "'=1+1"],
        ["1", "2026-09-11", "Friday", "Friday", "Title", "a.lesson", "C major", "", "'=1+1"],
        ["", "2026-10-12", "Monday", "", "", "", "", "", "Autumn, until 2026-10-23"],
    ]


def test_plan_check_says_what_is_wrong(small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A lesson that is not there is wrong; a jump is only worth knowing."""
    assert main(["plan", str(TERM), "--check", "--level", str(LEVELS)]) == 0
    told = capsys.readouterr().out
    assert "all is well" in told
    assert "worth knowing: a jump: week 11" in told
    assert main(["plan", str(small), "--check"]) == 1
    assert "week 2, gone.lesson: there is no such lesson beside the term" in capsys.readouterr().out
    style = house_of(Lesson(author="Another studio")).bound("letterhead", Binding.LOCKED)
    save_house(style, tmp_path / "studio.house")
    assert main(["plan", str(small), "--check", "--house", str(tmp_path / "studio.house")]) == 1
    assert "the name at the head: Lantern Street Piano Room; has to be Another studio" in capsys.readouterr().out


def test_plan_check_names_who_and_when(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """People who are not of the term, and a group that comes in a holiday."""
    term = read_term(TERM)
    first = replace(term.weeks[0], lessons=(replace(term.weeks[0].lessons[0], groups=("Nobody",), students=("XX",)),))
    shutil.copytree(SAMPLES, tmp_path / "all")
    save_term(replace(term, weeks=(first, *term.weeks[1:])), tmp_path / "all" / "other.term")
    assert main(["plan", str(tmp_path / "all" / "other.term"), "--check"]) == 1
    told = capsys.readouterr().out
    assert "it is for Nobody, which is no group" in told
    assert "it is for XX, who is no student" in told


def test_binder_makes_files_and_says_which(small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """For a student and the teacher; a missing lesson is told and the rest is made; again, nothing is made."""
    out = tmp_path / "out"
    assert main(["binder", str(small), "--all", "--teacher", "--assessment", "5", "--out", str(out)]) == 1
    said = capsys.readouterr()
    assert "gone.lesson: there is no such file" in said.err
    assert {path.name for path in out.glob("*.pdf")} == {"Small for JP.pdf", "Small for the teacher.pdf"}
    main(["binder", str(small), "--all", "--out", str(out)])
    assert "(there already)" not in capsys.readouterr().out
    main(["binder", str(small), "--all", "--out", str(out)])
    assert "(there already)" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["binder", str(TERM), "--out", "x"], 2, "say for whom"),
        (["cover", "nowhere.term"], 1, "there is no such file"),
        (["plan", str(SAMPLES / "twelve_bars.lesson")], 1, "this is not a term file"),
        (["find", str(TERM), "x" * 400], 2, "too many"),
    ],
)
def test_wrong_use_costs_a_sentence(
    arguments: list[str], code: int, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """On standard error, one line."""
    assert main(arguments) == code
    told = capsys.readouterr().err
    assert said in told
    assert told.count("\n") == 1


def test_the_sample_levels_are_in_canonical_form_and_survive() -> None:
    """As the program writes them."""
    curriculum = read_curriculum(LEVELS)
    assert curriculum_to_bytes(curriculum) == LEVELS.read_bytes()


@pytest.mark.parametrize(
    ("find", "put", "said"),
    [
        ('"broken-chords:positions"', '"broken-chords"', r"levels\[0\].requirements\[0\].skill: .* is not a skill"),
        ('"maj"', '"major"', r"levels\[0\].requirements\[0\]: .*'major' is not a chord quality"),
        ('"tempo": 60', '"tempo": 900', "this number is more than 300"),
        (
            '"before": [',
            '"before": [["chord-jumps:chords", "broken-chords:positions"], ',
            "wait for each other in a loop",
        ),
    ],
)
def test_a_wrong_curriculum_file_gets_a_sentence(find: str, put: str, said: str) -> None:
    """What is wrong and where."""
    text = LEVELS.read_text(encoding="utf-8").replace(find, put, 1)
    with pytest.raises(LessonFileError, match=said):
        curriculum_from_bytes(text.encode(), "a.curriculum")


def test_a_house_style_survives_its_file_and_a_wrong_one_gets_a_sentence() -> None:
    """Every point and what it holds."""
    style = house_of(Lesson(author="Studio"), "Ours").bound("paper", Binding.LOCKED)
    data = house_to_bytes(style)
    assert house_from_bytes(data, "a.house") == style
    with pytest.raises(LessonFileError, match=r"a.house: .*no point of a house style"):
        house_from_bytes(data.replace(b'"letterhead"', b'"colour"', 1), "a.house")
    with pytest.raises(LessonFileError, match="stands twice"):
        house_from_bytes(data.replace(b'"letterhead"', b'"paper"', 1), "a.house")


def test_files_of_the_first_version_are_read() -> None:
    """The files in old_files are never edited: teachers' files of that day must open for ever."""
    old = Path(__file__).resolve().parents[1] / "old_files" / "v1"
    assert read_curriculum(old / "levels.curriculum").levels[2].name == "Third level"
    style = house_from_bytes((old / "studio.house").read_bytes(), "studio.house")
    assert (style.model.author, style.binding("paper"), style.binding("caution")) == (
        "Studio", Binding.LOCKED, Binding.ADVISED,
    )  # fmt: skip
