"""What stands on what in a finished drawing: every pair of things that touch and must not.

``MEETINGS`` holds the pairs of kinds that may meet, and how; all other pairs are compared and must be apart. Outlines
are the true ones, so that a flat may nestle under the flat above it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from lessonkit.drawing.shapes import Drawing
from tests.looking.ink import KINDS, Thing, space_of, things_of, touch


class Clash(NamedTuple):
    """Two things that touch and must not."""

    one: Thing
    other: Thing

    def __str__(self) -> str:
        one, other = self.one, self.other
        x, y = (round(max(a, b), 1) for a, b in zip(one.box[:2], other.box[:2], strict=True))
        return f"{one.kind} {one.name} on {other.kind} {other.name} at ({x}, {y})"


class Scene(NamedTuple):
    """What a pair stands among: the staff space in points, and the beams."""

    space: float
    beams: list[Thing]


Meeting = Callable[[Thing, Thing, Scene], bool]
"""Whether two things that touch belong together; they come in the order in which the pair is written."""


def _freely(_one: Thing, _other: Thing, _scene: Scene) -> bool:
    return True


def _stem_at_head(stem: Thing, head: Thing, scene: Scene) -> bool:
    """A stem runs along the side of its heads, never through one."""
    x = (stem.box.left + stem.box.right) / 2
    near = 0.15 * scene.space + (stem.box.right - stem.box.left) / 2
    return min(abs(x - head.box.left), abs(x - head.box.right)) < near


def _stem_at_flag(stem: Thing, flag: Thing, scene: Scene) -> bool:
    """A flag hangs on the end of its stem."""
    x = (stem.box.left + stem.box.right) / 2
    is_at_end = min(abs(flag.box.top - stem.box.top), abs(flag.box.bottom - stem.box.bottom)) < 0.5 * scene.space
    return abs(x - flag.box.left) < 0.25 * scene.space and is_at_end


def _stem_at_beam(stem: Thing, beam: Thing, scene: Scene) -> bool:
    """A stem ends in its beam; of a sheaf of beams it may cross the others on its way to the last."""
    x = (stem.box.left + stem.box.right) / 2
    for end in (stem.box.top, stem.box.bottom):
        is_near = beam.box.top - 2.6 * scene.space < end < beam.box.bottom + 2.6 * scene.space
        if is_near and any(_covers(other, x, end, scene.space) for other in scene.beams):
            return abs(_middle(beam, x) - end) < 2.6 * scene.space
    return False


def _covers(beam: Thing, x: float, y: float, space: float) -> bool:
    within = beam.box.left - 0.2 * space < x < beam.box.right + 0.2 * space
    return within and abs(_middle(beam, x) - y) < 0.5 * space


def _middle(beam: Thing, x: float) -> float:
    """The height of a slanting beam's middle."""
    commands = beam.shape.commands  # type: ignore[union-attr]
    points = [numbers for _, numbers in commands if numbers]
    box = beam.box
    at_left = [y for px, y in points if abs(px - box.left) < 0.01]
    at_right = [y for px, y in points if abs(px - box.right) < 0.01]
    left, right = sum(at_left) / len(at_left), sum(at_right) / len(at_right)
    return left + (right - left) * (x - box.left) / max(box.right - box.left, 0.01)


def _curve_at_its_end(curve: Thing, other: Thing, scene: Scene) -> bool:
    """A tie or slur touches what it starts from and ends at, nothing between."""
    x = (other.box.left + other.box.right) / 2
    return min(abs(x - curve.box.left), abs(x - curve.box.right)) < scene.space


def _in_one_column(one: Thing, other: Thing, scene: Scene) -> bool:
    """The pieces of one roll's wavy line, and the figures of a time signature, stand upon one another."""
    return abs((one.box.left + one.box.right) - (other.box.left + other.box.right)) < 0.2 * scene.space


def _heads_of_a_second(one: Thing, other: Thing, scene: Scene) -> bool:
    """The heads of a second touch at the stem between them, half a space apart in height."""
    rise = abs((one.box.top + one.box.bottom) - (other.box.top + other.box.bottom)) / 2
    shared = min(one.box.right, other.box.right) - max(one.box.left, other.box.left)
    return 0.4 * scene.space < rise < 1.1 * scene.space and shared < 0.25 * scene.space


MEETINGS: dict[tuple[str, str], Meeting] = {
    **{
        ("staff line", kind): _freely
        for kind in (
            "staff line", "ledger line", "bar line", "system line", "brace", "stem", "beam", "flag", "notehead",
            "accidental", "bracket", "repeat dot", "rest", "clef", "time signature", "accent", "curve", "roll",
        )
    },
    ("ledger line", "notehead"): _freely, ("ledger line", "stem"): _freely, ("ledger line", "beam"): _freely,
    ("bar line", "bar line"): _freely, ("bar line", "system line"): _freely,
    ("bar line", "curve"): _freely, ("bar line", "hairpin"): _freely, ("bar line", "octave line"): _freely,
    ("bar line", "brace"): _freely, ("system line", "brace"): _freely,
    ("stem", "notehead"): _stem_at_head, ("stem", "flag"): _stem_at_flag, ("stem", "beam"): _stem_at_beam,
    ("curve", "notehead"): _curve_at_its_end, ("curve", "stem"): _curve_at_its_end,
    ("curve", "ledger line"): _curve_at_its_end,
    ("notehead", "notehead"): _heads_of_a_second,
    ("roll", "roll"): _in_one_column, ("time signature", "time signature"): _in_one_column,
    ("octave line", "octave line"): _freely, ("pedal line", "pedal line"): _freely,
    ("tuplet bracket", "tuplet bracket"): _freely, ("hairpin", "hairpin"): _freely,
}  # fmt: skip
"""The pairs that may meet, and when. Whatever is no pair of these must be apart: 465 pairs of kinds in all."""

_BOTH_WAYS: dict[tuple[str, str], tuple[Meeting, bool]] = {
    **{(other, one): (meeting, True) for (one, other), meeting in MEETINGS.items()},
    **{pair: (meeting, False) for pair, meeting in MEETINGS.items()},
}
_FREE = {pair for pair, (meeting, _) in _BOTH_WAYS.items() if meeting is _freely}


def compared_pairs() -> dict[str, list[tuple[str, str]]]:
    """Every pair of kinds by how it is compared: ``apart`` always, ``joined`` only where they belong, ``free``."""
    found: dict[str, list[tuple[str, str]]] = {"apart": [], "joined": [], "free": []}
    for place, one in enumerate(KINDS):
        for other in KINDS[place:]:
            way = "free" if (one, other) in _FREE else "joined" if (one, other) in _BOTH_WAYS else "apart"
            found[way].append((one, other))
    return found


class Count:
    """How much was looked at."""

    def __init__(self) -> None:
        self.drawings = self.things = self.pairs = 0
        """Pairs whose boxes lie side by side are told apart by these; a pair counts once it is looked at."""


def clashes(drawing: Drawing, slack: float = 0.12, count: Count | None = None) -> list[Clash]:
    """Every pair of things that touch and must not; ``slack`` in points is what may be shared."""
    found = []
    things = sorted(things_of(drawing), key=lambda thing: thing.box.left)
    scene = Scene(space_of(drawing), [thing for thing in things if thing.kind == "beam"])
    open_things: list[Thing] = []
    pairs = 0
    for thing in things:
        (left, top, right, bottom), kind = thing.box, thing.kind
        open_things = [other for other in open_things if other.box.right > left]
        for other in open_things:
            if (kind, other.kind) in _FREE:
                continue
            pairs += 1
            its = other.box
            if its.bottom - slack <= top or bottom - slack <= its.top or min(right, its.right) - left <= slack:
                continue
            meeting = _BOTH_WAYS.get((kind, other.kind))
            if meeting is not None:
                is_allowed, is_turned = meeting
                if is_allowed(*((other, thing) if is_turned else (thing, other)), scene):
                    continue
            if touch(thing, other):
                found.append(Clash(thing, other))
        open_things.append(thing)
    if count is not None:
        count.drawings += 1
        count.things += len(things)
        count.pairs += pairs
    return found


def outside(drawing: Drawing, slack: float = 0.6) -> list[Thing]:
    """The ink that leaves the drawing: the page keeps clear of the drawing's edges, not of what it holds."""
    return [
        thing
        for thing in things_of(drawing)
        if thing.box.left < -slack
        or thing.box.top < -slack
        or thing.box.right > drawing.width + slack
        or thing.box.bottom > drawing.height + slack
    ]
