"""What the window can do with the lesson's blocks. Each command is one edit; none knows a widget."""

from __future__ import annotations

from collections.abc import Callable

from desktop.editing import clipboard
from desktop.open_lesson import OpenLesson
from desktop.selection import Selection
from desktop.spoken import name_of
from desktop.words import say
from lessonkit.lesson.edits import (
    delete_blocks,
    duplicate_blocks,
    insert_blocks,
    insert_in_note,
    replace_block,
    shift_blocks,
)
from lessonkit.lesson.handout_page import page_around
from lessonkit.lesson.lesson import Aid, Block, DifficultyMap, Drill
from lessonkit.storage.strict import LessonFileError


class Commands:
    """Commands on the open lesson and its selection; ``tell`` shows a sentence."""

    def __init__(self, open_lesson: OpenLesson, selection: Selection, tell: Callable[[str], None]) -> None:
        self._open_lesson = open_lesson
        self._selection = selection
        self._tell = tell

    def insert(self, *blocks: Block, verb: str = "Insert") -> None:
        """Put blocks in behind the selection and select them."""
        if not blocks:
            return
        at = self._selection.place_after
        try:
            lesson = insert_blocks(self._open_lesson.lesson, at, blocks)
        except ValueError as error:
            self._tell(say("That cannot be put in: {error}.", error=error))
            return
        self._open_lesson.edit(f"{verb} {_what(blocks)}", lesson)
        self._selection.select(*(block.id for block in lesson.blocks[at : at + len(blocks)]))

    def insert_in_note(self, note_id: str, at: int, block: Block) -> None:
        """Put a block in where a note is parted, before its character of a place, and select it."""
        try:
            lesson = insert_in_note(self._open_lesson.lesson, note_id, at, (block,))
        except ValueError as error:
            self._tell(say("That cannot be put in: {error}.", error=error))
            return
        self._open_lesson.edit(say("Insert {what}", what=_what((block,))), lesson)
        self._selection.select(block.id)

    def move_up(self) -> None:
        """Move the selected blocks up by one place."""
        self._shift(-1)

    def move_down(self) -> None:
        """Move the selected blocks down by one place."""
        self._shift(1)

    def duplicate(self) -> None:
        """Put copies of the selected blocks behind them and select the copies."""
        blocks = self._selection.blocks
        if blocks:
            at = self._selection.place_after
            lesson = duplicate_blocks(self._open_lesson.lesson, self._selection.ids)
            self._open_lesson.edit(say("Duplicate {what}", what=_what(blocks)), lesson)
            self._selection.select(*(block.id for block in lesson.blocks[at : at + len(blocks)]))

    def page_around(self) -> None:
        """Put the selected drill on a handout page with its aids; each of them can be changed or taken out."""
        drill = self._selection.only
        if isinstance(drill, Drill):
            lesson = page_around(self._open_lesson.lesson, drill.id)
            self._open_lesson.edit(say("Handout page around {drill}", drill=name_of(drill)), lesson)
            self._selection.select(drill.id)

    def delete(self) -> None:
        """Take the selected blocks out and select what comes after them."""
        self._remove(say("Delete"))

    def copy(self) -> None:
        """Put the selected blocks on the clipboard."""
        if self._selection.ids:
            clipboard.put_on_clipboard(self._selection.blocks, self._open_lesson.lesson)

    def copy_picture(self) -> None:
        """Put a picture of the selected blocks on the clipboard, for other programs."""
        if not clipboard.put_picture_on_clipboard(self._selection.blocks, self._open_lesson.lesson):
            self._tell(say("What is selected shows nothing, so there is no picture of it."))

    def copy_notes(self) -> None:
        """Put the notes of the selected drills on the clipboard, for programs that print or play music."""
        try:
            if not clipboard.put_notes_on_clipboard(self._selection.blocks, self._open_lesson.lesson):
                self._tell(say("What is selected holds no drill, so there are no notes to copy."))
        except ValueError as error:
            self._tell(say("The notes were not copied: {error}.", error=error))

    def cut(self) -> None:
        """Put the selected blocks on the clipboard and take them out."""
        if self._selection.ids:
            self.copy()
            self._remove(say("Cut"))

    def paste(self) -> None:
        """Put in what is on the clipboard."""
        try:
            self.insert(*clipboard.on_clipboard(), verb=say("Paste"))
        except LessonFileError as error:
            self._tell(str(error))

    @property
    def departs(self) -> bool:
        """Whether settings of the selected drills or maps depart from the usual ones."""
        return any(_usual(block) != block for block in self._selection.blocks)

    def reset(self) -> None:
        """Bring every setting of the selected drills and maps back to the usual one."""
        blocks = tuple(block for block in self._selection.blocks if _usual(block) != block)
        lesson = self._open_lesson.lesson
        for block in blocks:
            lesson = replace_block(lesson, _usual(block))
        if blocks:
            self._open_lesson.edit(say("Reset {what}", what=_what(blocks)), lesson)

    def select_all(self) -> None:
        """Select every block."""
        self._selection.select(*(block.id for block in self._open_lesson.lesson.blocks))

    def _shift(self, by: int) -> None:
        blocks = self._selection.blocks
        if blocks:
            lesson = shift_blocks(self._open_lesson.lesson, self._selection.ids, by)
            self._open_lesson.edit(say("Move {what}", what=_what(blocks)), lesson)

    def _remove(self, verb: str) -> None:
        blocks, ids = self._selection.blocks, self._selection.ids
        if not blocks:
            return
        place = self._open_lesson.lesson.place_of(ids[0])
        lesson = delete_blocks(self._open_lesson.lesson, ids)
        self._open_lesson.edit(f"{verb} {_what(blocks)}", lesson)
        if lesson.blocks:
            self._selection.select(lesson.blocks[min(place, len(lesson.blocks) - 1)].id)


def _usual(block: Block) -> Block:
    """The block with the usual settings; a block that declares none is as it is."""
    if isinstance(block, Drill):
        return Drill(type(block.family)(), block.id)
    if isinstance(block, Aid):
        return Aid(type(block.shows)(), block.id)
    return DifficultyMap(id=block.id) if isinstance(block, DifficultyMap) else block


def _what(blocks: tuple[Block, ...]) -> str:
    """The blocks in the label of an edit."""
    return name_of(blocks[0]).lower() if len(blocks) == 1 else say("{n} blocks", n=len(blocks))
