"""Marks: how a first, cold try went. Nothing is worked out of anything else, so that every number can be redone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from enum import Enum

from lessonkit.drills.params import METRONOME_MARKS
from lessonkit.students.item import Item
from lessonkit.values import dataclass

RATINGS = ("could not", "stopped", "right but slow", "right at tempo")
"""What the four ratings of a first try mean, 0 first."""


class Source(Enum):
    """Who marked."""

    TEACHER = "teacher"
    STUDENT = "student"


class Cause(Enum):
    """Why a first try was not right at tempo; its letter is what is typed."""

    HAND = "H"
    READING = "R"
    TIME = "T"
    EAR = "E"
    PAIN = "P"

    @property
    def words(self) -> str:
        """In words."""
        return _CAUSES[self]


_CAUSES = {
    Cause.HAND: "hand or shape", Cause.READING: "reading", Cause.TIME: "time or tempo", Cause.EAR: "ear or degree",
    Cause.PAIN: "pain",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Mark:
    """One line of a record: what was tried on a day, and how the first try went.

    A block that goes through several keys is marked once for all its ``items``. ``tempo`` is the metronome mark that
    was reached, if one was noted.
    """

    day: date
    items: tuple[Item, ...]
    rating: int
    source: Source = Source.TEACHER
    cause: Cause | None = None
    tempo: int | None = None

    def __post_init__(self) -> None:
        if not self.items:
            raise ValueError("a mark is for something; name an item such as broken-chords/Eb")
        if not 0 <= self.rating < len(RATINGS):
            said = ", ".join(f"{number} {words}" for number, words in enumerate(RATINGS))
            raise ValueError(f"{self.rating} is not a rating of a first try; the ratings are {said}")
        if self.tempo is not None and self.tempo not in METRONOME_MARKS:
            raise ValueError(f"{self.tempo} is not a mark of a metronome; take one such as 60, 66 or 72")


@dataclass(frozen=True, slots=True)
class Attempt:
    """One first try of one item."""

    day: date
    item: Item
    rating: int
    source: Source

    @property
    def weight(self) -> float:
        """How much it counts: a teacher's mark 1, a student's own a half."""
        return 1.0 if self.source is Source.TEACHER else 0.5


def attempts(marks: Iterable[Mark]) -> Iterator[Attempt]:
    """The tries in the order of their days; those of one day as they were typed."""
    for mark in sorted(marks, key=lambda one: one.day):
        for item in mark.items:
            yield Attempt(mark.day, item, mark.rating, mark.source)
