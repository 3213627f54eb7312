"""A key signature small enough for a button: five lines and the accidentals where the treble clef puts them."""

from __future__ import annotations

from functools import lru_cache

from lessonkit.drawing.shapes import Drawing, Glyph, Line, Shape
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName

_FLAT, _SHARP = 0xE260, 0xE262
_STEPS = {"F#": 8, "C#": 5, "G#": 9, "D#": 6, "A#": 3, "E#": 7, "B#": 4}
_STEPS |= {"Bb": 4, "Eb": 7, "Ab": 3, "Db": 6, "Gb": 2, "Cb": 5, "Fb": 1}
"""How many staff steps above the lowest line each accidental stands (common practice, no source)."""


@lru_cache(maxsize=64)
def signature_drawing(names: tuple[NoteName, ...], space: float, width: float) -> Drawing:
    """The altered notes of a key on a staff with so many points between its lines, in the middle of a width."""
    shapes: list[Shape] = [
        Line(0, (2 + line) * space, width, (2 + line) * space, 0.25 * space, 0.65) for line in range(5)
    ]
    advance = space * (1.2 if names and names[0].alteration > 0 else 1.05)
    x = (width - advance * len(names)) / 2
    for name in names:
        y = (6 - _STEPS[name.ascii] / 2) * space
        shapes.append(Glyph(_SHARP if name.alteration > 0 else _FLAT, x, y, 4 * space))
        x += advance
    return Drawing(width, 8 * space, tuple(shapes))


def signature_of(key: Key, space: float, width: float) -> Drawing:
    """The signature of a key."""
    return signature_drawing(key.signature_names, space, width)
