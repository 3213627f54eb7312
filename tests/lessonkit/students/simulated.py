"""Students who practise and forget by a stated model, so that ways of choosing what to practise can be compared.

The model is ours and claims nothing about people: an item is recalled with probability ``0.5 ** (days / strength)``.
A first try strengthens it ``1 + 2 × (1 - recall)`` times where it went right (more after a long wait), and leaves two
thirds of it (in the mild model all) where it did not. Harder shapes begin weaker, and each student learns at a pace of
their own. In their own marks students see one step too much in three of ten. All chance comes from one seeded
generator.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from lessonkit.drills.family import Hands
from lessonkit.hands.profile import HandProfile
from lessonkit.students.item import Item
from lessonkit.students.marks import Attempt, Source
from lessonkit.students.schedule import Rhythm, Standing, begun, capacity, load, tried
from lessonkit.students.session import FLOOR_DAYS, Role, Session, compose
from lessonkit.students.weakness import Tally, plain_key, prior_of_item
from lessonkit.theory.enharmonic import KEYS_IN_FIFTHS
from lessonkit.theory.key import Key

START = date(2026, 1, 5)
PRACTICE = frozenset({0, 1, 2, 3, 4})
LESSON = 2
"""Wednesday: what is played on it is marked by the teacher."""

HARSH, MILD = 2 / 3, 1.0
"""What is left of an item's strength after a first try that went wrong."""

SURE_AFTER = 5
"""An item is reached once it went right at a first try so many days after the one before."""


@dataclass
class Learner:
    """One simulated student: what lies in memory, and what the marks say."""

    chance: random.Random
    pace: float
    hands: HandProfile
    kept: float = HARSH
    memory: dict[Item, tuple[float, date]] = field(default_factory=dict)
    now: dict[Item, Standing] = field(default_factory=dict)
    tallies: dict[Key, Tally] = field(default_factory=dict)
    reached: dict[Item, date] = field(default_factory=dict)

    def recall(self, item: Item, day: date) -> float:
        if item not in self.memory:
            return 0.0
        strength, last = self.memory[item]
        return float(0.5 ** ((day - last).days / strength))

    def plays(self, item: Item, day: date) -> int:
        """The rating of a first try, and what it does to memory."""
        if item not in self.memory:
            strength = self.pace * 6.0 * (1.2 - prior_of_item(item, self.hands))
            self.memory[item] = strength, day
            return self.chance.choice((0, 1, 1, 2))
        strength, last = self.memory[item]
        recall = self.recall(item, day)
        luck = self.chance.random()
        rating = 3 if luck < 0.8 * recall else 2 if luck < recall else 1 if luck < (1 + recall) / 2 else 0
        if (day - last).days >= SURE_AFTER and rating >= 2:
            self.reached.setdefault(item, day)
        grown = 1 + 2 * (1 - recall) if rating >= 2 else self.kept
        self.memory[item] = max(1.0, strength * grown), day
        return rating

    def mark(self, item: Item, day: date, rhythm: Rhythm) -> None:
        rating = self.plays(item, day)
        source = Source.TEACHER if day.weekday() == LESSON else Source.STUDENT
        if source is Source.STUDENT and self.chance.random() < 0.3:
            rating = min(3, rating + 1)
        attempt = Attempt(day, item, rating, source)
        before = self.now.get(item)
        self.now[item] = begun(attempt, rhythm) if before is None else tried(before, attempt, rhythm)
        key = plain_key(item.key)
        self.tallies[key] = self.tallies.get(key, Tally()).after(attempt)


@dataclass(frozen=True)
class Outcome:
    """What came of one student: days until every item was reached (None if never), recall, goes a day, clashes,
    and how many items were reached."""

    days: int | None
    recall: dict[int, float]
    later: float
    goes: float
    clashes: int
    reached: int


def items_to_learn() -> list[Item]:
    """Two skills through twelve keys in rising fifths, as much as a quarter of an hour a day carries."""
    return [
        Item(skill, key, Hands.RIGHT, quality)
        for key in KEYS_IN_FIFTHS
        for skill, quality in (("broken-chords", "maj7"), ("chord-jumps", "7"))
    ]


def by_schedule(seed: int, weeks: int, kept: float = HARSH) -> Outcome:
    """A student whose days the session composer fills; every rule is asserted on every day."""
    learner, items = _learner(seed, kept), items_to_learn()
    rhythm = Rhythm(PRACTICE, START + timedelta(weeks=weeks))
    begun_on: dict[Item, date] = {}
    clashes = 0

    def goes(day: date) -> list[Item]:
        nonlocal clashes
        weakness = {key: one.weakness(day) for key, one in learner.tallies.items()}
        before = dict(learner.now)
        session = compose(before, weakness, day, items, 15, f"{seed} {day}")
        assert_rules(session, before, begun_on, rhythm)
        clashes += sum(one.item.key == two.item.key for one, two in zip(session.slots, session.slots[1:], strict=False))
        return list(dict.fromkeys(slot.item for slot in session.slots if slot.role is not Role.USE))

    return _lived(learner, items, rhythm, weeks, goes, lambda: clashes)


def by_rotation(seed: int, weeks: int, goes_a_day: Sequence[int], kept: float = HARSH) -> Outcome:
    """The same student going round the keys, with as many goes on each day as the schedule gave."""
    learner, items = _learner(seed, kept), items_to_learn()
    rhythm = Rhythm(PRACTICE)
    place, number = 0, 0

    def goes(day: date) -> list[Item]:
        nonlocal place, number
        count = goes_a_day[number]
        found = [items[(place + step) % len(items)] for step in range(count)]
        place, number = place + count, number + 1
        return found

    return _lived(learner, items, rhythm, weeks, goes, lambda: 0)


def goes_by_day(seed: int, weeks: int, kept: float = HARSH) -> list[int]:
    """How many items the schedule gave on each practice day."""
    counts: list[int] = []
    learner, items = _learner(seed, kept), items_to_learn()
    rhythm = Rhythm(PRACTICE, START + timedelta(weeks=weeks))
    for day in practice_days(weeks):
        weakness = {key: one.weakness(day) for key, one in learner.tallies.items()}
        session = compose(learner.now, weakness, day, items, 15, f"{seed} {day}")
        chosen = list(dict.fromkeys(slot.item for slot in session.slots if slot.role is not Role.USE))
        counts.append(len(chosen))
        for item in chosen:
            learner.mark(item, day, rhythm)
    return counts


def assert_rules(session: Session, now: dict[Item, Standing], begun_on: dict[Item, date], rhythm: Rhythm) -> None:
    """What has to hold on every day, whatever happened before."""
    day = session.day
    new = [slot.item for slot in session.slots if slot.role is Role.NEW]
    assert len(new) <= 1
    for item in new:
        assert not any(item.looks_like(other) for other, on in begun_on.items() if (day - on).days <= 1)
        assert load(now.values()) + 1 / 3 <= capacity(15)
        begun_on[item] = day
    played = {slot.item for slot in session.slots}
    rested = {one.item for one in now.values() if (day - one.last).days > FLOOR_DAYS}
    assert rested <= played or (len(rested) > 5 and played <= rested | set(new))
    assert len(session.slots) <= 6
    for one in now.values():
        cap = rhythm.cap(one.last)
        assert cap is None or (one.due - one.last).days <= max(cap, 3), "a weekend is the longest way round"
    roles = [slot.role for slot in session.slots]
    if any(role in (Role.REVIEW, Role.FROM_MEMORY) for role in roles):
        assert roles.count(Role.FROM_MEMORY) == 1
    if roles:
        assert roles.count(Role.USE) == 1
    assert roles.count(Role.OPENER) <= 1
    assert Role.OPENER not in roles[1:]


def practice_days(weeks: int) -> Iterator[date]:
    return (day for number in range(7 * weeks) if (day := START + timedelta(number)).weekday() in PRACTICE)


def _learner(seed: int, kept: float) -> Learner:
    chance = random.Random(seed)
    hands = HandProfile().with_span(chance.choice((170, 185, 205, 226)))
    return Learner(chance, chance.uniform(0.7, 1.5), hands, kept)


def _lived(
    learner: Learner, items: list[Item], rhythm: Rhythm, weeks: int,
    goes: Callable[[date], list[Item]], clashes: Callable[[], int],
) -> Outcome:  # fmt: skip
    recall, count, days = {}, 0, 0
    for day in practice_days(weeks):
        for item in goes(day):
            learner.mark(item, day, rhythm)
            count += 1
        days += 1
        week = (day - START).days // 7 + 1
        recall[week] = sum(learner.recall(item, day + timedelta(7)) for item in items) / len(items)
    end = START + timedelta(weeks=weeks)
    all_reached = len(learner.reached) == len(items)
    return Outcome(
        (max(learner.reached.values()) - START).days if all_reached else None,
        recall,
        sum(learner.recall(item, end + timedelta(28)) for item in items) / len(items),
        count / days,
        clashes(),
        len(learner.reached),
    )
