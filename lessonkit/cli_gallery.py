"""The command that prints lessons in every edition and for every way of reading, as pictures to be looked at."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from lessonkit.cli_errors import UnreadableLesson, WrongUse

Arguments = argparse.Namespace


def add_commands(commands: Any) -> None:
    """Add the command to a parser's."""
    gallery = commands.add_parser("gallery", help="make pictures of lessons in every edition and way of reading")
    gallery.add_argument("lessons", nargs="+", type=Path, metavar="LESSON")
    gallery.add_argument("--out", type=Path, metavar="DIR", required=True, help="the folder for the pictures")
    gallery.add_argument("--dots", type=int, default=100, metavar="N", help="dots to an inch (100)")
    gallery.set_defaults(command=_gallery)


def _gallery(given: Arguments) -> int:
    from lessonkit.pages.editions import Edition, edition_pages
    from lessonkit.pages.page_look import Reading
    from lessonkit.pictures.png import png_bytes
    from lessonkit.storage.lesson_file import LessonFileError, read_lesson
    from lessonkit.storage.safe_write import safe_write

    others = (reading for reading in Reading if reading is not Reading.STAFF)
    shown = (*((edition, Reading.STAFF) for edition in Edition), *((Edition.STUDENT, reading) for reading in others))
    failed = 0
    for path in given.lessons:
        try:
            lesson = read_lesson(path)
        except LessonFileError as error:
            # The other lessons are still worth looking at.
            print(f"lessonkit: {error}", file=sys.stderr)
            failed += 1
            continue
        for edition, reading in shown:
            # What is read from staves bears no name of its own.
            name = edition.value if reading is Reading.STAFF else f"{edition.value}-{reading.value}"
            for page in edition_pages(lesson, edition, reading):
                target = given.out / f"{path.stem}-{name}-{page.number:02}.png"
                try:
                    given.out.mkdir(parents=True, exist_ok=True)
                    safe_write(target, png_bytes(page, given.dots))
                except ValueError as error:
                    raise WrongUse(f"--dots: {error}") from None
                except OSError as error:
                    raise UnreadableLesson(f"{target} cannot be written: {error.strerror}") from None
                print(target)
    return 1 if failed else 0
