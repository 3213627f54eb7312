"""A make-up sheet: what a student missed in one or several lessons, each drill once, cut to the minutes at hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from lessonkit.drills.family import DrillFamily
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.lesson.edits import with_new_ids
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note
from lessonkit.students.adapt import adapt
from lessonkit.students.adapted import Adapted
from lessonkit.students.item import Item
from lessonkit.students.items_played import items_of
from lessonkit.students.session import weak_keys
from lessonkit.students.student import Student
from lessonkit.students.weakness import EVEN, plain_key
from lessonkit.theory.key import Key
from lessonkit.values import dataclass

GOES = 3
"""How often a drill is played at a lesson tempo to have been met at all."""


@dataclass(frozen=True, slots=True)
class MakeUp:
    """A make-up sheet, adapted; ``minutes`` is what its drills take, ``left_out`` what no time was left for."""

    adapted: Adapted
    minutes: int
    left_out: tuple[str, ...]


def minutes_of(drill: DrillFamily, setting: Setting) -> int:
    """About how many minutes a drill takes, one at least: three goes at the lesson's tempo, repeats counted."""
    try:
        quarters = float(realise(drill, setting).length * 4)
    except ValueError:
        return 1
    return max(1, round(GOES * drill.repeats * quarters / setting.tempo))


def make_up(missed: Sequence[Lesson], student: Student, day: date, minutes: int) -> MakeUp:
    """One sheet of what was missed: what has never been marked first, then what is weakest, while the time lasts.

    Equal drills of several lessons stand once; the notes right above a drill come with it. Raises ValueError where no
    lesson is given.
    """
    if not missed:
        raise ValueError("no lesson was missed; name one at least")
    weakness = weak_keys(student, day)
    marked = {item for mark in student.marks for item in mark.items}
    chosen: list[_Wanted] = []
    seen: set[tuple[DrillFamily, Setting]] = set()
    for place, lesson in enumerate(missed):
        for block in lesson.blocks:
            if isinstance(block, Drill) and (block.family, lesson.setting) not in seen:
                seen.add((block.family, lesson.setting))
                chosen.append(_wanted(block, lesson, place, marked, weakness))
    taken: list[_Wanted] = []
    left: list[str] = []
    used = 0
    for one in sorted(chosen, key=lambda want: (want.is_marked, -want.weakness)):
        if used + one.minutes <= minutes:
            taken.append(one)
            used += one.minutes
        else:
            left.append(f"{one.block.family.title} from “{missed[one.lesson].title}” (about {one.minutes} min)")
    sheet = _sheet(missed, taken, minutes)
    return MakeUp(adapt(sheet, student, day), used, tuple(left))


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A drill that was missed: from which lesson, how long it takes, whether it was marked before, how weak."""

    block: Drill
    lesson: int
    minutes: int
    is_marked: bool
    weakness: float


def _wanted(block: Drill, lesson: Lesson, place: int, marked: set[Item], weakness: Mapping[Key, float]) -> _Wanted:
    items = items_of(block.family, lesson.setting)
    weak = [weakness.get(plain_key(item.key), EVEN) for item in items] or [EVEN]
    is_marked = bool(items) and all(item in marked for item in items)
    return _Wanted(block, place, minutes_of(block.family, lesson.setting), is_marked, max(weak))


def _sheet(missed: Sequence[Lesson], taken: Sequence[_Wanted], minutes: int) -> Lesson:
    """The drills in the order of their lessons, each lesson under a heading and each drill below its own note."""
    blocks: list[Block] = []
    for place, lesson in enumerate(missed):
        own = [one.block.id for one in taken if one.lesson == place]
        if not own:
            continue
        blocks.append(Heading(lesson.title or "Lesson"))
        before: Block | None = None
        for block in lesson.blocks:
            if block.id in own:
                if isinstance(before, Note):
                    blocks.append(before)
                blocks.append(_in_its_key(block, lesson, missed[0]))
            before = block
    first = missed[0]
    aims = f"What was missed, for {minutes} minutes."
    return replace(first, title="Make-up sheet", aims=aims, blocks=with_new_ids(blocks))


def _in_its_key(block: Block, lesson: Lesson, first: Lesson) -> Block:
    """A drill that followed its own lesson's key keeps it on a sheet that is in another one."""
    if not isinstance(block, Drill) or lesson.key == first.key or block.family.key is not None:
        return block
    return replace(block, family=replace(block.family, key=lesson.key))
