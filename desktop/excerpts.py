"""Opens an excerpt from another program as a lick in the lesson. It is read beside the window, which stays at work."""

from __future__ import annotations

import importlib
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QObject, Signal

from desktop.commands import Commands
from desktop.files import Tell
from desktop.memory import Memory
from desktop.words import say
from lessonkit.drills.family import family
from lessonkit.lesson.lesson import Drill

if TYPE_CHECKING:
    from lessonkit.exchange.excerpt import Excerpt

MOST_TOLD = 3
"""So many sentences of what was left out stand in the message; of more only the number is told."""


class AskedForExcerpt(Protocol):
    """Who answers which file to read."""

    def excerpt_to_open(self, folder: Path) -> Path | None: ...


class Excerpts(QObject):
    """What can be done with excerpts."""

    arrived = Signal(object, str)
    """An excerpt, or the sentence why it cannot be read; and the file's name."""

    def __init__(self, commands: Commands, memory: Memory, asked: AskedForExcerpt, tell: Tell) -> None:
        super().__init__()
        self._commands = commands
        self._memory = memory
        self._asked = asked
        self._tell = tell
        self.arrived.connect(self._put_in)

    def open(self) -> None:
        """Ask for a file and put its music in behind the selection."""
        path = self._asked.excerpt_to_open(self._memory.folder)
        if path is not None:
            self._tell(say("Reading {name} …", name=path.name))
            _load_reader()
            threading.Thread(target=_read, args=(path, self.arrived.emit), daemon=True).start()

    def _put_in(self, answer: Excerpt | str, name: str) -> None:
        if isinstance(answer, str):
            self._tell(say("{name} was not put in: {strip}.", name=name, strip=answer.removeprefix(name).strip()))
            return
        lick = family("own-lick")(lick=answer.phrase, metre=answer.metre)
        self._commands.insert(Drill(lick), verb=say("Open an excerpt as"))
        offers: list[tuple[str, Callable[[], None]]] = []
        if answer.chart is not None:
            offers.append((say("Put in its chords too"), lambda: self._put_in_chart(answer)))
        self._tell(
            say("{name} is in as a lick. {left_out}", name=name, left_out=_left_out(answer.report)).strip(), *offers
        )

    def _put_in_chart(self, excerpt: Excerpt) -> None:
        chart = family("own-chart")(chart=excerpt.chart, metre=excerpt.metre)
        self._commands.insert(Drill(chart), verb=say("Open an excerpt as"))


def _load_reader() -> None:
    """Load what reading needs. A thread that loads modules while Qt is at work can end the program."""
    importlib.import_module("lessonkit.exchange.excerpt")
    importlib.import_module("multiprocessing.popen_spawn_" + ("win32" if sys.platform == "win32" else "posix"))


def _read(path: Path, arrived: Callable[[Excerpt | str, str], None]) -> None:
    # Reading needs libraries that a window without excerpts does not.
    from lessonkit.exchange.excerpt import UnreadableExcerpt, read_excerpt

    answer: Excerpt | str
    try:
        answer = read_excerpt(path)
    except UnreadableExcerpt as error:
        answer = str(error)
    try:
        arrived(answer, path.name)
    except RuntimeError:
        # The window was closed meanwhile.
        return


def _left_out(report: tuple[str, ...]) -> str:
    told = " ".join(map(say, report[:MOST_TOLD]))
    more = len(report) - MOST_TOLD
    if more <= 0:
        return told
    return told + (say(" 1 more thing was left out.") if more == 1 else say(" {n} more things were left out.", n=more))
