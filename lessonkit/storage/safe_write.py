"""The one way a file of the teacher's is written: beside the old one, then put in its place. Old or new, never torn."""

from __future__ import annotations

import os
import stat
import sys
import time
from pathlib import Path

LEFTOVER_AGE = 600.0
"""Seconds after which an unfinished file beside the real one is no longer anybody's and is swept away."""

_TAIL = ".unfinished"


def safe_write(path: Path, data: bytes) -> None:
    """Write a file so that whatever happens on the way there is the old one or the new one; keeps its permissions.

    Follows a symbolic link to the file it names. Raises OSError where the disk refuses, or the file is marked as
    read-only or is no ordinary file; the old file is then as it was.
    """
    target = Path(os.path.realpath(path))
    mode = _mode_of(target)
    sweep(target)
    unfinished = target.with_name(_stem(target) + os.urandom(4).hex() + _TAIL)
    try:
        _write_through(unfinished, data, mode)
        os.replace(unfinished, target)
    except BaseException:
        _remove(unfinished)
        raise
    _settle_folder(target.parent)


def sweep(path: Path) -> None:
    """Remove what writes of a file left behind when they were killed, once it is older than ``LEFTOVER_AGE``."""
    stem = _stem(path)
    try:
        neighbours = [entry for entry in os.scandir(path.parent) if _is_leftover(entry.name, stem)]
    except OSError:
        return
    for entry in neighbours:
        try:
            is_old = time.time() - entry.stat(follow_symlinks=False).st_mtime > LEFTOVER_AGE
        except OSError:
            continue
        if is_old:
            _remove(Path(entry.path))


def _stem(path: Path) -> str:
    """What the unfinished files of one file begin with; short, as the file's own name may be of the greatest length."""
    # Loaded with the first save rather than with the program.
    import hashlib

    return f".{hashlib.sha256(os.fsencode(path.name)).hexdigest()[:12]}-"


def _is_leftover(name: str, stem: str) -> bool:
    return name.startswith(stem) and name.endswith(_TAIL)


def _mode_of(target: Path) -> int | None:
    """The permissions of the file that is there; None where there is none."""
    try:
        found = os.stat(target)
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(found.st_mode):
        raise IsADirectoryError(f"{target.name} is a folder")
    if not stat.S_ISREG(found.st_mode):
        raise OSError(f"{target.name} is not an ordinary file")
    if not os.access(target, os.W_OK):
        # Replacing would get round the mark, because it asks the folder only.
        raise PermissionError(f"{target.name} is marked as read-only")
    return stat.S_IMODE(found.st_mode)


def _write_through(path: Path, data: bytes, mode: int | None) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
    descriptor = os.open(path, flags, 0o666)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(descriptor, rest) :]
        if mode is not None:
            os.chmod(path, mode)
        os.fsync(descriptor)
    except BaseException:
        _close_quietly(descriptor)
        raise
    os.close(descriptor)


def _settle_folder(folder: Path) -> None:
    """Make the new name in the folder last through a loss of power. Windows has no such call and needs none."""
    if sys.platform == "win32":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _close_quietly(descriptor: int) -> None:
    try:
        os.close(descriptor)
    except OSError:
        return


def _remove(path: Path) -> None:
    try:
        os.unlink(path)
    except OSError:
        return
