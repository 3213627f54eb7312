"""The teacher's presets: kept, renamed and deleted, in their file at once. A deleted one can be brought back."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal

from desktop.files import Tell
from desktop.spoken import name_of
from desktop.words import say
from lessonkit.lesson.lesson import Block
from lessonkit.lesson.presets import Preset, renamed_preset, with_preset, without_preset
from lessonkit.storage.preset_file import read_presets, save_presets
from lessonkit.storage.strict import LessonFileError


class KeptPresets(QObject):
    """The presets of one file."""

    changed = Signal()
    """There are other presets."""

    def __init__(self, path: Path, tell: Tell) -> None:
        super().__init__()
        self._path = path
        self._tell = tell
        self._presets: tuple[Preset, ...] = ()

    @property
    def presets(self) -> tuple[Preset, ...]:
        """All presets in the order of their names."""
        return self._presets

    def read(self) -> None:
        """Read the file; what cannot be read is told."""
        try:
            self._presets = read_presets(self._path)
        except LessonFileError as error:
            self._tell(say("Your presets were not read. {error}", error=error))
        self.changed.emit()

    def keep(self, block: Block) -> None:
        """Keep a block under its name, with a number where the name is taken."""
        taken = {preset.name.casefold() for preset in self._presets}
        name, number = name_of(block), 2
        while name.casefold() in taken:
            name, number = f"{name_of(block)} {number}", number + 1
        if self._take(with_preset(self._presets, Preset(name, block))):
            self._tell(say("Kept on the shelf as “{name}”. F2 on the shelf gives it another name.", name=name))

    def rename(self, name: str, new_name: str) -> None:
        """Call a preset something else."""
        if new_name.strip() == name:
            return
        try:
            renamed = renamed_preset(self._presets, name, new_name)
        except ValueError as error:
            self._tell(say("The preset “{name}” keeps its name: {error}.", name=name, error=error))
            return
        self._take(renamed)

    def delete(self, name: str) -> None:
        """Take a preset off the shelf, with a way back."""
        gone = next((preset for preset in self._presets if preset.name == name), None)
        if gone is not None and self._take(without_preset(self._presets, name)):
            self._tell(
                say("The preset “{name}” is deleted.", name=name),
                (say("Bring it back"), lambda: self._bring_back(gone)),
            )

    def _bring_back(self, preset: Preset) -> None:
        self._take(with_preset(self._presets, preset))

    def _take(self, presets: tuple[Preset, ...]) -> bool:
        try:
            save_presets(presets, self._path)
        except LessonFileError as error:
            self._tell(f"{error}.")
            return False
        self._presets = presets
        self.changed.emit()
        return True
