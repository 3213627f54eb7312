"""The rules of the building: who may import whom, no Qt in the engine, a docstring in every file."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ENGINE = ROOT / "lessonkit"
MAP = ROOT / "DEVELOPERS.md"

MAY_IMPORT = {
    "theory": set(),
    "drawing": set(),
    "hands": {"theory"},
    "drills": {"theory", "hands"},
    "lesson": {"theory", "drills", "hands"},
    "curriculum": {"theory", "drills", "lesson", "hands", "drawing"},
    "students": {"theory", "drills", "lesson", "curriculum", "hands"},
    "engraving": {"theory", "drills", "drawing"},
    "pages": {"theory", "hands", "drills", "lesson", "engraving", "drawing"},
    "handout": {"pages", "lesson", "drawing"},
    "sound": {"drills", "theory"},
    # What goes out as notes is written as it is printed: the same ties, clefs and accidentals.
    "exchange": {"drills", "theory", "engraving"},
    "pictures": {"pages", "lesson", "handout", "drawing"},
    "storage": {"lesson", "students", "curriculum", "drills", "theory", "hands"},
    "binder": {"theory", "drills", "lesson", "curriculum", "students", "pages", "handout", "drawing", "storage"},
}
"""Every room of the engine and the rooms it may use beside itself; data flows one way."""

SOURCES = sorted([*ENGINE.rglob("*.py"), *(ROOT / "desktop").rglob("*.py")])


def imported(path: Path) -> set[str]:
    """The full names of all modules that a file imports, wherever in the file."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            assert node.level == 0, f"{path.relative_to(ROOT)} imports by dots; write the whole name"
            names.add(node.module)
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def room_of(name: str) -> str | None:
    """The room of a module's full name; None for what is no room of ours."""
    parts = name.split(".")
    return parts[1] if len(parts) > 1 and parts[0] == "lessonkit" and parts[1] in MAY_IMPORT else None


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_a_room_imports_only_the_rooms_before_it(room: str) -> None:
    """One way for data: a room that reached back would tie the engine into a knot."""
    for path in (ENGINE / room).rglob("*.py"):
        used = {other for name in imported(path) if (other := room_of(name))} - {room}
        assert used <= MAY_IMPORT[room], f"{path.relative_to(ROOT)} may not import {used - MAY_IMPORT[room]}"


def test_every_folder_of_the_engine_is_a_known_room() -> None:
    """A new room has to say whom it may use."""
    folders = {path.name for path in ENGINE.iterdir() if (path / "__init__.py").exists()}
    assert folders <= set(MAY_IMPORT)


def test_the_engine_knows_no_window() -> None:
    """Command lines, servers and tests run the engine where Qt is not installed."""
    for path in ENGINE.rglob("*.py"):
        tops = {name.split(".")[0] for name in imported(path)}
        assert not tops & {"PySide6", "shiboken6", "desktop"}, path.relative_to(ROOT)


@pytest.mark.parametrize(
    ("library", "homes"),
    [
        ("reportlab", {"handout"}),
        ("verovio", {"engraving", "drawing"}),
        ("msgspec", {"storage"}),
        ("music21", {"theory", "exchange"}),
        ("markdown_it", {"lesson"}),
        ("pyphen", {"pages"}),
        ("mido", {"sound"}),
        ("midirenderer", {"sound"}),
        ("rtmidi", {"sound"}),
        ("soundfile", {"sound"}),
        ("numpy", {"sound"}),
        ("pypdfium2", {"pictures"}),
    ],
)
def test_a_library_has_one_home(library: str, homes: set[str]) -> None:
    """A library that is used in one room can be replaced in one room."""
    for path in SOURCES:
        if library in {name.split(".")[0] for name in imported(path)}:
            assert path.is_relative_to(ENGINE), path.relative_to(ROOT)
            assert path.relative_to(ENGINE).parts[0] in homes, path.relative_to(ROOT)


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_file_says_what_lives_in_it(path: Path) -> None:
    """A newcomer finds the room by its first sentence."""
    docstring = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert docstring
    assert docstring[0].isupper()


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_file_grows_into_two_rooms(path: Path) -> None:
    """A file beyond 450 lines has become two."""
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 450


def test_no_file_has_a_name_that_says_nothing() -> None:
    """Drawers for odds and ends collect them."""
    for path in SOURCES:
        assert not any(word in path.stem for word in ("util", "helper", "manager", "handler", "misc"))


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_frozen_dataclasses_are_ours(path: Path) -> None:
    """Those of the standard library are the same to a reader and take four times as long to make at every start."""
    assert "dataclasses.dataclass" not in imported(path) or path == ENGINE / "values.py"


def test_the_map_names_only_what_is_there() -> None:
    """A newcomer who follows DEVELOPERS.md finds each file and folder that it names."""
    folders = "tests|lessonkit|desktop|resources|sample_lessons"
    named = re.findall(rf"`((?:{folders})/[\w./-]+)`", MAP.read_text(encoding="utf-8"))
    assert len(named) > 50
    gone = [name for name in named if not (ROOT / name).exists() and "/vN/" not in name]
    assert gone == []
