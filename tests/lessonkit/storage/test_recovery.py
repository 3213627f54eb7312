"""Recovery copies and the presets' file: what a crash leaves, what is found again, and what is told."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from lessonkit.lesson.lesson import Heading, Lesson, Note, UnknownDrill
from lessonkit.lesson.presets import Preset
from lessonkit.storage import preset_file, recovery
from lessonkit.storage.preset_file import presets_from_bytes, presets_to_bytes, read_presets, save_presets
from lessonkit.storage.recovery import RecoveryCopy, discard, recoverable
from lessonkit.storage.strict import LessonFileError

LESSON = Lesson("Unsaved", blocks=(Note("Not yet **saved**", "n"), UnknownDrill("of-tomorrow", '{"a":1.50}', "d")))


def left_by_a_killed_program(folder: Path, path: str = "") -> None:
    """Let another program keep a copy of a small lesson, and kill it."""
    code = f"""
import time
from pathlib import Path
from lessonkit.lesson.lesson import Lesson, Note
from lessonkit.storage.recovery import RecoveryCopy
copy = RecoveryCopy(Path({str(folder)!r}))
copy.keep(Lesson("Killed", blocks=(Note("words", "n"),)), Path({path!r}) if {path!r} else None)
print("kept", flush=True)
time.sleep(60)
"""
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"kept\n"
        assert recoverable(folder) == ((), ()), "a living program's copy is not up for recovery"
        process.send_signal(signal.SIGKILL)


def test_what_a_killed_program_kept_can_be_recovered(tmp_path: Path) -> None:
    """The battery died; the lesson is offered at the next start, with where it belongs."""
    left_by_a_killed_program(tmp_path, "/lessons/a.lesson")
    (found,), sentences = recoverable(tmp_path)
    assert sentences == ()
    assert (found.lesson.title, found.path) == ("Killed", Path("/lessons/a.lesson"))
    assert abs(found.written - time.time()) < 3600
    discard(found.copy)
    assert os.listdir(tmp_path) == []


def test_a_lesson_that_was_never_saved_has_no_path(tmp_path: Path) -> None:
    """Recovered, it must ask for a name."""
    left_by_a_killed_program(tmp_path)
    ((found,), _) = recoverable(tmp_path)
    assert found.path is None


def test_an_open_lesson_is_not_offered_to_the_program_that_has_it(tmp_path: Path) -> None:
    """Two windows of one program would otherwise recover each other's work."""
    copy = RecoveryCopy(tmp_path)
    copy.keep(LESSON, None)
    assert recoverable(tmp_path) == ((), ())
    assert recovery.read_copy(copy.copy).lesson == LESSON
    copy.close()
    copy.close()


def test_a_lesson_closed_in_good_order_leaves_nothing(tmp_path: Path) -> None:
    """Old work that comes back unasked is worse than none."""
    copy = RecoveryCopy(tmp_path / "state" / "recovery")
    assert copy.keep(LESSON, Path("a.lesson"))
    copy.forget()
    assert not copy.copy.exists()
    assert copy.keep(LESSON, Path("a.lesson"))
    copy.close()
    assert os.listdir(tmp_path / "state" / "recovery") == []


def test_a_lesson_that_did_not_change_is_not_written_again(tmp_path: Path) -> None:
    """The window may ask as often as it likes."""
    copy = RecoveryCopy(tmp_path)
    assert copy.keep(LESSON, None)
    assert not copy.keep(LESSON, None)
    assert copy.keep(LESSON, tmp_path / "now named.lesson")
    assert copy.keep(replace(LESSON, title="Other"), tmp_path / "now named.lesson")
    assert recovery.read_copy(copy.copy).path == tmp_path / "now named.lesson"
    copy.close()


def test_a_path_that_is_no_text_costs_its_name_and_not_the_lesson(tmp_path: Path) -> None:
    """Old disks have names in old encodings."""
    copy = RecoveryCopy(tmp_path)
    assert copy.keep(LESSON, Path(os.fsdecode(b"/lessons/\xff.lesson")))
    assert recovery.read_copy(copy.copy).path == Path("/lessons/?.lesson")
    copy.close()


def test_a_copy_that_cannot_be_read_is_told_and_the_others_are_found(tmp_path: Path) -> None:
    """One bad sector must not hide the rest."""
    left_by_a_killed_program(tmp_path)
    whole = next(tmp_path.glob("*.recovery")).read_bytes()
    (tmp_path / "0.recovery").write_bytes(b'{"format": "lesson recovery", "version": 1, "pa')
    (tmp_path / "1.recovery").write_bytes(whole.replace(b'"key": "C"', b'"key": "H"'))
    found, sentences = recoverable(tmp_path)
    assert [one.lesson.title for one in found] == ["Killed"]
    assert sentences[0].startswith("0.recovery: line 1, column 48: the file ends too early")
    assert sentences[1].startswith("1.recovery: lesson.key: 'H' is not a key")


def test_a_folder_that_is_not_there_holds_nothing(tmp_path: Path) -> None:
    """The first start of all."""
    assert recoverable(tmp_path / "none") == ((), ())


def test_old_locks_without_a_copy_are_swept(tmp_path: Path) -> None:
    """A program that dies with nothing unsaved leaves its lock; years of them would pile up."""
    old, young = tmp_path / "old.lock", tmp_path / "young.lock"
    old.touch()
    young.touch()
    os.utime(old, (1, 1))
    recoverable(tmp_path)
    assert os.listdir(tmp_path) == ["young.lock"]


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The window says once that unsaved work is not kept, and goes on."""
    (tmp_path / "file").touch()
    with pytest.raises(LessonFileError, match="unsaved work cannot be kept"):
        RecoveryCopy(tmp_path / "file")
    copy = RecoveryCopy(tmp_path)

    def full(path: Path, data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(recovery, "safe_write", full)
    with pytest.raises(LessonFileError, match="No space left"):
        copy.keep(LESSON, None)
    monkeypatch.undo()
    assert copy.keep(LESSON, None), "what could not be kept is tried again"
    copy.close()


PRESETS = (Preset("Ending", Heading("The end", 2, "h")), Preset("Warm-up", Note("Easy\n\nand quiet", "n")))


def test_presets_come_back_from_their_file(tmp_path: Path) -> None:
    """What is saved under a name is there tomorrow, and there is nothing before the first."""
    path = tmp_path / "state" / "presets.json"
    assert read_presets(path) == ()
    save_presets(PRESETS, path)
    assert read_presets(path) == PRESETS


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ('"name": "Ending"', '"name": " "', "p: presets[0].name: a preset needs a name"),
        ('"text": "The end"', '"text": "\\u0000"', "p: presets[0].block.text: a heading holds the character U+0000"),
        ('"level": 2', '"level": 7', "p: presets[0].block.level: this number is more than 2"),
        ('"format": "lesson presets"', '"format": "lesson"', "p: format: 'lesson' is not 'lesson presets'"),
        ('"version": 1', '"version": 2', "p: the file was written by a newer lessonkit (version 2"),
    ],
)
def test_a_wrong_place_among_the_presets_is_named(old: str, new: str, expected: str) -> None:
    """The same care as for lessons."""
    text = presets_to_bytes(PRESETS).decode()
    assert text.count(old) == 1
    with pytest.raises(LessonFileError) as caught:
        presets_from_bytes(text.replace(old, new).encode(), "p")
    assert str(caught.value).startswith(expected)


def test_presets_that_cannot_be_saved_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Too many, or no room."""
    with pytest.raises(LessonFileError, match="2001 presets are more than 2000"):
        presets_to_bytes(tuple(Preset(str(number), Heading("x")) for number in range(2001)))
    (tmp_path / "file").touch()
    with pytest.raises(LessonFileError, match=r"^p.json was not saved: "):
        save_presets(PRESETS, tmp_path / "file" / "p.json")
    monkeypatch.setattr(preset_file, "presets_from_bytes", lambda data, name: ())
    with pytest.raises(LessonFileError, match="read back"):
        presets_to_bytes(PRESETS)
