"""Whether the lesson's file is still as this window last read or wrote it: what somebody else saved is never lost."""

from __future__ import annotations

from hashlib import blake2b
from pathlib import Path

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication

from desktop.open_mark import OpenMark
from lessonkit.values import dataclass

EVERY = 3000
"""Milliseconds between two looks at the file's time and size."""


@dataclass(frozen=True, slots=True)
class _Stand:
    """A file's time, size and content."""

    time: int
    size: int
    digest: bytes


class FileStanding(QObject):
    """Watches one file. It is looked at now and then, when the window comes to the front, and before each save."""

    changed_outside = Signal()
    """Somebody else wrote the file. Told once for each change."""

    def __init__(self) -> None:
        super().__init__()
        self._path: Path | None = None
        self._known: _Stand | None = None
        self._told: bytes | None = None
        self._mark = OpenMark()
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY)
        self._timer.timeout.connect(self.look)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):
            application.applicationStateChanged.connect(self._look_when_active)

    def keep(self, path: Path | None) -> None:
        """The file as it is now is the one that this window read or wrote; None for no file."""
        self._path = path
        self._known = _stand(path)
        self._told = None
        self._mark.put_on(path)
        if path is None:
            self._timer.stop()
        else:
            self._timer.start()

    @property
    def is_open_elsewhere(self) -> bool:
        """Whether another window of this computer has the file open."""
        return self._mark.is_elsewhere

    def accept(self) -> None:
        """What somebody else wrote may be written over."""
        self._known = _stand(self._path)

    @property
    def is_changed(self) -> bool:
        """Whether the file holds something that this window neither read nor wrote. A file that is gone is not."""
        if self._path is None:
            return False
        try:
            found = self._path.stat()
        except OSError:
            return False
        if self._known is not None and (found.st_mtime_ns, found.st_size) == (self._known.time, self._known.size):
            return False
        now = _stand(self._path)
        if now is None:
            return False
        if self._known is not None and now.digest == self._known.digest:
            # Touched, or copied back, without another content.
            self._known = now
            return False
        return True

    def look(self) -> None:
        """Tell it where somebody else wrote the file."""
        if self.is_changed:
            now = _stand(self._path)
            if now is not None and now.digest != self._told:
                self._told = now.digest
                self.changed_outside.emit()

    def _look_when_active(self, state: Qt.ApplicationState) -> None:
        if state is Qt.ApplicationState.ApplicationActive:
            self.look()


def _stand(path: Path | None) -> _Stand | None:
    if path is None:
        return None
    try:
        found = path.stat()
        return _Stand(found.st_mtime_ns, found.st_size, blake2b(path.read_bytes(), digest_size=16).digest())
    except OSError:
        return None
