"""Recovery copies: unsaved work, kept in a folder beside the lessons so that a crash costs seconds at most.

Each open lesson has one file, which its program holds locked as long as it lives. A copy whose lock is free belongs to
a program that is gone: that is what can be recovered. A lesson closed or saved in good order leaves no copy.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import VERSION as LESSON_VERSION
from lessonkit.storage.lesson_file import lesson_from_shape, lesson_to_bytes, tree_of_lesson
from lessonkit.storage.safe_write import safe_write
from lessonkit.storage.shapes import RecoveryShape
from lessonkit.storage.strict import LessonFileError, decode, read_bytes, reason
from lessonkit.storage.written import Tree, json_bytes
from lessonkit.values import dataclass

VERSION = LESSON_VERSION
"""The version of the recovery copies that are written: that of the lessons in them."""

LONGEST_BEHIND = 2.0
"""Seconds that a copy may be behind the lesson: the window calls ``keep`` at least so often after a change."""

OLD_LOCK = 24 * 3600.0
"""Seconds after which a lock without a copy is swept away; a young one may be just being made."""

_COPY, _LOCK = ".recovery", ".lock"


@dataclass(frozen=True, slots=True)
class Recoverable:
    """A lesson that was open when its program ended.

    ``path`` is where it was opened from, None for one that was never saved; ``written`` in seconds since 1970.
    ``beside`` is the JSON of what stood beside the lesson, empty where nothing did.
    """

    lesson: Lesson
    path: Path | None
    written: int
    copy: Path
    beside: bytes = b""


class RecoveryCopy:
    """The copy of one open lesson. Raises LessonFileError where the folder cannot be written to."""

    def __init__(self, folder: Path) -> None:
        self._kept: tuple[Lesson, Path | None, object] | None = None
        name = os.urandom(8).hex()
        self.copy = folder / (name + _COPY)
        self._lock_path = folder / (name + _LOCK)
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            self._lock = os.open(self._lock_path, os.O_RDWR | os.O_CREAT | getattr(os, "O_CLOEXEC", 0), 0o600)
        except OSError as error:
            raise LessonFileError(f"unsaved work cannot be kept in {folder}: {reason(error)}") from error
        _try_lock(self._lock)

    def keep(
        self, lesson: Lesson, path: Path | None, beside: object = None, written: Callable[[], Tree] | None = None
    ) -> bool:  # fmt: skip
        """Bring the copy up to date; says whether anything was written. A lesson that did not change costs nothing.

        ``written`` answers what stands ``beside`` the lesson as it is written.
        """
        kept = self._kept
        if kept is not None and kept[0] is lesson and kept[1] == path and kept[2] is beside:
            return False
        # A copy that could not be read back would be found out only when it is needed.
        lesson_to_bytes(lesson, "the recovery copy")
        data = json_bytes(
            {
                "format": "lesson recovery",
                "version": VERSION,
                "path": "" if path is None else _as_text(path),
                "written": int(time.time()),
                "lesson": tree_of_lesson(lesson),
                "beside": None if written is None else written(),
            }
        )
        try:
            safe_write(self.copy, data)
        except OSError as error:
            raise LessonFileError(f"unsaved work cannot be kept in {self.copy.parent}: {reason(error)}") from error
        self._kept = (lesson, path, beside)
        return True

    def forget(self) -> None:
        """The lesson is saved, or its changes are given up: no copy is needed until the next ``keep``."""
        self._kept = None
        _remove(self.copy)

    def close(self) -> None:
        """The lesson is closed in good order: the copy and its lock go."""
        self.forget()
        if self._lock >= 0:
            os.close(self._lock)
            self._lock = -1
            _remove(self._lock_path)


def recoverable(folder: Path) -> tuple[tuple[Recoverable, ...], tuple[str, ...]]:
    """What programs that are gone left behind, the latest first, and a sentence for each copy that cannot be read."""
    _sweep_locks(folder)
    found: list[Recoverable] = []
    sentences: list[str] = []
    for copy in sorted(folder.glob("*" + _COPY)):
        if not _is_left_alone(copy):
            continue
        try:
            found.append(read_copy(copy))
        except LessonFileError as error:
            sentences.append(str(error))
    return tuple(sorted(found, key=lambda one: one.written, reverse=True)), tuple(sentences)


def read_copy(copy: Path) -> Recoverable:
    """The lesson in a recovery copy; raises LessonFileError with one sentence."""
    shape = decode(read_bytes(copy), copy.name, "lesson recovery", VERSION, RecoveryShape)
    try:
        lesson = lesson_from_shape(shape.lesson)
    except ValueError as error:
        raise LessonFileError(f"{copy.name}: lesson.{error}") from None
    beside = bytes(shape.beside)
    return Recoverable(
        lesson, Path(shape.path) if shape.path else None, shape.written, copy, b"" if beside == b"null" else beside
    )  # fmt: skip


def discard(copy: Path) -> None:
    """Remove a copy that has been recovered or is not wanted."""
    _remove(copy)
    _remove(copy.with_suffix(_LOCK))


def _as_text(path: Path) -> str:
    """A path as text; what is no text in a file's name is lost, which costs the name and never the lesson."""
    return str(path.absolute()).encode("utf-8", "replace").decode("utf-8")


def _sweep_locks(folder: Path) -> None:
    """Remove old locks of programs that died with nothing unsaved."""
    for lock in folder.glob("*" + _LOCK):
        copy = lock.with_suffix(_COPY)
        with suppress(OSError):
            if time.time() - lock.stat().st_mtime > OLD_LOCK and not copy.exists() and _is_left_alone(copy):
                _remove(lock)


def _is_left_alone(copy: Path) -> bool:
    """Whether no living program holds the copy's lock."""
    try:
        descriptor = os.open(copy.with_suffix(_LOCK), os.O_RDWR)
    except FileNotFoundError:
        return True
    except OSError:
        return False
    try:
        return _try_lock(descriptor)
    finally:
        os.close(descriptor)


def _try_lock(descriptor: int) -> bool:
    """Lock an open file for as long as it stays open; says whether it was free. The system frees it when we die."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _remove(path: Path) -> None:
    try:
        os.unlink(path)
    except OSError:
        return
