"""A day's session: what is due, and the six slots that are filled with it. Each choice carries its reason in words."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from enum import Enum
from itertools import pairwise, permutations

from lessonkit.students.item import Item
from lessonkit.students.schedule import MINUTES_AN_ITEM, Standing, too_much
from lessonkit.students.student import AgeBand, Student
from lessonkit.students.weakness import EVEN, plain_key
from lessonkit.theory.enharmonic import shuffled
from lessonkit.theory.key import Key
from lessonkit.values import dataclass

SLOTS = 6
FILL_FROM = 0.8
"""An item whose wait is over to this part may fill a slot that is free."""

FLOOR_DAYS = 28
"""An item that was begun and has not been touched for longer comes back at once."""

STRONG_BOX = 4
APART_DAYS = 1
"""Two new items that look alike are further apart than so many days."""

BREAK_AFTER_MINUTES, BREAK_MINUTES, BREAK_AFTER_SLOT = 25, 5, 2
LOW_MEAN = 1.5
RECENT_TRIES = 10


class Role(Enum):
    """What a slot is for."""

    OPENER = "to begin with"
    REVIEW = "review"
    FROM_MEMORY = "from chord names only"
    NEW = "new"
    USE = "use it"


@dataclass(frozen=True, slots=True)
class DueItem:
    """An item and why it comes up: how far its wait is over, how weak its key is, both together, the reason."""

    standing: Standing
    ratio: float
    weakness: float
    is_floor: bool = False

    @property
    def item(self) -> Item:
        """What is to be reviewed."""
        return self.standing.item

    @property
    def priority(self) -> float:
        """The share of the wait that is over, times a half and the weakness of the key."""
        return self.ratio * (0.5 + self.weakness)

    def why(self, day: date) -> str:
        """The reason in one sentence."""
        days = (day - self.standing.last).days
        wait = (self.standing.due - self.standing.last).days
        if self.is_floor:
            return f"not touched for {days} days; nothing that was begun rests longer than {FLOOR_DAYS}"
        when = f"last tried {_days(days)} ago, box {self.standing.box} waits {_days(wait)}"
        return f"{when}: {days} ÷ {wait} × (0.5 + {self.weakness:.2f}) = {self.priority:.2f}"


@dataclass(frozen=True, slots=True)
class Slot:
    """One slot of a session: what is played, what for, why it was chosen."""

    role: Role
    item: Item
    why: str


@dataclass(frozen=True, slots=True)
class Session:
    """A day's slots in order; ``rounds`` says how to go through them; ``said`` is what the teacher should know."""

    day: date
    slots: tuple[Slot, ...]
    rounds: str
    break_after: int | None = None
    said: tuple[str, ...] = ()


def due_items(
    now: Mapping[Item, Standing], weakness: Mapping[Key, float], day: date, least: float = 1.0
) -> tuple[DueItem, ...]:
    """What is due on a day: first what has rested too long, the longest first, then by priority.

    ``weakness`` is by key as ``plain_key`` names it; a key without any is taken as even. With ``least`` below 1 come
    items whose wait is almost over.
    """
    found = []
    for standing in now.values():
        if standing.last > day:
            continue
        is_floor = (day - standing.last).days > FLOOR_DAYS
        ratio = standing.ratio(day)
        if is_floor or ratio >= least:
            found.append(DueItem(standing, ratio, weakness.get(plain_key(standing.item.key), EVEN), is_floor))
    return tuple(sorted(found, key=_first_floor_then_priority))


def due_on(student: Student, day: date, least: float = 1.0) -> tuple[DueItem, ...]:
    """What is due for a student on a day."""
    return due_items(student.standings, weak_keys(student, day), day, least)


def weak_keys(student: Student, day: date) -> dict[Key, float]:
    """How weak each key is that a student has tried."""
    return {key: row.weakness for key, row in student.key_rows(day).items()}


def session_on(student: Student, day: date, new: Sequence[Item] = (), slots: int = SLOTS) -> Session:
    """A student's session on a day; ``new`` are the items that could be begun, the most wanted first."""
    recent = [attempt.rating for attempt in student.tries[-RECENT_TRIES:]]
    mean = sum(recent) / len(recent) if recent else None
    session = compose(
        student.standings, weak_keys(student, day), day, new, student.minutes, f"{student.code} {day}", slots
    )
    if student.age in (AgeBand.SIX_TO_EIGHT, AgeBand.NINE_TO_ELEVEN) or (mean is not None and mean < LOW_MEAN):
        return replace(session, rounds="Each one two or three times, then the next; twice round.")
    return session


def compose(
    now: Mapping[Item, Standing],
    weakness: Mapping[Key, float],
    day: date,
    new: Sequence[Item],
    minutes: int,
    seed: str,
    slots: int = SLOTS,
) -> Session:
    """Fill the slots of a day: a strong opener, what is due, at most one new item, one from memory, one to use.

    What has rested too long comes before everything else. ``seed`` decides the order where nothing else does.
    """
    due = list(due_items(now, weakness, day))
    floor = [one for one in due if one.is_floor]
    said: list[str] = []
    fresh = _new_item(now, new, day, minutes, said)
    room = slots - (fresh is not None) - 1
    opener = None if len(floor) >= room else _opener(now, weakness, day, floor)
    taken = {opener.item} if opener else set()
    most_due = max(slots // 2, len(floor))
    reviews = [one for one in due if one.item not in taken][: min(most_due, room - (opener is not None))]
    taken |= {one.item for one in reviews}
    free = room - (opener is not None) - len(reviews)
    almost = [one for one in due_items(now, weakness, day, FILL_FROM) if one.item not in taken]
    reviews += almost[:free]
    chosen = [opener] if opener else []
    chosen += [Slot(Role.REVIEW, one.item, one.why(day)) for one in reviews]
    chosen = _one_from_memory(chosen, now)
    if fresh is not None:
        chosen.append(Slot(Role.NEW, fresh, "the next that has not been begun"))
    used = _to_use(chosen)
    if used is not None:
        chosen.append(used)
    total = max(minutes, len(chosen) * MINUTES_AN_ITEM)
    return Session(
        day,
        _in_order(chosen, seed),
        "Each one once, then the next.",
        BREAK_AFTER_SLOT if total > BREAK_AFTER_MINUTES and len(chosen) > BREAK_AFTER_SLOT else None,
        tuple(said),
    )


def _days(count: int) -> str:
    return f"{count} {'day' if count == 1 else 'days'}"


def _first_floor_then_priority(one: DueItem) -> tuple[bool, float, str]:
    return (not one.is_floor, one.standing.last.toordinal() if one.is_floor else -one.priority, one.item.ascii)


def _new_item(
    now: Mapping[Item, Standing], new: Sequence[Item], day: date, minutes: int, said: list[str]
) -> Item | None:
    """The first new item that looks like nothing that was begun within a day, if the load allows one."""
    waiting = [item for item in new if item not in now]
    if not waiting:
        return None
    refusal = too_much(now, minutes)
    if refusal:
        said.append(f"Nothing new today: {refusal}.")
        return None
    just_begun = [one.item for one in now.values() if day - one.first <= timedelta(APART_DAYS)]
    if any(one.first == day for one in now.values()):
        return None
    for item in waiting:
        if not any(item.looks_like(other) for other in just_begun):
            return item
    said.append("Nothing new today: all that waits looks like what was begun yesterday.")
    return None


def _opener(
    now: Mapping[Item, Standing], weakness: Mapping[Key, float], day: date, floor: Iterable[DueItem]
) -> Slot | None:
    """A strong item, the one whose wait is over furthest; the strongest there is where none stands high."""
    floored = {one.item for one in floor}
    known = [one for one in now.values() if one.item not in floored and one.last < day]
    strong = [one for one in known if one.box >= STRONG_BOX]
    if strong:
        best = max(strong, key=lambda one: (one.ratio(day), one.item.ascii))
        return Slot(Role.OPENER, best.item, f"strong: it stands in box {best.box}")
    if not known:
        return None
    best = max(known, key=lambda one: (one.box, -weakness.get(plain_key(one.item.key), EVEN), one.item.ascii))
    return Slot(Role.OPENER, best.item, f"the strongest so far: it stands in box {best.box}")


def _one_from_memory(chosen: list[Slot], now: Mapping[Item, Standing]) -> list[Slot]:
    """One of the reviews is played from chord names or degrees only: the one that stands highest."""
    reviews = [slot for slot in chosen if slot.role is Role.REVIEW]
    if not reviews:
        return chosen
    known = max(reviews, key=lambda slot: now[slot.item].box)
    return [replace(slot, role=Role.FROM_MEMORY) if slot is known else slot for slot in chosen]


def _to_use(chosen: Sequence[Slot]) -> Slot | None:
    """Something to make up with what was reviewed or is new; what is new goes first."""
    wanted = (Role.NEW, Role.REVIEW, Role.FROM_MEMORY, Role.OPENER)
    for role in wanted:
        for slot in chosen:
            if slot.role is role:
                return Slot(Role.USE, slot.item, "music of your own with the same material")
    return None


def _in_order(chosen: Sequence[Slot], seed: str) -> tuple[Slot, ...]:
    """The opener first, the rest shuffled so that no key and no shape come twice in a row where that can be."""
    opener = [slot for slot in chosen if slot.role is Role.OPENER]
    rest = [slot for slot in chosen if slot.role is not Role.OPENER]
    number = int.from_bytes(hashlib.sha256(seed.encode()).digest()[:6], "big")
    orders = permutations(shuffled(rest, number))
    best: tuple[int, tuple[Slot, ...]] | None = None
    for order in orders:
        row = (*opener, *order)
        clashes = sum(_clash(one, other) for one, other in pairwise(row)) * 2 + _use_before_its_item(row)
        if best is None or clashes < best[0]:
            best = clashes, row
        if clashes == 0:
            break
    assert best is not None
    return best[1]


def _clash(one: Slot, other: Slot) -> bool:
    return one.item.key == other.item.key or one.item.pattern == other.item.pattern


def _use_before_its_item(row: Sequence[Slot]) -> bool:
    """Whether something is to be used before it has been played."""
    places = {slot.role: place for place, slot in enumerate(row)}
    if Role.USE not in places:
        return False
    used = row[places[Role.USE]]
    return any(slot.item == used.item and place > places[Role.USE] for place, slot in enumerate(row))
