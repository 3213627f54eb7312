"""Handouts from the command line: editions, papers, a talking score, what saves a page, a gallery to look at."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest

from lessonkit.cli import main
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.family import family
from lessonkit.lesson.handout_page import page_around
from lessonkit.lesson.lesson import Drill, House, Lesson, Note, Paper, Space
from lessonkit.pages.editions import Edition
from lessonkit.storage.lesson_file import save_lesson
from lessonkit.theory.key import Key


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A page around a drill, in a file."""
    lesson = Lesson("A page", key=Key.parse("Ab"), blocks=(Note("Mine.", "t", True), Drill(BrokenChords(), "d")))
    save_lesson(page_around(lesson, "d"), tmp_path / "page.lesson")
    return tmp_path / "page.lesson"


def said(capsys: pytest.CaptureFixture[str]) -> str:
    return capsys.readouterr().out


@pytest.mark.parametrize("edition", Edition)
def test_each_edition_has_a_file_of_its_own(path: Path, edition: Edition, capsys: pytest.CaptureFixture[str]) -> None:
    """The teacher's copy must not overwrite the student's."""
    assert main(["print", str(path), "--edition", edition.value]) == 0
    name = "page.pdf" if edition is Edition.STUDENT else f"page-{edition.value}.pdf"
    assert said(capsys).strip() == str(path.with_name(name))
    with pikepdf.open(path.with_name(name)) as pdf:
        assert len(pdf.pages) >= 1


def test_papers_staves_and_sheets(path: Path) -> None:
    """What is asked for is what lies in the printer."""
    for paper, size in (("a5", (420, 595)), ("a3", (842, 1191)), ("both", (595, 792))):
        assert main(["print", str(path), "--paper", paper]) == 0
        with pikepdf.open(path.with_suffix(".pdf")) as pdf:
            assert [round(float(number)) for number in pdf.pages[0].MediaBox][2:] == list(size)
    assert main(["print", str(path), "--impose", "two-up", "--staff", "8.5"]) == 0
    with pikepdf.open(path.with_name("page-two-up.pdf")) as pdf:
        assert round(float(pdf.pages[0].MediaBox[2])) == 842


def test_a_wrong_staff_is_one_sentence(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is wrong, and what is possible."""
    assert main(["print", str(path), "--staff", "3"]) == 2
    assert capsys.readouterr().err == "lessonkit: --staff: a staff of 3 mm is not between 6 and 16 mm\n"


def test_the_talking_score_lies_beside_the_handout(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One command for both, so that neither is forgotten."""
    assert main(["print", str(path), "--talking"]) == 0
    assert said(capsys).splitlines() == [str(path.with_suffix(".pdf")), str(path.with_suffix(".txt"))]
    told = path.with_suffix(".txt").read_text(encoding="utf-8")
    assert "A flat 4 with 1" in told
    assert "Mine." not in told


def test_what_saves_a_page_is_told_and_nothing_changed(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Offers are words; the file stays as it is."""
    assert main(["fit", str(path)]) == 0
    assert said(capsys) == f"{path}: one page\n"
    for height in range(60, 240, 5):
        save_lesson(Lesson(blocks=(Drill(BrokenChords(), "d"), Space(height, "s"), Note("word " * 80, "n"))), path)
        before = path.read_bytes()
        assert main(["fit", str(path)]) == 0
        assert path.read_bytes() == before
        told = said(capsys)
        if "instead of" in told:
            assert "1 page instead of 2." in told
            return
    pytest.fail("no lesson was a little too long")


def test_a_page_that_cannot_be_turned_well_is_told(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Four octaves up and down four times go over the page while both hands play; on one side nothing is turned."""
    long = Drill(family("broken-chords").from_settings({"octaves": 4, "repeats": 4, "hands": "both"}), "d")
    lesson = Lesson(paper=Paper.A5, blocks=(Space(20, "s"), long))
    save_lesson(lesson, path)
    assert main(["fit", str(path)]) == 0
    sentence = "Page 1 is turned in the middle of “Broken chords”, where no hand is free"
    assert sentence in said(capsys)
    save_lesson(replace(lesson, house=House(is_two_sided=False)), path)
    assert main(["fit", str(path)]) == 0
    assert sentence not in said(capsys)


def test_the_gallery_has_every_edition(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """All that goes out can be looked at first."""
    assert main(["gallery", str(path), "--out", str(path.parent / "look"), "--dots", "40"]) == 0
    names = [Path(line).name for line in said(capsys).splitlines()]
    assert {name.split("-")[1] for name in names} == {edition.value for edition in Edition}
    assert all((path.parent / "look" / name).read_bytes().startswith(b"\x89PNG") for name in names)
