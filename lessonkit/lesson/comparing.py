"""What differs between two lessons, in sentences a teacher reads: blocks that came, went, moved or were changed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from lessonkit.drills.declared import Declared
from lessonkit.lesson.change import change_between
from lessonkit.lesson.edits import declared_of
from lessonkit.lesson.lesson import Block, DifficultyMap, Drill, Heading, Lesson, Note
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Difference:
    """One sentence, and the block in either lesson that it is about; empty where it is the lesson's head."""

    sentence: str
    block_id: str = ""


def differences(before: Lesson, after: Lesson, name_of: Callable[[Block], str]) -> tuple[Difference, ...]:
    """What one has to do to make the second lesson of the first; ``name_of`` calls a block by its kind.

    Blocks are the same where their ids are; what was copied into another lesson under new ids is told as new.
    """
    return tuple(_differences(before, after, name_of))


def _differences(before: Lesson, after: Lesson, name_of: Callable[[Block], str]) -> Iterator[Difference]:
    for words, old, new in (
        ("Title", before.title, after.title),
        ("Aims", before.aims, after.aims),
        ("Teacher", before.author, after.author),
        ("Key", str(before.key), str(after.key)),
        ("Tempo", str(before.tempo), str(after.tempo)),
        ("Paper", before.paper.value, after.paper.value),
    ):
        if old != new:
            yield Difference(f"{words}: {_short(old)} → {_short(new)}")
    if before.house != after.house:
        yield Difference("Spelling, chord symbols, hands or other settings of the lesson differ")
    change = change_between(before, after)
    for name in change.removed:
        yield Difference(f"Only in the first: {_told(before.block(name), name_of)}", name)
    for name in change.added:
        yield Difference(f"Only in the second: {_told(after.block(name), name_of)}", name)
    for name in change.changed:
        old_block, new_block = before.block(name), after.block(name)
        yield Difference(f"{name_of(new_block)}: {_how(old_block, new_block)}", name)
    for name in change.moved:
        place = after.place_of(name) + 1
        yield Difference(f"{_told(after.block(name), name_of)} stands elsewhere, now as block {place}", name)


def _how(before: Block, after: Block) -> str:
    """How a block differs."""
    if isinstance(before, Drill | DifficultyMap) and isinstance(after, Drill | DifficultyMap):
        old, new = declared_of(before), declared_of(after)
        if type(old) is type(new):
            return ", ".join(_settings(old, new))
    if isinstance(before, Note | Heading) and isinstance(after, Note | Heading) and before.text != after.text:
        return f"“{_short(before.text)}” → “{_short(after.text)}”"
    return "changed"


def _settings(before: Declared, after: Declared) -> Iterator[str]:
    for name, param in after.declared().items():
        old, new = getattr(before, name), getattr(after, name)
        if old != new:
            yield f"{param.label.lower()} {_value(param.plain(old))} → {_value(param.plain(new))}"


def _value(plain: Any) -> str:
    if plain is None:
        return "as usual"
    if isinstance(plain, bool):
        return "yes" if plain else "no"
    return _short(", ".join(map(str, plain)) or "none") if isinstance(plain, list) else _short(str(plain))


def _told(block: Block, name_of: Callable[[Block], str]) -> str:
    words = _short(block.text) if isinstance(block, Note | Heading) else ""
    return f"{name_of(block)} “{words}”" if words else name_of(block)


def _short(text: str, most: int = 48) -> str:
    line = " ".join(text.split())
    return line if len(line) <= most else line[: most - 1].rstrip() + "…"
