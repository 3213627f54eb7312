"""What keeps the work of other programs: how a file stood when it was read, and copies of what is written over."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

Stamp = tuple[int, int]
"""When a file was changed last, in nanoseconds, and its size."""


def stamp_of(path: Path) -> Stamp | None:
    """How a file stands now; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


def lay_aside(path: Path, folder: Path) -> Path:
    """Copy a file into a folder under a name of the moment that nothing there has; answers the copy."""
    folder.mkdir(parents=True, exist_ok=True)
    stem = f"{path.stem} {time.strftime('%Y-%m-%d %H-%M-%S')}"
    kept, number = folder / f"{stem}{path.suffix}", 1
    while kept.exists():
        number += 1
        kept = folder / f"{stem} {number}{path.suffix}"
    shutil.copy2(path, kept)
    return kept
