"""Writing a file: old or new, never torn, whatever fails on the way."""

from __future__ import annotations

import errno
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from lessonkit.storage import safe_write as room
from lessonkit.storage.safe_write import safe_write

OLD, NEW = b"old\n" * 1000, b"new\n" * 3000
CALLS = ("open", "write", "chmod", "fsync", "close", "replace", "stat", "unlink", "scandir")
"""Every call to the system on the way; the tests below fail each of them at each time it comes."""


def failing(real: Callable[..., Any], at: int, code: int) -> Callable[..., Any]:
    """A call that fails the ``at``-th time and otherwise does its work."""
    times = 0

    def call(*args: Any, **more: Any) -> Any:
        nonlocal times
        times += 1
        if times == at:
            raise OSError(code, os.strerror(code))
        return real(*args, **more)

    return call


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EACCES])
@pytest.mark.parametrize("name", CALLS)
@pytest.mark.parametrize("at", [1, 2])
def test_a_call_that_fails_leaves_the_old_file_or_the_new_one(
    name: str, at: int, code: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk or a pulled stick in the middle of saving must not cost the lesson."""
    path = tmp_path / "a.lesson"
    path.write_bytes(OLD)
    failure: OSError | None = None
    with monkeypatch.context() as patch:
        patch.setattr(room.os, name, failing(getattr(os, name), at, code))
        try:
            safe_write(path, NEW)
        except OSError as error:
            failure = error
    found = path.read_bytes()
    assert found in (OLD, NEW)
    if failure is None:
        assert found == NEW
    else:
        assert failure.errno == code
    if name != "unlink":
        assert os.listdir(tmp_path) == ["a.lesson"]


@pytest.mark.parametrize("name", ["open", "write", "fsync", "replace"])
def test_a_failure_before_the_replacement_keeps_the_old_file(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The sentence that tells of the failure says that the old file is untouched."""
    path = tmp_path / "a.lesson"
    path.write_bytes(OLD)
    with monkeypatch.context() as patch:
        patch.setattr(room.os, name, failing(getattr(os, name), 1, errno.ENOSPC))
        with pytest.raises(OSError, match="No space left"):
            safe_write(path, NEW)
    assert path.read_bytes() == OLD


def test_a_disk_that_takes_a_few_bytes_at_a_time_gets_all_of_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A short write is no error to the system and would be a torn file to us."""
    real = os.write
    monkeypatch.setattr(room.os, "write", lambda descriptor, data: real(descriptor, data[:700]))
    safe_write(tmp_path / "a.lesson", NEW)
    assert (tmp_path / "a.lesson").read_bytes() == NEW


def test_a_symbolic_link_stays_one(tmp_path: Path) -> None:
    """Teachers link lessons into a shared folder; saving must reach the file, not cut the link."""
    (tmp_path / "real").mkdir()
    real = tmp_path / "real" / "a.lesson"
    real.write_bytes(OLD)
    link = tmp_path / "link.lesson"
    link.symlink_to(real)
    safe_write(link, NEW)
    assert link.is_symlink()
    assert real.read_bytes() == NEW


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_permissions_stay_as_they_were(mode: int, tmp_path: Path) -> None:
    """A lesson shared with a group stays shared, a private one private."""
    path = tmp_path / "a.lesson"
    path.write_bytes(OLD)
    path.chmod(mode)
    safe_write(path, NEW)
    assert path.stat().st_mode & 0o777 == mode


def test_a_new_file_gets_the_usual_permissions(tmp_path: Path) -> None:
    """A temporary file's 0600 would lock the others of the house out."""
    usual = tmp_path / "usual"
    usual.write_bytes(b"")
    safe_write(tmp_path / "a.lesson", NEW)
    assert (tmp_path / "a.lesson").stat().st_mode == usual.stat().st_mode


def test_a_file_marked_read_only_is_not_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Replacing asks the folder only, so the mark would mean nothing. (Root may write all: the answer is staged.)"""
    path = tmp_path / "a.lesson"
    path.write_bytes(OLD)
    monkeypatch.setattr(room.os, "access", lambda path, mode: False)
    with pytest.raises(PermissionError, match="read-only"):
        safe_write(path, NEW)
    assert path.read_bytes() == OLD


@pytest.mark.parametrize("make", [Path.mkdir, os.mkfifo], ids=["folder", "pipe"])
def test_what_is_no_ordinary_file_is_left_alone(make: Callable[[Path], None], tmp_path: Path) -> None:
    """A lesson saved over a folder or a pipe would destroy it."""
    path = tmp_path / "thing"
    make(path)
    with pytest.raises(OSError, match="thing is"):
        safe_write(path, NEW)
    assert os.listdir(tmp_path) == ["thing"]


def test_a_name_as_long_as_names_can_be_is_saved(tmp_path: Path) -> None:
    """The file beside must not get a longer name than the system allows."""
    path = tmp_path / ("é" * 124 + ".lesson")
    safe_write(path, NEW)
    assert path.read_bytes() == NEW


def test_old_leftovers_are_swept_and_young_ones_are_not(tmp_path: Path) -> None:
    """A young one may belong to another program that is saving right now."""
    path = tmp_path / "a.lesson"
    old = path.with_name(room._stem(path) + "00000001.unfinished")
    young = path.with_name(room._stem(path) + "00000002.unfinished")
    other = path.with_name(room._stem(tmp_path / "b.lesson") + "00000003.unfinished")
    for leftover in (old, young, other):
        leftover.write_bytes(b"half")
    long_ago = time.time() - room.LEFTOVER_AGE - 60
    os.utime(old, (long_ago, long_ago))
    os.utime(other, (long_ago, long_ago))
    safe_write(path, NEW)
    assert sorted(os.listdir(tmp_path)) == sorted(["a.lesson", young.name, other.name])


WRITER = """
import sys
from pathlib import Path
from lessonkit.storage.safe_write import safe_write
path, turn = Path(sys.argv[1]), 0
print("begun", flush=True)
while True:
    turn += 1
    safe_write(path, (b"%08d\\n" % turn) * 40000)
"""


def kill_while_writing(path: Path, times: int) -> None:
    """Kill a process that saves without a pause, again and again, and look at the file each time."""
    chance = random.Random(4)
    for _ in range(times):
        with subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE) as process:
            assert process.stdout is not None
            process.stdout.readline()
            time.sleep(chance.uniform(0.002, 0.02))
            process.send_signal(signal.SIGKILL)
        if path.exists():
            lines = path.read_bytes().splitlines()
            assert len(lines) == 40000
            assert len(set(lines)) == 1


def test_a_killed_program_leaves_a_whole_file(tmp_path: Path) -> None:
    """A sample of the sweep below."""
    kill_while_writing(tmp_path / "a.lesson", 25)
    assert (tmp_path / "a.lesson").exists()


@pytest.mark.whole
def test_a_thousand_killed_programs_leave_a_whole_file(tmp_path: Path) -> None:
    """Plain writing tore five files of six in this test, so that a pass says something."""
    kill_while_writing(tmp_path / "a.lesson", 1000)
