"""The shapes of the files: plain structs with a bound on every number, text and list. Meaning begins in ``blocks.py``.

The order of the fields is the order in the file. Nothing here may change once it is shipped except by a new version.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Raw, Struct, field

from lessonkit.hands.profile import LEAST_SPAN_MM, MOST_SPAN_MM
from lessonkit.lesson.lesson import (
    DEEPEST_HEADING,
    FASTEST,
    HIGHEST_SPACE,
    LARGEST_STAFF,
    LONGEST_CAUTION,
    LONGEST_LINE,
    LONGEST_NOTE,
    LOWEST_SPACE,
    MOST_BLOCKS,
    SLOWEST,
    SMALLEST_STAFF,
    USUAL_STAFF,
)
from lessonkit.lesson.letterhead import MOST_BYTES
from lessonkit.theory.label_style import PLAIN_STYLE

LARGEST_FILE = 16 * 1024 * 1024
"""The most bytes of a file that is read."""

MOST_PRESETS = 2000
"""The most presets in their file."""

LARGEST_LETTERHEAD = (MOST_BYTES + 2) // 3 * 4
"""The most characters of a picture that is written in base64 (RFC 4648)."""

Line = Annotated[str, Meta(max_length=LONGEST_LINE)]
NoteLine = Annotated[str, Meta(max_length=LONGEST_NOTE)]
Text = NoteLine | Annotated[list[NoteLine], Meta(max_length=LONGEST_NOTE + 1)]
"""A text that can have several lines: one string, or, so that changes can be followed line by line, a list of lines."""

Id = Annotated[str, Meta(pattern=r"\A[A-Za-z0-9_-]{1,40}\Z")]
Face = Annotated[str, Meta(max_length=20)]


class HeadingShape(Struct, tag="heading", tag_field="kind", forbid_unknown_fields=True):
    """A heading."""

    id: Id
    level: Annotated[int, Meta(ge=1, le=DEEPEST_HEADING)]
    text: Line


class NoteShape(Struct, tag="note", tag_field="kind", forbid_unknown_fields=True):
    """A note."""

    id: Id
    text: Text
    for_teacher: bool = False


class DrillShape(Struct, tag="drill", tag_field="kind", forbid_unknown_fields=True):
    """A drill of any family; what its settings may be is the family's to say."""

    id: Id
    family: Line
    drill: Raw


class DifficultyMapShape(Struct, tag="difficulty map", tag_field="kind", forbid_unknown_fields=True):
    """A difficulty map; what its settings may be is the map's to say."""

    id: Id
    map: dict[str, Raw]


class AidShape(Struct, tag="aid", tag_field="kind", forbid_unknown_fields=True):
    """An aid of any kind; what its settings may be is the aid's to say."""

    id: Id
    aid: Line
    settings: Raw


class SpaceShape(Struct, tag="space", tag_field="kind", forbid_unknown_fields=True):
    """Empty space; the height in millimetres."""

    id: Id
    height: Annotated[int, Meta(ge=LOWEST_SPACE, le=HIGHEST_SPACE)]


class PageBreakShape(Struct, tag="page break", tag_field="kind", forbid_unknown_fields=True):
    """A page break."""

    id: Id


BlockShape = HeadingShape | NoteShape | DrillShape | DifficultyMapShape | AidShape | SpaceShape | PageBreakShape


class LabelStyleShape(Struct, forbid_unknown_fields=True):
    """The faces of chord qualities."""

    half_diminished: Face
    major_seventh: Face
    minor: Face
    diminished: Face
    numerals: Face = PLAIN_STYLE.numerals
    notes: Literal["english", "german", "syllables"] = "english"


Span = Annotated[int, Meta(ge=int(LEAST_SPAN_MM), le=int(MOST_SPAN_MM))]
Strength = Annotated[int, Meta(ge=0, le=3)]


class HandsShape(Struct, forbid_unknown_fields=True):
    """The player's hands: spans in millimetres, strengths of the preferences."""

    right_span: Span = 205
    left_span: Span = 205
    keep_thumb_off_black: Strength = 1
    keep_little_finger_off_black: Strength = 1
    avoid_stretches: bool = False


class HouseShape(Struct, forbid_unknown_fields=True):
    """The words, spellings and hands of a lesson; what has a default is missing in the first files."""

    label_style: LabelStyleShape
    prefers_flats_at_six: bool
    is_friendly: bool
    hands: HandsShape = field(default_factory=HandsShape)
    starts_black_with_second: bool = False
    shows_difficulty: bool = False
    caution: Annotated[str, Meta(max_length=LONGEST_CAUTION)] = ""
    fingers: Literal["all", "first group", "changes only", "none"] | None = None
    staff_tenths: Annotated[int, Meta(ge=SMALLEST_STAFF, le=LARGEST_STAFF)] = USUAL_STAFF
    is_close: bool = False
    is_two_sided: bool = True
    letterhead: Annotated[str, Meta(max_length=LARGEST_LETTERHEAD)] = ""


class LessonShape(Struct, forbid_unknown_fields=True):
    """A lesson."""

    format: Literal["lesson"]
    version: Literal[1]
    title: Line
    aims: Text
    author: Line
    key: Annotated[str, Meta(max_length=20)]
    tempo: Annotated[int, Meta(ge=SLOWEST, le=FASTEST)]
    paper: Literal["a4", "letter", "a4 or letter", "a5", "a3"]
    house: HouseShape
    blocks: Annotated[list[BlockShape], Meta(max_length=MOST_BLOCKS)]


class PresetShape(Struct, forbid_unknown_fields=True):
    """A block under a name."""

    name: Line
    block: BlockShape


class PresetsShape(Struct, forbid_unknown_fields=True):
    """All presets of a teacher."""

    format: Literal["lesson presets"]
    version: Literal[1]
    presets: Annotated[list[PresetShape], Meta(max_length=MOST_PRESETS)]


class RecoveryShape(Struct, forbid_unknown_fields=True):
    """A lesson that is open, with where it was opened from and when this was written (seconds since 1970)."""

    format: Literal["lesson recovery"]
    version: Literal[1]
    path: Annotated[str, Meta(max_length=4096)]
    written: Annotated[int, Meta(ge=0, le=2**40)]
    lesson: LessonShape
    beside: Raw = Raw(b"null")
    """What stands beside the lesson in its file, as that file would have it."""


class HeaderShape(Struct):
    """What every file says of itself first; the rest is not looked at."""

    format: Line
    version: Annotated[int, Meta(ge=1, le=2**31)]
