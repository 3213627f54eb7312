"""Draws pictures of the keyboard: held keys in grey with their letters as spelled, finger numbers above them.

The picture reads without colour: keys that are held are grey, whether black or white, and carry their letter.
"""

from __future__ import annotations

from dataclasses import replace

from lessonkit.drawing.shapes import Box, Face, Rect
from lessonkit.drawing.text_width import text_width
from lessonkit.hands.keyboard import WHITE_KEY_MM, centre_mm, is_black
from lessonkit.lesson.shown import Keyboard, Keyboards, PressedKey
from lessonkit.pages.sketch import Sketch
from lessonkit.theory.label_style import LabelStyle

WHITE, HIGH = 15.0, 52.0
"""A white key in points."""

BLACK, BLACK_HIGH = 9.6, 32.0
"""A black key; it is drawn a little wider than it is, so that letters fit."""

BETWEEN = 20.0
SMALLEST = 0.72
"""How far pictures may shrink to stand on one line."""

HELD = 0.78
_STARTS, _ENDS = (0, 5), (4, 11)
"""A picture begins at C or F and ends at E or B, where no black key is cut."""


def draw_keyboards(shown: Keyboards, sketch: Sketch) -> None:
    """Pictures in a row, as many to a line as fit."""
    style, scale = sketch.look.letters.aid, sketch.scale
    x, lowest = sketch.left, sketch.y
    ranges = [_range(picture.pressed) for picture in shown.pictures]
    widths = [_x_of(high, low) + WHITE for low, high in ranges]
    # A few pictures that are a little too wide for one line are made a little smaller.
    gaps = BETWEEN * (len(widths) - 1)
    together = (sketch.room / scale - gaps) / sum(widths)
    in_one_row = together if SMALLEST <= together < 1 else 1.0
    for picture, (low, high), width in zip(shown.pictures, ranges, widths, strict=True):
        shrink = min(in_one_row, sketch.room / (width * scale))
        unit = scale * shrink
        if x > sketch.left and x + width * unit > sketch.right + 0.01:
            x, sketch.y = sketch.left, lowest + 6 * scale
        line = sketch.set(picture.name, style, sketch.room)[0]
        told = _told(picture, sketch.setting.label_style)
        with sketch.piece("figure", words=f"keyboard, {line.text}: {told}"):
            sketch.line(line, style, x, sketch.y)
            _put(picture, sketch, x, sketch.y + style.leading, low, high, unit)
        lowest = max(lowest, sketch.y + style.leading + style.leading + HIGH * unit)
        x += max(width * unit, line.width) + BETWEEN * scale
    sketch.y = lowest + 2 * scale


def _range(pressed: tuple[PressedKey, ...]) -> tuple[int, int]:
    """The lowest and the highest key of a picture: an octave or more around what is held."""
    low = min(key.pitch.midi for key in pressed)
    high = max(key.pitch.midi for key in pressed)
    while low % 12 not in _STARTS:
        low -= 1
    high = max(high, low + 11)
    while high % 12 not in _ENDS:
        high += 1
    return low, high


def _x_of(midi: int, low: int) -> float:
    """The left edge of a key, in points from the lowest one's."""
    middle = (centre_mm(midi) - centre_mm(low)) / WHITE_KEY_MM * WHITE + WHITE / 2
    return middle - (BLACK if is_black(midi) else WHITE) / 2


def _put(picture: Keyboard, sketch: Sketch, x: float, y: float, low: int, high: int, unit: float) -> None:
    """One picture whose left upper corner, fingers included, is at (x, y)."""
    held = {key.pitch.midi: key for key in picture.pressed}
    said = len(sketch.words)
    letters = sketch.look.letters
    finger_style = replace(letters.small, tone=0.0, size=min(letters.small.size, 11 * unit))
    top = y + letters.aid.leading
    for black in (False, True):
        for midi in range(low, high + 1):
            if is_black(midi) is not black:
                continue
            left, width = x + _x_of(midi, low) * unit, (BLACK if black else WHITE) * unit
            height = (BLACK_HIGH if black else HIGH) * unit
            key = held.get(midi)
            fill = HELD if key is not None else 0.08 if black else 1.0
            sketch.shapes.append(Rect(left, top, width, height, fill, 0.6, 0.15, 0.8))
            if key is None:
                continue
            sketch.mark("key", key.pitch.ascii, Box(left, top, left + width, top + height), str(key.finger or ""))
            middle = left + width / 2
            if key.finger is not None:
                sketch.text(str(key.finger), finger_style, middle, y + letters.aid.leading - finger_style.leading,
                            align=0.5)  # fmt: skip
            if picture.shows_letters:
                _letter(
                    sketch.setting.label_style.note(key.pitch.name),
                    sketch,
                    middle,
                    top + height - 3.5 * unit,
                    width - 1.0,
                    unit,
                )
    sketch.words[said:] = [_told(picture, sketch.setting.label_style)]


def _told(picture: Keyboard, style: LabelStyle) -> str:
    """What is held, from the lowest key up, not in the order of drawing."""
    told = (f"{style.pitch(key.pitch)}{f' with {key.finger}' if key.finger else ''}" for key in picture.pressed)
    return f"held are {', '.join(told)}"


def _letter(name: str, sketch: Sketch, middle: float, base: float, width: float, unit: float) -> None:
    """A note's name on its key, as large as fits."""
    size = 8.5 * unit
    natural = text_width(name, Face.SANS_BOLD, size)
    size *= min(1.0, width / natural)
    style = replace(
        sketch.look.letters.small, size=size, leading=size, tone=0.0, regular=Face.SANS_BOLD, bold=Face.SANS_BOLD
    )
    sketch.text(name, style, middle, base - style.base_line, align=0.5)
