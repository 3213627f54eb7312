"""What an aid shows, as data: words, steps, tables, keys of the piano. How it is drawn is decided in ``pages``.

Texts may hold live words in braces. Nothing here knows sizes.
"""

from __future__ import annotations

from enum import Enum

from lessonkit.lesson.prose import Span
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

SPACED = "\N{NO-BREAK SPACE}" * 3
"""Between the notes of a row in a table, which stays one line."""


class Room(Enum):
    """What a cell leaves for the pencil."""

    LINE = "a line to write on"
    BOX = "a box to tick"
    MARKS = "0 1 2 3, one to be ringed"
    NOTHING = "nothing"


Cell = tuple[Span, ...] | Room
"""A cell of a table: words, or room for the pencil."""


@dataclass(frozen=True, slots=True)
class Fields:
    """Labels with what was filled in, or a line to write on; ``has_page_number`` ends the row with the page's."""

    title: str
    pairs: tuple[tuple[str, str], ...]
    has_page_number: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """Prose; ``is_large`` sets it as large as aims are, ``is_quiet`` as small as remarks are.

    ``is_heading`` heads what follows it in the aid.
    """

    text: str
    is_large: bool = False
    is_quiet: bool = False
    is_heading: bool = False


@dataclass(frozen=True, slots=True)
class Steps:
    """A list, numbered or with a box before each item."""

    items: tuple[str, ...]
    has_boxes: bool = False


@dataclass(frozen=True, slots=True)
class Ladder:
    """Marks of the metronome with boxes; the first and the last are ringed."""

    beat: str
    marks: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class StripCell:
    """One of a row of keys: its name, whether it is today's, what stands below it, and how many boxes to tick."""

    name: str
    is_filled: bool
    below: tuple[str, ...] = ()
    boxes: int = 0


@dataclass(frozen=True, slots=True)
class Strip:
    """A row of keys; ``signature`` is the key whose signature is drawn small before it."""

    cells: tuple[StripCell, ...]
    signature: Key | None = None
    before: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells below their heads."""

    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True)
class Lines:
    """Empty lines to write on."""

    count: int


@dataclass(frozen=True, slots=True)
class PressedKey:
    """A key of the piano that is held, by the note as it is spelled, with its finger where one is shown."""

    pitch: Pitch
    finger: int | None = None


@dataclass(frozen=True, slots=True)
class Keyboard:
    """A piece of the keyboard with the keys that are held, under a name."""

    name: tuple[Span, ...]
    pressed: tuple[PressedKey, ...]
    shows_letters: bool = True


@dataclass(frozen=True, slots=True)
class Keyboards:
    """Pictures of the keyboard in a row."""

    pictures: tuple[Keyboard, ...]


@dataclass(frozen=True, slots=True)
class Foot:
    """The last line of a page: small words, and perhaps a line of 50 mm to check the printer's scale by."""

    words: str
    has_scale: bool


@dataclass(frozen=True, slots=True)
class SpelledNote:
    """What one hand strikes at a moment, in letters, with the fingers below; ``chord`` is named above where it begins.

    ``column`` counts the moments of the bar at which either hand strikes: what sounds together stands together.
    """

    letters: str
    fingers: str = ""
    chord: tuple[Span, ...] = ()
    column: int = 0


@dataclass(frozen=True, slots=True)
class SpelledHand:
    """The notes of one hand in a bar; ``name`` says which hand where there are two."""

    name: str
    notes: tuple[SpelledNote, ...]


@dataclass(frozen=True, slots=True)
class SpelledBar:
    """A bar in letters, hand below hand; ``heading`` is the key that begins here, which begins a row.

    ``groups`` are the columns that stand a little apart from the one before.
    """

    label: str
    hands: tuple[SpelledHand, ...]
    heading: str = ""
    groups: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Spelled:
    """Some bars in letters, ``among`` all those of the drill, with which they share their columns."""

    bars: tuple[SpelledBar, ...]
    among: tuple[SpelledBar, ...]


@dataclass(frozen=True, slots=True)
class Staves:
    """One line of empty music: a staff for each clef ("" for none), in a key's signature, with so many bars."""

    clefs: tuple[str, ...]
    signature: Key | None
    bars: int


Shown = Fields | Text | Steps | Ladder | Strip | Table | Lines | Keyboards | Spelled | Foot | Staves
KINDS_SHOWN: tuple[type, ...] = (Fields, Text, Steps, Ladder, Strip, Table, Lines, Keyboards, Spelled, Foot, Staves)
"""Every kind of thing that an aid can show; the table of drawings is tested to be whole against it."""
