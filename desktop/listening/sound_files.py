"""Saves files for the student to listen to: made in another process, told of as they come, stopped on wish."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices

from desktop.memory import Memory
from desktop.message_bar import MessageBar
from desktop.open_lesson import OpenLesson
from desktop.saving_beside import SavingBeside, Tell
from desktop.words import english, say
from lessonkit.lesson import prose
from lessonkit.lesson.lesson import Drill

if TYPE_CHECKING:
    from lessonkit.lesson.lesson import Lesson
    from lessonkit.sound.listening import Kind, ListeningFile

NO_DRILL = english("This lesson has no drill, so there is nothing to hear.")
STOPPED = english("Saving sound files was stopped; those that were saved stay.")
AT_WORK = english("Sound files are being saved already; wait for them, or stop them first.")


class AskedForFolder(Protocol):
    """Who answers where the files go."""

    def folder_for_sound(self, folder: Path) -> Path | None: ...


class SoundFiles(SavingBeside):
    """What can be saved of a lesson's sound."""

    def __init__(self, open_lesson: OpenLesson, memory: Memory, asked: AskedForFolder, messages: MessageBar) -> None:
        super().__init__(messages, AT_WORK)
        self._open_lesson = open_lesson
        self._memory = memory
        self._asked = asked
        self._folder = Path()

    def save(self) -> None:
        """Ask for a folder and save files that every telephone plays."""
        self._save("mp3")

    def save_uncompressed(self) -> None:
        """Ask for a folder and save files without loss, which are ten times as large."""
        self._save("wav")

    def tell_end(self, sentence: str) -> None:
        """Say the sentence at the end, and offer the page where there is one."""
        if sentence == STOPPED or not (self._folder / "index.html").exists():
            self._messages.tell(sentence)
        else:
            self._messages.tell(sentence, (say("Open the page that plays them"), self._open))

    def _save(self, kind: str) -> None:
        lesson = self._open_lesson.lesson
        if self.is_busy():
            return
        if not any(isinstance(block, Drill) for block in lesson.blocks):
            self._messages.tell(NO_DRILL)
            return
        folder = self._asked.folder_for_sound(self._memory.folder)
        if folder is not None:
            self._folder = folder
            work = _Work(lesson, folder, kind)
            self.begin(say("Working out what is heard …"), work.done)

    def _open(self) -> None:
        page = self._folder / "index.html"
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(page.absolute()))):
            self._messages.tell(say("No program here opens such pages. It is {absolute}", absolute=page.absolute()))


class _Work:
    """What is done beside the window."""

    def __init__(self, lesson: Lesson, folder: Path, kind: str) -> None:
        self._lesson = lesson
        self._folder = folder
        self._kind = kind

    def done(self, tell: Tell, is_stopped: Callable[[], bool]) -> str:
        """Save the files one after another, and at the end the page that lists them."""
        # A window that saves no sound has no use for these.
        from lessonkit.sound.listening import INDEX, Kind, index_page, listening_files
        from lessonkit.sound.rendering import NoSound
        from lessonkit.storage.safe_write import safe_write

        kind: Kind = Kind(self._kind)
        drills = [block.family for block in self._lesson.blocks if isinstance(block, Drill)]
        files, left_out = listening_files(drills, self._lesson.setting, kind)
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            for content, file in _contents(files, tell, is_stopped):
                safe_write(self._folder / file.name, content)
            if is_stopped():
                return STOPPED
            safe_write(self._folder / INDEX, index_page(_title(self._lesson), files).encode())
        except OSError as error:
            return say(
                "The sound files were not saved in {folder}: {strerror}. Choose another folder.",
                folder=self._folder,
                strerror=error.strerror,
            )
        except NoSound as error:
            return say("The sound files were not saved: {error}.", error=error)
        count = say("One sound file") if len(files) == 1 else say("{n} sound files", n=len(files))
        sentence = say("{count} and a page that plays them are in {folder}", count=count, folder=self._folder)
        return sentence if not left_out else f"{sentence}. {left_out[0][:1].upper()}{left_out[0][1:]}."


def _contents(
    files: tuple[ListeningFile, ...], tell: Tell, is_stopped: Callable[[], bool]
) -> Iterator[tuple[bytes, ListeningFile]]:
    """Each file's bytes, made in a process of their own so that the window stays free."""
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(1, multiprocessing.get_context("spawn")) as pool:
        for number, file in enumerate(files, start=1):
            if is_stopped():
                return
            tell(say("Saving sound file {number} of {n}: {name}", number=number, n=len(files), name=file.name))
            yield pool.submit(file.content).result(), file


def _title(lesson: Lesson) -> str:
    return prose.plain_line(prose.read_line(lesson.title, lesson.setting), lesson.house.label_style)
