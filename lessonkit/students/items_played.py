"""Which items a drill plays: its skill in each of its keys. This is what its marks are for."""

from __future__ import annotations

from lessonkit.drills.exercise import Blank
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.students.item import Item
from lessonkit.students.student import GivenBlock

MOST_ITEMS = 30
"""As many items as a block stands for, at most."""


def items_of(drill: DrillFamily, setting: Setting) -> tuple[Item, ...]:
    """The items of a drill, one for each of its keys; none where it cannot be written out or asks for its keys."""
    try:
        exercise = realise(drill, setting)
    except ValueError:
        return ()
    if Blank.KEY in exercise.blank:
        return ()
    keys = dict.fromkeys(bar.key for bar in exercise.bars if bar.key is not None) or {exercise.key: None}
    qualities = {mark.chord.quality.key for mark in exercise.chords}
    quality = qualities.pop() if len(qualities) == 1 else ""
    return tuple(Item(drill.code, key, drill.hands, quality) for key in keys if key is not None)[:MOST_ITEMS]


def given_blocks(lesson: Lesson) -> tuple[GivenBlock, ...]:
    """The drills of a lesson as a handout keeps them, so that they can be marked."""
    found = []
    for block in lesson.blocks:
        if isinstance(block, Drill):
            items = items_of(block.family, lesson.setting)
            if items:
                found.append(GivenBlock(block.id, f"{block.family.title} {_where(items)}", items))
    return tuple(found)


def _where(items: tuple[Item, ...]) -> str:
    """The keys of a block in few words, so that blocks of one family are told apart."""
    keys = list(dict.fromkeys(item.key for item in items))
    return f"in {' and '.join(map(str, keys))}" if len(keys) < 3 else f"through {len(keys)} keys"
