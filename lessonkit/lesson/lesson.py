"""A lesson: a notebook of blocks in one key. Everything is frozen; changing a lesson makes another one."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

from lessonkit.drills.family import DrillFamily
from lessonkit.drills.setting import Setting
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle

SLOWEST, FASTEST = 20, 300
"""The tempos a lesson can have, in quarter notes a minute."""

MOST_BLOCKS = 2000
"""The most blocks in one lesson."""


class Paper(Enum):
    """The paper a lesson is printed on; sizes are in ``pages/paper.py``."""

    A4 = "a4"
    LETTER = "letter"


def new_block_id() -> str:
    """A short name for a new block, not used by any other for all practical purposes."""
    return secrets.token_hex(4)


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; level 1 is the larger, 2 the smaller."""

    text: str
    level: int = 1
    id: str = field(default_factory=new_block_id)


@dataclass(frozen=True, slots=True)
class Note:
    """Prose in Markdown (emphasis, lists, headings, links as text) with live music words in braces."""

    text: str
    id: str = field(default_factory=new_block_id)


@dataclass(frozen=True, slots=True)
class Drill:
    """A drill; ``family`` is the drill itself with all its settings."""

    family: DrillFamily
    id: str = field(default_factory=new_block_id)


@dataclass(frozen=True, slots=True)
class UnknownDrill:
    """A drill of a family that this program does not know: kept as it was found, shown as a grey block.

    ``settings`` holds the JSON text of its settings, so that nothing is lost when the lesson is saved again.
    """

    code: str
    settings: str
    id: str = field(default_factory=new_block_id)


@dataclass(frozen=True, slots=True)
class Space:
    """Empty space of a height in millimetres, for writing into."""

    height: int = 20
    id: str = field(default_factory=new_block_id)


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows starts on a new page."""

    id: str = field(default_factory=new_block_id)


Block = Heading | Note | Drill | UnknownDrill | Space | PageBreak


@dataclass(frozen=True, slots=True)
class House:
    """The words and spellings a teacher has chosen for a lesson."""

    label_style: LabelStyle = field(default_factory=LabelStyle)
    prefers_flats_at_six: bool = True
    is_friendly: bool = False


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson: what stands at its head, its key, and its blocks in order. ``tempo`` in quarter notes a minute."""

    title: str = "New lesson"
    aims: str = ""
    author: str = ""
    key: Key = Key.parse("C")
    tempo: int = 72
    paper: Paper = Paper.A4
    house: House = House()
    blocks: tuple[Block, ...] = ()

    def __post_init__(self) -> None:
        if not SLOWEST <= self.tempo <= FASTEST:
            raise ValueError(f"a tempo of {self.tempo} is not between {SLOWEST} and {FASTEST} beats a minute")
        if len({block.id for block in self.blocks}) != len(self.blocks):
            raise ValueError("two blocks of the lesson share one id")

    @property
    def setting(self) -> Setting:
        """The surroundings in which the lesson's drills are worked out."""
        house = self.house
        return Setting(self.key, house.label_style, house.prefers_flats_at_six, house.is_friendly, self.tempo)

    def block(self, block_id: str) -> Block:
        """The block of an id; raises KeyError where there is none."""
        for block in self.blocks:
            if block.id == block_id:
                return block
        raise KeyError(block_id)

    def place_of(self, block_id: str) -> int:
        """The place of a block among the blocks, 0 first; raises KeyError where there is none."""
        for place, block in enumerate(self.blocks):
            if block.id == block_id:
                return place
        raise KeyError(block_id)


KINDS: tuple[type[Any], ...] = (Heading, Note, Drill, UnknownDrill, Space, PageBreak)
"""Every kind of block; the tables of storage and pages are tested to be whole against it."""
