"""How a lesson's pages look: how its drills are engraved, and the letters in which its words are set."""

from __future__ import annotations

from enum import Enum

from lessonkit.engraving.look import Look
from lessonkit.pages.style import GUTTER, NARROWEST, NORMAL, SIDE, Letters
from lessonkit.values import dataclass


class Reading(Enum):
    """How a drill is shown to those who do not read staves yet, or are to do without."""

    STAFF = "staff"
    LETTERS = "letters"
    PICTURES = "pictures"
    SYMBOLS = "symbols"


@dataclass(frozen=True, slots=True)
class PageLook(Look):
    """The look of the engraving, which knows the width of the text, with the letters around it."""

    letters: Letters = NORMAL
    reading: Reading = Reading.STAFF
    tells_key: bool = True
    """Whether the head says the key and the tempo, which not everybody reads."""
    copy: str = ""
    """Whose copy it is, as every head says; the drawings of blocks know nothing of it."""

    @property
    def prose_width(self) -> float:
        """The longest line of prose."""
        return min(self.width - self.side, self.letters.longest_line)

    @property
    def side(self) -> float:
        """The column of headings at the left; none on small papers and in large print."""
        scale = self.letters.scale if self.letters.scale > 1 else 1.0
        return SIDE * scale if self.width >= NARROWEST * scale else 0.0

    @property
    def half_width(self) -> float:
        """The width of what stands beside something else."""
        return (self.width - GUTTER) / 2
