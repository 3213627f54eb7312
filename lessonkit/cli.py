"""The command line: the same engine without a window. Errors are one sentence on standard error.

Exit codes: 0 done, 1 a lesson that cannot be read or written, 2 wrong use. Each command imports what it needs when it
runs, so that a small question is answered at once.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import NoReturn

from lessonkit import cli_export, cli_gallery, cli_students, cli_terms
from lessonkit.cli_errors import UnreadableLesson, WrongUse
from lessonkit.cli_files import lesson_in, write_answer

Arguments = argparse.Namespace


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and answer the exit code."""
    parsed = _parser().parse_args(arguments)
    command: Callable[[Arguments], int] = parsed.command
    try:
        return command(parsed)
    except WrongUse as error:
        print(f"lessonkit: {error}", file=sys.stderr)
        return 2
    except UnreadableLesson as error:
        print(f"lessonkit: {error}", file=sys.stderr)
        return 1
    except BrokenPipeError:
        # The reader of our output has gone; there is nobody left to tell.
        sys.stderr.close()
        return 1


class _OneSentence(argparse.ArgumentParser):
    """A parser that answers wrong use with one sentence instead of a page."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"lessonkit: {message}; see lessonkit --help\n")


def _parser() -> argparse.ArgumentParser:
    parser = _OneSentence(prog="lessonkit", description="Lessons in piano improvisation out of drills and words.")
    commands = parser.add_subparsers(dest="name", required=True, metavar="COMMAND", parser_class=_OneSentence)

    printing = commands.add_parser("print", help="make the PDF handouts of lessons")
    printing.add_argument("lessons", nargs="+", type=Path, metavar="LESSON")
    printing.add_argument("--out", type=Path, metavar="DIR", help="the folder for the handouts (beside the lesson)")
    printing.add_argument("--key", help="print in this key, such as Eb or F#m, instead of the lesson's own")
    papers = ["a4", "letter", "both", "a5", "a3"]
    printing.add_argument("--paper", choices=papers, help="instead of the lesson's own paper; both: as it fits either")
    editions = ["student", "teacher", "answers", "large", "parent"]
    printing.add_argument("--edition", choices=editions, default="student", help="for whom to print (student)")
    printing.add_argument(
        "--reading", choices=["staff", "letters", "pictures", "symbols"], default="staff", help="how drills are shown"
    )
    printing.add_argument("--staff", type=float, metavar="MM", help="the height of the staff, 6 to 16 mm")
    printing.add_argument(
        "--talking", action="store_true", help="write a text beside the handout that tells each drill note by note"
    )
    printing.add_argument(
        "--impose", choices=["single", "two-up", "booklet"], default="single", help="pages side by side on sheets"
    )
    printing.add_argument("--answers", action="store_true", help="add the answers of the worksheets on their own pages")
    cli_students.add_to_print(printing)
    printing.set_defaults(command=_print)

    cli_export.add_commands(commands)
    cli_gallery.add_commands(commands)
    cli_students.add_commands(commands)
    cli_terms.add_commands(commands)

    drills = commands.add_parser("drills", help="list the drill families and their settings")
    drills.add_argument("--json", action="store_true", help="answer in JSON")
    drills.set_defaults(command=_drills)

    notes = commands.add_parser("notes", help="work a drill out and answer its notes in JSON")
    notes.add_argument("family", metavar="FAMILY", help="a code from lessonkit drills")
    notes.add_argument("--key", default="C", help="the key, such as Eb or F#m (C)")
    notes.add_argument("--set", action="append", default=[], metavar="NAME=VALUE", help="a setting; may be repeated")
    notes.set_defaults(command=_notes)

    reading = commands.add_parser(
        "read-excerpt", help="read a few bars of MusicXML or ABC into the text of a lick and of a chord chart"
    )
    reading.add_argument("excerpt", type=Path, metavar="FILE", help="a .musicxml, .mxl or .abc file")
    reading.set_defaults(command=_read_excerpt)

    check = commands.add_parser("check", help="say what is wrong in lessons")
    check.add_argument("lessons", nargs="+", type=Path, metavar="LESSON")
    check.set_defaults(command=_check)

    fit = commands.add_parser("fit", help="say what would save a page of a handout, the cheapest change first")
    fit.add_argument("lessons", nargs="+", type=Path, metavar="LESSON")
    fit.set_defaults(command=_fit)

    finger = commands.add_parser("finger", help="give notes their fingers, with reasons, in JSON")
    finger.add_argument("notes", nargs="+", metavar="NOTES", help="such as Ab3 C4 Eb4 G4, or - for a passage a line")
    _add_hand(finger)
    finger.add_argument("--groups", type=int, metavar="N", help="a broken chord in groups of N notes")
    finger.add_argument("--black-start", action="store_true", help="2-1-2-4 on a low black note and a white one")
    finger.set_defaults(command=_finger)

    rate = commands.add_parser("rate", help="say how hard a chord is, why, and what is easier, in JSON")
    rate.add_argument("chord", metavar="CHORD", help="such as Abmaj7")
    rate.add_argument("--inversion", type=int, default=0, metavar="N", help="0 is root position (0)")
    rate.add_argument("--as", dest="played", choices=["run", "jump"], required=True, help="how it is played")
    _add_hand(rate)
    rate.add_argument("--octaves", type=int, default=2, metavar="N", help="how far a run goes (2)")
    rate.add_argument("--tempo", type=int, metavar="BPM", help="an octave of the run, or a landing, to the beat (80)")
    rate.set_defaults(command=_rate)

    edit = commands.add_parser("edit", help="open the notebook")
    edit.add_argument("lesson", nargs="?", type=Path, metavar="LESSON")
    edit.set_defaults(command=_edit)
    return parser


def _add_hand(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--hand", choices=["right", "left"], required=True, help="which hand plays")
    parser.add_argument(
        "--span",
        type=_span,
        metavar="MM",
        help="from thumb to little finger, or in words: small, comfortable ninth (205)",
    )


def _span(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        from lessonkit.hands.profile import span_from_words

        try:
            return span_from_words(text)
        except ValueError as error:
            raise argparse.ArgumentTypeError(str(error)) from None


def _print(given: Arguments) -> int:
    from lessonkit.handout.how_printed import HowPrinted, printed_pages
    from lessonkit.handout.imposition import Imposition
    from lessonkit.handout.pdf import pdf_bytes
    from lessonkit.lesson.edits import set_house, set_key, set_paper
    from lessonkit.lesson.lesson import Lesson, Paper
    from lessonkit.pages.editions import Edition
    from lessonkit.pages.page_look import Reading
    from lessonkit.pages.talking import talking_score
    from lessonkit.storage.safe_write import safe_write
    from lessonkit.theory.key import Key

    try:
        key = Key.parse(given.key) if given.key else None
    except ValueError as error:
        raise WrongUse(f"--key: {error}") from None
    how = HowPrinted(Edition(given.edition), Reading(given.reading), Imposition(given.impose), given.talking)
    targets = [(path, (given.out or path.parent) / f"{path.stem}{how.in_name}.pdf") for path in given.lessons]
    for number, (path, target) in enumerate(targets):
        for other, same in targets[:number]:
            if same == target:
                raise WrongUse(f"{other} and {path} would both become {target}; print them into different folders")
    if given.out:
        try:
            given.out.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise UnreadableLesson(f"the folder {given.out} cannot be made: {error.strerror}") from None
    failed = 0
    for_students: list[tuple[Path, Lesson]] = []
    for path, target in targets:
        try:
            lesson = lesson_in(path)
            lesson = set_key(lesson, key) if key else lesson
            paper = {"both": "a4 or letter"}.get(given.paper, given.paper)
            lesson = set_paper(lesson, Paper(paper)) if paper else lesson
            if given.staff is not None:
                try:
                    lesson = set_house(lesson, replace(lesson.house, staff_tenths=round(given.staff * 10)))
                except ValueError as error:
                    raise WrongUse(f"--staff: {error}") from None
            if given.student:
                for_students.append((path, lesson))
                continue
            try:
                pages = printed_pages(lesson, given.answers, how)
                safe_write(target, pdf_bytes(pages, lesson.title, lesson.author, imposition=how.imposition))
                if given.talking:
                    safe_write(target.with_suffix(".txt"), talking_score(lesson).encode("utf-8"))
            except OSError as error:
                raise UnreadableLesson(f"{target} cannot be written: {error.strerror}") from None
        except UnreadableLesson as error:
            # The other lessons are still worth printing.
            print(f"lessonkit: {error}", file=sys.stderr)
            failed += 1
        else:
            print(target)
            if given.talking:
                print(target.with_suffix(".txt"))
    if for_students:
        failed += cli_students.print_for_students(given, for_students, how)
    return 1 if failed else 0


def _drills(given: Arguments) -> int:
    from lessonkit.drills.answers import drills_answer

    answer = drills_answer()
    if given.json:
        write_answer(answer)
        return 0
    for family in answer:
        print(f"{family['family']}: {family['title']}")
        print(f"    {family['about']}")
        for setting in family["settings"]:
            default = json.dumps(setting["default"], ensure_ascii=False)
            print(f"    {setting['name']} ({setting['kind']}, {default} unless set): {setting['label']}")
    return 0


def _notes(given: Arguments) -> int:
    from lessonkit.drills.answers import notes_answer
    from lessonkit.drills.family import family
    from lessonkit.drills.setting import Setting
    from lessonkit.theory.key import Key

    try:
        drill = family(given.family)()
        for text in given.set:
            name, equals, value = text.partition("=")
            if not equals:
                raise WrongUse(f"--set {text}: write it as NAME=VALUE")
            drill = drill.with_text(name.strip(), value.strip())
        setting = Setting(Key.parse(given.key))
        answer = notes_answer(drill, setting)
    except ValueError as error:
        raise WrongUse(str(error)) from None
    write_answer(answer)
    return 0


def _read_excerpt(given: Arguments) -> int:
    from lessonkit.exchange.excerpt import UnreadableExcerpt, read_excerpt

    try:
        excerpt = read_excerpt(given.excerpt)
    except UnreadableExcerpt as error:
        raise UnreadableLesson(str(error)) from None
    print(f"Metre: {excerpt.metre.value}\n\nLick:\n{excerpt.phrase}")
    if excerpt.chart is not None:
        print(f"\nChord chart:\n{excerpt.chart}")
    if excerpt.report:
        print("\nLeft out or changed:")
        for sentence in excerpt.report:
            print(f"- {sentence}")
    return 0


def _check(given: Arguments) -> int:
    from lessonkit.lesson.problems import problems, remarks

    failed = 0
    for path in given.lessons:
        try:
            lesson = lesson_in(path)
            found = problems(lesson)
        except UnreadableLesson as error:
            print(f"lessonkit: {error}", file=sys.stderr)
            failed += 1
            continue
        for problem in found:
            print(f"{path}: {problem}")
        for remark in remarks(lesson):
            print(f"{path}: worth knowing: {remark}")
        if not found:
            print(f"{path}: all is well")
        failed += bool(found)
    return 1 if failed else 0


def _fit(given: Arguments) -> int:
    from lessonkit.pages.awkward_turns import awkward_turns
    from lessonkit.pages.flow import pages_of
    from lessonkit.pages.savings import savings

    failed = 0
    for path in given.lessons:
        try:
            lesson = lesson_in(path)
        except UnreadableLesson as error:
            print(f"lessonkit: {error}", file=sys.stderr)
            failed += 1
            continue
        found = savings(lesson)
        if not found:
            count = len(pages_of(lesson))
            print(f"{path}: {'one page' if count == 1 else f'{count} pages; nothing here would save one'}")
        for saving in found:
            print(f"{path}: {saving}")
        for turn in awkward_turns(lesson):
            print(f"{path}: {turn}")
    return 1 if failed else 0


def _finger(given: Arguments) -> int:
    from lessonkit.hands.answers import as_json, finger_answer, finger_answers
    from lessonkit.hands.hand import Hand

    hand = Hand(given.hand)
    try:
        if given.notes == ["-"]:
            for answer in finger_answers(sys.stdin, hand, given.span, given.groups, given.black_start):
                print(as_json(answer), flush=True)
        else:
            write_answer(finger_answer(given.notes, hand, given.span, given.groups, given.black_start))
    except UnicodeDecodeError:
        raise WrongUse("what came on standard input is not UTF-8 text") from None
    except ValueError as error:
        raise WrongUse(str(error)) from None
    return 0


def _rate(given: Arguments) -> int:
    from lessonkit.hands.answers import rate_answer
    from lessonkit.hands.difficulty import USUAL_TEMPO
    from lessonkit.hands.easier import As
    from lessonkit.hands.hand import Hand

    tempo = USUAL_TEMPO if given.tempo is None else given.tempo
    try:
        answer = rate_answer(
            given.chord, As(given.played), Hand(given.hand), given.inversion, given.octaves, tempo, given.span
        )
    except ValueError as error:
        raise WrongUse(str(error)) from None
    write_answer(answer)
    return 0


def _edit(given: Arguments) -> int:
    try:
        # The window is a room of its own, and the engine runs without it.
        from importlib import import_module

        run = import_module("desktop.app").run
    except ImportError as error:
        raise WrongUse(f"the notebook cannot be opened here: {error}") from None
    answer: int = run([str(given.lesson)] if given.lesson else [])
    return answer


if __name__ == "__main__":
    sys.exit(main())
