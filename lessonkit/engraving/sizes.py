"""How large things are that we set ourselves, for a staff's height. Units are the engraver's, 180 to a staff space.

Large print is no plain enlargement: figures and dots grow more than the notes, lines grow thicker, names less, and the
room between the notes is less, so that a bar stays within the eye's reach.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.lettering import SERIF, Lettering
from lessonkit.engraving.look import Look

_LEAST_DIGIT = 6.8
"""No digit is printed smaller than this many points, whatever the staff: smaller ones are not read at the piano."""


class Sizes(NamedTuple):
    """The sizes and faces of letters, in the engraver's units; the rest are factors of what the engraver draws."""

    finger: float = 1.5 * SPACE
    """Digits are about one space high."""
    name: float = 2.4 * SPACE
    degree: float = 2.0 * SPACE
    label: float = 2.2 * SPACE
    number: float = 1.7 * SPACE
    """Of a bar's number."""
    weight: float = 1.0
    """How much thicker lines are."""
    dot: float = 1.0
    loudness: float = 1.0
    room: float = 1.0
    """How much of their usual room the notes take."""
    faces: Lettering = SERIF


@lru_cache(maxsize=64)
def sizes_of(look: Look) -> Sizes:
    """The sizes that go with a look."""
    usual, more = Sizes(), look.enlargement
    least = _LEAST_DIGIT * 4 * SPACE / look.staff_points
    return Sizes(
        finger=max(usual.finger * (1 + 0.3 * more), least),
        name=usual.name * (1 - 0.2 * more),
        degree=usual.degree * (1 - 0.1 * more),
        label=usual.label * (1 - 0.2 * more),
        weight=look.weight,
        dot=1 + 0.25 * more,
        loudness=1 + 0.15 * more,
        room=1 - 0.2 * more,
        faces=look.lettering,
    )
