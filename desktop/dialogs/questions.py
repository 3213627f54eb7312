"""The questions that stop the work: which file, and what becomes of unsaved changes. Tests answer them in our stead."""

from __future__ import annotations

from enum import Enum
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QInputDialog, QMessageBox, QWidget

from desktop.lesson_documents import STUDENT_SUFFIX
from desktop.words import english, say
from lessonkit.theory.key import Key

LESSONS = english("Lessons (*.lesson *.adapted)")
PLAIN_LESSONS = english("Lessons (*.lesson)")
STUDENT_LESSONS = english("Lessons of a student (*.adapted)")
HANDOUTS = english("PDF documents (*.pdf)")
EXCERPTS = english("Music (*.musicxml *.mxl *.xml *.abc *.txt);;All files (*)")

EXPORTS = {
    english("Notes as MusicXML (*.musicxml)"): ".musicxml",
    english("Notes as MusicXML, packed small (*.mxl)"): ".mxl",
    english("Notes as MIDI (*.mid)"): ".mid",
    english("Picture in outlines, SVG (*.svg)"): ".svg",
    english("Picture in pixels, PNG (*.png)"): ".png",
}
"""The kinds of files for other programs, with their endings."""


class Unsaved(Enum):
    """What becomes of unsaved changes."""

    SAVE = "save"
    DISCARD = "discard"
    CANCEL = "cancel"


class Questions:
    """Asks whoever sits before the window."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def lesson_to_open(self, folder: Path) -> Path | None:
        """The lesson to open; None when the hand thought better of it."""
        name, _ = QFileDialog.getOpenFileName(self._parent, say("Open lesson"), str(folder), say(LESSONS))
        return Path(name) if name else None

    def where_to_save(self, suggested: Path) -> Path | None:
        """The file to save the lesson in."""
        kinds = STUDENT_LESSONS if suggested.suffix == STUDENT_SUFFIX else PLAIN_LESSONS
        name, _ = QFileDialog.getSaveFileName(self._parent, say("Save lesson as"), str(suggested), say(kinds))
        return _with_suffix(name, suggested.suffix)

    def where_to_print(self, suggested: Path) -> Path | None:
        """The file to print the handout to."""
        name, _ = QFileDialog.getSaveFileName(self._parent, say("Print handout to PDF"), str(suggested), say(HANDOUTS))
        return _with_suffix(name, ".pdf")

    def excerpt_to_open(self, folder: Path) -> Path | None:
        """The excerpt to put in as a lick."""
        name, _ = QFileDialog.getOpenFileName(
            self._parent, say("Open an excerpt as a lick"), str(folder), say(EXCERPTS)
        )
        return Path(name) if name else None

    def keys_of_copies(self, key: Key) -> str | None:
        """The keys that the lesson is to be copied into, as they are typed."""
        question = say("The lesson is in {key}. Keys of the copies, as D, F, Bb:", key=key)
        typed, is_wanted = QInputDialog.getText(self._parent, say("Copy into other keys"), question)
        return typed if is_wanted else None

    def folder_for_sound(self, folder: Path) -> Path | None:
        """The folder for files to listen to."""
        name = QFileDialog.getExistingDirectory(self._parent, say("Save sound files in a folder"), str(folder))
        return Path(name) if name else None

    def where_to_export(self, suggested: Path) -> Path | None:
        """The file for other programs; its ending is that of the kind that was chosen, unless another was typed."""
        endings = {say(kind): ending for kind, ending in EXPORTS.items()}
        kinds = ";;".join(endings)
        name, kind = QFileDialog.getSaveFileName(self._parent, say("Save for other programs"), str(suggested), kinds)
        if not name:
            return None
        path = Path(name)
        if path.suffix.lower() == suggested.suffix or path.suffix.lower() not in EXPORTS.values():
            stem = path.stem if path.suffix.lower() in EXPORTS.values() else path.name
            path = path.with_name(stem + endings.get(kind, suggested.suffix))
        return path

    def unsaved(self, title: str) -> Unsaved:
        """What becomes of the changes in a lesson that is about to be closed."""
        box = QMessageBox(self._parent)
        box.setIcon(QMessageBox.Icon.NoIcon)
        box.setWindowTitle(say("Unsaved changes"))
        box.setText(say("Save the changes in “{title}”?", title=title))
        box.setInformativeText(say("Without saving, what you changed since the last time is lost."))
        buttons = QMessageBox.StandardButton
        box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
        box.setDefaultButton(buttons.Save)
        answers = {buttons.Save: Unsaved.SAVE, buttons.Discard: Unsaved.DISCARD}
        return answers.get(buttons(box.exec()), Unsaved.CANCEL)


def _with_suffix(name: str, suffix: str) -> Path | None:
    if not name:
        return None
    path = Path(name)
    return path if path.suffix.lower() == suffix else path.with_name(path.name + suffix)
