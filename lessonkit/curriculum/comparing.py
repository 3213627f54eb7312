"""Two lessons side by side: what differs in their heads, their blocks, what they cover and how hard they are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from difflib import SequenceMatcher

from lessonkit.curriculum.coverage import Coverage, taught
from lessonkit.curriculum.hardness import hardest_of
from lessonkit.curriculum.house import POINTS
from lessonkit.curriculum.seen import ORDER, WORDS, Axis
from lessonkit.drills.exercise import Hand
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note
from lessonkit.values import dataclass

SHOWN = 60
"""So much of a note is shown of it."""


@dataclass(frozen=True, slots=True)
class Compared:
    """What differs, in sentences; every part is empty where there is no difference.

    ``blocks`` tell of blocks that only one lesson has, or that were changed; ``covered`` what only one of them has.
    """

    head: tuple[str, ...] = ()
    blocks: tuple[str, ...] = ()
    covered: tuple[str, ...] = ()
    hardness: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        """Whether anything differs."""
        return bool(self.head or self.blocks or self.covered or self.hardness)


def compared(first: Lesson, second: Lesson) -> Compared:
    """What differs from the first lesson to the second."""
    both = Coverage((taught("first", first), taught("second", second)))
    return Compared(tuple(_head(first, second)), tuple(_blocks(first, second)), tuple(_covered(both)),
                    tuple(_hardness(both)))  # fmt: skip


def _head(first: Lesson, second: Lesson) -> Iterator[str]:
    told = {
        "title": (first.title, second.title),
        "aims": (first.aims, second.aims),
        "key": (str(first.key), str(second.key)),
        "tempo": (str(first.tempo), str(second.tempo)),
    }
    for what, (before, after) in told.items():
        if before != after:
            yield f"{what}: {_short(after)}, and was {_short(before)}"
    for point in POINTS.values():
        before, after = point.told(point.of(first)), point.told(point.of(second))
        if before != after:
            yield f"{point.words}: {after}, and was {before}"


def _blocks(first: Lesson, second: Lesson) -> Iterator[str]:
    """The blocks that differ, those that say the same being found in their order whatever their ids."""
    before = [replace(block, id="x") for block in first.blocks]
    after = [replace(block, id="x") for block in second.blocks]
    # Families are compared by value; a matcher wants to hash, and equal blocks have equal hashes.
    for tag, low, high, from_, to in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        gone, come = first.blocks[low:high], second.blocks[from_:to]
        if tag == "equal":
            continue
        for old, new in zip(gone, come, strict=False):
            if type(old) is type(new):
                yield f"changed: {block_words(old, first)} → {block_words(new, second)}"
            else:
                yield f"taken out: {block_words(old, first)}"
                yield f"put in: {block_words(new, second)}"
        for old in gone[len(come) :]:
            yield f"taken out: {block_words(old, first)}"
        for new in come[len(gone) :]:
            yield f"put in: {block_words(new, second)}"


def block_words(block: Block, lesson: Lesson) -> str:
    """A block in a few words."""
    if isinstance(block, Drill):
        return f"{block.family.title} ({block.family.in_one_line(lesson.setting)})"
    if isinstance(block, Heading):
        return f"the heading {_short(block.text)}"
    if isinstance(block, Note):
        return f"the note {_short(block.text)}"
    return type(block).__name__.lower()


def _covered(both: Coverage) -> Iterator[str]:
    first, second = both.lessons
    for axis in (Axis.SKILL, Axis.KEY, Axis.QUALITY, Axis.HAND, Axis.READING):
        old = {row for _, count in first.blocks for row, _ in count.cells(axis, axis)}
        new = {row for _, count in second.blocks for row, _ in count.cells(axis, axis)}
        for said, only in (("only in the first", old - new), ("only in the second", new - old)):
            if only:
                told = ", ".join(WORDS[axis](value) for value in sorted(only, key=ORDER[axis]))
                yield f"{axis.value} {said}: {told}"


def _hardness(both: Coverage) -> Iterator[str]:
    first, second = hardest_of(both, 0), hardest_of(both, 1)
    for hand in Hand:
        before, after = first.get(hand), second.get(hand)
        old = before.difficulty.band.value if before else "not used"
        new = after.difficulty.band.value if after else "not used"
        if (before and round(before.score, 2)) != (after and round(after.score, 2)):
            way = "harder" if (after.score if after else 0.0) > (before.score if before else 0.0) else "easier"
            yield f"for the {hand.value} hand the second is {way}: {new}, after {old}"


def _short(text: str) -> str:
    line = " ".join(text.split())
    return f"“{line if len(line) <= SHOWN else line[: SHOWN - 1] + '…'}”"
