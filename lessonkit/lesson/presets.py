"""Presets: blocks that a teacher has saved under a name to use again. Names are unique whatever their case."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.lesson.lesson import Block, check_line, clean_line, new_block_id
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Preset:
    """A block under a name."""

    name: str
    block: Block

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise ValueError("a preset needs a name")
        check_line(self.name, "the name of a preset")

    def new_block(self) -> Block:
        """A copy of the block, ready to stand in a lesson."""
        return replace(self.block, id=new_block_id())


def with_preset(presets: tuple[Preset, ...], preset: Preset) -> tuple[Preset, ...]:
    """The presets with one more, in the order of their names; it takes the place of one with the same name."""
    return tuple(sorted((*without_preset(presets, preset.name), preset), key=lambda one: one.name.casefold()))


def without_preset(presets: tuple[Preset, ...], name: str) -> tuple[Preset, ...]:
    """The presets without the one of a name, if there is one."""
    return tuple(preset for preset in presets if preset.name.casefold() != name.casefold())


def renamed_preset(presets: tuple[Preset, ...], name: str, new_name: str) -> tuple[Preset, ...]:
    """The presets with one under another name; raises ValueError where the name is no name or taken.

    Raises KeyError where there is none of the old name.
    """
    old = next((preset for preset in presets if preset.name.casefold() == name.casefold()), None)
    if old is None:
        raise KeyError(name)
    renamed = replace(old, name=clean_line(new_name))
    others = without_preset(presets, name)
    if any(one.name.casefold() == renamed.name.casefold() for one in others):
        raise ValueError(f"there is a preset called “{renamed.name}” already; choose another name")
    return with_preset(others, renamed)
