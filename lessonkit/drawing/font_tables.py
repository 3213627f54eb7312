"""Builds what ships beside the fonts: our face of signs, and the table of advances. Run it by hand after a change.

``python -m lessonkit.drawing.font_tables`` needs fontTools and verovio's data; the program itself needs neither.
The signs are drawn after the Bravura outlines (SIL Open Font License), turned into text signs that stand beside
Source Serif at the same size: on its base line, a little taller than its capitals, with strokes that hold their own
beside its letters. They are cut twice, the second time as bold as the letters of headings.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

from lessonkit.drawing.fonts import FOLDER, font_file
from lessonkit.drawing.shapes import Face
from lessonkit.drawing.thickening import thickened

FAMILY = "Lessonkit Signs"
_UNITS = 1000
_CAPITAL = 670.0
"""The height of a capital of Source Serif in thousandths of an em."""

_ROUND = 0.5522847498
"""How far the handles of a quarter circle reach, in radii."""

_Draw = Callable[[Any, float], float]
"""Draws a sign's outlines with a fontTools pen, its strokes thicker by so many units, and answers its advance."""

_BOLDER = {Face.SIGNS: 0.0, Face.SIGNS_BOLD: 38.0}
"""How much thicker the strokes of each cut are."""


def _outline(
    code: str, high: float, *, middle: float, sides: tuple[float, float] = (45, 45), wider: float = 1.0,
    more: float = 8, share: float = 1.0,
) -> _Draw:  # fmt: skip
    """A glyph of the music font, so high and with its middle there, with air at its sides.

    Its strokes are thicker than in music by ``more``. To keep its white open it can be made ``wider``, and take a
    ``share`` only of what makes other signs bold.
    """

    def draw(pen: Any, bolder: float) -> float:
        from fontTools.pens.cu2quPen import Cu2QuPen
        from fontTools.pens.ttGlyphPen import TTGlyphPen
        from fontTools.svgLib.path import parse_path
        from fontTools.ttLib.tables._g_l_y_f import GlyphCoordinates

        bolder *= share
        plain = TTGlyphPen(None)
        parse_path(_music_outline(code), Cu2QuPen(plain, max_err=0.3, reverse_direction=False))
        glyph = plain.glyph()
        points = list(glyph.coordinates)
        starts = [0, *(end + 1 for end in glyph.endPtsOfContours)]
        thick = (more + bolder) / 2
        bottom, top = min(y for _, y in points), max(y for _, y in points)
        scale = (high - 2 * thick) / (top - bottom)
        across = scale * wider * (1 + bolder / 260)
        points = [(x * across, (y - (bottom + top) / 2) * scale + middle) for x, y in points]
        contours = thickened([points[start:end] for start, end in pairwise(starts)], thick)
        left = min(x for contour in contours for x, _ in contour)
        right = max(x for contour in contours for x, _ in contour)
        glyph.coordinates = GlyphCoordinates(
            [(round(x - left + sides[0]), round(y)) for contour in contours for x, y in contour]
        )
        glyph.draw(pen, None)
        return float(round(right - left + sum(sides)))

    return draw


def _music_outline(code: str) -> str:
    import verovio

    glyph = (Path(verovio.__file__).parent / "data" / "Bravura" / f"{code}.xml").read_text(encoding="utf-8")
    match = re.search(r' d="([^"]*)"', glyph)
    assert match is not None, f"the music font has no outline for {code}"
    return match[1]


def _circle(pen: Any, x: float, y: float, radius: float, *, is_hole: bool = False) -> None:
    """A full circle; a hole runs the other way round."""
    handle = radius * _ROUND
    turn = -1 if is_hole else 1
    corners = [(0, 1), (turn, 0), (0, -1), (-turn, 0)]
    pen.moveTo((x, y + radius))
    for (ax, ay), (bx, by) in zip(corners, [*corners[1:], corners[0]], strict=True):
        first = (x + ax * radius + bx * handle, y + ay * radius + by * handle)
        second = (x + bx * radius + ax * handle, y + by * radius + ay * handle)
        pen.curveTo(first, second, (x + bx * radius, y + by * radius))
    pen.closePath()


def _polygon(pen: Any, *points: tuple[float, float]) -> None:
    pen.moveTo(points[0])
    for point in points[1:]:
        pen.lineTo(point)
    pen.closePath()


def _box(pen: Any, left: float, bottom: float, right: float, top: float, *, is_hole: bool = False) -> None:
    points = [(left, bottom), (left, top), (right, top), (right, bottom)]
    _polygon(pen, *(reversed(points) if is_hole else points))


def _ring(pen: Any, x: float, y: float, radius: float, stroke: float) -> None:
    _circle(pen, x, y, radius)
    _circle(pen, x, y, radius - stroke, is_hole=True)


def _open_circle(pen: Any, bolder: float) -> float:
    _ring(pen, 340, 320, 290, 48 + bolder)
    return 680


def _full_circle(pen: Any, bolder: float) -> float:
    _circle(pen, 340, 320, 290)
    return 680


def _half_circle(pen: Any, bolder: float) -> float:
    _ring(pen, 340, 320, 290, 48 + bolder)
    radius, handle = 260, 260 * _ROUND
    pen.moveTo((340, 320 - radius))
    pen.curveTo((340 - handle, 320 - radius), (340 - radius, 320 - handle), (340 - radius, 320))
    pen.curveTo((340 - radius, 320 + handle), (340 - handle, 320 + radius), (340, 320 + radius))
    pen.closePath()
    return 680


def _open_square(pen: Any, bolder: float) -> float:
    _box(pen, 50, 30, 630, 610)
    inset = 44 + bolder
    _box(pen, 50 + inset, 30 + inset, 630 - inset, 610 - inset, is_hole=True)
    return 680


def _full_square(pen: Any, bolder: float) -> float:
    _box(pen, 50, 30, 630, 610)
    return 680


def _missing(pen: Any, bolder: float) -> float:
    _box(pen, 60, 0, 440, _CAPITAL)
    _box(pen, 94, 34, 406, _CAPITAL - 34, is_hole=True)
    return 500


def _degree(pen: Any, bolder: float) -> float:
    _ring(pen, 195, 515, 155, 58 + bolder)
    return 390


def _half_diminished(pen: Any, bolder: float) -> float:
    _ring(pen, 215, 495, 165, 56 + bolder)
    half = 3 + bolder / 2
    _polygon(pen, (32 - half, 282 + half), (364 - half, 726 + half), (398 + half, 708 - half), (66 + half, 264 - half))
    return 430


def _triangle(pen: Any, bolder: float) -> float:
    _polygon(pen, (25, 0), (335, _CAPITAL), (645, 0))
    # The inner edges of the sides lie a stroke's width within, those of its foot as well.
    stroke = 56 + bolder
    _polygon(pen, (25 + 1.48 * stroke, stroke), (645 - 1.48 * stroke, stroke), (335, _CAPITAL - 2.32 * stroke))
    return 670


def _minus(pen: Any, bolder: float) -> float:
    _box(pen, 55, 303 - bolder / 2, 505, 363 + bolder / 2)
    return 560


def _stem(pen: Any, bolder: float) -> float:
    """Stands on the notehead before it, so it moves nothing on."""
    _box(pen, -130 - bolder, 95, -105, 730)
    return 0


def _nothing(pen: Any, bolder: float) -> float:
    return 250


SIGNS: dict[str, tuple[str, _Draw]] = {
    " ": ("space", _nothing),
    "♭": ("flat", _outline("E260", 745, middle=358, sides=(52, 58))),
    "♯": ("sharp", _outline("E262", 745, middle=345, sides=(45, 58), wider=1.06, share=0.8)),
    "♮": ("natural", _outline("E261", 745, middle=345, sides=(52, 52), wider=1.15, more=0, share=0.75)),
    "𝄪": ("double_sharp", _outline("E263", 380, middle=335, more=0, share=0.6)),
    "𝄫": ("double_flat", _outline("E264", 745, middle=358, sides=(52, 58))),
    "°": ("degree", _degree),
    "ø": ("half_diminished", _half_diminished),
    "Δ": ("triangle", _triangle),
    "△": ("white_triangle", _triangle),
    "−": ("minus", _minus),
    "♩": ("quarter_note", _outline("E1D5", 752, middle=372, sides=(40, 105))),
    "♪": ("eighth_note", _outline("E1D7", 752, middle=372, sides=(40, 60))),
    "\U0001d15d": ("whole_note", _outline("E1D2", 196, middle=95, sides=(40, 105))),
    "\U0001d15e": ("half_note", _outline("E1D3", 752, middle=372, sides=(40, 105))),
    "\U0001d157": ("void_notehead", _outline("E0A3", 190, middle=95, sides=(40, 105))),
    "\U0001d165": ("combining_stem", _stem),
    "○": ("open_circle", _open_circle),
    "●": ("full_circle", _full_circle),
    "◐": ("half_circle", _half_circle),
    "□": ("open_square", _open_square),
    "■": ("full_square", _full_square),
}
"""Each sign with its glyph's name and how it is drawn."""


def build_signs(face: Face) -> None:
    """Write a cut of our face of signs."""
    from fontTools.fontBuilder import FontBuilder
    from fontTools.pens.cu2quPen import Cu2QuPen
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    is_bold = face is Face.SIGNS_BOLD
    style = "Bold" if is_bold else "Regular"
    drawn: dict[str, tuple[Any, int]] = {}
    for name, draw in ((".notdef", _missing), *SIGNS.values()):
        pen = TTGlyphPen(None)
        advance = draw(Cu2QuPen(pen, max_err=0.5, reverse_direction=False), _BOLDER[face])
        drawn[name] = pen.glyph(), int(advance)
    builder = FontBuilder(_UNITS, isTTF=True)
    builder.setupGlyphOrder(list(drawn))
    builder.setupCharacterMap({ord(sign): name for sign, (name, _) in SIGNS.items()})
    builder.setupGlyf({name: glyph for name, (glyph, _) in drawn.items()})
    edges = {name: getattr(glyph, "xMin", 0) for name, (glyph, _) in drawn.items()}
    builder.setupHorizontalMetrics({name: (advance, edges[name]) for name, (_, advance) in drawn.items()})
    builder.setupHorizontalHeader(ascent=1036, descent=-335)
    builder.setupOS2(
        sTypoAscender=750, sTypoDescender=-250, usWinAscent=1036, usWinDescent=335,
        sCapHeight=670, sxHeight=475, fsType=0,
    )  # fmt: skip
    builder.font["OS/2"].usWeightClass = 700 if is_bold else 400
    builder.font["OS/2"].fsSelection = 0x20 if is_bold else 0x40
    builder.font["head"].macStyle = 1 if is_bold else 0
    notice = "Drawn after outlines of Bravura, copyright (c) Steinberg Media Technologies GmbH (SIL Open Font License)."
    builder.setupNameTable(
        {
            "copyright": notice,
            "familyName": FAMILY,
            "styleName": style,
            "uniqueFontIdentifier": f"{FAMILY} {style} 2",
            "fullName": f"{FAMILY} Bold" if is_bold else FAMILY,
            "psName": f"LessonkitSigns-{style}",
            "version": "Version 2.000",
            "licenseDescription": "This Font Software is licensed under the SIL Open Font License, Version 1.1.",
            "licenseInfoURL": "https://openfontlicense.org",
        }
    )
    builder.setupPost()
    # A fixed date makes the same outlines the same bytes.
    builder.font["head"].created = builder.font["head"].modified = 3_850_000_000
    builder.font.recalcTimestamp = False
    builder.save(font_file(face))


def table_of_advances() -> dict[str, dict[str, object]]:
    """For each face its units an em, and its advances as spans of neighbouring code points; 0 is the missing sign."""
    from fontTools.ttLib import TTFont

    table: dict[str, dict[str, object]] = {}
    for face in Face:
        with TTFont(font_file(face)) as font:
            units, widths, names = font["head"].unitsPerEm, font["hmtx"].metrics, font.getBestCmap()
        found = {0: widths[".notdef"][0]} | {code: widths[name][0] for code, name in names.items() if code}
        spans: list[tuple[int, list[int]]] = []
        for code, width in sorted(found.items()):
            if spans and spans[-1][0] + len(spans[-1][1]) == code:
                spans[-1][1].append(width)
            else:
                spans.append((code, [width]))
        table[face.value] = {"units": units, "spans": spans}
    return table


def build_table() -> None:
    """Write the table of advances; a test holds that it still agrees with the fonts."""
    text = json.dumps(table_of_advances(), separators=(",", ":"))
    (FOLDER / "advances.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    for cut in _BOLDER:
        build_signs(cut)
    build_table()
