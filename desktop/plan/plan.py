"""The term as the whole window knows it. Nothing about it is fetched before somebody asks."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from desktop.memory import Memory, state_folder
from desktop.rooms import LESSONS, TERMS, TITLES
from desktop.words import say

if TYPE_CHECKING:
    from desktop.aside import Aside
    from desktop.desk import Desk
    from desktop.plan.plan_room import PlanRoom
    from lessonkit.lesson.lesson import Lesson

FETCHED = ("desktop.plan.plan_menus", "desktop.plan.plan_room")
"""What the room needs, fetched beside the window's thread before it is made."""


class Frame(Protocol):
    """What only the whole window can do."""

    @property
    def room(self) -> str: ...
    def enter(self, name: str) -> None: ...


class Plan:
    """Makes the terms room, and shows its lessons in the lessons room."""

    def __init__(self, memory: Memory, desk: Desk, window: Frame) -> None:
        self._memory = memory
        self._desk = desk
        self._window = window
        self._room: PlanRoom | None = None
        self._aside: Aside | None = None

    def make_room(self) -> PlanRoom:
        """The room."""
        from desktop.aside import Aside
        from desktop.plan.file_saving import saving_of_levels, saving_of_terms
        from desktop.plan.open_house import OpenHouse, saving_of_houses
        from desktop.plan.open_levels import OpenLevels
        from desktop.plan.open_term import OpenTerm
        from desktop.plan.plan_room import PlanRoom

        self._aside = Aside()
        laid_aside = state_folder() / "terms laid aside"
        open_term = OpenTerm(saving_of_terms(laid_aside))
        levels = OpenLevels(saving_of_levels(laid_aside))
        house = OpenHouse(saving_of_houses(laid_aside))
        self._room = PlanRoom(self._memory, self._desk.messages.tell, self, open_term, levels, house, self._aside)
        return self._room

    @property
    def room(self) -> str:
        """The room that is entered."""
        return self._window.room

    def show_lesson(
        self, path: Path, block_id: str = "", edit: tuple[str, Callable[[Lesson], Lesson]] | None = None
    ) -> bool:
        """Open a lesson in the lessons room, if the one that is open may go; select a block, or make an edit.

        What the edit puts in is selected. Says whether the lesson is open.
        """
        desk = self._desk
        opened = desk.open_lesson.path
        is_here = opened is not None and opened.absolute() == path.absolute()
        if not is_here and not (desk.files.may_leave() and desk.files.open_path(path)):
            return False
        self._window.enter(LESSONS)
        if edit is not None:
            before = {block.id for block in desk.open_lesson.lesson.blocks}
            label, change = edit
            desk.open_lesson.edit(label, change(desk.open_lesson.lesson))
            block_id = next((one.id for one in desk.open_lesson.lesson.blocks if one.id not in before), "")
        if any(block.id == block_id for block in desk.open_lesson.lesson.blocks):
            desk.selection.select(block_id)
            desk.view.show_block(block_id)
        return True

    def lesson_at(self, path: Path) -> Lesson | None:
        """The lesson that is open in the lessons room, where it is of this file."""
        opened = self._desk.open_lesson
        is_here = opened.path is not None and opened.path.absolute() == path.absolute()
        return opened.lesson if is_here else None

    def edit_lesson(self, label: str, lesson: Lesson) -> None:
        """Change the lesson that is open in the lessons room; it is saved there."""
        self._desk.writing.end()
        self._desk.open_lesson.edit(label, lesson)

    @property
    def shown(self) -> tuple[str, Path | None]:
        """What is open in the room, and its file."""
        term = self._room.open_term if self._room is not None else None
        return (term.term.title, term.path) if term is not None and term.is_open else (say(TITLES[TERMS]), None)

    def may_close(self) -> bool:
        """Whether the window may go."""
        return self._room is None or self._room.may_close()

    def close(self) -> None:
        """Everything is written before the window goes."""
        if self._aside is not None:
            self._aside.close()
            self._aside = None
        if self._room is not None:
            self._room.close_runs()
            self._room.close_files()
