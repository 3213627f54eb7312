"""What the window remembers from one start to the next: recent lessons, its size, what was folded away. Never music."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings, QStandardPaths

from desktop.theme import LARGER

MOST_RECENT = 10
"""How many recent lessons are remembered."""

_FOLDER = "lessonkit"


def state_folder() -> Path:
    """Where unsaved work and the record of problems are kept."""
    return _place(QStandardPaths.StandardLocation.GenericStateLocation) / _FOLDER


def presets_file() -> Path:
    """Where the teacher's presets are kept."""
    return _place(QStandardPaths.StandardLocation.GenericDataLocation) / _FOLDER / "presets.json"


def own_students_folder() -> Path:
    """Where students are kept where the teacher chose no folder."""
    return _place(QStandardPaths.StandardLocation.GenericDataLocation) / _FOLDER / "students"


def counts_file() -> Path:
    """Where it is kept what lessons contain; whoever deletes it loses a little time."""
    return _place(QStandardPaths.StandardLocation.GenericCacheLocation) / _FOLDER / "counts.json"


class Memory:
    """Remembered in one file of settings."""

    def __init__(self) -> None:
        folder = _place(QStandardPaths.StandardLocation.GenericConfigLocation) / _FOLDER
        self._settings = QSettings(str(folder / "notebook.ini"), QSettings.Format.IniFormat)

    @property
    def recent(self) -> tuple[Path, ...]:
        """The lessons opened or saved last, the latest first; those that are gone are left out."""
        return tuple(path for path in map(Path, self._recent_names()) if path.exists())

    def note_recent(self, path: Path) -> None:
        """This lesson was opened or saved."""
        name = str(path.absolute())
        names = [name, *(other for other in self._recent_names() if other != name)]
        self._settings.setValue("recent", names[:MOST_RECENT])

    @property
    def starts(self) -> Path:
        """The folder of the lessons that are kept as a start for others; it need not be there yet."""
        return _place(QStandardPaths.StandardLocation.GenericDataLocation) / _FOLDER / "starts"

    @property
    def folder(self) -> Path:
        """The folder to look for lessons in."""
        recent = self.recent
        return recent[0].parent if recent else Path.home()

    @property
    def geometry(self) -> QByteArray | None:
        """The window's place and size."""
        value = self._settings.value("geometry")
        return value if isinstance(value, QByteArray) else None

    @geometry.setter
    def geometry(self, geometry: QByteArray) -> None:
        self._settings.setValue("geometry", geometry)

    @property
    def appearance(self) -> str:
        """``light``, ``dark``, or ``system`` to follow the computer."""
        value = self._settings.value("appearance", "system")
        return value if value in ("light", "dark") else "system"

    @appearance.setter
    def appearance(self, appearance: str) -> None:
        self._settings.setValue("appearance", appearance)

    @property
    def language(self) -> str:
        """The code of the window's language, or ``system`` to follow the computer."""
        return str(self._settings.value("language", "system"))

    @language.setter
    def language(self, code: str) -> None:
        self._settings.setValue("language", code)

    @property
    def room(self) -> str:
        """The room that was entered last; the lessons where none was."""
        return str(self._settings.value("room", "lessons"))

    @room.setter
    def room(self, name: str) -> None:
        self._settings.setValue("room", name)

    @property
    def students_folder(self) -> Path | None:
        """The folder of the students' files; None where none was ever chosen."""
        value = self._settings.value("students", "")
        return Path(value) if isinstance(value, str) and value else None

    @students_folder.setter
    def students_folder(self, folder: Path) -> None:
        self._settings.setValue("students", str(folder.absolute()))

    @property
    def term(self) -> Path | None:
        """The term that was open last, if it is still there."""
        value = self._settings.value("term", "")
        path = Path(value) if isinstance(value, str) and value else None
        return path if path is not None and path.exists() else None

    @term.setter
    def term(self, path: Path) -> None:
        self._settings.setValue("term", str(path.absolute()))

    @property
    def shows_shelf(self) -> bool:
        """Whether the shelf is unfolded."""
        return self._settings.value("shelf", "shown") != "folded"

    @shows_shelf.setter
    def shows_shelf(self, is_shown: bool) -> None:
        self._settings.setValue("shelf", "shown" if is_shown else "folded")

    @property
    def shows_keyboard(self) -> bool:
        """Whether the keyboard is unfolded."""
        return self._settings.value("keyboard", "shown") != "folded"

    @shows_keyboard.setter
    def shows_keyboard(self, is_shown: bool) -> None:
        self._settings.setValue("keyboard", "shown" if is_shown else "folded")

    @property
    def larger(self) -> float:
        """How many times larger than usual the window's words are; one of ``LARGER``."""
        value = str(self._settings.value("text", "1.0"))
        # An earlier version knew one larger size only.
        known = {"large": 1.2} | {str(size): size for size in LARGER}
        return known.get(value, 1.0)

    @larger.setter
    def larger(self, larger: float) -> None:
        self._settings.setValue("text", str(larger))

    @property
    def was_started(self) -> bool:
        """Whether the notebook was ever open before."""
        return bool(self._settings.allKeys())

    @property
    def hints_left(self) -> tuple[str, ...]:
        """The names of the hints of the first start that were not closed yet."""
        value = self._settings.value("hints", "")
        return tuple(value.split()) if isinstance(value, str) else ()

    @hints_left.setter
    def hints_left(self, names: tuple[str, ...]) -> None:
        self._settings.setValue("hints", " ".join(names))

    @property
    def last_lesson(self) -> Path | None:
        """The lesson that was open when the window was closed, where its file is still there."""
        name = self._settings.value("lesson", "")
        path = Path(name) if isinstance(name, str) and name else None
        return path if path is not None and path.is_file() else None

    @last_lesson.setter
    def last_lesson(self, path: Path | None) -> None:
        self._settings.setValue("lesson", str(path.absolute()) if path is not None else "")

    @property
    def folds_hands(self) -> bool:
        """Whether the part about the hands is folded away."""
        return self._settings.value("hands", "folded") != "shown"

    @folds_hands.setter
    def folds_hands(self, is_folded: bool) -> None:
        self._settings.setValue("hands", "folded" if is_folded else "shown")

    @property
    def keeps_player(self) -> bool:
        """Whether the controls for playing stay when nothing plays."""
        return self._settings.value("player", "folds") == "stays"

    @keeps_player.setter
    def keeps_player(self, is_kept: bool) -> None:
        self._settings.setValue("player", "stays" if is_kept else "folds")

    def words(self, name: str) -> str:
        """Words that a part of the window keeps; empty where it keeps none."""
        value = self._settings.value(f"kept/{name}", "")
        return value if isinstance(value, str) else ""

    def keep_words(self, name: str, words: str) -> None:
        """Keep words for a part of the window."""
        self._settings.setValue(f"kept/{name}", words)

    def _recent_names(self) -> list[str]:
        value = self._settings.value("recent", [])
        names = value if isinstance(value, list) else [value]
        return [name for name in names if isinstance(name, str) and name]


def _place(location: QStandardPaths.StandardLocation) -> Path:
    return Path(QStandardPaths.writableLocation(location) or Path.home() / ".lessonkit")
