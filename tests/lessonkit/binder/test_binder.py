"""Binders read back: contents, bookmarks and index point to the right pages; a stopped run goes on where it was."""

from __future__ import annotations

import io
import json
import re
from dataclasses import replace
from pathlib import Path

import pikepdf
import pypdf
import pytest

from lessonkit.binder.bound import bound
from lessonkit.binder.jobs import MADE, BinderJob, Form, jobs_for, make_binder, make_binders, teacher_job
from lessonkit.binder.rows import Row, pages_of_rows
from lessonkit.binder.section import STUDENT, Contents, Section, placed_for, section_of, sections_for
from lessonkit.curriculum.coverage import TWELVE_MAJOR
from lessonkit.curriculum.seen import WORDS, Axis
from lessonkit.curriculum.term import Group, Placement, Term, Week
from lessonkit.drills.family import family
from lessonkit.handout.pdf import pdf_bytes
from lessonkit.lesson.edits import set_title
from lessonkit.lesson.lesson import Drill, Heading, Lesson, Note, PageBreak
from lessonkit.pages.page import Page
from lessonkit.students.student import Student
from lessonkit.theory.key import Key


def drill(code: str, **settings: object) -> Drill:
    return Drill(family(code).from_settings(settings), f"{code}-{len(settings)}")  # type: ignore[arg-type]


LESSONS = {
    "one.lesson": Lesson(
        "Shapes in {key}", key=Key.parse("Ab"),
        blocks=(
            Heading("First", 1, "h1"), Note("Play {Imaj7}.", "n1"), drill("broken-chords"), PageBreak("b"),
            Heading("Second", 1, "h2"), drill("chord-jumps", key="E"),
        ),
    ),
    "two.lesson": Lesson("Jumps", key=Key.parse("D"), blocks=(Heading("Only", 1, "h"), drill("chord-jumps"))),
}  # fmt: skip
TERM = Term(
    "Autumn",
    weeks=(
        Week((Placement("one.lesson", id="p1"),), id="w1"),
        Week((Placement("two.lesson", ("Duo",), id="p2"), Placement("gone.lesson", id="p3")), id="w2"),
    ),
    groups=(Group("Duo", ("AB", "CK"), 5),),
    students=("JP",),
)


def read(pages: tuple[object, ...]) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(pdf_bytes(pages, "Binder")))  # type: ignore[arg-type]


def outline_of(reader: pypdf.PdfReader, entries: object = None, depth: int = 0) -> list[tuple[int, str, int]]:
    """Every bookmark with its depth and the number of its page, 1 first."""
    found: list[tuple[int, str, int]] = []
    for entry in reader.outline if entries is None else entries:  # type: ignore[attr-defined]
        if isinstance(entry, list):
            found += outline_of(reader, entry, depth + 1)
        else:
            found.append((depth, entry.title, reader.get_destination_page_number(entry) + 1))
    return found


def sections(contents: Contents = STUDENT, student: Student | None = None) -> list[Section]:
    return [*sections_for(TERM, LESSONS, student, contents)]


def test_page_numbers_run_through_and_are_printed() -> None:
    """A binder has one row of numbers, not one for each lesson."""
    pages = bound("Autumn", "For JP", sections())
    assert [page.number for page in pages] == list(range(1, len(pages) + 1))
    for number, page in enumerate(read(pages).pages, 1):
        assert page.extract_text().split("\n")[-1].strip() == str(number)
        assert " of " not in page.extract_text()


def test_bookmarks_lead_to_the_page_on_which_their_words_stand() -> None:
    """Read back from the PDF."""
    reader = read(bound("Autumn", "For JP", sections()))
    found = outline_of(reader)
    assert [(depth, title) for depth, title, _ in found] == [
        (0, "Contents"), (0, "Shapes in A♭ major"), (1, "First"), (1, "Second"),
        (0, "Jumps"), (1, "Only"), (0, "Index"),
    ]  # fmt: skip
    for _, title, number in found[1:]:
        assert title in reader.pages[number - 1].extract_text()


def test_contents_and_index_are_links_to_the_pages_that_they_name() -> None:
    """Every number that is printed is the number of the page to which a click on it leads."""
    pages = bound("Autumn", "For JP", sections())
    reader = read(pages)
    links = [(page.number, link.number) for page in pages for link in page.links]
    assert links
    told = []
    for number, page in enumerate(reader.pages, 1):
        for annotation in page.get("/Annots", []):
            page_there = annotation.get_object()["/Dest"][0].get_object()
            told.append((number, 1 + reader.pages.index(page_there)))
    assert sorted(told) == sorted(links)


def test_the_index_names_the_pages_on_which_keys_and_drills_stand() -> None:
    """Looked up by hand: the page on which the drill's first system is."""
    parts = sections()
    pages = bound("Autumn", "For JP", parts)
    text = read(pages).pages[-1].extract_text()
    start = next(page.number for page in pages if page.outline and page.outline[0].text == "Shapes in A♭ major")
    assert re.search(rf"A♭ major\s+{start}\b", text)
    assert re.search(rf"E major\s+{start + 1}\b", text)
    assert re.search(rf"Chord jumps\s+{start + 1}, {start + 2}\b", text)
    for axis in (Axis.KEY, Axis.FAMILY):
        for part in parts:
            for value, _ in part.found(axis):
                assert WORDS[axis](value) in text


def test_the_index_names_every_page_on_which_a_key_is_played() -> None:
    """A drill through twelve keys takes pages; each key is looked up where its chord names stand, read from the PDF."""
    lesson = Lesson("Round", blocks=(Note("Go round.", "n"), drill("broken-chords", key_count=12, quality="maj7")))
    part = section_of(lesson, "Week 1")
    reader = read(bound("Autumn", "", [part]))
    texts = [page.extract_text() for page in reader.pages]
    assert len(part.pages) > 2
    index = texts[-1]
    for key in TWELVE_MAJOR:
        line = next(line for line in index.split("\n") if line.startswith(f"{key} "))
        told = [int(number) for number in line.removeprefix(f"{key} ").split(", ")]
        played = [number for number, text in enumerate(texts[1:-1], 2) if f"{key.tonic}maj7" in _music(text)]
        assert told == played
    assert len({line for line in index.split("\n") if " major " in line}) == 12


def _music(text: str) -> str:
    """The text of a page without the caption, which names the chord of the first key."""
    return "\n".join(line for line in text.split("\n") if "broken" not in line)


def test_the_index_of_a_worksheet_leads_to_its_drill() -> None:
    """Where no notes are printed there is still a page; the answers are no place of their own."""
    sheet = drill("broken-chords", key_count=12, worksheet="notes")
    part = section_of(Lesson("Sheet", blocks=(sheet,)), "", Contents(has_answers=True))
    found = [(key, place) for key, place in part.found(Axis.KEY)]
    assert {key for key, _ in found} == set(TWELVE_MAJOR)
    answers = next(place for place, page in enumerate(part.pages) if any(e.text == "Answers" for e in page.outline))
    assert max(place for _, place in found) < answers


def test_a_contents_that_takes_pages_moves_what_is_behind_it() -> None:
    """Many lessons, several pages of contents."""
    lessons = [replace(LESSONS["one.lesson"], title=f"Lesson number {number}") for number in range(40)]
    parts = [section_of(lesson, f"Week {number}") for number, lesson in enumerate(lessons, 1)]
    reader = read(bound("A long year", "", parts))
    for _, title, number in outline_of(reader)[1:]:
        assert title in reader.pages[number - 1].extract_text()


def test_nothing_to_bind_is_said() -> None:
    """A student who gets nothing."""
    with pytest.raises(ValueError, match="no lesson to bind"):
        bound("Autumn", "", [])


def test_who_gets_what_on_which_day() -> None:
    """A group comes on its own day; who is in no group comes on the term's."""
    given = [(placed.lesson, day.weekday()) for _, day, placed in placed_for(TERM, Student("AB"))]
    assert given == [("one.lesson", 5), ("two.lesson", 5), ("gone.lesson", 5)]
    assert [placed.lesson for _, _, placed in placed_for(TERM, Student("JP"))] == ["one.lesson", "gone.lesson"]
    assert [day.weekday() for _, day, _ in placed_for(TERM, None)] == [0, 0, 0]


def test_rows_with_many_pages_go_on_and_lose_none() -> None:
    """A key that comes on every page of a long binder."""
    many = tuple(range(100, 190))
    pages = pages_of_rows("Index", "", [Row("Keys", is_head=True), Row("A♭ major", many)], Lesson(), columns=2)
    words = " ".join(part.placed.drawing.spoken for page in pages for part in page.parts)
    assert all(str(number) in words for number in many)
    assert sorted(link.number for page in pages for link in page.links) == list(many)
    for page in pages:
        for part in page.parts:
            assert part.placed.box.right <= page.width - 40


def test_a_binder_passes_the_check_of_the_pdf_library(tmp_path: Path) -> None:
    """As qpdf checks it, through pikepdf."""
    for job in (teacher_job(TERM, LESSONS, tmp_path, 3), *jobs_for(TERM, LESSONS, [Student("AB")], tmp_path)):
        [path] = make_binder(job).paths
        with pikepdf.open(path) as pdf:
            assert pdf.check_pdf_syntax() == []


def test_the_teachers_binder_begins_with_the_term_at_a_glance(tmp_path: Path) -> None:
    """Weeks and days, and the assessment that was drawn."""
    [path] = make_binder(teacher_job(TERM, LESSONS, tmp_path, 3)).paths
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages)
    assert "The term at a glance" in text
    assert "Week 2 · 14 September 2026" in text
    assert "gone.lesson, which is not there" in text
    assert "drawn by lot, with the number 3" in " ".join(text.split())


def test_an_assessment_is_no_lesson_to_practise(tmp_path: Path) -> None:
    """It has no note to parents and no key of its own, since every task has another."""
    [job] = jobs_for(TERM, LESSONS, [Student("AB")], tmp_path, Contents(has_parent_notes=True), draw=3)
    [path] = make_binder(job).paths
    texts = [page.extract_text() for page in pypdf.PdfReader(path).pages]
    at = next(place for place, text in enumerate(texts) if text.startswith("Assessment"))
    assert "♩" not in texts[at].split("Skills and keys")[0]
    assert sum("For parents" in text for text in texts[:at]) == 2
    assert not any("For parents" in text for text in texts[at:])


def test_each_lesson_can_begin_on_a_right_hand_page() -> None:
    """As it was laid out to be turned; what stands before it is an empty page, and every number is still right."""
    parts = sections()
    assert len(parts) > 1
    # One page more, so that without it a lesson would begin on a left-hand page.
    longer = [replace(part, pages=part.pages * (1 + len(part.pages) % 2)) for part in parts]
    usual = bound("Autumn", "For JP", longer)
    pages = bound("Autumn", "For JP", longer, begins_right=True)
    heads = [entry.text for part in parts for entry in part.pages[0].outline if entry.level == 0] or [
        part.title for part in parts
    ]

    def begins(bound_pages: tuple[Page, ...]) -> list[int]:
        return [page.number for page in bound_pages for entry in page.outline if entry.text in heads]

    assert any(number % 2 == 0 for number in begins(usual))
    assert all(number % 2 for number in begins(pages))
    assert [page.number for page in pages] == list(range(1, len(pages) + 1))
    empty = [page.number for page in pages if not page.parts]
    assert empty
    texts = [page.extract_text() for page in read(pages).pages]
    for number, text in enumerate(texts, 1):
        assert text.strip() == "" if number in empty else text.split("\n")[-1].strip() == str(number)
    links = {link.number for link in pages[0].links}
    assert links <= set(begins(pages)) | {page.number for page in pages if page.outline}
    assert not links & set(empty)


def test_a_file_a_lesson_and_a_note_for_parents(tmp_path: Path) -> None:
    """For a studio that hands out week by week."""
    contents = Contents(has_parent_notes=True)
    [job] = jobs_for(TERM, LESSONS, [Student("AB")], tmp_path, contents, Form.A_LESSON)
    made = make_binder(job)
    assert [path.name for path in made.paths] == [
        "Autumn for AB 01 Shapes in Ab major.pdf",
        "Autumn for AB 02 Jumps.pdf",
    ]
    assert "For parents" in "".join(page.extract_text() for page in pypdf.PdfReader(made.paths[0]).pages)


def test_a_stopped_run_leaves_whole_files_and_goes_on_where_it_was(tmp_path: Path) -> None:
    """What is there and unchanged is not made again; what was changed is."""
    jobs = jobs_for(TERM, LESSONS, [Student(code) for code in ("AB", "CK", "JP")], tmp_path)
    done: list[str] = []
    for outcome in make_binders(jobs, is_stopped=lambda: len(done) == 1):
        done.append(outcome.job.who)
    assert done == ["AB"]
    assert [path.name for path in tmp_path.glob("*.pdf")] == ["Autumn for AB.pdf"]
    again = [(one.job.who, one.made is not None and one.made.is_old) for one in make_binders(jobs)]
    assert again == [("AB", True), ("CK", False), ("JP", False)]
    better = {**LESSONS, "two.lesson": set_title(LESSONS["two.lesson"], "Leaps")}
    changed = jobs_for(TERM, better, [job.students[0] for job in jobs], tmp_path)
    assert {one.job.who: one.made.is_old for one in make_binders(changed) if one.made} == {
        "AB": False, "CK": False, "JP": True,
    }  # fmt: skip
    assert all(one.made and not one.made.is_old for one in make_binders(changed, makes_anew=True))


@pytest.mark.parametrize(
    "broken", ["", "[]", "{", '{"Autumn for AB": 3}', '{"Autumn for AB": {"from": 1}}', "[" * 5000]
)
def test_a_broken_note_of_what_was_made_makes_everything_anew(tmp_path: Path, broken: str) -> None:
    """The folder is the teacher's; whatever they do to it costs at most some time."""
    jobs = jobs_for(TERM, LESSONS, [Student("AB")], tmp_path)
    (tmp_path / MADE).write_text(broken)
    [outcome] = make_binders(jobs)
    assert outcome.made is not None
    assert not outcome.made.is_old
    assert json.loads((tmp_path / MADE).read_text())["Autumn for AB"]["from"] == jobs[0].mark


def test_all_students_in_one_file_have_their_codes_in_the_contents(tmp_path: Path) -> None:
    """One pile of paper for the copying machine."""
    job = BinderJob(TERM, LESSONS, (Student("AB"), Student("JP")), tmp_path)
    [path] = make_binder(job).paths
    text = pypdf.PdfReader(path).pages[0].extract_text()
    assert "AB · Week 1" in text
    assert "JP · Week 1" in text
