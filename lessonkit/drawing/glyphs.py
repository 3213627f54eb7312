"""Outlines of the music font, by SMuFL code point. Units: 1/1000 of the font size; y grows downwards.

The outlines are Bravura's, as verovio ships them; ``glyphs.json`` beside this file holds those that pages use.
``python -m lessonkit.drawing.glyphs`` writes that file anew, and a test holds the two equal.
"""

from __future__ import annotations

import json
import re
from functools import cache, lru_cache
from pathlib import Path
from typing import TypedDict

from lessonkit.drawing.shapes import Box, Command

UNITS = 1000
"""Units of an outline to one font size; a font size is four staff spaces."""

_STORE = Path(__file__).with_name("glyphs.json")

_USED = (
    (0x266D, 0x266F),  # accidentals among letters
    (0xE043, 0xE04B), (0xE050, 0xE07F), (0xE080, 0xE09F),  # repeat dots, clefs, time signatures
    (0xE0A0, 0xE0A4), (0xE1D0, 0xE1E7), (0xE240, 0xE24F),  # noteheads, single notes, flags
    (0xE4A0, 0xE4A5),  # accents, staccato, tenuto
    (0xE260, 0xE26B), (0xE4C0, 0xE4C0), (0xE4E2, 0xE4EA),  # accidentals and their brackets, fermata, rests
    (0xE510, 0xE53B), (0xE630, 0xE63F), (0xE650, 0xE659),  # octave lines, dynamics, pedal
    (0xE870, 0xE874), (0xE880, 0xE88A), (0xEAA9, 0xEAAE), (0xECA0, 0xECB7),  # chord signs, tuplets, rolls, tempo
)  # fmt: skip


class _Stored(TypedDict):
    box: list[float]
    advance: float
    path: str


@cache
def outline(code: int) -> tuple[Command, ...]:
    """The outline of a glyph as absolute path steps; raises ValueError for a code that is not kept."""
    return path_commands(_stored(code)["path"], -1.0)


@cache
def glyph_box(code: int) -> Box:
    """The ink's rectangle around the glyph's origin; raises ValueError for a code that is not kept."""
    x, y, width, height = _stored(code)["box"]
    return Box(x, -y - height, x + width, -y)


@cache
def advance(code: int) -> float:
    """How far the pen moves on after the glyph; raises ValueError for a code that is not kept."""
    return _stored(code)["advance"]


@lru_cache(maxsize=1)
def codes() -> tuple[int, ...]:
    """The code points whose outlines are kept, in order."""
    return tuple(sorted(_read()))


_TOKEN = re.compile(r"[A-Za-z]|-?(?:\d+\.?\d*|\.\d+)")
_NUMBERS_OF = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Z": 0}


def path_commands(text: str, y_sign: float = 1.0) -> tuple[Command, ...]:
    """The steps of a path written as SVG writes them (M L H V C S Z, small letters relative), made absolute.

    ``y_sign`` is -1 where the path's y grows upwards. Raises ValueError for steps of another kind.
    """
    tokens = _TOKEN.findall(text)
    commands: list[Command] = []
    x = y = start_x = start_y = turn_x = turn_y = 0.0
    at, step = 0, "M"
    while at < len(tokens):
        if tokens[at].isalpha():
            step = tokens[at]
            at += 1
        kind = step.upper()
        if kind not in _NUMBERS_OF:
            raise ValueError(f"a path holds the step {step!r}; only M, L, H, V, C, S and Z can be drawn")
        count = _NUMBERS_OF[kind]
        numbers = [float(token) for token in tokens[at : at + count]]
        at += count
        from_x, from_y = (x, y) if step.islower() else (0.0, 0.0)
        if kind == "Z":
            commands.append(("Z", ()))
            x, y = start_x, start_y
        elif kind in "ML":
            x, y = from_x + numbers[0], from_y + numbers[1]
            commands.append((kind, (x, y_sign * y)))
            if kind == "M":
                start_x, start_y = x, y
                step = "l" if step == "m" else "L"
        elif kind == "H":
            x = from_x + numbers[0]
            commands.append(("L", (x, y_sign * y)))
        elif kind == "V":
            y = from_y + numbers[0]
            commands.append(("L", (x, y_sign * y)))
        else:
            if kind == "S":
                numbers = [2 * x - turn_x - from_x, 2 * y - turn_y - from_y, *numbers]
            x1, y1, turn_x, turn_y = from_x + numbers[0], from_y + numbers[1], from_x + numbers[2], from_y + numbers[3]
            x, y = from_x + numbers[4], from_y + numbers[5]
            commands.append(("C", (x1, y_sign * y1, turn_x, y_sign * turn_y, x, y_sign * y)))
        if kind not in "CS":
            turn_x, turn_y = x, y
    return tuple(commands)


def gathered() -> dict[str, _Stored]:
    """The outlines that pages use, read from verovio's own data; takes about a tenth of a second."""
    import verovio

    folder = Path(verovio.__path__[0]) / "data"
    table = (folder / "Bravura.xml").read_text(encoding="utf-8")
    found: dict[str, _Stored] = {}
    for code_text, attributes in re.findall(r'<g c="([0-9A-F]+)" ([^>]*)>', table):
        code = int(code_text, 16)
        source = folder / "Bravura" / f"{code_text}.xml"
        if any(low <= code <= high for low, high in _USED) and source.exists():
            numbers = dict(re.findall(r'([a-z-]+)="(-?[\d.]+)"', attributes))
            path = re.search(r' d="([^"]*)"', source.read_text(encoding="utf-8"))
            found[code_text] = {
                "box": [float(numbers[name]) for name in ("x", "y", "w", "h")],
                "advance": float(numbers["h-a-x"]),
                "path": path[1] if path else "",
            }
    return dict(sorted(found.items()))


@lru_cache(maxsize=1)
def _read() -> dict[int, _Stored]:
    stored: dict[str, _Stored] = json.loads(_STORE.read_text(encoding="utf-8"))
    return {int(code, 16): item for code, item in stored.items()}


def _stored(code: int) -> _Stored:
    try:
        return _read()[code]
    except KeyError:
        raise ValueError(f"the glyph U+{code:04X} is not kept; add it to the ranges in glyphs.py") from None


def _write() -> None:
    lines = ",\n".join(f"{json.dumps(code)}: {json.dumps(item)}" for code, item in gathered().items())
    _STORE.write_text("{\n" + lines + "\n}\n", encoding="utf-8")


if __name__ == "__main__":
    _write()
