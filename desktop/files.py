"""Lessons and files: new, open, save, print. A file that cannot be read or written costs a sentence, never the work."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QObject, Qt, QUrl
from PySide6.QtGui import QDesktopServices, QGuiApplication

from desktop.dialogs.questions import Unsaved
from desktop.file_standing import FileStanding
from desktop.lesson_documents import read_document, save_document, suffix_for
from desktop.memory import Memory
from desktop.open_lesson import OpenLesson
from desktop.words import say
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import LessonFileError
from lessonkit.theory.key import Key

if TYPE_CHECKING:
    from lessonkit.handout.how_printed import HowPrinted
    from lessonkit.pages.page import Page

NOT_IN_NAMES = '<>:"/\\|?*'
"""Characters that a file's name cannot have on some system."""


class Asked(Protocol):
    """Who answers questions; ``dialogs/questions.py`` asks the teacher."""

    def lesson_to_open(self, folder: Path) -> Path | None: ...
    def where_to_save(self, suggested: Path) -> Path | None: ...
    def where_to_print(self, suggested: Path) -> Path | None: ...
    def unsaved(self, title: str) -> Unsaved: ...
    def excerpt_to_open(self, folder: Path) -> Path | None: ...
    def folder_for_sound(self, folder: Path) -> Path | None: ...
    def where_to_export(self, suggested: Path) -> Path | None: ...
    def keys_of_copies(self, key: Key) -> str | None: ...


class Tell(Protocol):
    """Who shows a sentence with what can be done about it."""

    def __call__(self, sentence: str, *offers: tuple[str, Callable[[], None]]) -> None: ...


class LessonFiles(QObject):
    """What can be done with the open lesson's file."""

    def __init__(self, open_lesson: OpenLesson, memory: Memory, asked: Asked, tell: Tell) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._memory = memory
        self._asked = asked
        self._tell = tell
        self.standing = FileStanding()
        self._told_elsewhere: Path | None = None
        self.standing.changed_outside.connect(self._tell_changed)
        open_lesson.replaced.connect(self._keep_standing)
        self.prints_instead: Callable[[], None] | None = None
        """What prints the handout in our stead, while a student's lesson is looked at."""
        self.prints_seen: Callable[[], None] | None = None
        """What prints in anybody's stead while it is seen how the lesson will be printed."""

    def new(self) -> None:
        """Begin an empty lesson."""
        if self.may_leave():
            self._open_lesson.open(Lesson(), None)

    def open(self) -> None:
        """Ask for a lesson and open it."""
        if self.may_leave():
            path = self._asked.lesson_to_open(self._memory.folder)
            if path is not None:
                self.open_path(path)

    def open_recent(self, path: Path) -> None:
        """Open a lesson that was open before."""
        if self.may_leave():
            self.open_path(path)

    def open_path(self, path: Path) -> bool:
        """Open a lesson without asking; says whether it could be read. Otherwise the one that is open stays."""
        try:
            lesson, beside = read_document(path)
        except LessonFileError as error:
            self._tell(say("The lesson was not opened. {error}", error=error))
            return False
        self._open_lesson.open(lesson, path, beside=beside)
        self._memory.note_recent(path)
        self._tell_if_elsewhere(path)
        return True

    def save(self) -> bool:
        """Save to the lesson's file, asking for one where there is none; says whether it is saved."""
        path = self._open_lesson.path
        return self.save_as() if path is None else self._save_to(path)

    def save_as(self) -> bool:
        """Ask for a file and save to it."""
        path = self._asked.where_to_save(self._suggested(suffix_for(self._open_lesson.beside)))
        return path is not None and self._save_to(path)

    def print_handout(self) -> None:
        """Print the pages to a PDF."""
        if self.prints_seen is not None:
            self.prints_seen()
            return
        if self.prints_instead is not None:
            self.prints_instead()
            return
        self._print(shows_answers=False)

    def print_with_answers(self) -> None:
        """Print the pages to a PDF, the answers to its worksheets behind them."""
        self._print(shows_answers=True)

    def may_leave(self) -> bool:
        """Whether the open lesson may be closed: it is saved, or its changes are given up."""
        if not self._open_lesson.has_unsaved:
            return True
        answer = self._asked.unsaved(self._open_lesson.lesson.title)
        return self.save() if answer is Unsaved.SAVE else answer is Unsaved.DISCARD

    def read_anew(self) -> None:
        """Read the file again as somebody else left it; what was changed here can be had back by Undo."""
        path = self._open_lesson.path
        if path is None:
            return
        try:
            lesson, beside = read_document(path)
        except LessonFileError as error:
            self._tell(say("The lesson was not read anew. {error}", error=error))
            return
        self._open_lesson.edit_both(say("Read the file anew"), lesson, beside)
        self._open_lesson.mark_saved(path)
        self.standing.keep(path)

    def _keep_standing(self) -> None:
        self.standing.keep(self._open_lesson.path)

    def _tell_if_elsewhere(self, path: Path) -> None:
        """Two windows on one file are told at once, before one of them has anything to lose."""
        if self.standing.is_open_elsewhere and path != self._told_elsewhere:
            self._tell(
                say(
                    "{name} is open in another window, too. Neither writes over the other unasked.",
                    name=path.name,
                ),
                (say("Save as …"), self._save_elsewhere),
            )
        self._told_elsewhere = path if self.standing.is_open_elsewhere else None

    def _tell_changed(self) -> None:
        path = self._open_lesson.path
        name = path.name if path is not None else say("The file")
        self._tell(
            say("{name} was changed outside this window. What is open here is as it was.", name=name),
            (say("Read it anew"), self.read_anew),
            (say("Save as …"), self._save_elsewhere),
        )

    def _save_over(self) -> None:
        self.standing.accept()
        self.save()

    def _save_to(self, path: Path) -> bool:
        if path == self._open_lesson.path and self.standing.is_changed:
            self._tell(
                say("Nothing was saved: {name} was changed outside this window meanwhile.", name=path.name),
                (say("Save as …"), self._save_elsewhere),
                (say("Read it anew"), self.read_anew),
                (say("Save over it"), self._save_over),
            )
            return False
        try:
            save_document(self._open_lesson.lesson, self._open_lesson.beside, path)
        except LessonFileError as error:
            self._tell(f"{error}.", (say("Save as …"), self._save_elsewhere))
            return False
        self.standing.keep(path)
        self._open_lesson.mark_saved(path)
        self._memory.note_recent(path)
        self._tell_if_elsewhere(path)
        return True

    def _save_elsewhere(self) -> None:
        self.save_as()

    def _print(self, shows_answers: bool) -> None:
        def pages() -> tuple[Page, ...]:
            from lessonkit.pages.flow import pages_of

            return pages_of(self._open_lesson.lesson, shows_answers=shows_answers)

        self.print_pages(say(" with answers.pdf") if shows_answers else ".pdf", pages)

    def print_pages(self, tail: str, worked_out: Callable[[], tuple[Page, ...]], how: HowPrinted | None = None) -> None:
        """Print pages to a PDF whose name ends so, on sheets as they are wanted."""
        path = self._asked.where_to_print(self._suggested(tail))
        if path is None:
            return
        # Printing needs libraries that a window without it does not.
        from lessonkit.handout.imposition import Imposition
        from lessonkit.handout.pdf import pdf_bytes
        from lessonkit.storage.safe_write import safe_write

        lesson = self._open_lesson.lesson
        imposition = Imposition.SINGLE if how is None else how.imposition
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            pages = worked_out()
            safe_write(path, pdf_bytes(pages, lesson.title, lesson.author, imposition=imposition))
        except OSError as error:
            self._tell(
                say(
                    "The handout was not printed to {name}: {strerror}. Choose another place.",
                    name=path.name,
                    strerror=error.strerror,
                )
            )
            return
        finally:
            QGuiApplication.restoreOverrideCursor()
        count = say("{n} pages", n=len(pages)) if len(pages) != 1 else say("One page")
        self._tell(
            say("{count} printed to {path}", count=count, path=path), (say("Open PDF"), lambda: self._show(path))
        )

    def _show(self, path: Path) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path.absolute()))):
            self._tell(say("No program here opens PDF documents. The handout is {absolute}", absolute=path.absolute()))

    def _suggested(self, ending: str) -> Path:
        path = self._open_lesson.path
        if path is not None:
            return path.with_name(path.stem + ending)
        name = "".join(sign for sign in self._open_lesson.lesson.title if sign not in NOT_IN_NAMES).strip(" .")
        return self._memory.folder / ((name or say("Lesson")) + ending)
