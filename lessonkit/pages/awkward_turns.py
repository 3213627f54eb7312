"""Pages that have to be turned while both hands play, in words: what the layout could not mend by itself."""

from __future__ import annotations

from itertools import pairwise

from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import pages_of
from lessonkit.pages.page import Page
from lessonkit.pages.parts import Turn
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class AwkwardTurn:
    """A right-hand page that ends inside a drill where no hand is free."""

    page: int
    block_id: str
    title: str

    def __str__(self) -> str:
        return (
            f"Page {self.page} is turned in the middle of “{self.title}”, where no hand is free: "
            "start the drill on a new page, shorten it, or print on one side of the paper."
        )


def awkward_turns(lesson: Lesson) -> tuple[AwkwardTurn, ...]:
    """The awkward turns of a lesson printed on both sides; none where it is printed on one."""
    if not lesson.house.is_two_sided:
        return ()
    look = look_of(lesson)
    found = []
    for page, following in pairwise(pages_of(lesson, look=look)):
        begins = _places(following)
        for block_id, part in _places(page).items():
            block = lesson.block(block_id) if page.number % 2 and block_id in begins else None
            if isinstance(block, Drill) and draw_block(block, lesson, look).parts[part].after is Turn.BUSY:
                found.append(AwkwardTurn(page.number, block_id, block.family.title))
    return tuple(found)


def _places(page: Page) -> dict[str, int]:
    """The last part of each block on a page."""
    return {part.block_id: part.part for part in page.parts if part.block_id and not part.block_id.startswith("head:")}
