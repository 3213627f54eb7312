"""Pictures of a term and of a curriculum: difficulty over the weeks, and which skill comes before which."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from lessonkit.curriculum.hardness import Hardest, height, jumps
from lessonkit.drawing.shapes import Box, Drawing, Face, Line, Mark, Path, Rect, Shape
from lessonkit.drawing.text_width import text_shapes, text_width
from lessonkit.drills.exercise import Hand
from lessonkit.hands.difficulty import Band

LABELS = 54.0
STEP_HEIGHT = 30.0
SIZE, SOFT, FAINT = 9.0, 0.35, 0.75
DASH = {Hand.RIGHT: (), Hand.LEFT: (4.0, 3.0)}
DOT = 3.0


def hardness_chart(weeks: Mapping[int, Mapping[Hand, Hardest]], width: float = 493.0) -> Drawing:
    """Difficulty over the weeks: the right hand an unbroken line with full dots, the left a broken one with rings.

    A jump is marked by a stroke of its height beside the dot and a point on it. Steps go upwards.
    """
    shapes: list[Shape] = []
    marks: list[Mark] = []
    top, foot = 22.0, 22.0 + 4 * STEP_HEIGHT
    for number, band in enumerate(Band):
        y = foot - number * STEP_HEIGHT
        shapes.append(Line(LABELS, y, width, y, 0.5, FAINT))
        shapes += text_shapes(band.value, 0, y - STEP_HEIGHT / 2 + 3, Face.SERIF, SIZE, SOFT)
    shapes.append(Line(LABELS, top, width, top, 0.5, FAINT))
    order = list(weeks)
    gap = (width - LABELS) / max(1, len(order))
    xs = {week: LABELS + (place + 0.5) * gap for place, week in enumerate(order)}
    for week, x in xs.items():
        _centred(shapes, str(week), x, foot + 12, SOFT)
    _centred(shapes, "week", LABELS - 14, foot + 12, SOFT)
    for hand in Hand:
        points = [(week, xs[week], foot - height(hands[hand].score) * STEP_HEIGHT) for week, hands in weeks.items()
                  if hand in hands]  # fmt: skip
        shapes += [Line(x1, y1, x2, y2, 1.2, 0.0, DASH[hand]) for (_, x1, y1), (_, x2, y2) in pairwise(points)]
        for week, x, y in points:
            fill = 0.0 if hand is Hand.RIGHT else 1.0
            shapes.append(Rect(x - DOT, y - DOT, 2 * DOT, 2 * DOT, fill, 1.2, 0.0, DOT))
            marks.append(Mark("week dot", f"{hand.value}.{week}", Box(x - 6, y - 6, x + 6, y + 6)))
    for jump in jumps({week: dict(hands) for week, hands in weeks.items()}):
        x = xs[jump.week] + (7 if jump.hand is Hand.RIGHT else -7)
        high = foot - height(jump.hardest.score) * STEP_HEIGHT
        low = foot - height(jump.before) * STEP_HEIGHT
        shapes.append(Line(x, low, x, high, 2.2, 0.0))
        shapes.append(Path((("M", (x, high - 3)), ("L", (x - 4, high + 4)), ("L", (x + 4, high + 4)), ("Z", ()))))
        marks.append(Mark("jump", f"{jump.hand.value}.{jump.week}", Box(x - 4, high, x + 4, low), str(jump)))
    x = LABELS
    for hand in Hand:
        shapes.append(Line(x, 8, x + 24, 8, 1.2, 0.0, DASH[hand]))
        fill = 0.0 if hand is Hand.RIGHT else 1.0
        shapes.append(Rect(x + 12 - DOT, 8 - DOT, 2 * DOT, 2 * DOT, fill, 1.2, 0.0, DOT))
        shapes += text_shapes(f"{hand.value} hand", x + 30, 11, Face.SERIF, SIZE, SOFT)
        x += 104
    shapes.append(Path((("M", (x + 4, 4)), ("L", (x, 12)), ("L", (x + 8, 12)), ("Z", ()))))
    shapes += text_shapes("a jump: much harder than everything before", x + 14, 11, Face.SERIF, SIZE, SOFT)
    spoken = "Difficulty over the weeks. " + " ".join(
        f"Week {week}: "
        + ", ".join(f"{hand.value} hand {one.difficulty.band.value}" for hand, one in hands.items())
        + "."
        for week, hands in weeks.items()
    )
    return Drawing(width, foot + 18, tuple(shapes), tuple(marks), spoken)


BOX_HEIGHT, BOX_PAD, ROW_GAP, COLUMN_GAP = 30.0, 8.0, 34.0, 14.0
LANE = 4.0
"""The room that an arrow takes which passes a row of boxes."""

SMALL = 7.5
SWEEPS = 4

Arrow = tuple[str, str]


def order_picture(
    names: Mapping[str, str],
    arrows: Sequence[Arrow],
    width: float = 493.0,
    told: Mapping[str, str] | None = None,
) -> Drawing:
    """What comes before what: boxes in rows, each below everything it needs; ``arrows`` lead downwards.

    ``names`` are the words in the boxes by the names that ``arrows`` use, ``told`` a second, smaller line. Arrows that
    pass a row of boxes go between them.
    """
    told = told or {}
    rows, ways = _rows(tuple(names), arrows)
    sizes = {
        name: max(text_width(words, Face.SERIF, SIZE), text_width(told.get(name, ""), Face.SERIF, SMALL)) + 2 * BOX_PAD
        for name, words in names.items()
    }
    places: dict[str, Box] = {}
    y = 1.0
    for row in rows:
        total = sum(sizes.get(name, LANE) for name in row) + COLUMN_GAP * (len(row) - 1)
        gap = COLUMN_GAP if total <= width else max(2.0, COLUMN_GAP - (total - width) / max(1, len(row) - 1))
        x = (width - sum(sizes.get(name, LANE) for name in row) - gap * (len(row) - 1)) / 2
        for name in row:
            places[name] = Box(x, y, x + sizes.get(name, LANE), y + BOX_HEIGHT)
            x += sizes.get(name, LANE) + gap
        y += BOX_HEIGHT + ROW_GAP
    widest = max((box.right for box in places.values()), default=width)
    shapes: list[Shape] = [shape for way in ways for shape in _arrow([places[name] for name in way])]
    marks: list[Mark] = []
    for name, words in names.items():
        box, second = places[name], told.get(name, "")
        shapes.append(Rect(box.left, box.top, box.right - box.left, BOX_HEIGHT, 1.0, 0.8, 0.0, 4))
        _centred(shapes, words, (box.left + box.right) / 2, box.top + (13 if second else 18), 0.0)
        if second:
            _centred(shapes, second, (box.left + box.right) / 2, box.top + 24, SOFT, SMALL)
        marks.append(Mark("skill", name, box, words))
    spoken = "What comes before what. " + " ".join(f"{names[a]} before {names[b]}." for a, b in arrows)
    return Drawing(max(width, widest), max(1.0, y - ROW_GAP + 1), tuple(shapes), tuple(marks), spoken)


def _rows(names: Sequence[str], arrows: Sequence[Arrow]) -> tuple[list[list[str]], list[list[str]]]:
    """Names in rows, each below all that it needs, with lanes for arrows that pass; and the way of every arrow."""
    needs: dict[str, list[str]] = {name: [] for name in names}
    for first, then in arrows:
        needs[then].append(first)
    depth: dict[str, int] = {}

    def of(name: str, path: frozenset[str]) -> int:
        if name not in depth:
            depth[name] = max((1 + of(one, path | {name}) for one in needs[name] if one not in path), default=0)
        return depth[name]

    for name in names:
        of(name, frozenset({name}))
    rows: list[list[str]] = [[] for _ in range(max(depth.values(), default=-1) + 1)]
    for name in names:
        rows[depth[name]].append(name)
    ways: list[list[str]] = []
    for number, (first, then) in enumerate(arrows):
        lanes = [f"lane {number}.{deep}" for deep in range(depth[first] + 1, depth[then])]
        for deep, lane in enumerate(lanes, depth[first] + 1):
            rows[deep].append(lane)
        ways.append([first, *lanes, then])
    above: dict[str, list[str]] = {}
    below: dict[str, list[str]] = {}
    for way in ways:
        for high, low in pairwise(way):
            above.setdefault(low, []).append(high)
            below.setdefault(high, []).append(low)
    place = {name: (number + 0.5) / len(row) for row in rows for number, name in enumerate(row)}
    for sweep in range(SWEEPS):
        # Each box moves between those that it hangs together with, down and up in turn, so that few arrows cross.
        for row in rows if sweep % 2 == 0 else reversed(rows):
            near = above if sweep % 2 == 0 else below
            row.sort(key=lambda name: _mean([place[one] for one in near.get(name, ())], place[name]))
            place |= {name: (number + 0.5) / len(row) for number, name in enumerate(row)}
    return rows, ways


def _mean(numbers: Sequence[float], otherwise: float) -> float:
    return sum(numbers) / len(numbers) if numbers else otherwise


def _arrow(way: Sequence[Box]) -> Iterator[Shape]:
    """A line from box to box, straight down through the lanes between them, with a head at its end."""
    xs = [(box.left + box.right) / 2 for box in way]
    for place, (high, low) in enumerate(pairwise(way)):
        x1, x2, y1 = xs[place], xs[place + 1], high.bottom
        is_last = place == len(way) - 2
        y2 = low.top - (6 if is_last else 0)
        middle = (y1 + y2) / 2
        yield Path((("M", (x1, y1)), ("C", (x1, middle, x2, middle, x2, y2))), None, 0.7, 0.45)
        if not is_last:
            yield Line(x2, low.top, x2, low.bottom, 0.7, 0.45)
    x, y = xs[-1], way[-1].top - 1
    yield Path((("M", (x, y)), ("L", (x - 3, y - 6)), ("L", (x + 3, y - 6)), ("Z", ())), 0.45)


def _centred(shapes: list[Shape], words: str, x: float, y: float, tone: float, size: float = SIZE) -> None:
    shapes += text_shapes(words, x - text_width(words, Face.SERIF, size) / 2, y, Face.SERIF, size, tone)
