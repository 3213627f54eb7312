"""Three lessons made one: what one side changed is taken, what the other changed stays, setting by setting.

Everything that differs is a point with a sentence. What only the new lesson changed comes over unless it is refused;
where both changed the same thing, one's own stays unless the new is accepted.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

from lessonkit.drills.declared import Declared
from lessonkit.hands.profile import HandProfile
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
    UnknownAid,
    UnknownDrill,
)
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass

_NAMES = {
    Heading: "the heading", Note: "the note", Space: "the space", PageBreak: "the page break",
    UnknownDrill: "the drill of another version", UnknownAid: "the aid of another version",
}  # fmt: skip

_HEAD = (
    ("title", "title"), ("aims", "aims"), ("author", "author"), ("key", "key"), ("tempo", "tempo"), ("paper", "paper"),
)  # fmt: skip
_HOUSE = {
    "label_style": "the chord names", "hands": "the hands", "staff_tenths": "the staff, in tenths of a millimetre",
    "fingers": "the fingers shown", "caution": "the line of care",
}  # fmt: skip

_LONGEST_QUOTE = 28


@dataclass(frozen=True, slots=True)
class Point:
    """One thing that differs, in words; ``key`` is its name, the same each time, ``block_id`` empty for the head."""

    key: str
    sentence: str
    block_id: str
    is_conflict: bool
    is_accepted: bool


class Merging:
    """One comparison of three lessons, collecting what is to be said.

    ``decisions`` accepts or refuses points by their keys; without one, what only the new lesson changed is accepted
    and what both changed is refused.
    """

    def __init__(self, decisions: Mapping[str, bool] | None = None) -> None:
        self._decisions = dict(decisions or {})
        self.points: list[Point] = []

    def lesson(self, old: Lesson, new: Lesson, own: Lesson) -> Lesson:
        """The own lesson with what changed from the old one to the new one."""
        head = {
            name: self.value(
                f"head:{name}", "", f"the {words}", getattr(old, name), getattr(new, name), getattr(own, name)
            )
            for name, words in _HEAD
        }
        house = self.declared_fields("house", "", "", old.house, new.house, own.house)
        return Lesson(**head, house=house, blocks=self.blocks(old.blocks, new.blocks, own.blocks))

    def blocks(self, old: Sequence[Block], new: Sequence[Block], own: Sequence[Block]) -> tuple[Block, ...]:
        """The blocks that stay and those that come over, in the order of the side that changed it."""
        before = {block.id: block for block in old}
        improved = {block.id: block for block in new}
        mine = {block.id: block for block in own}
        found: dict[str, Block] = {}
        for block in new:
            name, known = block.id, before.get(block.id)
            if name in mine:
                found[name] = self.block(known, block, mine[name])
            elif known is None:
                if self._is_wanted(f"new:{name}", f"{_named(block)} is new", name):
                    found[name] = block
            elif block != known:
                said = f"{_named(block)} was changed in the original; here it was taken out"
                if self._is_wanted(f"back:{name}", said, name, is_conflict=True):
                    found[name] = block
        for block in own:
            name = block.id
            if name not in improved and self._stays(before.get(name), block):
                found[name] = block
        return tuple(found[name] for name in self._order(old, new, own) if name in found)

    def block(self, old: Block | None, new: Block, own: Block) -> Block:
        """One block of the same id."""
        if new in (old, own):
            return own
        key = f"block:{new.id}"
        if own == old:
            if isinstance(new, Drill | DifficultyMap) and type(old) is type(new):
                return self.settings(old, new, own)
            return new if self._is_wanted(key, f"{_named(new)} changed", new.id) else own
        if isinstance(old, Drill | DifficultyMap) and type(old) is type(new) is type(own):
            return self.settings(old, new, own)
        said = f"{_named(new)} was changed in the original and here"
        if isinstance(new, Note | Heading) and isinstance(own, Note | Heading):
            said = f"{_NAMES[type(new)]} now reads {_quoted(new.text)} in the original; here {_quoted(own.text)}"
        return new if self._is_wanted(key, said, new.id, is_conflict=True) else own

    def settings(self, old: Block, new: Block, own: Block) -> Block:
        """A drill or a map, setting by setting."""
        one, two, three = declared_of(old), declared_of(new), declared_of(own)
        if type(one) is not type(two) or type(two) is not type(three):
            said = f"in place of {_named(own)} the original has {_named(new)}"
            is_conflict = own != old
            return new if self._is_wanted(f"block:{new.id}", said, new.id, is_conflict) else own
        merged = self.declared_fields(f"block:{own.id}", own.id, f"{_named(own)}, ", one, two, three)
        return Drill(merged, own.id) if isinstance(own, Drill) else DifficultyMap(merged, own.id)

    def declared_fields(self, key: str, block_id: str, what: str, old: Any, new: Any, own: Any) -> Any:
        """A frozen value, field by field; its own where the three do not go together."""
        start, changed = len(self.points), {}
        for one in fields(own):
            values = [getattr(each, one.name) for each in (old, new, own)]
            changed[one.name] = self.value(f"{key}:{one.name}", block_id, f"{what}{_label(own, one.name)}", *values)
        try:
            return replace(own, **changed)
        except ValueError as error:
            del self.points[start:]
            said = f"{what}what was changed in the original and here does not go together ({error})"
            return new if self._is_wanted(f"{key}:all", said, block_id, is_conflict=True) else own

    def value(self, key: str, block_id: str, what: str, old: Any, new: Any, own: Any) -> Any:
        """The new value where only the new side changed it; else one's own, unless the new one is accepted."""
        if new in (old, own):
            return own
        if own == old:
            said = f"{what}: {_said(new)} rather than {_said(old)}"
            return new if self._is_wanted(key, said, block_id) else own
        said = f"{what}: the original now has {_said(new)} rather than {_said(old)}; here it is {_said(own)}"
        return new if self._is_wanted(key, said, block_id, is_conflict=True) else own

    def _stays(self, known: Block | None, block: Block) -> bool:
        """Whether a block that the new side does not have stays."""
        if known is None:
            return True
        if block == known:
            return not self._is_wanted(f"gone:{block.id}", f"{_named(block)} is gone", block.id)
        said = f"{_named(block)} is gone from the original; here it was changed"
        return not self._is_wanted(f"gone:{block.id}", said, block.id, is_conflict=True)

    def _order(self, old: Sequence[Block], new: Sequence[Block], own: Sequence[Block]) -> list[str]:
        """The ids of all blocks: in the order of the side that changed it, the other's behind what they follow."""
        everywhere = {block.id for block in old} & {block.id for block in new} & {block.id for block in own}
        was, now, here = ([block.id for block in each if block.id in everywhere] for each in (old, new, own))
        takes_new = False
        if now not in (was, here):
            takes_new = self._is_wanted("order", "the blocks stand in another order", "", is_conflict=here != was)
        first, second = (new, own) if takes_new else (own, new)
        found = [block.id for block in first]
        for place, block in enumerate(second):
            if block.id not in found:
                before = [one.id for one in second[:place]]
                at = next((found.index(one) + 1 for one in reversed(before) if one in found), 0)
                found.insert(at, block.id)
        return found

    def _is_wanted(self, key: str, sentence: str, block_id: str, is_conflict: bool = False) -> bool:
        is_accepted = self._decisions.get(key, not is_conflict)
        self.points.append(Point(key, sentence, block_id, is_conflict, is_accepted))
        return is_accepted


def _named(block: Block) -> str:
    """What a block is called in a sentence; words by how they begin."""
    if isinstance(block, Drill | DifficultyMap):
        return declared_of(block).title
    name = _NAMES.get(type(block), "the block")
    return f"{name} {_quoted(block.text)}" if isinstance(block, Note | Heading) else name


def _quoted(text: str) -> str:
    plain = " ".join(text.replace("*", "").split())
    if len(plain) <= _LONGEST_QUOTE:
        return f"“{plain}”"
    cut = plain[: _LONGEST_QUOTE + 1]
    return f"“{cut[: cut.rfind(' ')] if ' ' in cut else cut[:-1]} …”"


def _label(value: Any, name: str) -> str:
    """What a setting is called in the form."""
    if isinstance(value, Declared) and name in value.declared():
        return value.declared()[name].label.lower()
    return _HOUSE.get(name, name.replace("_", " "))


def _said(value: Any) -> str:
    """A value in a sentence, short."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None:
        return "none"
    if isinstance(value, HandProfile):
        return f"{value.right_span:.0f} mm right and {value.left_span:.0f} mm left"
    if isinstance(value, LabelStyle):
        return f"{value.major_seventh} {value.minor} {value.half_diminished} {value.diminished} {value.numerals}"
    if isinstance(value, tuple | frozenset | list):
        return _joined(value) or "none"
    plain = getattr(value, "value", value)
    text = " ".join(str(plain).split())
    return f"“{text[:40]}…”" if len(text) > 41 else text


def _joined(values: Iterable[Any]) -> str:
    words = [_said(value) for value in values]
    return ", ".join(words[:8]) + (" …" if len(words) > 8 else "")
