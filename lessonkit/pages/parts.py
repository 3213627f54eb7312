"""What a block comes to on a page: parts from top to bottom, none of which is ever cut."""

from __future__ import annotations

from enum import Enum

from lessonkit.drawing.shapes import Drawing
from lessonkit.values import dataclass


class Turn(Enum):
    """How well a page can be turned behind a part."""

    FREE = "nothing is being played"
    REST = "a rest, a held note or a repeat"
    BUSY = "both hands play on"


@dataclass(frozen=True, slots=True)
class Part:
    """One drawing that is never cut: a line of a note, a caption, a system.

    ``above`` is the space it wants above it, except at the top of a page; ``keeps`` holds it on one page with the
    part that follows, of this block or the next. ``outline`` and ``level`` are set for a heading; ``after`` says how
    a page can be turned behind it, ``parting`` how much of a page may rather stay empty than ending it there.
    """

    drawing: Drawing
    above: float = 0.0
    keeps: bool = False
    outline: str = ""
    level: int = 0
    after: Turn = Turn.FREE
    parting: float = 0.0


@dataclass(frozen=True, slots=True)
class BlockDrawing:
    """A block as parts from top to bottom; ``is_break`` asks for a new page instead.

    ``is_half`` is set for one part of half the width, which may stand beside the next block's; ``is_foot`` for what is
    kept at the foot of the page. ``x`` is how far from the left of the text the parts stand; ``side`` is another form
    of a heading, for the column beside the note that follows it.
    """

    parts: tuple[Part, ...] = ()
    is_break: bool = False
    is_half: bool = False
    is_foot: bool = False
    x: float = 0.0
    side: Part | None = None
