"""Saves the lesson, a page or blocks for other programs: made in other processes, told of, stopped on wish."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from desktop.memory import Memory
from desktop.message_bar import MessageBar
from desktop.open_lesson import OpenLesson
from desktop.preview.drawn_pages import DrawnPages
from desktop.preview.pages_view import PagesView
from desktop.saving_beside import SavingBeside, Tell
from desktop.selection import Selection
from desktop.words import english, say

if TYPE_CHECKING:
    from lessonkit.export import ExportJob

STOPPED = english("Saving for other programs was stopped; the files that were saved stay.")
AT_WORK = english("Files for other programs are being saved already; wait for them, or stop them first.")
SAVING = english("Saving for other programs …")

PROCESSES = 2


class AskedForExport(Protocol):
    """Who answers into which file, and by its ending into which kind, something is saved."""

    def where_to_export(self, suggested: Path) -> Path | None: ...


class Exporting(SavingBeside):
    """What can be saved of a lesson for other programs."""

    def __init__(
        self, open_lesson: OpenLesson, selection: Selection, view: PagesView, drawn: DrawnPages, memory: Memory,
        asked: AskedForExport, messages: MessageBar,
    ) -> None:  # fmt: skip
        super().__init__(messages, AT_WORK)
        self._open_lesson = open_lesson
        self._selection = selection
        self._view = view
        self._drawn = drawn
        self._memory = memory
        self._asked = asked

    def save_lesson(self) -> None:
        """Save the whole lesson: its drills in one file of notes, or a picture a page."""
        self._save("")

    def save_page(self) -> None:
        """Save the page in sight."""
        self._save(f"-page-{self._view.page_number}", page=self._view.page_number)

    def save_blocks(self) -> None:
        """Save the selected blocks: their drills in one file of notes, or a picture a block."""
        if self._selection.ids:
            self._save("-blocks", ids=self._selection.ids)

    def _save(self, tail: str, page: int | None = None, ids: Sequence[str] = ()) -> None:
        if self.is_busy():
            return
        # A window that saves nothing for others has no use for it.
        from lessonkit.export import export_jobs

        lesson, path = self._open_lesson.lesson, self._open_lesson.path
        suggested = path if path is not None else self._memory.folder / "lesson"
        target = self._asked.where_to_export(suggested.with_name(f"{suggested.stem}{tail}.musicxml"))
        if target is not None:
            pages = len(self._drawn.pages)
            jobs = export_jobs(lesson, target, page, ids, pages, self._drawn.shows_answers)
            self.begin(SAVING, lambda tell, is_stopped: _made(jobs, tell, is_stopped))


def _made(jobs: list[ExportJob], tell: Tell, is_stopped: Callable[[], bool]) -> str:
    """Make one file after another, in processes of their own so that the window stays free."""
    from lessonkit.export import write_export
    from lessonkit.handout.batch import done_one_by_one

    made: list[Path] = []
    problems: list[str] = []
    for outcome in done_one_by_one(jobs, write_export, PROCESSES, is_stopped):
        if outcome.made is not None:
            made.append(outcome.made)
            tell(say("Saved {n} of {n2}: {name}", n=len(made), n2=len(jobs), name=outcome.made.name))
        else:
            problems.append(outcome.problem)
    if problems:
        return say("Not everything was saved for other programs: {problems}.", problems=problems[0])
    if len(made) < len(jobs):
        return STOPPED
    if len(made) == 1:
        return say("Saved for other programs: {made}", made=made[0])
    return say("{n} files for other programs are in {parent}", n=len(made), parent=made[0].parent)
