"""In which order the lessons of the shelf stand: by title, the easiest first, or what a student needs first."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from datetime import date
from enum import Enum
from pathlib import Path

from desktop.plan.students_beside import students_in
from desktop.words import english, say
from lessonkit.curriculum.coverage import coverage_of
from lessonkit.drills.difficulty import by_hand
from lessonkit.hands.difficulty import band_of
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.values import dataclass

BREATH = 0.0005
"""Seconds of rest between two drills, in which the window's thread can go on."""


class Order(Enum):
    """The orders, in words."""

    TITLE = english("By title")
    EASIEST = english("The easiest first")
    NEEDED = english("What {code} needs first")


@dataclass(frozen=True, slots=True)
class Wish:
    """An order; ``code`` is the student's whose needs count."""

    order: Order = Order.TITLE
    code: str = ""

    @property
    def words(self) -> str:
        """For people."""
        return say(self.order.value, code=self.code) if self.code else say(self.order.value)


@dataclass(frozen=True, slots=True)
class Ranks:
    """For each lesson its rank, the lowest first, and what is said of it; a lesson without a rank comes last."""

    wish: Wish = Wish()
    ranks: Mapping[str, float] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)


def ranked(
    wish: Wish, lessons: Mapping[str, Lesson], folders: Sequence[Path], today: date, is_wanted: Callable[[], bool]
) -> Ranks:
    """The ranks of lessons; may be worked out beside the window's thread, and stops where nobody wants it any more."""
    if wish.order is Order.EASIEST:
        scores = _scores(lessons, is_wanted)
        return Ranks(wish, scores, {name: say(band_of(score).value) for name, score in scores.items()})
    if wish.order is Order.NEEDED:
        from lessonkit.students.lessons_needed import lessons_needed

        [student], _ = students_in(folders, (wish.code,))
        needed = lessons_needed(coverage_of(lessons.items()), student, today)
        words = {one.lesson: _due_words(len(one.items)) for one in needed}
        return Ranks(wish, {one.lesson: float(-len(one.items)) for one in needed}, words)
    return Ranks(wish)


def _due_words(count: int) -> str:
    return say("plays one thing that is due") if count == 1 else say("plays {n} things that are due", n=count)


def _scores(lessons: Mapping[str, Lesson], is_wanted: Callable[[], bool]) -> dict[str, float]:
    """How hard the hardest drill of each lesson is."""
    found: dict[str, float] = {}
    for name, lesson in lessons.items():
        for block in lesson.blocks:
            if not is_wanted():
                return found
            if isinstance(block, Drill):
                try:
                    hands = by_hand(block.family, lesson.setting)
                except ValueError:
                    continue
                found[name] = max([found.get(name, 0.0), *(one.score for one in hands.values())])
                time.sleep(BREATH)
    return found
