"""The commands about students answer as the engine does; wrong use gets one sentence and changes no file."""

from __future__ import annotations

import json
import shutil
from datetime import date
from pathlib import Path

import pikepdf
import pytest
from pypdf import PdfReader

from lessonkit.cli import main
from lessonkit.handout.imposition import Imposition, imposed
from lessonkit.lesson import edits
from lessonkit.lesson.lesson import Note
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.pages.page_look import Reading
from lessonkit.storage.adapted_file import read_adapted
from lessonkit.storage.lesson_file import read_lesson, save_lesson
from lessonkit.storage.student_file import read_student
from lessonkit.students.explained import RULES
from lessonkit.students.handing_out import handed_out

SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
LESSON = SAMPLES / "four_chords_in_every_key.lesson"


@pytest.fixture
def student(tmp_path: Path) -> Path:
    path = tmp_path / "m_k.student"
    shutil.copy(SAMPLES / "m_k.student", path)
    return path


Captured = pytest.CaptureFixture[str]


def test_mark_writes_the_file_and_due_tells_the_way(student: Path, capsys: Captured) -> None:
    assert main(["mark", str(student), "broken-chords/Eb/right/maj7", "3", "--on", "2026-03-11", "--tempo", "66"]) == 0
    assert "box 2, due on 2026-03-13" in capsys.readouterr().out, "Saturday is no practice day"
    assert read_student(student).marks[-1].tempo == 66
    assert main(["due", str(student), "--on", "2026-03-13", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    due = {one["item"]: one for one in answer["due"]}
    assert [step["box"] for step in due["broken-chords/Eb/right/maj7"]["trace"]] == [1, 1, 1, 2]
    assert due["broken-chords/Eb/right/maj7"]["trace"][-1]["why"] == "right at tempo, up one; box 2 waits 3 days"
    assert answer["capacity"] == 7


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["broken-chords/H", "2"], "'H' is not a key"),
        (["broken-chords", "2"], "is not an item; write it like"),
        (["broken-chords/C", "5"], "5 is not a rating"),
        (["broken-chords/C", "2", "--on", "tomorrow"], "--on: 'tomorrow' is not a day"),
        (["broken-chords/C", "2", "--tempo", "61"], "61 is not a mark of a metronome"),
    ],
)
def test_a_wrong_mark_changes_nothing(student: Path, capsys: Captured, arguments: list[str], sentence: str) -> None:
    before = student.read_bytes()
    assert main(["mark", str(student), *arguments]) == 2
    error = capsys.readouterr().err
    assert sentence in error
    assert error.count("\n") == 1
    assert student.read_bytes() == before


@pytest.mark.parametrize(
    ("given", "name"),
    [
        (["--edition", "large"], "lesson-large for M_K"),
        (["--edition", "answers"], "lesson-answers for M_K"),
        (["--reading", "letters", "--impose", "booklet"], "lesson-letters-booklet for M_K"),
        (["--edition", "teacher", "--talking"], "lesson-teacher for M_K"),
    ],
)
def test_a_students_own_handout_comes_in_every_edition(
    student: Path, tmp_path: Path, capsys: Captured, given: list[str], name: str
) -> None:
    """The adapted lesson, in large print or as a booklet; each has a file of its own."""
    save_lesson(read_lesson(SAMPLES / "broken_chords.lesson"), tmp_path / "lesson.lesson")
    command = ["print", str(tmp_path / "lesson.lesson"), "--student", str(student), "--on", "2026-03-11"]
    assert main([*command, "--out", str(tmp_path / "out"), *given]) == 0
    names = [tmp_path / "out" / f"{name}.pdf"]
    if "--talking" in given:
        names.append(tmp_path / "out" / f"{name}.txt")
        assert "Notes are told with their octave" in names[-1].read_text(encoding="utf-8")
    assert capsys.readouterr().out.splitlines() == [str(one) for one in names]
    made = handed_out(read_lesson(tmp_path / "lesson.lesson"), read_student(student), date(2026, 3, 11)).lesson
    options = dict(zip(given[::2], given[1::2], strict=False))
    edition = Edition(options.get("--edition", "student"))
    pages = edition_pages(made, edition, Reading(options.get("--reading", "staff")))
    sheets = imposed(pages, Imposition(options.get("--impose", "single")))
    with pikepdf.open(names[0]) as pdf:
        assert len(pdf.pages) == len(sheets)
        assert float(pdf.pages[0].MediaBox[2]) == pytest.approx(sheets[0].width, abs=0.01)
        assert pdf.docinfo["/Title"] == f"{made.title} for M. K."
    assert not (tmp_path / "out" / "lesson for M_K.pdf").exists()


def test_adapt_answers_the_changes_with_their_reasons(student: Path, capsys: Captured) -> None:
    given = ["adapt", str(LESSON), "--student", str(student), "--on", "2026-03-11", "--json"]
    assert main(given) == 0
    answer = json.loads(capsys.readouterr().out)
    changes = {change["key"]: change for change in answer["changes"]}
    assert changes["keys:keys-09-drill"]["reason"].startswith("C major is strong and comes first; weak: ")
    assert all(change["reason"] for change in changes.values())
    assert answer["staff_mm"] == 7.5
    assert main([*given, "--without", "keys:keys-09-drill"]) == 0
    again = {change["key"]: change["done"] for change in json.loads(capsys.readouterr().out)["changes"]}
    assert again["keys:keys-09-drill"] is False
    assert main([*given, "--without", "nothing"]) == 2
    assert "no change has this name" in capsys.readouterr().err


def test_an_improvement_is_carried_over(student: Path, tmp_path: Path, capsys: Captured) -> None:
    lesson, adapted = tmp_path / "one.lesson", tmp_path / "one.adapted"
    shutil.copy(LESSON, lesson)
    on = ["--student", str(student), "--on", "2026-03-11"]
    assert main(["adapt", str(lesson), *on, "--save", str(adapted)]) == 0
    better = read_lesson(lesson)
    note = next(block for block in better.blocks if isinstance(block, Note))
    save_lesson(edits.set_note_text(better, note.id, "Better words."), lesson)
    capsys.readouterr()
    assert main(["carry-over", str(adapted), str(lesson), *on]) == 0
    assert capsys.readouterr().out == "taken over: the note “Better words.” changed\n"
    assert read_adapted(adapted).lesson.block(note.id) == Note("Better words.", note.id)
    assert main(["carry-over", str(adapted), str(lesson), *on]) == 0
    assert capsys.readouterr().out == "nothing has changed in the original\n"
    assert main(["print", str(adapted), "--out", str(tmp_path / "out")]) == 0
    text = "".join(page.extract_text() for page in PdfReader(tmp_path / "out" / "one.pdf").pages)
    assert "Better words." in text


def test_the_rules_of_every_number_are_printed(capsys: Captured) -> None:
    assert main(["rules"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert all(" ".join(rule.split()) in said for rule in RULES.values())


def test_print_for_a_student_makes_a_handout_of_their_own(student: Path, tmp_path: Path, capsys: Captured) -> None:
    out = tmp_path / "out"
    assert main(["print", str(LESSON), "--student", str(student), "--on", "2026-03-11", "--out", str(out)]) == 0
    made = out / "four_chords_in_every_key for M_K.pdf"
    assert capsys.readouterr().out == f"{made}\n"
    assert "M. K." in "".join(page.extract_text() for page in PdfReader(made).pages)
    nameless = ["print", str(LESSON), "--student", str(student), "--on", "2026-03-11", "--out", str(out), "--nameless"]
    assert main(nameless) == 0
    assert "M. K." not in "".join(page.extract_text() for page in PdfReader(made).pages)
    capsys.readouterr()
    before = read_student(student).handouts
    given = ["print", str(LESSON), "--student", str(student), "--on", "2026-03-11", "--out", str(out), "--give"]
    assert main(given) == main(given) == 0
    capsys.readouterr()
    kept = read_student(student).handouts
    assert kept[: len(before)] == before
    assert [handout.day.isoformat() for handout in kept[len(before) :]] == ["2026-03-11"] * 2
    assert kept[-1].blocks
    assert main(["print", str(LESSON), "--student", str(tmp_path / "no.student"), "--out", str(out)]) == 1
    assert "there is no such file" in capsys.readouterr().err
    twice = ["--student", str(student), "--student", str(student)]
    assert main(["print", str(LESSON), *twice, "--out", str(out)]) == 2
    assert "two of the students are called M. K." in capsys.readouterr().err
