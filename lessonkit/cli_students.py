"""The commands about students: ``adapt``, ``carry-over``, ``due``, ``mark``, ``rules``; what ``print`` knows."""

from __future__ import annotations

import argparse
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lessonkit.cli_errors import UnreadableLesson, WrongUse
from lessonkit.cli_files import lesson_in, student_in, write_answer

if TYPE_CHECKING:
    from lessonkit.handout.how_printed import HowPrinted
    from lessonkit.lesson.lesson import Lesson
    from lessonkit.students.adapted import Adapted
    from lessonkit.students.session import DueItem
    from lessonkit.students.student import Handout, Student

Arguments = argparse.Namespace


def add_commands(commands: Any) -> None:
    """Add the commands to a parser's."""
    adapting = commands.add_parser("adapt", help="make a lesson a student's and say what was changed, and why")
    adapting.add_argument("lesson", type=Path, metavar="LESSON")
    adapting.add_argument("--student", type=Path, required=True, metavar="FILE")
    adapting.add_argument("--on", metavar="DATE", help="as the student stands on this day, 2026-03-05 (today)")
    adapting.add_argument("--without", action="append", default=[], metavar="KEY", help="leave one change out")
    adapting.add_argument(
        "--with", action="append", default=[], dest="yes", metavar="KEY", help="answer a question yes"
    )
    adapting.add_argument("--save", type=Path, metavar="FILE", help="write the student's lesson, with its original")
    adapting.add_argument("--json", action="store_true", help="answer in JSON")
    adapting.set_defaults(command=_adapt)

    carrying = commands.add_parser("carry-over", help="carry an improved lesson over to one that was adapted before")
    carrying.add_argument("adapted", type=Path, metavar="ADAPTED", help="a file written by adapt --save")
    carrying.add_argument("lesson", type=Path, metavar="LESSON", help="the improved original")
    carrying.add_argument("--student", type=Path, required=True, metavar="FILE")
    carrying.add_argument("--on", metavar="DATE", help="(today)")
    carrying.set_defaults(command=_carry_over)

    due = commands.add_parser("due", help="say what a student has to review on a day, and why")
    due.add_argument("student", type=Path, metavar="STUDENT")
    due.add_argument("--on", metavar="DATE", help="the day, 2026-03-05 (today)")
    due.add_argument("--json", action="store_true", help="answer in JSON")
    due.set_defaults(command=_due)

    rules = commands.add_parser("rules", help="say how every number about a student is worked out from the file")
    rules.set_defaults(command=_rules)

    mark = commands.add_parser("mark", help="write a first try into a student's file")
    mark.add_argument("student", type=Path, metavar="STUDENT")
    mark.add_argument("item", metavar="ITEM", help="such as broken-chords/Eb or broken-chords/Eb/right/maj7")
    mark.add_argument("rating", type=int, metavar="RATING", help="0 could not, 1 stopped, 2 slow, 3 right at tempo")
    mark.add_argument("--on", metavar="DATE", help="the day, 2026-03-05 (today)")
    mark.add_argument("--by", choices=["teacher", "student"], default="teacher", help="who marked (teacher)")
    mark.add_argument("--cause", choices=list("HRTEP"), help="hand, reading, time, ear or pain")
    mark.add_argument("--tempo", type=int, metavar="BPM", help="the metronome mark that was reached")
    mark.set_defaults(command=_mark)


def add_to_print(printing: argparse.ArgumentParser) -> None:
    """What ``print`` knows of students."""
    printing.add_argument("--student", type=Path, action="append", default=[], metavar="FILE",
                          help="print for this student; may be repeated")  # fmt: skip
    printing.add_argument("--on", metavar="DATE", help="for students: the day of the handout, 2026-03-05 (today)")
    kept = "for students: keep in their files what was in the handout, so that it can be marked"
    printing.add_argument("--give", action="store_true", help=kept)
    printing.add_argument(
        "--nameless", action="store_true", help="for students: leave out for whom the handout is"
    )  # fmt: skip
    printing.add_argument("--processes", type=int, default=1, metavar="N", help="for students: as many at once (1)")


def print_for_students(given: Arguments, lessons: list[tuple[Path, Lesson]], how: HowPrinted) -> int:
    """Print every lesson for every student, saying each file as it is done; answers how many were not printed."""
    from dataclasses import replace

    from lessonkit.print_for import jobs_for, print_all

    if given.processes < 1:
        raise WrongUse(f"--processes: {given.processes} is less than 1")
    students = [student_in(path) for path in given.student]
    codes = [student.code for student in students]
    for code in codes:
        if codes.count(code) > 1:
            raise WrongUse(f"two of the students are called {code}; give one of them another code")
    named = [(f"{path.stem}{how.in_name}", lesson) for path, lesson in lessons]
    folder = given.out or lessons[0][0].parent
    failed = 0
    files = dict(zip(codes, given.student, strict=True))
    jobs = (
        replace(job, shows_answers=given.answers, has_name=not given.nameless, how=how)
        for job in jobs_for(named, students, _day(given), folder)
    )
    for outcome in print_all(jobs, given.processes):
        if outcome.made is None:
            print(f"lessonkit: {outcome.job.path} was not printed: {outcome.problem}", file=sys.stderr)
            failed += 1
        else:
            print(outcome.made.path, flush=True)
            if how.is_told:
                print(outcome.made.path.with_suffix(".txt"), flush=True)
            if given.give:
                _keep(files[outcome.job.student.code], outcome.made.handout)
    return failed


def adapted_answer(adapted: Adapted) -> dict[str, object]:
    """What was changed, for machines."""
    return {
        "student": adapted.code,
        "on": adapted.day.isoformat(),
        "staff_mm": adapted.lesson.house.staff_tenths / 10,
        "changes": [
            {
                "key": change.key,
                "about": change.kind.value,
                "block": change.block_id or None,
                "what": change.what,
                "reason": change.reason,
                "done": change.is_applied,
                "is_question": change.is_question,
            }
            for change in adapted.changes
        ],
    }


def due_answer(student: Student, due: tuple[DueItem, ...], day: date) -> dict[str, object]:
    """What is due, for machines, with the way of each item through the boxes."""
    from lessonkit.students.schedule import capacity, load

    return {
        "student": student.code,
        "on": day.isoformat(),
        "items": len(student.standings),
        "load": round(load(student.standings.values()), 2),
        "capacity": capacity(student.minutes),
        "due": [
            {
                "item": one.item.ascii,
                "words": one.item.words,
                "box": one.standing.box,
                "last": one.standing.last.isoformat(),
                "due": one.standing.due.isoformat(),
                "weakness": round(one.weakness, 3),
                "priority": round(one.priority, 3),
                "why": one.why(day),
                "trace": [
                    {
                        "on": step.day.isoformat(),
                        "rating": step.rating,
                        "by": step.source.value,
                        "box": step.box,
                        "due": step.due.isoformat(),
                        "why": step.why,
                    }
                    for step in one.standing.trace
                ],
            }
            for one in due
        ],
    }


def _adapt(given: Arguments) -> int:
    from dataclasses import replace

    from lessonkit.storage.adapted_file import save_adapted
    from lessonkit.storage.strict import LessonFileError
    from lessonkit.students.adapt import adapt

    lesson, student = lesson_in(given.lesson), student_in(given.student)
    choices = dict.fromkeys(given.without, False) | dict.fromkeys(given.yes, True)
    adapted = adapt(lesson, student, _day(given), choices)
    known = {change.key for change in adapted.changes}
    for key in choices:
        if key not in known:
            raise WrongUse(f"{key}: no change has this name; they are {', '.join(sorted(known)) or 'none'}")
    if given.save:
        try:
            save_adapted(replace(adapted, from_file=given.lesson), given.save)
        except LessonFileError as error:
            raise UnreadableLesson(str(error)) from None
    if given.json:
        write_answer(adapted_answer(adapted))
        return 0
    for change in adapted.changes:
        state = "" if change.is_applied else "? " if change.is_question else "(left out) "
        print(f"{state}{change.what}: {change.reason} [{change.key}]")
    if not adapted.changes:
        print(f"nothing needs to change for {student.code}")
    return 0


def _carry_over(given: Arguments) -> int:
    from lessonkit.storage.adapted_file import read_adapted, save_adapted
    from lessonkit.storage.strict import LessonFileError
    from lessonkit.students.carrying_over import carried_over

    student = student_in(given.student)
    try:
        adapted = read_adapted(given.adapted)
        if adapted.code != student.code:
            raise WrongUse(f"{given.adapted.name} was made for {adapted.code}, not for {student.code}")
        found = carried_over(adapted, lesson_in(given.lesson), student, _day(given))
        save_adapted(found.adapted, given.adapted)
    except LessonFileError as error:
        raise UnreadableLesson(str(error)) from None
    for sentence in found.taken:
        print(f"taken over: {sentence}")
    for sentence in found.left:
        print(f"look at this, it was left as it is here: {sentence}")
    if not found.points:
        print("nothing has changed in the original")
    return 0


def _due(given: Arguments) -> int:
    from lessonkit.students.session import due_on

    student, day = student_in(given.student), _day(given)
    due = due_on(student, day)
    if given.json:
        write_answer(due_answer(student, due, day))
        return 0
    for one in due:
        print(f"{one.item.ascii}: {one.why(day)}")
    if not due:
        print(f"nothing is due for {student.code} on {day}")
    return 0


def _rules(given: Arguments) -> int:
    from textwrap import fill

    from lessonkit.students.explained import RULES, TITLES

    print("\n\n".join(f"{title}\n{fill(RULES[name], 88)}" for name, title in TITLES.items()))
    return 0


def _mark(given: Arguments) -> int:
    from lessonkit.storage.strict import LessonFileError
    from lessonkit.storage.student_file import save_student
    from lessonkit.students.item import Item
    from lessonkit.students.marks import Cause, Mark, Source
    from lessonkit.students.student import with_mark

    student, day = student_in(given.student), _day(given)
    try:
        item = Item.parse(given.item)
        cause = Cause(given.cause) if given.cause else None
        marked = with_mark(student, Mark(day, (item,), given.rating, Source(given.by), cause, given.tempo))
    except ValueError as error:
        raise WrongUse(str(error)) from None
    try:
        save_student(marked, given.student)
    except LessonFileError as error:
        raise UnreadableLesson(str(error)) from None
    now = marked.standings[item]
    print(f"{item.words}: box {now.box}, due on {now.due}")
    return 0


def _keep(path: Path, handout: Handout) -> None:
    """Write into a student's file what was given; the file is read again, since it may have been marked meanwhile."""
    from lessonkit.storage.strict import LessonFileError
    from lessonkit.storage.student_file import save_student
    from lessonkit.students.student import with_handout

    student = student_in(path)
    if any(one.id == handout.id for one in student.handouts):
        return
    try:
        save_student(with_handout(student, handout), path)
    except LessonFileError as error:
        raise UnreadableLesson(str(error)) from None


def _day(given: Arguments) -> date:
    from lessonkit.storage.student_file import read_day

    if not given.on:
        return date.today()
    try:
        return read_day(given.on)
    except ValueError as error:
        raise WrongUse(f"--on: {error}") from None
