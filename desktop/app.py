"""The notebook started: from the words of the command line to a window, or to a picture of one."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from desktop.words import LANGUAGES

NO_SCREEN = "There is no screen to open the notebook on; set DISPLAY, or make a picture with --picture FILE."


class _OneSentence(argparse.ArgumentParser):
    """A parser that answers wrong use with one sentence."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"desktop: {message}; see python -m desktop --help\n")


def run(arguments: Sequence[str]) -> int:
    """Open the notebook and stay until it is closed; answers the exit code."""
    given = _parser().parse_args(arguments)
    if given.picture is not None:
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
        from desktop.picture import take_picture

        return take_picture(given.lesson, given.picture, given.size, given.dark, given.language)
    if not has_screen():
        print(f"desktop: {NO_SCREEN}", file=sys.stderr)
        return 1
    from desktop.start import start

    return start(given.lesson)


def has_screen() -> bool:
    """Whether a window could be opened. Without one Qt would end the whole process."""
    if os.environ.get("QT_QPA_PLATFORM"):
        return True
    if not sys.platform.startswith("linux"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def _size(text: str) -> tuple[int, int]:
    width, _, height = text.partition("x")
    if not (width.isdigit() and height.isdigit() and 200 <= int(width) <= 8000 and 200 <= int(height) <= 8000):
        raise argparse.ArgumentTypeError(f"{text!r} is not a size from 200x200 to 8000x8000, such as 1440x900")
    return int(width), int(height)


def _parser() -> argparse.ArgumentParser:
    parser = _OneSentence(prog="desktop", description="The notebook for lessons in piano improvisation.")
    parser.add_argument("lesson", nargs="?", type=Path, metavar="LESSON", help="the lesson to open")
    parser.add_argument("--picture", type=Path, metavar="OUT.png", help="save a picture of the window and end")
    parser.add_argument("--size", type=_size, default=(1440, 900), help="of the picture, such as 1440x900")
    parser.add_argument("--dark", action="store_true", help="the picture in dark tones")
    parser.add_argument("--language", choices=tuple(LANGUAGES), default="en", help="of the picture, such as de")
    return parser
