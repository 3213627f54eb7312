"""What a worksheet leaves blank, in the words of the form. A family says which of these make sense for it."""

from __future__ import annotations

from enum import Enum
from typing import Any

from lessonkit.drills import fields
from lessonkit.drills.exercise import Blank


class Worksheet(Enum):
    """What is left blank for the student to fill in."""

    NOTHING = "nothing"
    CHORD_NAMES = "chord names"
    DEGREES = "degrees"
    NAMES_AND_DEGREES = "chord names and degrees"
    NOTES = "notes"
    RIGHT_HAND = "right hand"
    FINGERS = "fingers"

    @property
    def blank(self) -> frozenset[Blank]:
        """The same as the exercise says it."""
        if self is Worksheet.NAMES_AND_DEGREES:
            return frozenset({Blank.CHORD_NAMES, Blank.DEGREES})
        return frozenset() if self is Worksheet.NOTHING else frozenset({Blank(self.value)})

    @property
    def asks_for_notes(self) -> bool:
        """Whether notes are to be written, of one hand at least."""
        return self in (Worksheet.NOTES, Worksheet.RIGHT_HAND)

    @property
    def words(self) -> str:
        """For a summary: ``notes to fill in``; empty where nothing is left blank."""
        if self is Worksheet.NOTHING:
            return ""
        what = "the right hand" if self is Worksheet.RIGHT_HAND else self.value
        return f"{what} to fill in"


EVERY_BLANK = tuple(Worksheet)
"""For drills on chords: names and degrees can be asked for as well as notes."""

LINE_BLANKS = (Worksheet.NOTHING, Worksheet.NOTES, Worksheet.FINGERS)
"""For lines and scales over one chord, whose name tells nothing."""


def worksheet_setting(**more: Any) -> Any:
    """A field for what is left blank; every family asks for it in the same words."""
    return fields.choice(
        Worksheet.NOTHING, label="Left blank", group="Worksheet", help="The answers stand on a page of their own.",
        **more,
    )  # fmt: skip
