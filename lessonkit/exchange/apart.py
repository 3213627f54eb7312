"""Parses an excerpt in a process of its own with limits on memory and time, so that no file can stop the notebook.

What comes back is JSON of the plain form that ``parsing`` describes. Nothing else crosses.
"""

from __future__ import annotations

import json
import multiprocessing
from multiprocessing.connection import Connection
from typing import Any

from lessonkit.exchange.guarding import Guarded, Kind, UnreadableExcerpt

SECONDS = 25
"""How long parsing may take. A hundred bars take about one."""

MEMORY = 2_000_000_000
"""How much address space the other process may have, in bytes; Python with music21 needs a quarter of it."""

LARGEST_ANSWER = 4_000_000


def parsed_apart(excerpt: Guarded, seconds: float = SECONDS) -> dict[str, Any]:
    """The excerpt in plain form; raises UnreadableExcerpt with a sentence where it cannot be parsed in time."""
    # A fresh process and no fork: a fork of a window's process with its threads is not safe.
    context = multiprocessing.get_context("spawn")
    here, there = context.Pipe()
    process = context.Process(target=work, args=(there, excerpt.kind.value, excerpt.text, int(seconds)), daemon=True)
    process.start()
    there.close()
    try:
        if not here.poll(seconds):
            raise UnreadableExcerpt("reading the excerpt took too long and was stopped; save fewer bars of it")
        answer: dict[str, Any] = json.loads(here.recv_bytes(LARGEST_ANSWER))
    except (EOFError, OSError):
        raise UnreadableExcerpt("the excerpt could not be read; save it again, or fewer bars of it") from None
    finally:
        here.close()
        process.kill()
        process.join()
        process.close()
    if "refused" in answer:
        raise UnreadableExcerpt(str(answer["refused"]))
    return answer


def work(connection: Connection, kind: str, text: str, seconds: int) -> None:
    """What runs in the other process: limits first, then the parsing; the answer is sent back as JSON."""
    try:
        _limit_memory(seconds)
        from lessonkit.exchange.parsing import plain_form

        _forbid_writing()
        answer = plain_form(text, Kind(kind))
    except UnreadableExcerpt as error:
        answer = {"refused": str(error)}
    except (Exception, RecursionError, MemoryError):  # whatever another library may raise on a file it does not expect
        answer = {"refused": f"the excerpt is no {kind} that can be read; save it again from the program it is from"}
    connection.send_bytes(json.dumps(answer).encode())
    connection.close()


def _limit_memory(seconds: int) -> None:
    try:
        import resource
    except ImportError:
        # Windows has no such limits; there the size of the text and the time alone hold.
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))


def _forbid_writing() -> None:
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
