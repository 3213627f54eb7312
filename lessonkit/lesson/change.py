"""What differs between two lessons, by the ids of their blocks, so that only that is drawn again."""

from __future__ import annotations

from bisect import bisect_left

from lessonkit.lesson.lesson import Block, Lesson
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Change:
    """What an edit did. Each tuple holds block ids in the order of the lesson they are found in.

    ``moved`` are as few blocks as explain the new order. ``is_setting_changed`` says that every drill and live word
    may look different (key, label style, spelling, tempo); ``is_head_changed`` that title, aims, author,
    paper or the caution do.
    """

    added: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    is_setting_changed: bool = False
    is_head_changed: bool = False

    def __bool__(self) -> bool:
        """Whether anything differs."""
        has_blocks = bool(self.added or self.removed or self.changed or self.moved)
        return has_blocks or self.is_setting_changed or self.is_head_changed


def change_between(before: Lesson, after: Lesson) -> Change:
    """What differs from one lesson to another."""
    old: dict[str, Block] = {block.id: block for block in before.blocks}
    new: dict[str, Block] = {block.id: block for block in after.blocks}
    changed = (name for name, block in new.items() if name in old and block is not old[name] and block != old[name])
    return Change(
        added=tuple(name for name in new if name not in old),
        removed=tuple(name for name in old if name not in new),
        changed=tuple(changed),
        moved=_moved([name for name in old if name in new], [name for name in new if name in old]),
        is_setting_changed=before.setting != after.setting,
        is_head_changed=_head(before) != _head(after),
    )


def _head(lesson: Lesson) -> tuple[object, ...]:
    return (
        lesson.title,
        lesson.aims,
        lesson.author,
        lesson.paper,
        lesson.house.caution,
        lesson.house.staff_tenths,
        lesson.house.is_close,
        lesson.house.is_two_sided,
        lesson.house.letterhead,
    )


def _moved(before: list[str], after: list[str]) -> tuple[str, ...]:
    """Those that do not belong to a longest run of names which kept their order (by patience sorting)."""
    if before == after:
        return ()
    place_before = {name: place for place, name in enumerate(before)}
    places = [place_before[name] for name in after]
    lowest_ends: list[int] = []
    end_indices: list[int] = []
    links: list[int] = []
    for index, place in enumerate(places):
        length = bisect_left(lowest_ends, place)
        links.append(end_indices[length - 1] if length else -1)
        if length == len(lowest_ends):
            lowest_ends.append(place)
            end_indices.append(index)
        else:
            lowest_ends[length] = place
            end_indices[length] = index
    kept = set()
    index = end_indices[-1]
    while index >= 0:
        kept.add(index)
        index = links[index]
    return tuple(name for index, name in enumerate(after) if index not in kept)
