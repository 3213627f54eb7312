"""How a lesson's pages look: how its drills are engraved, and the letters in which its words are set."""

from __future__ import annotations

from dataclasses import dataclass

from lessonkit.engraving.look import Look
from lessonkit.pages.style import GUTTER, NORMAL, Letters


@dataclass(frozen=True, slots=True)
class PageLook(Look):
    """The look of the engraving, which knows the width of the text, with the letters around it."""

    letters: Letters = NORMAL

    @property
    def prose_width(self) -> float:
        """The longest line of prose."""
        return min(self.width, self.letters.longest_line)

    @property
    def half_width(self) -> float:
        """The width of what stands beside something else."""
        return (self.width - GUTTER) / 2
