"""Binders made one by one, with progress, stop and resume: what is made and unchanged since is not made again."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from enum import Enum
from pathlib import Path

from lessonkit.binder.bound import bound
from lessonkit.binder.overview import overview
from lessonkit.binder.section import STUDENT, TEACHER, Contents, Section, placed_for, section_of, sections_for
from lessonkit.curriculum.assessment import assessment
from lessonkit.curriculum.coverage import coverage_of_term
from lessonkit.curriculum.issue import mark_of
from lessonkit.curriculum.term import Term
from lessonkit.handout.batch import Outcome, done_one_by_one
from lessonkit.handout.pdf import pdf_bytes
from lessonkit.lesson.lesson import Lesson
from lessonkit.pages.page import Page
from lessonkit.storage.safe_write import safe_write
from lessonkit.students.student import Student
from lessonkit.values import dataclass

MADE = "made.json"
"""The file in a folder of binders that says from what each was made."""

_NO_SIGN = re.compile(r"[^\w-]+")


class Form(Enum):
    """How a binder comes out."""

    ONE_FILE = "one file"
    A_LESSON = "a file a lesson"


@dataclass(frozen=True, eq=False)
class BinderJob:
    """A binder to make: for a student, for several in one file, or for the teacher where there is none."""

    term: Term
    lessons: Mapping[str, Lesson]
    students: tuple[Student, ...]
    folder: Path
    contents: Contents = STUDENT
    form: Form = Form.ONE_FILE
    draw: int | None = None
    """The number by which the keys of an assessment are drawn; None for no assessment."""

    @property
    def who(self) -> str:
        """For whom it is, in the names of files."""
        if not self.students:
            return "the teacher"
        return "all students" if len(self.students) > 1 else self.students[0].code

    @property
    def name(self) -> str:
        """The name of its file, or the beginning of the names of its files."""
        return f"{_file_words(self.term.title)} for {_file_words(self.who)}"

    @property
    def mark(self) -> str:
        """A short mark that changes when anything does from which the binder is made."""
        told: list[object] = [self.term.title, self.contents, self.form.value, self.draw]
        for student in self.students or (None,):
            told.append(student)
            for dated, day, placed in placed_for(self.term, student):
                lesson = self.lessons.get(placed.lesson)
                own = (placed.key, placed.seed, dated.number, day)
                told.append((own, mark_of(lesson) if lesson else ""))
        return hashlib.sha256("\n".join(map(repr, told)).encode()).hexdigest()[:24]


@dataclass(frozen=True, slots=True)
class MadeBinder:
    """What came of a job: its files and how many pages they have; ``is_old`` where they were there already."""

    paths: tuple[Path, ...]
    pages: int
    is_old: bool = False


def make_binder(job: BinderJob) -> MadeBinder:
    """Make one binder; each of its files is the whole new one or, whatever happens, the old one."""
    job.folder.mkdir(parents=True, exist_ok=True)
    sections = [*_sections(job)]
    if job.form is Form.A_LESSON:
        paths = []
        for number, section in enumerate(sections, 1):
            path = job.folder / f"{job.name} {number:02d} {_file_words(section.title)}.pdf"
            pages = bound(section.title, section.told, [section], False, job.contents.begins_right)
            _write(path, pages, section.title, job)
            paths.append(path)
        return MadeBinder(tuple(paths), sum(len(section.pages) for section in sections))
    contents = job.contents
    pages = bound(job.term.title, f"For {job.who}", sections, contents.has_index, contents.begins_right)
    path = job.folder / f"{job.name}.pdf"
    _write(path, pages, f"{job.term.title} for {job.who}", job)
    return MadeBinder((path,), len(pages))


def make_binders(
    jobs: Sequence[BinderJob],
    processes: int = 1,
    is_stopped: Callable[[], bool] = lambda: False,
    makes_anew: bool = False,
) -> Iterator[Outcome[BinderJob, MadeBinder]]:
    """Make binders, each told as soon as it is done; those that are there and made from the same are told at once."""
    todo = []
    for job in jobs:
        found = None if makes_anew else _made_before(job)
        if found is None:
            todo.append(job)
        else:
            yield Outcome(job, found)
    for outcome in done_one_by_one(todo, make_binder, processes, is_stopped):
        if outcome.made is not None:
            _keep(outcome.job, outcome.made)
        yield outcome


def jobs_for(
    term: Term,
    lessons: Mapping[str, Lesson],
    students: Sequence[Student],
    folder: Path,
    contents: Contents = STUDENT,
    form: Form = Form.ONE_FILE,
    draw: int | None = None,
) -> list[BinderJob]:
    """A binder for each student who gets anything."""
    return [
        BinderJob(term, lessons, (student,), folder, contents, form, draw)
        for student in students
        if any(True for _ in placed_for(term, student))
    ]


def teacher_job(term: Term, lessons: Mapping[str, Lesson], folder: Path, draw: int | None = None) -> BinderJob:
    """The teacher's binder: everything, with answers and what is for the teacher alone."""
    return BinderJob(term, lessons, (), folder, TEACHER, draw=draw)


def _sections(job: BinderJob) -> Iterator[Section]:
    if not job.students:
        yield overview(job.term, job.lessons)
        yield from sections_for(job.term, job.lessons, None, job.contents)
        yield from _assessment(job, None)
    for student in job.students:
        several = len(job.students) > 1
        for section in (*sections_for(job.term, job.lessons, student, job.contents), *_assessment(job, student)):
            told = f"{student.code} · {section.told}" if several else section.told
            yield Section(section.title, told, section.lesson, section.pages)


def _assessment(job: BinderJob, student: Student | None) -> Iterator[Section]:
    if job.draw is not None:
        sheet = assessment(coverage_of_term(job.term, job.lessons), job.draw, student.code if student else "")
        # The note to parents is about practising at home, and each task has a key of its own.
        contents = replace(job.contents, has_parent_notes=False, tells_key=False)
        yield section_of(sheet, "At the end of the term", contents)


def _write(path: Path, pages: tuple[Page, ...], title: str, job: BinderJob) -> None:
    author = next((lesson.author for lesson in job.lessons.values() if lesson.author), "")
    safe_write(path, pdf_bytes(pages, title, author))


def _made_before(job: BinderJob) -> MadeBinder | None:
    told = _kept(job.folder).get(job.name)
    if told is None or told.get("from") != job.mark:
        return None
    names = told.get("files")
    pages = told.get("pages")
    if not isinstance(names, list) or not isinstance(pages, int) or not names:
        return None
    paths = tuple(job.folder / Path(str(name)).name for name in names)
    return MadeBinder(paths, pages, True) if all(path.is_file() for path in paths) else None


def _keep(job: BinderJob, made: MadeBinder) -> None:
    kept = _kept(job.folder)
    kept[job.name] = {"from": job.mark, "files": [path.name for path in made.paths], "pages": made.pages}
    safe_write(job.folder / MADE, (json.dumps(kept, ensure_ascii=False, indent=2) + "\n").encode())


def _kept(folder: Path) -> dict[str, dict[str, object]]:
    """What the folder's file says; a broken one says nothing, and everything is made anew."""
    try:
        found = json.loads((folder / MADE).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    if not isinstance(found, dict):
        return {}
    return {str(name): told for name, told in found.items() if isinstance(told, dict)}


def _file_words(words: str) -> str:
    plain = words.replace("♭", "b").replace("♯", " sharp")
    return " ".join(_NO_SIGN.sub(" ", plain).split()) or "binder"
