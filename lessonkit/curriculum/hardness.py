"""How hard the lessons are, week by week and hand by hand, and where it jumps. Worked out from the drills' notes."""

from __future__ import annotations

from collections.abc import Iterator

from lessonkit.curriculum.coverage import Coverage, Place
from lessonkit.drills.difficulty import DrillDifficulty, by_hand
from lessonkit.drills.exercise import Hand
from lessonkit.hands.difficulty import BAND_LIMITS, Band, band_of
from lessonkit.lesson.lesson import Drill
from lessonkit.values import dataclass

JUMP = 1.5
"""A week is a jump for a hand when it is so many times as hard as everything before, and in a harder step as well."""


@dataclass(frozen=True, slots=True)
class Hardest:
    """The hardest drill of a lesson or of a week for one hand, and where it is."""

    hand: Hand
    difficulty: DrillDifficulty
    place: Place

    @property
    def score(self) -> float:
        """How hard, from 0 up."""
        return self.difficulty.score


@dataclass(frozen=True, slots=True)
class Jump:
    """A week that asks a hand for much more than anything before it."""

    week: int
    hand: Hand
    before: float
    hardest: Hardest

    def __str__(self) -> str:
        after = band_of(self.hardest.score).value
        return (
            f"week {self.week}: {self.hardest.place.lesson} is {after} for the {self.hand.value} hand, after nothing "
            f"harder than {band_of(self.before).value}; {self.hardest.difficulty.where}"
        )


def hardest_of(coverage: Coverage, at: int) -> dict[Hand, Hardest]:
    """The hardest drill of one lesson for each hand that plays in it."""
    taught = coverage.lessons[at]
    found: dict[Hand, Hardest] = {}
    for block in taught.lesson.blocks:
        if not isinstance(block, Drill):
            continue
        try:
            hands = by_hand(block.family, taught.lesson.setting)
        except ValueError:
            continue
        for hand, difficulty in hands.items():
            if hand not in found or difficulty.score > found[hand].score:
                place = Place(taught.name, taught.week, taught.day, block.id)
                found[hand] = Hardest(hand, difficulty, place)
    return found


def hardest_by_week(coverage: Coverage) -> dict[int, dict[Hand, Hardest]]:
    """The hardest drill of each week for each hand; on a shelf without weeks, lessons count as weeks in their order."""
    weeks: dict[int, dict[Hand, Hardest]] = {}
    for at, taught in enumerate(coverage.lessons):
        week = weeks.setdefault(taught.week or at + 1, {})
        for hand, hardest in hardest_of(coverage, at).items():
            if hand not in week or hardest.score > week[hand].score:
                week[hand] = hardest
    return dict(sorted(weeks.items()))


def jumps(weeks: dict[int, dict[Hand, Hardest]]) -> tuple[Jump, ...]:
    """The weeks that are much harder for a hand than everything before, in order."""
    return tuple(_jumps(weeks))


def _jumps(weeks: dict[int, dict[Hand, Hardest]]) -> Iterator[Jump]:
    highest: dict[Hand, float] = {}
    for week, hands in weeks.items():
        for hand, hardest in hands.items():
            before = highest.get(hand)
            if before is not None and step(hardest.score) > step(before) and hardest.score >= JUMP * before:
                yield Jump(week, hand, before, hardest)
            highest[hand] = max(hardest.score, before or 0.0)


def step(score: float) -> int:
    """The step of a score: 0 easy to 3 very hard."""
    return list(Band).index(band_of(score))


def height(score: float) -> float:
    """A score on a scale on which each step is as high as the others: 0 to 4."""
    below = 0.0
    for place, (limit, _) in enumerate(BAND_LIMITS):
        if score < limit:
            return place + (score - below) / (limit - below)
        below = limit
    return min(4.0, 3 + (score - below) / (below - BAND_LIMITS[-2][0]))
