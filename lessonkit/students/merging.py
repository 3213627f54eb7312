"""Three lessons made one: what one side changed is taken, what the other changed stays, setting by setting.

Where both changed the same thing, one's own stays and a sentence says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import fields, replace
from typing import Any

from lessonkit.drills.declared import Declared
from lessonkit.lesson.edits import declared_of
from lessonkit.lesson.lesson import (
    Block,
    DifficultyMap,
    Drill,
    Heading,
    Lesson,
    Note,
    PageBreak,
    Space,
    UnknownDrill,
)

_NAMES = {
    Heading: "the heading", Note: "the note", Space: "the space", PageBreak: "the page break",
    UnknownDrill: "the drill of another version",
}  # fmt: skip


class Merging:
    """One comparison of three lessons, collecting what is to be said."""

    def __init__(self) -> None:
        self.taken: list[str] = []
        self.conflicts: list[str] = []

    def lesson(self, old: Lesson, new: Lesson, own: Lesson) -> Lesson:
        """The student's own lesson with what changed from the old original to the new one."""
        head = {
            name: self.value(f"the {words}", getattr(old, name), getattr(new, name), getattr(own, name))
            for name, words in (
                ("title", "title"), ("aims", "aims"), ("author", "author"), ("key", "key"), ("tempo", "tempo"),
                ("paper", "paper"),
            )
        }  # fmt: skip
        house = self.declared_fields("the house style", old.house, new.house, own.house)
        return Lesson(**head, house=house, blocks=self.blocks(old.blocks, new.blocks, own.blocks))

    def blocks(self, old: Sequence[Block], new: Sequence[Block], own: Sequence[Block]) -> tuple[Block, ...]:
        """The blocks in the new original's order; those of the student's alone stay behind what they followed."""
        before = {block.id: block for block in old}
        improved = {block.id: block for block in new}
        kept = {block.id: block for block in own}
        found: list[Block] = []
        for block in new:
            if block.id in kept:
                found.append(self.block(before.get(block.id), block, kept[block.id]))
            elif block.id not in before:
                self.taken.append(f"{_named(block)} is new")
                found.append(block)
            elif block != before[block.id]:
                self.conflicts.append(f"{_named(block)} changed in the original; this student's lesson leaves it out")
        for block in own:
            if block.id in improved:
                continue
            if block.id not in before:
                _insert_behind(found, block, own)
            elif block != before[block.id]:
                self.conflicts.append(f"{_named(block)} is gone from the original; it was changed here and stays")
                _insert_behind(found, block, own)
            else:
                self.taken.append(f"{_named(block)} is gone")
        if [block.id for block in old if block.id in improved] != [block.id for block in new if block.id in before]:
            self.taken.append("the order of the blocks changed")
        return tuple(found)

    def block(self, old: Block | None, new: Block, own: Block) -> Block:
        """One block of the same id."""
        if old is None or new == old:
            return own
        if own == new:
            return own
        if own == old:
            self.taken.append(f"{_named(new)} changed")
            return new
        if isinstance(old, Drill | DifficultyMap) and type(old) is type(new) is type(own):
            return self.settings(old, new, own)
        if type(own) is not type(new):
            # What stands for the drill is made anew from the better one.
            self.taken.append(f"{_named(new)} changed; what stands for it here is made anew")
            return new
        self.conflicts.append(f"{_named(new)} changed in the original and here; this student's stays")
        return own

    def settings(self, old: Block, new: Block, own: Block) -> Block:
        """A drill or a map, setting by setting."""
        one, two, three = declared_of(old), declared_of(new), declared_of(own)
        if type(one) is not type(two) or type(two) is not type(three):
            self.conflicts.append(f"{_named(new)} is another drill now; this student's stays")
            return own
        merged = self.declared_fields(_named(own), one, two, three)
        return Drill(merged, own.id) if isinstance(own, Drill) else DifficultyMap(merged, own.id)

    def declared_fields(self, what: str, old: Any, new: Any, own: Any) -> Any:
        """A frozen value, field by field; its own where the three do not go together."""
        changed = {}
        for one in fields(own):
            values = [getattr(each, one.name) for each in (old, new, own)]
            changed[one.name] = self.value(f"{what}, {_label(own, one.name)}", *values)
        try:
            return replace(own, **changed)
        except ValueError as error:
            self.conflicts.append(f"{what}: the changes do not go together ({error}); this student's stays")
            return own

    def value(self, what: str, old: Any, new: Any, own: Any) -> Any:
        """The new value where only the original changed it; else the student's own."""
        if new in (old, own):
            return own
        if own == old:
            self.taken.append(f"{what}: {_said(new)} rather than {_said(old)}")
            return new
        self.conflicts.append(
            f"{what}: the original now has {_said(new)} rather than {_said(old)}; this student's stays {_said(own)}"
        )
        return own


def _insert_behind(found: list[Block], block: Block, own: Sequence[Block]) -> None:
    """Put a block of the student's own behind the one that it follows."""
    place = [one.id for one in own].index(block.id)
    ids = [one.id for one in found]
    at = next((ids.index(one.id) + 1 for one in reversed(own[:place]) if one.id in ids), 0)
    found.insert(at, block)


def _named(block: Block) -> str:
    if isinstance(block, Drill | DifficultyMap):
        return declared_of(block).title
    return _NAMES.get(type(block), "the block")


def _label(value: Any, name: str) -> str:
    """What a setting is called in the form."""
    if isinstance(value, Declared) and name in value.declared():
        return value.declared()[name].label.lower()
    return name.replace("_", " ")


def _said(value: Any) -> str:
    """A value in a sentence, short."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None:
        return "none"
    if isinstance(value, tuple | frozenset | list):
        return _joined(value) or "none"
    plain = getattr(value, "value", value)
    text = " ".join(str(plain).split())
    return f"“{text[:40]}…”" if len(text) > 41 else text


def _joined(values: Iterable[Any]) -> str:
    words = [_said(value) for value in values]
    return ", ".join(words[:8]) + (" …" if len(words) > 8 else "")
