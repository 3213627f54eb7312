"""What happens when something goes wrong that nobody foresaw: it is written down, told, and the window lives on."""

from __future__ import annotations

import sys
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from desktop.words import say

MOST_BYTES = 256 * 1024
"""How long the record may grow before it begins anew."""


def catch_mishaps(record: Path, tell: Callable[[str], None]) -> None:
    """From now on an exception that nothing caught is recorded and told in a sentence instead of ending the program."""

    def caught(kind: type[BaseException], mishap: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, mishap, trace)
            return
        lines = traceback.format_exception(kind, mishap, trace)
        is_written = write_down("".join(lines), record)
        where = say(" What happened is written down in {record}.", record=record) if is_written else ""
        tell(say("That did not work, and your lesson is as it was before.{where}", where=where))

    sys.excepthook = caught


def write_down(words: str, record: Path) -> bool:
    """Add to the record, which never leaves this computer; says whether that was possible."""
    try:
        record.parent.mkdir(parents=True, exist_ok=True)
        mode = "w" if record.exists() and record.stat().st_size > MOST_BYTES else "a"
        with record.open(mode, encoding="utf-8") as file:
            file.write(f"{time.strftime('%Y-%m-%d %H:%M:%S')}\n{words}\n")
    except OSError:
        return False
    return True
