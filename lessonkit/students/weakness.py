"""Weak keys, weak chord qualities, weak shapes: a shrunk average of what was missed, newer marks counting more.

``weakness = (Σ w·(3 − rating)/3 + 2·prior) / (Σ w + 2)``, where ``w`` is 1 for a teacher's mark and ½ for a student's
own, halved for every 14 days of age. Nothing known is the prior.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date
from enum import Enum
from functools import lru_cache

from lessonkit.hands.difficulty import Band
from lessonkit.hands.easier import As, rate_chord
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.students.item import Item
from lessonkit.students.marks import Attempt
from lessonkit.theory.chord import Chord
from lessonkit.theory.enharmonic import printed_key
from lessonkit.theory.key import Key
from lessonkit.theory.quality import Quality
from lessonkit.values import dataclass

HALF_LIFE = 14
"""After so many days a mark counts half."""

PRIOR_WEIGHT = 2.0
"""What is thought beforehand counts as much as two marks of the teacher today."""

EVEN = 0.5
"""What is thought beforehand where nothing is known."""

BAND_PRIORS = {Band.EASY: 0.35, Band.MODERATE: 0.45, Band.HARD: 0.55, Band.VERY_HARD: 0.65}
"""What is thought beforehand of a chord that is so hard for this hand; only a little, marks soon say more."""


class Step(Enum):
    """The four steps in which weakness is shown; finer would be false."""

    SECURE = "secure"
    COMING = "coming"
    SHAKY = "shaky"
    WEAK = "weak"

    @property
    def dots(self) -> int:
        """One dot for secure, four for weak."""
        return list(Step).index(self) + 1


STEP_LIMITS = ((0.3, Step.SECURE), (0.5, Step.COMING), (0.65, Step.SHAKY))
"""Weakness below each limit belongs to its step; the rest is weak."""


@dataclass(frozen=True, slots=True)
class Tally:
    """What has been counted up to a day: the weight of the marks, what was missed, how many there are."""

    weight: float = 0.0
    missed: float = 0.0
    day: date = date.min
    count: int = 0

    def after(self, attempt: Attempt) -> Tally:
        """With one more try, not older than the day."""
        faded = self.faded(attempt.day)
        return Tally(
            faded.weight + attempt.weight,
            faded.missed + attempt.weight * (3 - attempt.rating) / 3,
            attempt.day,
            self.count + 1,
        )

    def faded(self, day: date) -> Tally:
        """The same as it counts on a later day."""
        left = 0.5 ** ((day - self.day).days / HALF_LIFE) if self.count else 1.0
        return replace(self, weight=self.weight * left, missed=self.missed * left, day=day)

    def weakness(self, day: date, prior: float = EVEN) -> float:
        """0 nothing is missed, 1 all is."""
        faded = self.faded(day)
        return (faded.missed + PRIOR_WEIGHT * prior) / (faded.weight + PRIOR_WEIGHT)


def step_of(weakness: float) -> Step:
    """The step in which a weakness is shown."""
    return next((step for limit, step in STEP_LIMITS if weakness < limit), Step.WEAK)


def tally(tries: Iterable[Attempt]) -> Tally:
    """All tries counted; they come in the order of their days."""
    found = Tally()
    for attempt in tries:
        found = found.after(attempt)
    return found


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a chart: what it is of, how weak, how many marks it rests on and how many days old the newest is.

    ``newest`` is None where there is no mark; the weakness then is what is thought beforehand.
    """

    label: str
    weakness: float
    marks: int
    newest: int | None
    prior: float

    @property
    def step(self) -> Step:
        """The step in which it is shown."""
        return step_of(self.weakness)

    @property
    def rests_on(self) -> str:
        """What it rests on, in words."""
        if self.newest is None:
            return "not heard yet"
        marks = f"{self.marks} {'mark' if self.marks == 1 else 'marks'}"
        age = "today" if self.newest == 0 else f"{self.newest} {'day' if self.newest == 1 else 'days'} old"
        return f"{marks}, the newest {age}" if self.marks > 1 else f"{marks}, {age}"


@dataclass(frozen=True, slots=True)
class Chart:
    """How a student stands by key, by chord quality and by the shape under the fingers, each weakest first."""

    keys: tuple[Row, ...]
    qualities: tuple[Row, ...]
    shapes: tuple[Row, ...]


def chart(tries: Iterable[Attempt], day: date, hands: HandProfile | None = None) -> Chart:
    """The chart of all tries up to a day; without hands nothing is thought beforehand."""
    known = [attempt for attempt in tries if attempt.day <= day]
    return Chart(
        _rows(known, day, lambda item: str(plain_key(item.key)), hands),
        _rows([one for one in known if one.item.quality], day, lambda item: quality_words(item.quality), hands),
        _rows(known, day, lambda item: shape_words(item.pattern), hands),
    )


def key_weakness(tries: Iterable[Attempt], day: date, hands: HandProfile | None = None) -> dict[Key, Row]:
    """The rows of the keys that have been tried, by key."""
    known = [attempt for attempt in tries if attempt.day <= day]
    keys = {str(key): key for key in (plain_key(one.item.key) for one in known)}
    return {keys[row.label]: row for row in _rows(known, day, lambda item: str(plain_key(item.key)), hands)}


def plain_key(key: Key) -> Key:
    """The key under whose name marks of it and of its enharmonic are counted."""
    return printed_key(key)


def quality_words(quality: str) -> str:
    """A chord quality in words."""
    return Quality.named(quality).words


def shape_words(pattern: str) -> str:
    """The keys under the fingers in words: ``black white black white``; all of one colour is said once."""
    if len(set(pattern)) == 1:
        return "all black" if pattern[0] == "B" else "all white"
    return " ".join({"B": "black", "W": "white"}[key] for key in pattern)


@lru_cache(maxsize=4096)
def prior_of(chord: Chord, hand: Hand, hands: HandProfile) -> float:
    """What is thought beforehand of a chord: by its band, in root position as a run over two octaves."""
    try:
        return BAND_PRIORS[rate_chord(chord, 0, As.RUN, hand, hands).band]
    except ValueError:
        return EVEN


def prior_of_item(item: Item, hands: HandProfile | None) -> float:
    """What is thought beforehand of an item for a hand; the left hand counts where it plays alone."""
    if hands is None:
        return EVEN
    return prior_of(item.chord, Hand.LEFT if item.hands.value == "left" else Hand.RIGHT, hands)


def _rows(tries: list[Attempt], day: date, label: Callable[[Item], str], hands: HandProfile | None) -> tuple[Row, ...]:
    groups: dict[str, list[Attempt]] = {}
    for attempt in tries:
        groups.setdefault(label(attempt.item), []).append(attempt)
    rows = []
    for name, group in groups.items():
        items = dict.fromkeys(attempt.item for attempt in group)
        prior = sum(prior_of_item(item, hands) for item in items) / len(items)
        rows.append(Row(name, tally(group).weakness(day, prior), len(group), (day - group[-1].day).days, prior))
    return tuple(sorted(rows, key=lambda row: (-row.weakness, row.label)))
