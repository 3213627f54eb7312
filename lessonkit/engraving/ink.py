"""The engraver's SVG read into lists of ink, one system at a time. Units are the SVG's: 180 to a staff space.

Only what verovio writes for our MEI is understood, and that in one pass: the last group that was opened says what the
ink after it belongs to. Ids are those of ``mei``.
"""

from __future__ import annotations

import re
from dataclasses import field
from typing import NamedTuple

from lessonkit.values import dataclass

new = tuple.__new__
"""Makes a named tuple of all its parts in less than half the time; a page makes thousands."""


class Sign(NamedTuple):
    """A glyph with its origin, the group it stands in and the id that the group or the note around it bears."""

    code: int
    x: int
    y: int
    scale: float
    kind: str
    name: str
    staff: int


class Stroke(NamedTuple):
    """A straight line and the group it stands in."""

    x1: int
    y1: int
    x2: int
    y2: int
    width: int
    kind: str


@dataclass(slots=True)
class Ink:
    """One system as read: its staves (left, right, the heights of their lines), signs, strokes, curves and beams."""

    staves: list[tuple[int, int, list[int]]] = field(default_factory=list)
    signs: list[Sign] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    curves: list[tuple[str, int, str]] = field(default_factory=list)
    polygons: list[tuple[tuple[int, ...], str]] = field(default_factory=list)
    beams: list[int] = field(default_factory=list)
    """The first polygon of each beam with all that runs along it."""
    dots: list[tuple[int, int, int]] = field(default_factory=list)
    dot_owners: list[str] = field(default_factory=list)
    """The note, chord or rest of each dot."""
    rolls: list[list[Sign]] = field(default_factory=list)
    bar_lines: list[tuple[str, list[Stroke]]] = field(default_factory=list)
    bars: list[tuple[int, int]] = field(default_factory=list)
    """The bars of the system: number and left edge."""
    rooms: dict[int, int] = field(default_factory=dict)
    """Where the label of each chord mark begins, measured to the middle of the head under it."""


_TOKEN = re.compile(
    # A note with its head and, where it is alone, its stem in one go; and a staff with its five lines: most of the ink.
    r'<g id="(e\d+\.\d+(?:t\d+)?)" class="note"><g class="notehead">'
    r'<use href="#(\w+)-\w+" transform="translate\((-?\d+), (-?\d+)\) scale\(([\d.]+), [\d.]+\)"/></g>'
    r'(?:<g id="\w+" class="stem"><path d="M(-?\d+) (-?\d+) L(-?\d+) (-?\d+)" stroke-width="(\d+)"/></g>)?'
    r'|<g id="\w+" class="staff"><path d="M(-?\d+) (-?\d+) L(-?\d+) [^>]*>(?:<path d="M-?\d+ (-?\d+) L[^>]*>){4}'
    r'|<g (?:id="([^"]*)" )?class="([a-zA-Z]+)[^/>]*>'
    r'|<use href="#(\w+)-\w+" transform="translate\((-?\d+), (-?\d+)\) scale\(([\d.]+)'
    r'|<path d="M(-?\d+) (-?\d+) L(-?\d+) (-?\d+)" stroke-width="(\d+)"'
    r'|<path d="(M-?\d+,[^"]*)" stroke-width="(\d+)'
    r'|<polygon points="([^"]*)"'
    r'|<ellipse cx="(-?\d+)" cy="(-?\d+)" rx="(\d+)"'
    r'|<polyline stroke-width="(\d+)"[^>]*? points="([^"]*)"'
)

# The number of the last group of each form, which tells the form of a match, and with it the groups of its parts.
_HEAD, _NOTE, _STAFF, _GROUP, _USE, _STROKE, _CURVE = 5, 10, 14, 16, 20, 25, 27
_POLYGON, _ELLIPSE, _POLYLINE = 28, 31, 33
_NOTES = frozenset({_HEAD, _NOTE})
_NOTE_PARTS, _STAFF_PARTS, _GROUP_PARTS = tuple(range(1, 11)), tuple(range(11, 15)), (15, 16)
_USE_PARTS, _STROKE_PARTS, _ELLIPSE_PARTS = tuple(range(17, 21)), tuple(range(21, 26)), (29, 30, 31)

_OF_A_NOTE = frozenset({"notehead", "accid", "stem", "flag", "dots", "artic"})
_CARRIERS = frozenset({"note", "rest", "chord"})
_NUMBER = re.compile(r"-?\d+")


class _Codes(dict[str, int]):
    """The numbers of glyphs as the engraver writes them; a system has many of few."""

    def __missing__(self, text: str) -> int:
        code = self[text] = int(text, 16)
        return code


class _Scales(dict[str, float]):
    """Likewise their sizes."""

    def __missing__(self, text: str) -> float:
        scale = self[text] = float(text)
        return scale


def numbers_of(path: str) -> list[int]:
    """The numbers of a path, such as a slur's: across and down in turn."""
    return list(map(int, _NUMBER.findall(path)))


def with_numbers(path: str, numbers: list[int]) -> str:
    """A path with other numbers in the places of its own, as many as it has."""
    moved = iter(numbers)
    return _NUMBER.sub(lambda _: str(next(moved)), path)


def systems_of(svg: str) -> list[Ink]:
    """Every system of an SVG, from the top."""
    found: list[Ink] = []
    ink = Ink()
    kind = name = ""
    staff = -1
    is_hidden = False
    note_name = ""
    codes, scales = _Codes(), _Scales()
    notes, parts = _NOTES, re.Match.group
    add_sign = ink.signs.append
    add_stroke = ink.strokes.append
    for match in _TOKEN.finditer(svg, max(svg.find("</style>"), 0)):
        last = match.lastindex
        if last in notes:
            note_name, code, x, y, scale, x1, y1, x2, y2, width = parts(match, *_NOTE_PARTS)
            name, kind, is_hidden = note_name, "note", False
            add_sign(new(Sign, (codes[code], int(x), int(y), scales[scale], "notehead", note_name, staff)))
            if x1 is not None:
                add_stroke(new(Stroke, (int(x1), int(y1), int(x2), int(y2), int(width), "stem")))
        elif last == _STAFF:
            staff += 1
            name, kind, is_hidden = "", "staff", False
            _extend_staff(ink, staff, *map(int, match.group(*_STAFF_PARTS)))
        elif last == _GROUP:
            name, kind = match.group(*_GROUP_PARTS)
            if kind in _OF_A_NOTE:
                continue
            if kind in _CARRIERS:
                note_name = name or ""
                is_hidden = note_name[:1] == "h"
            elif kind == "measure":
                staff = -1
                is_hidden = False
                ink.bars.append((int(name[1:]), 0))
            elif kind == "system":
                ink = Ink()
                found.append(ink)
                add_sign = ink.signs.append
                add_stroke = ink.strokes.append
                is_hidden = False
            elif kind == "barLine":
                is_hidden = False
                ink.bar_lines.append((str(ink.bars[-1][0]) if ink.bars else "", []))
            elif kind == "arpeg":
                ink.rolls.append([])
                is_hidden = False
            elif kind == "beam":
                ink.beams.append(len(ink.polygons))
            elif kind != "tuplet":
                is_hidden = False
        elif is_hidden:
            continue
        elif last == _USE:
            code, x, y, scale = match.group(*_USE_PARTS)
            owner = note_name if kind in _OF_A_NOTE else name or ""
            sign = new(Sign, (codes[code], int(x), int(y), scales[scale], kind, owner, staff))
            if kind == "arpeg":
                ink.rolls[-1].append(sign)
            else:
                add_sign(sign)
        elif last == _STROKE:
            x1, y1, x2, y2, width = map(int, match.group(*_STROKE_PARTS))
            if kind == "barLine":
                ink.bar_lines[-1][1].append(Stroke(x1, y1, x2, y2, width, kind))
            else:
                add_stroke(new(Stroke, (x1, y1, x2, y2, width, kind)))
        elif last == _CURVE:
            ink.curves.append((match.group(_CURVE - 1), int(match.group(_CURVE)), kind))
        elif last == _POLYGON:
            ink.polygons.append((tuple(numbers_of(match.group(_POLYGON))), kind))
        elif last == _ELLIPSE:
            if kind == "dots":
                x, y, radius = map(int, match.group(*_ELLIPSE_PARTS))
                ink.dots.append((x, y, radius))
                ink.dot_owners.append(note_name)
        elif last == _POLYLINE:
            width = int(match.group(_POLYLINE - 1))
            points = numbers_of(match.group(_POLYLINE))
            for at in range(0, len(points) - 2, 2):
                add_stroke(Stroke(points[at], points[at + 1], points[at + 2], points[at + 3], width, kind))
    return found


def _extend_staff(ink: Ink, staff: int, left: int, top: int, right: int, bottom: int) -> None:
    """Bars write their own piece of each staff line; the pieces become one line."""
    if staff == len(ink.staves):
        ink.staves.append((left, right, list(range(top, bottom + 1, (bottom - top) // 4))))
    elif right > ink.staves[staff][1]:
        start, _, heights = ink.staves[staff]
        ink.staves[staff] = (start, right, heights)
    if staff == 0 and ink.bars and not ink.bars[-1][1]:
        ink.bars[-1] = (ink.bars[-1][0], left)
