"""The dots of chords: each in a space of its own. Units are the engraver's.

A note in a space keeps its dot there; one on a line has it in the space above, or below where that is taken. The
engraver moves the dots of a close chord up together, out of the spaces of their notes.
"""

from __future__ import annotations

from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.ink import Ink


def set_dots(ink: Ink) -> None:
    """Set the dots of every chord with one dot to a note."""
    owned: dict[str, list[int]] = {}
    for place, name in enumerate(ink.dot_owners):
        if name[:1] == "c":
            owned.setdefault(name, []).append(place)
    if not owned:
        return
    heads: dict[str, list[tuple[int, int]]] = {}
    for sign in ink.signs:
        if sign.kind == "notehead" and sign.name[:1] == "e":
            event, _, rest = sign.name.partition(".")
            tail = rest.find("t")
            chord = f"c{event[1:]}{rest[tail:] if tail >= 0 else ''}"
            if chord in owned:
                heads.setdefault(chord, []).append((sign.y, sign.staff))
    for name, places in owned.items():
        notes = sorted(heads.get(name, ()))
        if len(notes) != len(places) or len({ink.dots[place][0] for place in places}) != 1:
            continue
        top_line = ink.staves[notes[0][1]][2][0]
        for place, y in zip(places, _heights([y for y, _ in notes], top_line), strict=True):
            x, _, radius = ink.dots[place]
            ink.dots[place] = (x, y, radius)


def _heights(notes: list[int], top_line: int) -> list[int]:
    """The heights of the dots of notes, from the top."""
    taken = {y for y in notes if (y - top_line) % SPACE}
    for y in notes:
        if (y - top_line) % SPACE == 0:
            ways = (y - SPACE // 2, y + SPACE // 2, y - 3 * SPACE // 2, y + 3 * SPACE // 2)
            taken.add(next((way for way in ways if way not in taken), y - 5 * SPACE // 2))
    return sorted(taken)
