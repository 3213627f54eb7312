"""What would save a page, the cheapest change first: offered in words with the count of pages, never done unasked.

The order is that of a careful engraver (common practice): fewer fingers, closer spacing, aids side by side, a smaller
staff, and last a passage that comes back down said in words. What is left is one page more, which costs nothing here.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import groupby

from lessonkit.drills.exercise import FingersShown
from lessonkit.drills.family import Direction, DrillFamily
from lessonkit.lesson.lesson import SMALLEST_STAFF, USUAL_STAFF, Aid, Block, Drill, Lesson, Note, new_block_id
from lessonkit.lesson.page_aid import At, Stands
from lessonkit.pages.flow import pages_of
from lessonkit.values import dataclass

STEP = 5
"""By how much a staff is made smaller at once, in tenths of a millimetre."""

BACK_DOWN = "And back down the same way."


@dataclass(frozen=True, slots=True)
class Saving:
    """A change that saves a page or more: in words, the lesson after it, and the pages before and after."""

    words: str
    lesson: Lesson
    pages_before: int
    pages_after: int

    def __str__(self) -> str:
        after = f"{self.pages_after} page{'s' if self.pages_after > 1 else ''}"
        return f"{self.words}: {after} instead of {self.pages_before}."


def savings(lesson: Lesson, least_staff: int = SMALLEST_STAFF) -> tuple[Saving, ...]:
    """Every change that alone saves a page, the cheapest first; where none does, the fewest that do it together.

    ``least_staff`` is the smallest staff that the student reads, in tenths of a millimetre. Empty where the lesson has
    one page already or nothing helps.
    """
    before = len(pages_of(lesson))
    if before == 1:
        return ()
    alone: list[Saving] = []
    for say, change in changes(least_staff):
        changed = change(lesson)
        count = len(pages_of(changed)) if changed != lesson else before
        if count < before:
            alone.append(Saving(say, changed, before, count))
    return tuple(alone) or _together(lesson, least_staff, before)


def _together(lesson: Lesson, least_staff: int, before: int) -> tuple[Saving, ...]:
    """The first changes that save a page when they are made one after another."""
    words: list[str] = []
    for say, change in changes(least_staff):
        changed = change(lesson)
        if changed != lesson:
            lesson = changed
            words.append(say if not words else say[:1].lower() + say[1:])
            count = len(pages_of(lesson))
            if count < before:
                return (Saving("; ".join(words), lesson, before, count),)
    return ()


Change = Callable[[Lesson], Lesson]


def changes(least_staff: int = SMALLEST_STAFF) -> Sequence[tuple[str, Change]]:
    """The changes in their order, each in words; one that has nothing to change gives the lesson back as it is."""
    return (
        ("Print fingers only where they change", with_fewer_fingers),
        ("Set everything a tenth closer", with_closer_spacing),
        ("Put checklists, logs and prompts side by side", with_aids_side_by_side),
        ("Make the staff half a millimetre smaller", lambda lesson: with_smaller_staff(lesson, least_staff)),
        ("Write only the way up, with a word for the way down", with_the_way_down_in_words),
    )


def with_fewer_fingers(lesson: Lesson) -> Lesson:
    """The lesson whose drills print all their fingers printing the changes only."""
    blocks = tuple(
        Drill(_with_changes_only(block.family), block.id) if isinstance(block, Drill) else block
        for block in lesson.blocks
    )
    house = lesson.house
    follows = any(
        isinstance(block, Drill) and block.family.fingers_shown is FingersShown.LESSON for block in lesson.blocks
    )
    if follows and house.fingers in (None, FingersShown.ALL):
        house = replace(house, fingers=FingersShown.CHANGES)
    return replace(lesson, blocks=blocks, house=house)


def _with_changes_only(family: DrillFamily) -> DrillFamily:
    is_all = family.fingers_shown is FingersShown.ALL
    return family.with_value("fingers_shown", FingersShown.CHANGES) if is_all else family


def with_closer_spacing(lesson: Lesson) -> Lesson:
    """The lesson with a tenth less space between everything."""
    return replace(lesson, house=replace(lesson.house, is_close=True))


def with_aids_side_by_side(lesson: Lesson) -> Lesson:
    """The lesson whose neighbouring aids stand in two columns, except those that need the width."""
    blocks: list[Block] = []
    for can_stand, row in groupby(lesson.blocks, key=_can_stand_beside):
        run = list(row)
        if can_stand and len(run) > 1:
            run = [replace(one, shows=replace(one.shows, stands=Stands.HALF)) for one in run if isinstance(one, Aid)]
        blocks += run
    return replace(lesson, blocks=tuple(blocks))


BESIDE = frozenset({"checklist", "practice-log", "now-use-it", "reflection", "cautions", "parent-note"})
"""The aids that lose nothing in half the width."""


def _can_stand_beside(block: Block) -> bool:
    return isinstance(block, Aid) and block.shows.code in BESIDE and block.shows.at is At.PLACE


def with_smaller_staff(lesson: Lesson, least: int = SMALLEST_STAFF) -> Lesson:
    """The lesson with its staff half a millimetre smaller, unless that is less than the student reads."""
    smaller = lesson.house.staff_tenths - STEP
    if smaller < max(least, SMALLEST_STAFF) or lesson.house.staff_tenths > USUAL_STAFF + 2 * STEP:
        # A large staff was chosen for eyes that need it.
        return lesson
    return replace(lesson, house=replace(lesson.house, staff_tenths=smaller))


def with_the_way_down_in_words(lesson: Lesson) -> Lesson:
    """The lesson whose drills that go up and down are written upwards, with a line that says how they come back."""
    blocks: list[Block] = []
    for block in lesson.blocks:
        family = block.family if isinstance(block, Drill) else None
        if family is None or "direction" not in family.declared() or family.direction is not Direction.UP_AND_DOWN:
            blocks.append(block)
            continue
        blocks += [Drill(family.with_value("direction", Direction.UP), block.id), Note(BACK_DOWN, new_block_id())]
    return replace(lesson, blocks=tuple(blocks))
