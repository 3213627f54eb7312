"""The mark that a lesson's file is open in a window of this computer, so that a second one says so when it opens it.

Marks stand in the folder of the program's state, never beside the lesson. That of a window which was killed counts for
nothing.
"""

from __future__ import annotations

from hashlib import blake2b
from pathlib import Path

from PySide6.QtCore import QLockFile

from desktop.memory import state_folder


class OpenMark:
    """Marks one file at a time."""

    def __init__(self) -> None:
        self._lock: QLockFile | None = None
        self._path: Path | None = None
        self.is_elsewhere = False
        """Whether the file is open in another window."""

    def put_on(self, path: Path | None) -> None:
        """Mark this file, and no longer the one before; None for no file."""
        path = None if path is None else path.resolve()
        if path is not None and path == self._path and not self.is_elsewhere:
            return
        if self._lock is not None:
            self._lock.unlock()
        self._lock, self._path, self.is_elsewhere = None, path, False
        if path is not None:
            lock = QLockFile(str(_mark_of(path)))
            # However long a window is open, its mark does not grow old.
            lock.setStaleLockTime(0)
            if lock.tryLock(0):
                self._lock = lock
            else:
                self.is_elsewhere = lock.error() is QLockFile.LockError.LockFailedError


def _mark_of(path: Path) -> Path:
    folder = state_folder() / "open"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        # Where no mark can be written, nobody is told; what somebody else saves is noticed all the same.
        return folder / "none"
    return folder / f"{blake2b(str(path).encode(), digest_size=12).hexdigest()}.lock"
