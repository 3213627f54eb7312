"""Builds what ships beside the fonts: our face of signs, and the table of advances. Run it by hand after a change.

``python -m lessonkit.drawing.font_tables`` needs fontTools and verovio's data; the program itself needs neither.
The signs are drawn after the Bravura outlines (SIL Open Font License), turned into text signs that stand beside
Source Serif at the same size: on its base line, as tall as its capitals.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from lessonkit.drawing.fonts import FOLDER, font_file
from lessonkit.drawing.shapes import Face

FAMILY = "Lessonkit Signs"
_UNITS = 1000
_CAPITAL = 670.0
"""The height of a capital of Source Serif in thousandths of an em."""

_ROUND = 0.5522847498
"""How far the handles of a quarter circle reach, in radii."""

_Draw = Callable[[Any], float]
"""Draws a sign's outlines with a fontTools pen, and answers its advance."""


def _outline(
    code: str, scale: float, *, low: float | None = None, middle: float | None = None, side: float = 35
) -> _Draw:
    """A glyph of the music font scaled, its lowest point at ``low`` or its middle at the height ``middle``."""

    def draw(pen: Any) -> float:
        from fontTools.pens.boundsPen import BoundsPen
        from fontTools.pens.recordingPen import RecordingPen
        from fontTools.pens.transformPen import TransformPen
        from fontTools.svgLib.path import parse_path

        recording, bounds = RecordingPen(), BoundsPen(None)
        parse_path(_music_outline(code), recording)
        recording.replay(bounds)
        left, bottom, right, top = bounds.bounds
        up = low - bottom * scale if low is not None else (middle or 0) - (bottom + top) / 2 * scale
        recording.replay(TransformPen(pen, (scale, 0, 0, scale, side - left * scale, up)))
        return float(round((right - left) * scale + 2 * side))

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


def _open_circle(pen: Any) -> float:
    _ring(pen, 340, 320, 290, 48)
    return 680


def _full_circle(pen: Any) -> float:
    _circle(pen, 340, 320, 290)
    return 680


def _half_circle(pen: Any) -> float:
    _ring(pen, 340, 320, 290, 48)
    radius, handle = 260, 260 * _ROUND
    pen.moveTo((340, 320 - radius))
    pen.curveTo((340 - handle, 320 - radius), (340 - radius, 320 - handle), (340 - radius, 320))
    pen.curveTo((340 - radius, 320 + handle), (340 - handle, 320 + radius), (340, 320 + radius))
    pen.closePath()
    return 680


def _open_square(pen: Any) -> float:
    _box(pen, 50, 30, 630, 610)
    _box(pen, 94, 74, 586, 566, is_hole=True)
    return 680


def _full_square(pen: Any) -> float:
    _box(pen, 50, 30, 630, 610)
    return 680


def _missing(pen: Any) -> float:
    _box(pen, 60, 0, 440, _CAPITAL)
    _box(pen, 94, 34, 406, _CAPITAL - 34, is_hole=True)
    return 500


def _degree(pen: Any) -> float:
    _ring(pen, 195, 515, 155, 52)
    return 390


def _half_diminished(pen: Any) -> float:
    _ring(pen, 215, 495, 165, 50)
    _polygon(pen, (32, 282), (364, 726), (398, 708), (66, 264))
    return 430


def _triangle(pen: Any) -> float:
    _polygon(pen, (25, 0), (335, _CAPITAL), (645, 0))
    _polygon(pen, (108, 56), (562, 56), (335, 540))
    return 670


def _minus(pen: Any) -> float:
    _box(pen, 55, 305, 505, 361)
    return 560


def _stem(pen: Any) -> float:
    """Stands on the notehead before it, so it moves nothing on."""
    _box(pen, -61, 95, -38, 730)
    return 0


def _nothing(pen: Any) -> float:
    return 250


SIGNS: dict[str, tuple[str, _Draw]] = {
    " ": ("space", _nothing),
    "♭": ("flat", _outline("E260", 1.12, low=-14, side=32)),
    "♯": ("sharp", _outline("E262", 0.96, middle=_CAPITAL / 2, side=42)),
    "♮": ("natural", _outline("E261", 1.0, middle=_CAPITAL / 2)),
    "𝄪": ("double_sharp", _outline("E263", 1.25, middle=300)),
    "𝄫": ("double_flat", _outline("E264", 1.12, low=-14, side=32)),
    "°": ("degree", _degree),
    "ø": ("half_diminished", _half_diminished),
    "Δ": ("triangle", _triangle),
    "△": ("white_triangle", _triangle),
    "−": ("minus", _minus),
    "♩": ("quarter_note", _outline("E1D5", 0.74, low=-4, side=40)),
    "♪": ("eighth_note", _outline("E1D7", 0.74, low=-4, side=40)),
    "\U0001d15d": ("whole_note", _outline("E1D2", 0.74, low=-4, side=40)),
    "\U0001d15e": ("half_note", _outline("E1D3", 0.74, low=-4, side=40)),
    "\U0001d157": ("void_notehead", _outline("E0A3", 0.74, low=-4, side=40)),
    "\U0001d165": ("combining_stem", _stem),
    "○": ("open_circle", _open_circle),
    "●": ("full_circle", _full_circle),
    "◐": ("half_circle", _half_circle),
    "□": ("open_square", _open_square),
    "■": ("full_square", _full_square),
}
"""Each sign with its glyph's name and how it is drawn."""


def build_signs() -> None:
    """Write our face of signs."""
    from fontTools.fontBuilder import FontBuilder
    from fontTools.pens.cu2quPen import Cu2QuPen
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    drawn: dict[str, tuple[Any, int]] = {}
    for name, draw in ((".notdef", _missing), *SIGNS.values()):
        pen = TTGlyphPen(None)
        advance = draw(Cu2QuPen(pen, max_err=0.5, reverse_direction=False))
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
    notice = "Drawn after outlines of Bravura, copyright (c) Steinberg Media Technologies GmbH (SIL Open Font License)."
    builder.setupNameTable(
        {
            "copyright": notice,
            "familyName": FAMILY,
            "styleName": "Regular",
            "uniqueFontIdentifier": f"{FAMILY} 1",
            "fullName": FAMILY,
            "psName": "LessonkitSigns-Regular",
            "version": "Version 1.000",
            "licenseDescription": "This Font Software is licensed under the SIL Open Font License, Version 1.1.",
            "licenseInfoURL": "https://openfontlicense.org",
        }
    )
    builder.setupPost()
    # A fixed date makes the same outlines the same bytes.
    builder.font["head"].created = builder.font["head"].modified = 3_850_000_000
    builder.font.recalcTimestamp = False
    builder.save(font_file(Face.SIGNS))


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
    build_signs()
    build_table()
