"""The review schedule: each item stands in one of six boxes, and is due when the box's days have passed.

Higher boxes wait longer, a first try decides whether an item moves up or down. The lengths and limits are our own
proposal after the studies of spaced practice; whoever finds them too long or short changes the numbers here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from functools import reduce

from lessonkit.students.item import Item
from lessonkit.students.marks import RATINGS, Attempt, Source
from lessonkit.values import dataclass

INTERVALS = (1, 3, 7, 14, 28, 56)
"""The days of each box, 1 to 6."""

LAST_BOX = len(INTERVALS)
SELF_LIMIT = 3
"""A student's own mark never lifts an item above this box."""

LONG_HORIZON = 70
"""A goal further away than so many days holds the intervals to a tenth of it; a nearer one to a fifth."""

EVERY_DAY = frozenset(range(7))

MINUTES_AN_ITEM = 2
"""How long one item takes, about."""


@dataclass(frozen=True, slots=True)
class Rhythm:
    """When a student practises (0 is Monday) and the day towards which they work, if there is one."""

    days: frozenset[int] = EVERY_DAY
    goal: date | None = None

    def __post_init__(self) -> None:
        if not self.days or not self.days <= EVERY_DAY:
            raise ValueError("a student practises on one day of the week at least")

    def interval(self, box: int, day: date) -> int:
        """The days of a box as seen from a day: the goal may cap them."""
        whole = INTERVALS[box - 1]
        cap = self.cap(day)
        return whole if cap is None else min(whole, cap)

    def cap(self, day: date) -> int | None:
        """The longest interval while the goal is ahead."""
        ahead = (self.goal - day).days if self.goal is not None else 0
        if ahead <= 0:
            return None
        return max(1, ahead // (5 if ahead <= LONG_HORIZON else 10))

    def due(self, day: date, interval: int) -> date:
        """So many days later, or the last practice day before that; the next one where none lies between."""
        for back in range(interval):
            found = day + timedelta(interval - back)
            if found.weekday() in self.days:
                return found
        found = day + timedelta(interval)
        while found.weekday() not in self.days:
            found += timedelta(1)
        return found


@dataclass(frozen=True, slots=True)
class Moved:
    """One step of an item's way through the boxes: the try, the box it is in since, when it is due, and why."""

    day: date
    rating: int
    source: Source
    box: int
    due: date
    why: str


@dataclass(frozen=True, slots=True)
class Standing:
    """Where an item stands: its box, the day it was last tried, when it is due, and how it came there."""

    item: Item
    box: int
    first: date
    last: date
    due: date
    trace: tuple[Moved, ...] = ()

    def ratio(self, day: date) -> float:
        """How much of the wait is over; 1 is due."""
        return (day - self.last).days / max(1, (self.due - self.last).days)


def begun(attempt: Attempt, rhythm: Rhythm) -> Standing:
    """A new item after its first try. It begins in box 1, from which only a 3 lifts it."""
    new = Standing(attempt.item, 1, attempt.day, attempt.day, attempt.day)
    return _moved(new, attempt, 2 if attempt.rating == 3 else 1, "new", rhythm)


def tried(standing: Standing, attempt: Attempt, rhythm: Rhythm) -> Standing:
    """An item after one more try."""
    box, why = _box_after(standing, attempt, rhythm)
    return _moved(standing, attempt, box, why, rhythm)


def standings(tries: Iterable[Attempt], rhythm: Rhythm) -> dict[Item, Standing]:
    """Where every item stands after all tries, in the order in which items were begun."""

    def add(found: dict[Item, Standing], attempt: Attempt) -> dict[Item, Standing]:
        before = found.get(attempt.item)
        found[attempt.item] = begun(attempt, rhythm) if before is None else tried(before, attempt, rhythm)
        return found

    return reduce(add, tries, {})


def load(now: Iterable[Standing]) -> float:
    """How many items come up on a day, about: the sum of one part in each item's interval."""
    return sum(1 / INTERVALS[one.box - 1] for one in now)


def capacity(minutes: int) -> int:
    """How many items a student can carry on a day."""
    return minutes // MINUTES_AN_ITEM


def too_much(now: Mapping[Item, Standing], minutes: int, new: int = 1) -> str:
    """Why no new items should be begun, politely; empty where there is room for them.

    New items stand in box 1 for their first days, but are soon in box 2; they are counted as there.
    """
    after = load(now.values()) + new / INTERVALS[1]
    room = capacity(minutes)
    if after <= room:
        return ""
    return (
        f"{len(now)} items come to {load(now.values()):.1f} a day and {minutes} minutes hold about {room}; "
        f"let some of them settle before more are begun"
    )


def _box_after(standing: Standing, attempt: Attempt, rhythm: Rhythm) -> tuple[int, str]:
    waited = (attempt.day - standing.last).days
    box = standing.box
    if attempt.rating == 2:
        return box, "stays"
    if attempt.rating == 1:
        return max(1, box - 1), "down one" if box > 1 else "stays in the first box"
    if attempt.rating == 0:
        return 1, "back to the first box"
    if waited < 0.5 * rhythm.interval(box, standing.last):
        return box, "stays: tried again before half the wait was over"
    if attempt.source is Source.STUDENT and box >= SELF_LIMIT:
        return box, f"stays: the student's own mark lifts nothing above box {SELF_LIMIT}"
    return min(box + 1, LAST_BOX), "up one" if box < LAST_BOX else "stays in the last box"


def _moved(standing: Standing, attempt: Attempt, box: int, why: str, rhythm: Rhythm) -> Standing:
    interval = rhythm.interval(box, attempt.day)
    due = rhythm.due(attempt.day, interval)
    said = f"{RATINGS[attempt.rating]}, {why}; box {box} waits {interval} {'day' if interval == 1 else 'days'}"
    if interval < INTERVALS[box - 1]:
        said += " as the goal is near"
    step = Moved(attempt.day, attempt.rating, attempt.source, box, due, said)
    return Standing(standing.item, box, standing.first, attempt.day, due, (*standing.trace, step))
