"""A lesson: a notebook of blocks in one key. Everything is frozen; changing a lesson makes another one."""

from __future__ import annotations

import os
import re
from dataclasses import field
from enum import Enum
from typing import Any, ClassVar

from lessonkit.drills.chord_map import ChordMap
from lessonkit.drills.exercise import FingersShown
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.setting import Setting
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson.letterhead import Letterhead
from lessonkit.lesson.page_aid import PageAid
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass

SLOWEST, FASTEST = 20, 300
"""The tempos a lesson can have, in quarter notes a minute."""

MOST_BLOCKS = 2000
"""The most blocks in one lesson."""

C_MAJOR = Key.parse("C")
"""The key that a new lesson begins in."""

LONGEST_LINE = 300
"""The most characters in a title, an author's name, a heading or the name of a preset."""

LONGEST_NOTE = 50_000
"""The most characters in a note or in the aims."""

LONGEST_CAUTION = 500
"""The most characters in the line of care at the foot of a handout."""

DEEPEST_HEADING = 2
"""Headings have the levels 1 and 2."""

SMALLEST_STAFF, LARGEST_STAFF, USUAL_STAFF = 60, 160, 70
"""The heights that a staff can have, and the one for readers, in tenths of a millimetre (common practice)."""

LOWEST_SPACE, HIGHEST_SPACE = 1, 250
"""The heights a space can have, in millimetres; the highest still fits on a page."""


class Paper(Enum):
    """The paper a lesson is printed on; sizes are in ``pages/paper.py``."""

    A4 = "a4"
    LETTER = "letter"
    BOTH = "a4 or letter"
    """As wide as A4 and as high as Letter: printed at its own size it fits on either."""
    A5 = "a5"
    A3 = "a3"


def new_block_id() -> str:
    """A short name for a new block, not used by any other for all practical purposes."""
    return os.urandom(4).hex()


_NO_PLACE_IN_TEXT = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\u2028\u2029]")
_BLOCK_ID = re.compile("[A-Za-z0-9_-]{1,40}")


def clean_text(text: str) -> str:
    """What was typed or pasted as the lesson can keep it: lines end in a line feed, and characters that no page can
    show (control characters, half of a surrogate pair) are gone. A text over ``LONGEST_NOTE`` stays too long.
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").replace("\u2028", "\n").replace("\u2029", "\n\n")
    return _NO_PLACE_IN_TEXT.sub("", lines)


def clean_line(text: str) -> str:
    """What was typed or pasted as a single line: as ``clean_text``, with every stretch of blanks as one blank."""
    return " ".join(clean_text(text).split())


def check_text(text: str, what: str, longest: int = LONGEST_NOTE) -> None:
    """Raises ValueError with a sentence where a text is too long or holds what no page can show."""
    if len(text) > longest:
        raise ValueError(f"{what} of {len(text)} characters is longer than {longest}")
    bad = _NO_PLACE_IN_TEXT.search(text)
    if bad is not None:
        raise ValueError(f"{what} holds the character U+{ord(bad[0]):04X}, which cannot be printed; take it out")


def check_line(text: str, what: str) -> None:
    """Raises ValueError with a sentence where a text is not one line that can be printed."""
    check_text(text, what, LONGEST_LINE)
    if "\n" in text:
        raise ValueError(f"{what} is one line; take the line break out")


def _check_id(block_id: str) -> None:
    if _BLOCK_ID.fullmatch(block_id) is None:
        raise ValueError(f"{block_id[:41]!r} cannot name a block; a name has 1 to 40 letters, digits, - or _")


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; level 1 is the larger, 2 the smaller."""

    text: str
    level: int = 1
    id: str = field(default_factory=new_block_id)

    def __post_init__(self) -> None:
        _check_id(self.id)
        check_line(self.text, "a heading")
        if not 1 <= self.level <= DEEPEST_HEADING:
            raise ValueError(f"a heading of level {self.level} is not between 1 and {DEEPEST_HEADING}")


@dataclass(frozen=True, slots=True)
class Note:
    """Prose in Markdown (emphasis, lists, headings, links as text) with live music words in braces.

    One that is ``for_teacher`` is printed in the teacher's edition only.
    """

    text: str
    id: str = field(default_factory=new_block_id)
    for_teacher: bool = False

    def __post_init__(self) -> None:
        _check_id(self.id)
        check_text(self.text, "a note")


@dataclass(frozen=True, slots=True)
class Drill:
    """A drill; ``family`` is the drill itself with all its settings."""

    family: DrillFamily
    id: str = field(default_factory=new_block_id)

    def __post_init__(self) -> None:
        _check_id(self.id)


@dataclass(frozen=True, slots=True)
class _Unknown:
    """What another version of this program knows: kept as it was found, shown as a grey block.

    ``settings`` holds the JSON text of its settings, so that nothing is lost when the lesson is saved again.
    """

    code: str
    settings: str
    id: str = field(default_factory=new_block_id)

    _what: ClassVar[str]
    """What ``code`` is, as errors call it."""

    def __post_init__(self) -> None:
        _check_id(self.id)
        check_line(self.code, self._what)


@dataclass(frozen=True, slots=True)
class UnknownDrill(_Unknown):
    """A drill of a family that this program does not know."""

    _what: ClassVar[str] = "the name of a drill family"


@dataclass(frozen=True, slots=True)
class UnknownAid(_Unknown):
    """An aid that this program does not know."""

    _what: ClassVar[str] = "the name of an aid"


@dataclass(frozen=True, slots=True)
class DifficultyMap:
    """A table that shows where a chord lies well; ``map`` says which chord, in which keys and for which hand."""

    map: ChordMap = field(default_factory=ChordMap)
    id: str = field(default_factory=new_block_id)

    def __post_init__(self) -> None:
        _check_id(self.id)


@dataclass(frozen=True, slots=True)
class Aid:
    """What helps beside drills and words: a checklist, a log, a table; ``shows`` is the aid with all its settings."""

    shows: PageAid
    id: str = field(default_factory=new_block_id)

    def __post_init__(self) -> None:
        _check_id(self.id)


@dataclass(frozen=True, slots=True)
class Space:
    """Empty space of a height in millimetres, for writing into."""

    height: int = 20
    id: str = field(default_factory=new_block_id)

    def __post_init__(self) -> None:
        _check_id(self.id)
        if not LOWEST_SPACE <= self.height <= HIGHEST_SPACE:
            raise ValueError(f"a space of {self.height} mm is not between {LOWEST_SPACE} and {HIGHEST_SPACE} mm")


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows starts on a new page."""

    id: str = field(default_factory=new_block_id)

    def __post_init__(self) -> None:
        _check_id(self.id)


Block = Heading | Note | Drill | UnknownDrill | DifficultyMap | Aid | UnknownAid | Space | PageBreak


@dataclass(frozen=True, slots=True)
class House:
    """The words, spellings and hands a teacher has chosen for a lesson.

    ``hands`` are those of the player, in whole millimetres and whole strengths; ``starts_black_with_second`` and
    ``shows_difficulty`` and ``fingers`` are explained in ``Setting``. ``caution`` is the line of care at the foot of
    the handout; an empty one stands for the usual wording, so that it cannot be lost by accident.
    """

    label_style: LabelStyle = field(default_factory=LabelStyle)
    prefers_flats_at_six: bool = True
    is_friendly: bool = False
    hands: HandProfile = field(default_factory=HandProfile)
    starts_black_with_second: bool = False
    shows_difficulty: bool = False
    caution: str = ""
    fingers: FingersShown | None = None
    staff_tenths: int = USUAL_STAFF
    """Between the outer lines of a staff, in tenths of a millimetre."""
    is_close: bool = False
    """Whether everything stands a tenth closer on the page."""
    is_two_sided: bool = True
    """Whether it is printed on both sides of the paper, so that right-hand pages are turned."""

    letterhead: Letterhead | None = None
    """The picture at the head of the first page."""

    def __post_init__(self) -> None:
        check_text(self.caution, "the caution", LONGEST_CAUTION)
        if self.fingers is FingersShown.LESSON:
            raise ValueError("the fingers of a lesson cannot be as the lesson has them; leave them out or choose some")
        if not SMALLEST_STAFF <= self.staff_tenths <= LARGEST_STAFF:
            least, most = SMALLEST_STAFF / 10, LARGEST_STAFF / 10
            raise ValueError(f"a staff of {self.staff_tenths / 10:g} mm is not between {least:g} and {most:g} mm")
        if "\n" in self.caution:
            raise ValueError("the caution is one paragraph; take the line break out")
        for name in ("right_span", "left_span", "keep_thumb_off_black", "keep_little_finger_off_black"):
            number = getattr(self.hands, name)
            if number != int(number):
                raise ValueError(f"{name.replace('_', ' ')} is {number:g}; give a whole number")

    @property
    def staff_height(self) -> float:
        """Between the outer lines of a staff, in millimetres."""
        return self.staff_tenths / 10


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson: what stands at its head, its key, and its blocks in order. ``tempo`` in quarter notes a minute."""

    title: str = "New lesson"
    aims: str = ""
    author: str = ""
    key: Key = C_MAJOR
    tempo: int = 72
    paper: Paper = Paper.A4
    house: House = House()
    blocks: tuple[Block, ...] = ()

    def __post_init__(self) -> None:
        check_line(self.title, "a title")
        check_text(self.aims, "the aims")
        check_line(self.author, "an author's name")
        if not SLOWEST <= self.tempo <= FASTEST:
            raise ValueError(f"a tempo of {self.tempo} is not between {SLOWEST} and {FASTEST} beats a minute")
        if len(self.blocks) > MOST_BLOCKS:
            raise ValueError(f"{len(self.blocks)} blocks are more than {MOST_BLOCKS}; begin another lesson")
        if len({block.id for block in self.blocks}) != len(self.blocks):
            raise ValueError("two blocks of the lesson share one id")

    @property
    def setting(self) -> Setting:
        """The surroundings in which the lesson's drills are worked out."""
        house = self.house
        return Setting(
            self.key, house.label_style, house.prefers_flats_at_six, house.is_friendly, self.tempo,
            house.hands, house.starts_black_with_second, house.shows_difficulty, house.fingers,
        )  # fmt: skip

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


KINDS: tuple[type[Any], ...] = (
    Heading, Note, Drill, UnknownDrill, DifficultyMap, Aid, UnknownAid, Space, PageBreak,
)  # fmt: skip
"""Every kind of block; the tables of storage and pages are tested to be whole against it."""
