"""Draws empty staves to write on: five lines with clef, signature and bar lines as the engraving has them."""

from __future__ import annotations

from lessonkit.drawing.glyphs import UNITS, advance
from lessonkit.drawing.shapes import Box, Glyph, Line, Path
from lessonkit.lesson.shown import Staves
from lessonkit.pages.figures import signature_signs
from lessonkit.pages.paper import MILLIMETRE
from lessonkit.pages.sketch import Sketch
from lessonkit.theory.key import Key

LEAST_STAFF = 7.5 * MILLIMETRE
"""A hand writes no smaller; in half the width no larger either, so that all lines fit on the page."""

STAFF_LINE, BAR_LINE = 1 / 12, 0.16
"""How thick lines are, in staff spaces; small staves and large print have thicker ones."""

ABOVE, BETWEEN, BELOW = 0.7, 1.6, 0.7
"""Room for ledger lines above, between the staves of two hands, and below, in heights of a staff."""

_CLEFS = {"treble": (0xE050, 1.0, 0), "bass": (0xE062, 3.0, 2)}
"""A clef's glyph, the line on which it stands in spaces from the lowest, and how many steps lower its accidentals."""


def draw_staves(shown: Staves, sketch: Sketch) -> None:
    """One line of music to be written, as wide as there is room."""
    wanted = max(LEAST_STAFF, sketch.look.staff_points)
    high = wanted if sketch.width >= sketch.look.width else min(wanted, LEAST_STAFF * sketch.scale)
    brace = 0.3 * high if len(shown.clefs) > 1 else 0.0
    left, top = sketch.left + brace, sketch.y + ABOVE * high
    tops = [top + place * (1 + BETWEEN) * high for place in range(len(shown.clefs))]
    bottom = tops[-1] + high
    said = _told(shown, sketch)
    with sketch.piece("figure", words=said):
        begins = [
            _put_staff(clef, shown.signature, sketch, left, one, high)
            for clef, one in zip(shown.clefs, tops, strict=True)
        ]
        thick = BAR_LINE * high / 4 * sketch.look.weight
        if brace:
            sketch.shapes.append(_brace(sketch.left, brace * 0.72, top, bottom))
            sketch.shapes.append(Line(left, top, left, bottom, thick))
        width = (sketch.right - max(begins)) / max(1, shown.bars)
        for bar in range(1, shown.bars + 1):
            # The last one stands wholly within the staff.
            x = max(begins) + bar * width - (thick / 2 if bar == shown.bars else 0.0)
            sketch.shapes.append(Line(x, top, x, bottom, thick))
    sketch.mark("empty staff", said, Box(sketch.left, top, sketch.right, bottom), said)
    sketch.words.append(said)
    sketch.y = bottom + BELOW * high


def _told(shown: Staves, sketch: Sketch) -> str:
    clefs = " and ".join(clef for clef in shown.clefs if clef)
    said = ["empty staff to write on" if len(shown.clefs) == 1 else "two empty staves to write on"]
    said += [f"{clefs} clef"] if clefs else []
    said += [sketch.setting.label_style.key(shown.signature)] if shown.signature else []
    said += [f"{shown.bars} bars" if shown.bars > 1 else "one bar"] if shown.bars else []
    return ", ".join(said)


def _put_staff(clef: str, signature: Key | None, sketch: Sketch, x: float, top: float, high: float) -> float:
    """Five lines with clef and signature; answers where they end."""
    space, weight = high / 4, sketch.look.weight
    for line in range(5):
        y = top + line * space
        sketch.shapes.append(Line(x, y, sketch.right, y, STAFF_LINE * space * weight))
    x += 0.6 * space
    if not clef:
        return x
    code, stands, lower = _CLEFS[clef]
    sketch.shapes.append(Glyph(code, x, top + high - stands * space, high))
    x += advance(code) / UNITS * high + 0.6 * space
    if signature is None:
        return x
    sign, steps = signature_signs(signature)
    for step in steps:
        sketch.shapes.append(Glyph(sign, x, top + high - (step - lower) * space / 2, high))
        x += 1.05 * space
    return x + 0.6 * space


def _brace(x: float, width: float, top: float, bottom: float) -> Path:
    """A brace before the staves of two hands, its tip at the middle of its left side."""
    middle, half, right = (top + bottom) / 2, (bottom - top) / 2, x + width

    def arc(side: float) -> tuple[tuple[str, tuple[float, ...]], ...]:
        """From the outer end to the tip and back; above where ``side`` is -1."""
        end = middle + side * half
        out = (x - 0.1 * width, middle + side * 0.62 * half, x + 0.95 * width, middle + side * 0.28 * half, x, middle)
        back = (x + 1.35 * width, middle + side * 0.26 * half, x + 0.3 * width, middle + side * 0.66 * half, right, end)
        return (("M", (right, end)), ("C", out), ("C", back), ("Z", ()))

    return Path((*arc(-1.0), *arc(1.0)))
