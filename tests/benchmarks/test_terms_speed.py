"""How long coverage and binders take, against counting everything again and against engraver and paper alone.

Run with ``python -m pytest -m bench tests/benchmarks -s``. Ratios are printed, not judged.
"""

from __future__ import annotations

import io
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path as File
from typing import Any

import pytest
from reportlab.pdfgen.canvas import Canvas

from lessonkit.binder.bound import bound
from lessonkit.binder.jobs import jobs_for, make_binders
from lessonkit.binder.section import sections_for
from lessonkit.curriculum import seen
from lessonkit.curriculum.coverage import Coverage, coverage_of, with_lesson
from lessonkit.curriculum.seen import Axis
from lessonkit.curriculum.term import Term
from lessonkit.drawing.glyphs import UNITS, outline
from lessonkit.drawing.shapes import Command, Glyph, Line, Path, Rect, Text, paint
from lessonkit.drills.realise import _realised, realise
from lessonkit.engraving.engrave import engraver_text, forget
from lessonkit.engraving.engraver import svg_of
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson.edits import replace_block, set_key, set_tempo
from lessonkit.lesson.lesson import Drill, Lesson, Paper
from lessonkit.pages.blocks import look_of
from lessonkit.pages.page import Page
from lessonkit.storage.kept_counts import KeptCounts, Shelf
from lessonkit.storage.lesson_file import save_lesson
from lessonkit.students.student import Student
from lessonkit.theory.key import MAJOR_KEYS, Key
from lessonkit.theory.label_style import LabelStyle
from tests.lessonkit.curriculum.course import course

LESSONS_ON_SHELF = 1_000
STUDENTS = 40


def seconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def shelf() -> list[tuple[str, Lesson]]:
    """A thousand lessons: those of the course in fifteen keys and several tempos."""
    _, lessons, _ = course()
    made = []
    for number in range(LESSONS_ON_SHELF):
        name, lesson = list(lessons.items())[number % len(lessons)]
        key = MAJOR_KEYS[number // len(lessons) % len(MAJOR_KEYS)]
        made.append((f"{number} {name}", set_tempo(set_key(lesson, key), 60 + number % 40)))
    return made


def opened(lessons: list[tuple[str, Lesson]]) -> Coverage:
    coverage = coverage_of(lessons)
    coverage.counts(Axis.SKILL, Axis.KEY)
    coverage.spans(Axis.SKILL, Axis.KEY)
    return coverage


@pytest.mark.bench
def test_a_shelf_opens_its_coverage_and_shows_an_edit() -> None:
    """The aims: a shelf of 1,000 lessons within a second when it is warm, an edit within a twentieth of one."""
    lessons = shelf()
    seen._counted.cache_clear()
    cold = seconds(lambda: opened(lessons))
    warm = min(seconds(lambda: opened(lessons)) for _ in range(3))
    coverage = opened(lessons)
    name, lesson = lessons[500]
    drill = next(block for block in lesson.blocks if isinstance(block, Drill))
    edited = replace_block(lesson, replace(drill, family=drill.family.with_value("key", Key.parse("B"))))

    def edit() -> None:
        after = with_lesson(coverage, 500, edited)
        after.counts(Axis.SKILL, Axis.KEY)
        after.spans(Axis.SKILL, Axis.KEY)

    one = min(seconds(edit) for _ in range(5))
    assert name == coverage.lessons[500].name
    print(f"\n1,000 lessons: cold {cold:.2f} s, warm {warm:.3f} s; an edit {1000 * one:.1f} ms")
    print(f"an edit is 1/{warm / one:.0f} of a warm recount and 1/{cold / one:.0f} of a full one")


FRESH = """
import sys, time
from pathlib import Path
from lessonkit.curriculum.seen import Axis
from lessonkit.storage.kept_counts import KeptCounts, Shelf
folder, kept = map(Path, sys.argv[1:])
start = time.process_time()
shelf = Shelf(KeptCounts(kept))
coverage = shelf.look((path.name, path) for path in sorted(folder.glob("*.lesson")))
coverage.counts(Axis.SKILL, Axis.KEY)
coverage.spans(Axis.SKILL, Axis.KEY)
print(time.process_time() - start)
shelf.save()
"""
"""A start of the program in which a shelf is opened, from its files to its grid."""


@pytest.mark.bench
def test_a_shelf_opens_in_a_fresh_process_and_shows_an_edit_of_a_file(tmp_path: File) -> None:
    """The aims: within a second where its counts are kept; a lesson that was saved anew within a twentieth of one."""
    folder, kept = tmp_path / "lessons", tmp_path / "cache" / "counts.json"
    folder.mkdir()
    lessons = shelf()
    for number, (_, lesson) in enumerate(lessons):
        save_lesson(lesson, folder / f"{number:04d}.lesson")

    def fresh() -> float:
        command = [sys.executable, "-c", FRESH, str(folder), str(kept)]
        return float(subprocess.run(command, check=True, capture_output=True, text=True).stdout)

    first, again = fresh(), min(fresh() for _ in range(3))
    paths = [(path.name, path) for path in sorted(folder.glob("*.lesson"))]
    opened_shelf = Shelf(KeptCounts(kept))
    opened_shelf.look(paths)
    edits = []
    for number, key in enumerate(("B", "E", "Gb", "Ab", "D", "F")):
        lesson = lessons[500][1]
        drill = [block for block in lesson.blocks if isinstance(block, Drill)][number % 3]
        edited = replace_block(lesson, replace(drill, family=drill.family.with_value("key", Key.parse(key))))
        save_lesson(edited, paths[500][1])

        def shown() -> None:
            after = opened_shelf.look(paths)
            after.counts(Axis.SKILL, Axis.KEY)
            after.spans(Axis.SKILL, Axis.KEY)

        edits.append(seconds(shown))
    one = sorted(edits)[len(edits) // 2]
    print(f"\n1,000 files: read and counted {first:.2f} s, with kept counts {again:.2f} s in a fresh process")
    print(f"that is 1/{first / again:.0f}; a file saved anew shows in {1000 * one:.0f} ms, 1/{first / one:.0f}")


def alike(number: int) -> Student:
    return Student(f"S{number:02d}")


def each_another(number: int) -> Student:
    """Hands, staves, chord names and papers of many kinds, as in a studio of children and adults."""
    hands = HandProfile(170 + 8 * (number % 9), 170 + 8 * (number % 9))
    faces = LabelStyle(half_diminished="ø7") if number % 3 == 0 else LabelStyle()
    paper = Paper.LETTER if number % 7 == 0 else Paper.A4
    return Student(f"S{number:02d}", hands, staff_tenths=(70, 80, 90)[number % 3], label_style=faces, paper=paper)


def term_of(count: int, made: Callable[[int], Student]) -> tuple[Term, dict[str, Lesson], list[Student]]:
    term, lessons, _ = course()
    students = [made(number) for number in range(count)]
    codes = tuple(student.code for student in students)
    return replace(term, groups=(), students=codes), lessons, students


@pytest.mark.bench
@pytest.mark.parametrize("made", [alike, each_another])
def test_binders_for_a_studio_against_engraver_and_paper_alone(tmp_path: File, made: Callable[[int], Student]) -> None:
    """The aim: at most twice the engraver on the distinct drills and the plain cost of writing as many pages."""
    term, lessons, students = term_of(STUDENTS, made)
    jobs = jobs_for(term, lessons, students, tmp_path)
    forget()
    _realised.cache_clear()
    peaks: list[int] = []
    pages = 0
    start = time.process_time()
    for outcome in make_binders(jobs):
        assert outcome.made is not None, outcome.problem
        pages += outcome.made.pages
        peaks.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
    whole = time.process_time() - start
    texts = {}
    for student in students:
        for section in sections_for(term, lessons, student):
            for block in section.lesson.blocks:
                if isinstance(block, Drill):
                    exercise = realise(block.family, section.lesson.setting)
                    mei, width = engraver_text(exercise, look_of(section.lesson))
                    texts[mei, width] = None
    engraver = seconds(lambda: [svg_of(mei, width) for mei, width in texts])
    one = bound(term.title, "", [*sections_for(term, lessons, students[0])])
    paper = len(jobs) * min(seconds(lambda: plainly_written(one)) for _ in range(2))
    print(
        f"\n{len(jobs)} binders, students {made.__name__.replace('_', ' ')}, {pages} pages: {whole:.1f} s; "
        f"{len(texts)} distinct drills engraved {engraver:.1f} s,"
    )
    print(f"the same shapes written plainly {paper:.1f} s: {whole / (engraver + paper):.2f} times both")
    print(f"memory in MB after every eighth binder: {peaks[::8]}")


def plainly_written(pages: Sequence[Page]) -> bytes:
    """The same shapes written with reportlab's own calls and nothing of ours: what the paper costs by itself."""
    out = io.BytesIO()
    canvas = Canvas(out, pageCompression=1)
    painter = PlainPainter(canvas)
    for page in pages:
        canvas.setPageSize((page.width, page.height))
        canvas.translate(0, page.height)
        canvas.scale(1, -1)
        for part in page.parts:
            paint(part.placed, painter)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


class PlainPainter:
    """A call of reportlab for each shape; text in a font that is built in, glyphs as paths."""

    def __init__(self, canvas: Any) -> None:
        self.canvas = canvas

    def line(self, line: Line, dx: float, dy: float) -> None:
        self.canvas.setLineWidth(line.width)
        self.canvas.line(line.x1 + dx, line.y1 + dy, line.x2 + dx, line.y2 + dy)

    def rect(self, rect: Rect, dx: float, dy: float) -> None:
        self.canvas.rect(rect.x + dx, rect.y + dy, rect.width, rect.height)

    def path(self, path: Path, dx: float, dy: float) -> None:
        self._drawn(path.commands, 1.0, dx, dy)

    def glyph(self, glyph: Glyph, dx: float, dy: float) -> None:
        self._drawn(outline(glyph.code), glyph.size / UNITS, glyph.x + dx, glyph.y + dy)

    def text(self, text: Text, dx: float, dy: float) -> None:
        self.canvas.setFont("Times-Roman", text.size)
        self.canvas.drawString(text.x + dx, text.y + dy, text.text)

    def picture(self, picture: object, dx: float, dy: float) -> None:
        raise AssertionError("the course has no pictures")

    def _drawn(self, commands: Iterable[Command], scale: float, dx: float, dy: float) -> None:
        path = self.canvas.beginPath()
        for step, numbers in commands:
            at = [dx + scale * one if place % 2 == 0 else dy + scale * one for place, one in enumerate(numbers)]
            {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo, "Z": path.close}[step](*at)
        self.canvas.drawPath(path, stroke=0, fill=1)
