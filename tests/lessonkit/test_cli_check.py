"""``check`` tells what is wrong and what is worth knowing; only the former counts as wrong. ``notes`` tells as much."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from lessonkit.cli import main
from lessonkit.drills.family import family
from lessonkit.lesson.lesson import Drill, House, Lesson
from lessonkit.storage.lesson_file import lesson_to_bytes
from lessonkit.theory.key import Key


def test_remarks_are_told_and_nothing_is_wrong(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A teacher who prints friendly spelling can see what it changed, also where the page does not say it."""
    drill = family("progression-through-keys").from_settings(
        {"progression": "V7b9 | Imaj7", "count": 1, "prints_remarks": False}
    )
    lesson = Lesson(key=Key.parse("Db"), house=House(is_friendly=True), blocks=(Drill(drill),))
    path = tmp_path / "one.lesson"
    path.write_bytes(lesson_to_bytes(lesson))
    assert main(["check", str(path)]) == 0
    told = "blocks[0]: Progression through keys: Written for easy reading: A♭7♭9: A for B𝄫."
    assert capsys.readouterr().out.splitlines() == [f"{path}: worth knowing: {told}", f"{path}: all is well"]


def test_notes_tell_the_line_the_number_and_the_remarks(capsys: pytest.CaptureFixture[str]) -> None:
    """What is printed around a drill is answered with its notes."""
    settings = ["key_count=2", "key_order=shuffled", "key_seed=5", "right_fingers=5 4 3 2 1", "fingers_key=C"]
    assert main(["notes", "broken-chords", *(f"--set={setting}" for setting in settings)]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["seed"] == 5
    assert answer["summary"].endswith("carried through 2 keys, shuffled")
    assert any("look at them again" in remark for remark in answer["remarks"])
