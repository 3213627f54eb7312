"""What the engraver places too near to something else, moved by as little as clears it. Units are the engraver's.

It keeps slurs clear of heads and stems but not of accidentals, lets a flag fall upon the displaced head of a second or
into a tie, begins a swell that comes from the line before at the clef, and sets a roll on the clef that changes before
it.
"""

from __future__ import annotations

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.engraving.columns import HALF_ROLL, SMALL_CLEFS
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.ink import Ink, Sign, numbers_of, with_numbers
from lessonkit.engraving.loudness import level_loudness
from lessonkit.engraving.sizes import Sizes
from lessonkit.engraving.tuplet_figures import set_tuplet_figures

_GAP = SPACE // 5
_THICKER = 0.5 * SPACE
"""How much more room a slur wants where lines are as bold again."""


def mend(ink: Ink, sizes: Sizes, fingered: dict[int, bool]) -> float:
    """Move what stands too near; most drills have nothing of the kind and cost nothing.

    ``fingered`` says of each staff with fingers whether they stand above it. Answers by how much the staves are too
    near to one another for what stands between them.
    """
    if sizes.dot != 1:
        ink.dots = [(x, y, round(radius * sizes.dot)) for x, y, radius in ink.dots]
    if ink.dots:
        _keep_dots_off_accidentals(ink)
    if sizes.loudness != 1:
        ink.signs = [_grown(sign, sizes.loudness, ink.staves) if sign.kind == "dynam" else sign for sign in ink.signs]
    if any(kind == "slur" for _, _, kind in ink.curves):
        accidentals = [_box(sign) for sign in ink.signs if sign.kind == "accid"]
        # In large print the curve itself is thicker.
        gap = _GAP + _THICKER * (sizes.weight - 1)
        ink.curves = [
            (_over(text, accidentals, gap) if kind == "slur" else text, width, kind) for text, width, kind in ink.curves
        ]
    if ink.rolls:
        _keep_clefs_off_rolls(ink)
    for place, sign in enumerate(ink.signs):
        if sign.kind == "flag":
            _lift_flag(ink, place, sign)
    missing = 0.0
    if any(sign.kind == "tupletNum" for sign in ink.signs):
        missing = set_tuplet_figures(ink, fingered)
    if any(stroke.kind == "hairpin" for stroke in ink.strokes):
        _begin_swells_at_notes(ink)
    missing = max(missing, level_loudness(ink))
    if len(ink.staves) == 1 and ink.curves:
        keep_loudness_off_slurs(ink)
    return missing


def is_crowded(ink: Ink) -> bool:
    """Whether a curve of one hand goes through a flag, a swell or a letter of loudness between the staves."""
    if len(ink.staves) < 2 or not ink.curves:
        return False
    upper, lower = ink.staves[0][2][-1], ink.staves[1][2][0]
    boxes = [_box(sign) for sign in ink.signs if sign.kind in ("flag", "dynam")]
    boxes = [box for box in (*boxes, *_swells(ink)) if box[3] > upper and box[1] < lower]
    curves = [text for text, _, kind in ink.curves if kind in ("tie", "slur")]
    return any(_meets(text, box) for box in boxes for text in curves)


def _swells(ink: Ink) -> list[tuple[float, float, float, float]]:
    """The boxes of each line of each swell."""
    return [
        (min(one.x1, one.x2), min(one.y1, one.y2), max(one.x1, one.x2), max(one.y1, one.y2))
        for one in ink.strokes
        if one.kind == "hairpin"
    ]


def _meets(curve: str, box: tuple[float, float, float, float]) -> bool:
    """Whether a slur or tie goes through a box."""
    numbers = numbers_of(curve)
    left, top, right, bottom = box
    x0, x3 = numbers[0], numbers[6]
    if x3 <= left or x0 >= right or max(numbers[1::2]) < top or min(numbers[1::2]) > bottom:
        return False
    steps = [max(left, x0) + (min(right, x3) - max(left, x0)) * part / 8 for part in range(9)]
    back = [*numbers[12:14], *numbers[10:12], *numbers[8:10], *numbers[6:8]]
    heights = [_height(one, (x - x0) / max(x3 - x0, 1)) for x in steps for one in (numbers[0:8], back)]
    return min(heights) < bottom + _GAP and max(heights) > top - _GAP


def keep_loudness_off_slurs(ink: Ink) -> None:
    """Move the letters of loudness and the swells of a system away from a slur that goes through them."""
    boxes = [_box(sign) for sign in ink.signs if sign.kind == "dynam"] + _swells(ink)
    if not boxes or not ink.curves:
        return
    is_single, is_below = len(ink.staves) == 1, min(box[1] for box in boxes) > ink.staves[0][2][-1]
    down = up = 0.0
    for text, _, kind in ink.curves:
        if kind not in ("tie", "slur"):
            continue
        heights = numbers_of(text)[1::2]
        for box in boxes:
            if not _meets(text, box):
                continue
            goes_down = is_below if is_single else min(heights[0], heights[3]) < box[1]
            if goes_down:
                down = max(down, max(heights) - box[1] + _GAP)
            else:
                up = max(up, box[3] - min(heights) + _GAP)
    shift = round(down - up)
    if shift:
        ink.signs = [sign._replace(y=sign.y + shift) if sign.kind == "dynam" else sign for sign in ink.signs]
        ink.strokes = [
            one._replace(y1=one.y1 + shift, y2=one.y2 + shift) if one.kind == "hairpin" else one for one in ink.strokes
        ]


def _grown(sign: Sign, factor: float, staves: list[tuple[int, int, list[int]]]) -> Sign:
    """A letter of loudness grown to the left, where no swell begins, and away from the staff; between two both ways."""
    box, more = glyph_box(sign.code), sign.scale * (factor - 1)
    is_above = sign.y <= staves[0][2][0]
    fixed = (box.top + box.bottom) / 2 if len(staves) > 1 else box.bottom if is_above else box.top
    return sign._replace(x=round(sign.x - box.right * more), y=round(sign.y - fixed * more), scale=sign.scale * factor)


def _box(sign: Sign) -> tuple[float, float, float, float]:
    box = glyph_box(sign.code)
    k = sign.scale
    return sign.x + box.left * k, sign.y + box.top * k, sign.x + box.right * k, sign.y + box.bottom * k


def _over(curve: str, boxes: list[tuple[float, float, float, float]], gap: float) -> str:
    """A slur bent farther out where it would come nearer than a gap to one of the boxes."""
    numbers = numbers_of(curve)
    there, back = numbers[0:8], [*numbers[12:14], *numbers[10:12], *numbers[8:10], *numbers[6:8]]
    (x0, y0), (x3, y3) = there[0:2], there[6:8]
    if x3 <= x0:
        return curve
    outwards = -1 if there[3] + there[5] < y0 + y3 else 1
    farther = at_start = at_end = 0.0
    for left, top, right, bottom in boxes:
        if right < x0 or left > x3:
            continue
        for x in (left, (left + right) / 2, right):
            exact = _share(there, x)
            t = min(max(exact, 0.12), 0.88)
            heights = (_height(there, t), _height(back, t))
            if top - gap < max(heights) and bottom + gap > min(heights):
                need = max(heights) - (top - gap) if outwards < 0 else bottom + gap - min(heights)
                farther = max(farther, need / (3 * t * (1 - t)))
            # Near its end nothing but the end itself keeps it clear.
            end = y0 if exact < 0.12 else y3
            if (exact < 0.12 or exact > 0.88) and top - gap < end < bottom + gap:
                need = end - (top - gap) if outwards < 0 else bottom + gap - end
                if need < SPACE:
                    at_start, at_end = (need, at_end) if exact < 0.12 else (at_start, need)
    if not farther and not at_start and not at_end:
        return curve
    for at in (3, 5, 9, 11):
        numbers[at] += round(outwards * min(farther, 4 * SPACE))
    for at in (1, 13):
        numbers[at] += round(outwards * at_start)
    numbers[7] += round(outwards * at_end)
    return with_numbers(curve, numbers)


def _share(curve: list[int], x: float) -> float:
    """How far along a curve a place across lies; its handles are not spread evenly."""
    x0, _, x1, _, x2, _, x3, _ = curve
    low, high = 0.0, 1.0
    for _ in range(9):
        t = (low + high) / 2
        if (1 - t) ** 3 * x0 + 3 * (1 - t) ** 2 * t * x1 + 3 * (1 - t) * t**2 * x2 + t**3 * x3 < x:
            low = t
        else:
            high = t
    return (low + high) / 2


def _height(curve: list[int], t: float) -> float:
    _, y0, _, y1, _, y2, _, y3 = curve
    return (1 - t) ** 3 * y0 + 3 * (1 - t) ** 2 * t * y1 + 3 * (1 - t) * t**2 * y2 + t**3 * y3


def _lift_flag(ink: Ink, place: int, flag: Sign) -> None:
    """Lengthen the stem of a flag that falls upon a head at the other side of the stem, or into a tie."""
    is_up = flag.code % 2 == 0
    left, top, right, bottom = _box(flag)
    edge = bottom if is_up else top
    limits = []
    for sign in ink.signs:
        if sign.kind == "notehead" and sign.staff == flag.staff:
            box = _box(sign)
            if box[0] < right - 8 and box[2] > left + 20 and box[1] < bottom and box[3] > top:
                limits.append(box[1] - _GAP if is_up else box[3] + _GAP)
    for text, _, kind in ink.curves:
        if kind == "tie":
            numbers = numbers_of(text)
            if left - SPACE < min(numbers[0::2]) < right and min(numbers[1::2]) < bottom and max(numbers[1::2]) > top:
                limits.append(min(numbers[1::2]) + _GAP / 2 if is_up else max(numbers[1::2]) - _GAP / 2)
    if not limits:
        return
    lift = round(edge - min(limits)) if is_up else round(max(limits) - edge)
    if lift <= 0:
        return
    lift = min(lift, 2 * SPACE) * (-1 if is_up else 1)
    for at, stroke in enumerate(ink.strokes):
        tip = min(stroke.y1, stroke.y2) if is_up else max(stroke.y1, stroke.y2)
        if stroke.kind == "stem" and abs(stroke.x1 - flag.x) < SPACE / 4 and abs(tip - flag.y) < SPACE / 2:
            if stroke.y1 == tip:
                ink.strokes[at] = stroke._replace(y1=stroke.y1 + lift)
            else:
                ink.strokes[at] = stroke._replace(y2=stroke.y2 + lift)
            ink.signs[place] = flag._replace(y=flag.y + lift)
            return


def _keep_clefs_off_rolls(ink: Ink) -> None:
    """Move a small clef to the left of the rolled chord that it stands before, as far as the note before it allows."""
    for place, clef in enumerate(ink.signs):
        if clef.kind != "clef" or clef.code not in SMALL_CLEFS:
            continue
        left, top, right, bottom = _box(clef)
        for roll in ink.rolls:
            edge = roll[0].x - HALF_ROLL - _GAP
            heights = [sign.y - (sign.x - roll[0].x) for sign in roll]
            if not left < edge + SPACE < right + SPACE or min(heights) - SPACE > bottom or max(heights) < top:
                continue
            before = [
                _box(sign)[2]
                for sign in ink.signs
                if sign.staff == clef.staff and sign.x < clef.x and sign.kind in ("notehead", "rest", "accid", "flag")
            ]
            shift = min(right - edge, left - max(before, default=0) - _GAP)
            if shift > 0:
                ink.signs[place] = clef._replace(x=clef.x - round(shift))


def _keep_dots_off_accidentals(ink: Ink) -> None:
    """Move the dots of a chord with a second nearer to it where the next chord's accidentals stand in them."""
    accidentals = [_box(sign) for sign in ink.signs if sign.kind == "accid"]
    shifts: dict[int, float] = {}
    for x, y, radius in ink.dots:
        for left, top, right, bottom in accidentals:
            if left < x + radius and right > x - radius and top < y + radius and bottom > y - radius:
                heads = (_box(sign)[2] for sign in ink.signs if sign.kind == "notehead" and sign.x < x)
                allowed = x - radius - max(heads, default=x) - SPACE / 16
                shifts[x] = max(shifts.get(x, 0.0), min(x + radius - left + SPACE / 16, allowed))
    if shifts:
        ink.dots = [(x - max(0, round(shifts.get(x, 0.0))), y, radius) for x, y, radius in ink.dots]


def _begin_swells_at_notes(ink: Ink) -> None:
    """A swell that goes on from the line before begins at the first note, not under the clef."""
    first = min((sign.x for sign in ink.signs if sign.kind == "notehead"), default=0) - SPACE // 2
    for at, stroke in enumerate(ink.strokes):
        if stroke.kind != "hairpin" or stroke.x1 == stroke.x2:
            continue
        (x1, y1), (x2, y2) = sorted(((stroke.x1, stroke.y1), (stroke.x2, stroke.y2)))
        if x1 < first < x2:
            y1 += (y2 - y1) * (first - x1) // (x2 - x1)
            ink.strokes[at] = stroke._replace(x1=first, y1=y1, x2=x2, y2=y2)
