"""The commands about terms: ``cover``, ``find``, ``compare``, ``plan`` and ``binder``."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lessonkit.cli_errors import UnreadableLesson, WrongUse
from lessonkit.cli_files import curriculum_in, lesson_in, student_in, term_in, write_answer

if TYPE_CHECKING:
    from lessonkit.curriculum.coverage import Coverage, Span
    from lessonkit.curriculum.hardness import Hardest
    from lessonkit.curriculum.seen import Axis
    from lessonkit.curriculum.term import Term
    from lessonkit.lesson.lesson import Lesson
    from lessonkit.students.student import Student

Arguments = argparse.Namespace


def add_commands(commands: Any) -> None:
    """Add the commands to a parser's."""
    cover = commands.add_parser("cover", help="say what a term or a folder of lessons covers, counted from its drills")
    cover.add_argument("what", type=Path, metavar="TERM|FOLDER")
    cover.add_argument("--level", type=Path, metavar="CURRICULUM", help="measure it against the levels of this file")
    cover.add_argument("--json", action="store_true", help="answer in JSON")
    cover.set_defaults(command=_cover)

    find = commands.add_parser("find", help="find drills by what is in them, such as: m7b5 in the left hand")
    find.add_argument("what", type=Path, metavar="TERM|FOLDER")
    find.add_argument("words", nargs="+", metavar="WORDS")
    find.add_argument("--by-difficulty", action="store_true", help="the easiest first")
    find.set_defaults(command=_find)

    compare = commands.add_parser("compare", help="say what differs between two lessons")
    compare.add_argument("first", type=Path, metavar="LESSON")
    compare.add_argument("second", type=Path, metavar="LESSON")
    compare.set_defaults(command=_compare)

    plan = commands.add_parser("plan", help="list the weeks of a term, or say what is wrong in it")
    plan.add_argument("term", type=Path, metavar="TERM")
    plan.add_argument("--check", action="store_true", help="say what is wrong, and what is worth knowing")
    plan.add_argument("--level", type=Path, metavar="CURRICULUM", help="with --check: against these levels")
    plan.add_argument("--house", type=Path, metavar="HOUSE", help="with --check: against this house style")
    plan.add_argument("--csv", type=Path, metavar="FILE", help="write the plan as a table for spreadsheets")
    plan.set_defaults(command=_plan)

    binder = commands.add_parser("binder", help="bind a term's lessons into one PDF, for students or the teacher")
    binder.add_argument("term", type=Path, metavar="TERM")
    binder.add_argument("--student", type=Path, action="append", default=[], metavar="FILE", help="may be repeated")
    binder.add_argument("--all", action="store_true", help="for all students of the term, a binder each")
    binder.add_argument("--students", type=Path, metavar="DIR", help="with --all: where the .student files are")
    binder.add_argument("--teacher", action="store_true", help="with answers and what is for the teacher alone")
    binder.add_argument("--together", action="store_true", help="all students in one file")
    binder.add_argument("--by-lesson", action="store_true", help="a file a lesson instead of one")
    binder.add_argument("--right", action="store_true", help="begin each lesson on a right-hand page")
    binder.add_argument("--answers", action="store_true", help="add the answers of the worksheets")
    binder.add_argument("--parents", action="store_true", help="add a note to parents to each lesson")
    binder.add_argument("--assessment", type=int, metavar="NUMBER", help="add a sheet with keys drawn by this number")
    binder.add_argument("--anew", action="store_true", help="make again what is there and unchanged")
    binder.add_argument("--processes", type=int, default=1, metavar="N", help="as many at once (1)")
    binder.add_argument("--out", type=Path, required=True, metavar="DIR", help="the folder for the binders")
    binder.set_defaults(command=_binder)


def cover_answer(coverage: Coverage) -> dict[str, object]:
    """What is covered, for machines: each grid as rows of cells with counts, first and last places."""
    from lessonkit.curriculum.coverage import TWELVE_MAJOR
    from lessonkit.curriculum.hardness import hardest_by_week, jumps
    from lessonkit.curriculum.introduced import too_early
    from lessonkit.curriculum.seen import Axis

    columns = (Axis.KEY, Axis.QUALITY, Axis.HAND, Axis.FAMILY, Axis.READING)
    weeks = hardest_by_week(coverage)
    return {
        "lessons": [
            {"lesson": one.name, "week": one.week or None, "on": one.day.isoformat() if one.day else None}
            for one in coverage.lessons
        ],
        "grids": [
            {
                "rows": Axis.SKILL.value,
                "columns": axis.value,
                "cells": [
                    _cell(Axis.SKILL, axis, cell, span)
                    for cell, span in sorted(
                        coverage.spans(Axis.SKILL, axis).items(), key=lambda item: _order(axis, item[0])
                    )
                ],
            }
            for axis in columns
        ],
        "missing_keys": [key.ascii for key in coverage.missing(Axis.KEY, TWELVE_MAJOR)],
        "too_early": [str(one) for one in too_early(coverage)],
        "difficulty": [
            {
                "week": week,
                **{hand.value: _hardest(one) for hand, one in hands.items()},
            }
            for week, hands in weeks.items()
        ],
        "jumps": [str(jump) for jump in jumps(weeks)],
    }  # fmt: skip


def _hardest(one: Hardest) -> dict[str, object]:
    return {"score": round(one.score, 3), "step": one.difficulty.band.value, "block": one.place.block_id}


def _order(axis: Axis, cell: tuple[Any, Any]) -> tuple[Any, Any]:
    from lessonkit.curriculum.seen import ORDER, Axis

    return ORDER[Axis.SKILL](cell[0]), ORDER[axis](cell[1])


def _cell(rows: Axis, columns: Axis, cell: tuple[Any, Any], span: Span) -> dict[str, object]:
    from lessonkit.curriculum.seen import WORDS

    return {
        "row": cell[0].ascii,
        "row_words": WORDS[rows](cell[0]),
        "column": getattr(cell[1], "ascii", None) or getattr(cell[1], "value", cell[1]),
        "column_words": WORDS[columns](cell[1]),
        "drills": span.drills,
        "first": {"lesson": span.first.lesson, "week": span.first.week or None, "block": span.first.block_id},
        "last": {"lesson": span.last.lesson, "week": span.last.week or None, "block": span.last.block_id},
    }


def _cover(given: Arguments) -> int:
    from lessonkit.curriculum.coverage import TWELVE_MAJOR
    from lessonkit.curriculum.levels import measured
    from lessonkit.curriculum.seen import WORDS, Axis

    coverage = _coverage(given.what)
    curriculum = curriculum_in(given.level) if given.level else None
    if given.json:
        answer = cover_answer(coverage)
        if curriculum is not None:
            answer["levels"] = [
                {"level": level.name, "met": len(one.met), "missing": [need.words for need in one.unmet]}
                for level in curriculum.levels
                for one in (measured(level, coverage),)
            ]
        write_answer(answer)
        return 0
    for axis in (Axis.KEY, Axis.QUALITY, Axis.HAND, Axis.READING):
        counts = coverage.counts(axis, axis)
        told = ", ".join(f"{WORDS[axis](value)} {counts[value, value]}" for value in coverage.values(axis))
        print(f"{axis.value}, in how many drills: {told}")
    print("skills, in how many drills, with their keys:")
    for skill in coverage.values(Axis.SKILL):
        keys = coverage.counts(Axis.SKILL, Axis.KEY)
        own = [f"{key} {keys[skill, key]}" for key in coverage.values(Axis.KEY) if keys.get((skill, key))]
        print(f"    {skill.words}: {coverage.counts(Axis.SKILL, Axis.SKILL)[skill, skill]} ({', '.join(own)})")
    missing = coverage.missing(Axis.KEY, TWELVE_MAJOR)
    print(f"keys that do not come: {', '.join(map(str, missing)) or 'none'}")
    for level in curriculum.levels if curriculum else ():
        print(measured(level, coverage))
    return 0


def _find(given: Arguments) -> int:
    from lessonkit.curriculum.search import by_difficulty, read_query, search

    try:
        query = read_query(" ".join(given.words))
    except ValueError as error:
        raise WrongUse(str(error)) from None
    found = search(_coverage(given.what), query)
    for one in by_difficulty(found) if given.by_difficulty else found:
        week = f"week {one.place.week}, " if one.place.week else ""
        print(f"{week}{one.place.lesson}, {one.place.block_id}: {one.line} ({one.band.value})")
    if not found:
        print(f"nothing found for {query.told}")
    return 0


def _compare(given: Arguments) -> int:
    from lessonkit.curriculum.comparing import compared

    found = compared(lesson_in(given.first), lesson_in(given.second))
    for line in (*found.head, *found.blocks, *found.covered, *found.hardness):
        print(line)
    if not found:
        print("the two lessons are alike")
    return 0


def _plan(given: Arguments) -> int:
    from lessonkit.curriculum.plan_check import plan_problems, plan_remarks
    from lessonkit.storage.house_file import read_house
    from lessonkit.storage.strict import LessonFileError

    term = term_in(given.term)
    if given.csv is not None:
        return _plan_table(term, given)
    if not given.check:
        for dated in term.dated:
            told = ", ".join(placed.lesson for placed in dated.week.lessons) or dated.week.note or "nothing yet"
            print(f"{dated.number}  {dated.day.isoformat()}  {told}")
        return 0
    lessons, unreadable = _lessons_of(term, given.term.parent)
    try:
        style = read_house(given.house) if given.house else None
    except LessonFileError as error:
        raise UnreadableLesson(str(error)) from None
    curriculum = curriculum_in(given.level) if given.level else None
    problems = (*unreadable, *plan_problems(term, lessons, style))
    for problem in problems:
        print(f"{given.term}: {problem}")
    for remark in plan_remarks(term, lessons, curriculum, style):
        print(f"{given.term}: worth knowing: {remark}")
    if not problems:
        print(f"{given.term}: all is well")
    return 1 if problems else 0


def _plan_table(term: Term, given: Arguments) -> int:
    from lessonkit.curriculum.plan_table import plan_csv
    from lessonkit.storage.safe_write import safe_write

    lessons, unreadable = _lessons_of(term, given.term.parent)
    for problem in unreadable:
        print(f"lessonkit: {problem}", file=sys.stderr)
    try:
        safe_write(given.csv, plan_csv(term, lessons))
    except OSError as error:
        raise UnreadableLesson(f"{given.csv} cannot be written: {error.strerror}") from None
    print(given.csv)
    return 1 if unreadable else 0


def _binder(given: Arguments) -> int:
    from lessonkit.binder.jobs import BinderJob, Form, jobs_for, make_binders, teacher_job
    from lessonkit.binder.section import Contents

    if not (given.student or given.all or given.teacher):
        raise WrongUse("say for whom: --student FILE, --all or --teacher")
    if given.processes < 1:
        raise WrongUse(f"--processes: {given.processes} is less than 1")
    term = term_in(given.term)
    lessons, unreadable = _lessons_of(term, given.term.parent)
    for problem in unreadable:
        print(f"lessonkit: {problem}", file=sys.stderr)
    students = [student_in(path) for path in given.student]
    if given.all:
        own = {student.code for student in students}
        students += [one for one in _students_of(term, given) if one.code not in own]
    contents = Contents(has_answers=given.answers, has_parent_notes=given.parents, begins_right=given.right)
    form = Form.A_LESSON if given.by_lesson else Form.ONE_FILE
    jobs = jobs_for(term, lessons, students, given.out, contents, form, given.assessment)
    if given.together and jobs:
        who = tuple(student for job in jobs for student in job.students)
        jobs = [BinderJob(term, lessons, who, given.out, contents, form, given.assessment)]
    if given.teacher:
        job = teacher_job(term, lessons, given.out, given.assessment)
        jobs.append(replace(job, contents=replace(job.contents, begins_right=given.right)))
    failed = len(unreadable)
    for outcome in make_binders(jobs, given.processes, makes_anew=given.anew):
        if outcome.made is None:
            print(f"lessonkit: the binder for {outcome.job.who} was not made: {outcome.problem}", file=sys.stderr)
            failed += 1
        else:
            old = " (there already)" if outcome.made.is_old else ""
            for path in outcome.made.paths:
                print(f"{path}{old}", flush=True)
    return 1 if failed else 0


def _students_of(term: Term, given: Arguments) -> list[Student]:
    """Every student of a term, from the files at hand; of whom there is none, with the usual hands."""
    from lessonkit.students.student import Student

    folders = [given.students] if given.students else [given.term.parent, given.term.parent / "students"]
    known = {}
    for folder in folders:
        for path in sorted(folder.glob("*.student")) if folder.is_dir() else ():
            student = student_in(path)
            known[student.code] = student
    return [known.get(code) or Student(code) for code in term.everybody]


def _coverage(what: Path) -> Coverage:
    from lessonkit.curriculum.coverage import coverage_of, coverage_of_term

    if what.is_dir():
        paths = sorted(what.glob("*.lesson"))
        if not paths:
            raise WrongUse(f"{what}: there are no lessons in this folder")
        return coverage_of((path.name, lesson_in(path)) for path in paths)
    term = term_in(what)
    lessons, unreadable = _lessons_of(term, what.parent)
    for problem in unreadable:
        print(f"lessonkit: {problem}", file=sys.stderr)
    return coverage_of_term(term, lessons)


def _lessons_of(term: Term, folder: Path) -> tuple[dict[str, Lesson], list[str]]:
    """The lessons of a term that can be read, and a sentence for each file that cannot."""
    found: dict[str, Lesson] = {}
    problems: list[str] = []
    for name in dict.fromkeys(placed.lesson for _, placed in term.placements):
        try:
            found[name] = lesson_in(folder / name)
        except UnreadableLesson as error:
            problems.append(str(error))
    return found, problems
