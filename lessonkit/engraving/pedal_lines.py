"""The pedal below a system and the words at its repeats, clear of everything that stands there already.

The pedal is a line from ``Ped.`` on, notched where it is taken anew and hooked up where it is left.
"""

from __future__ import annotations

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.drawing.shapes import Face
from lessonkit.drawing.text_width import text_width
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.furniture import Furniture, Head, Letters, Place, Rule
from lessonkit.engraving.ink import Ink, Sign
from lessonkit.engraving.playing_marks import PlayedWords
from lessonkit.engraving.skyline import Skyline

_PED = 0xE650
_PED_SCALE = 0.58
_LINE = 24
_NOTCH = 0.45 * SPACE
"""Half the width of the notch at which the pedal is taken anew."""

_HOOK = 0.8 * SPACE
_WORDS_SIZE = 1.9 * SPACE


def place_playing_words(
    furniture: Furniture, ink: Ink, heads: list[Head], played: PlayedWords, face: Face, sky: Skyline
) -> None:  # fmt: skip
    """Place the pedal lines of one system and the words at its repeats, in a face."""
    _place_times(furniture, ink, played, face, sky)
    if played.pedals and ink.bars:
        _place_pedals(furniture, ink, heads, played, sky)


def _place_times(furniture: Furniture, ink: Ink, played: PlayedWords, face: Face, sky: Skyline) -> None:
    """``play 3 times`` above a repeat that is not simply played twice, ending where the bar line stands."""
    # A bar that begins a repeat has a line of its own name at its left, too: the last one is its end.
    ends = {name: strokes for name, strokes in ink.bar_lines if strokes}
    for name, strokes in ends.items():
        times = played.times.get(name)
        if times is None:
            continue
        text = f"play {times} times"
        right = max(stroke.x1 for stroke in strokes)
        left = right - text_width(text, face, _WORDS_SIZE)
        # Slanting letters reach a little to the left of where they begin.
        base = min(sky.top(left - SPACE / 2, right), sky.top_line) - 0.7 * SPACE
        top = base - 0.7 * _WORDS_SIZE
        furniture.letters.append(Letters(left, base, text, face, _WORDS_SIZE))
        furniture.places.append(Place("text", text, left, top, right, base + 0.22 * _WORDS_SIZE, text))
        sky.add(left, right, top, base + 0.22 * _WORDS_SIZE)


def _place_pedals(furniture: Furniture, ink: Ink, heads: list[Head], played: PlayedWords, sky: Skyline) -> None:
    first, last = played.spans[ink.bars[0][0]][0], played.spans[ink.bars[-1][0]][1]
    places: dict[int, float] = {}
    for head in heads:
        if not head.is_continued:
            moment = played.onsets[head.event]
            places[moment] = min(places.get(moment, head.x), head.x)
    right = max((stroke.x1 for _, strokes in ink.bar_lines for stroke in strokes), default=ink.staves[0][1])
    if any(head.x > right for head in heads):
        # The line ends within a bar.
        right = ink.staves[0][1]
    here = [span for span in played.pedals if span[0] < last and span[1] > first]
    if not here or not places:
        return
    # One height for all of a system, as for any row of marks.
    left = min(places.values())
    base = max(sky.bottom(left, right), sky.bottom_line) + 0.7 * SPACE - glyph_box(_PED).top * _PED_SCALE
    is_down = False
    # Where what was drawn last ends.
    behind = left
    for start, end, changes in here:
        begins = start >= first
        x = _at(start, places, right) if begins else left - SPACE
        until = right - 0.3 * SPACE if end >= last else _at(end, places, right)
        ends = end <= last
        line_from = x
        if begins and not is_down:
            furniture.signs.append(Sign(_PED, round(x), round(base), _PED_SCALE, "pedal", "", 0))
            line_from = x + glyph_box(_PED).right * _PED_SCALE + 0.3 * SPACE
        elif begins:
            line_from = max(x + _NOTCH, behind)
        is_notched = ends and changes and end < last
        if is_notched:
            # Where the sign is wider than the time that it stands for, the notch comes behind it.
            until = max(until, line_from + _NOTCH)
            behind = until + _NOTCH
        line_to = until - _NOTCH if is_notched else until
        if not is_notched and ends and end < last:
            # Lifted before the next note, not under it.
            line_to = until - 0.6 * SPACE
        line_to = max(line_to, line_from)
        furniture.rules.append(Rule(line_from, base, line_to, base, _LINE))
        if is_notched:
            furniture.rules.append(Rule(line_to, base, until, base - _HOOK, _LINE))
            furniture.rules.append(Rule(until, base - _HOOK, until + _NOTCH, base, _LINE))
        elif ends:
            furniture.rules.append(Rule(line_to, base, line_to, base - _HOOK, _LINE))
        top = base + glyph_box(_PED).top * _PED_SCALE
        furniture.places.append(Place("pedal", "", x, top, line_to, base + _LINE, "taken anew" if changes else "left"))
        is_down = is_notched
    sky.add(left, right, base + glyph_box(_PED).top * _PED_SCALE, base + _LINE)


def _at(moment: int, places: dict[int, float], right: float) -> float:
    """Where a moment is: at its note, or in proportion between its neighbours, the last of which is the bar line."""
    if moment in places:
        return places[moment]
    later = min((one for one in places if one > moment), default=None)
    return right if later is None else places[later]
