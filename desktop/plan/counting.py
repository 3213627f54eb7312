"""What a term covers and how hard it is, worked out beside the window's thread, drill by drill, and kept."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from datetime import date
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.aside import Aside
from desktop.plan.open_levels import OpenLevels
from desktop.plan.shelf_orders import Ranks, Wish, ranked
from lessonkit.curriculum.coverage import Coverage, Span, coverage_of, coverage_of_term
from lessonkit.curriculum.hardness import Hardest, Jump, hardest_by_week, jumps
from lessonkit.curriculum.introduced import TooEarly, too_early
from lessonkit.curriculum.issue import Improved, improved_since, issued
from lessonkit.curriculum.plan_check import plan_problems
from lessonkit.curriculum.proposals import Proposal, fill
from lessonkit.curriculum.search import LONGEST_QUERY, read_query, search
from lessonkit.curriculum.seen import Axis, Cell, Skill, counted
from lessonkit.curriculum.term import Term
from lessonkit.drills.difficulty import by_hand
from lessonkit.drills.exercise import Hand
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.values import dataclass

Before = Mapping[Skill, tuple[Skill, ...]]
"""For each skill those that have to come first."""

BREATH = 0.0005
"""Seconds of rest between two drills, in which the window's thread can go on."""


@dataclass(frozen=True, slots=True)
class Judged:
    """How hard the weeks are, what comes too early, and which lessons are better than when they were given."""

    weeks: Mapping[int, Mapping[Hand, Hardest]] = field(default_factory=dict)
    jumps: tuple[Jump, ...] = ()
    too_early: tuple[TooEarly, ...] = ()
    improved: tuple[Improved, ...] = ()
    problems: tuple[str, ...] = ()
    """What keeps the term from being taught as it stands, a sentence each."""


@dataclass(frozen=True, slots=True)
class Sought:
    """The lessons in whose drills is what some words ask for, and how the words were understood."""

    text: str
    names: frozenset[str] = frozenset()
    told: str = ""


class Counting(QObject):
    """Keeps the counts of a term true; parts read ``coverage`` and ``judged`` and follow the signals."""

    progressed = Signal(int, int)
    """So many of so many lessons are counted."""

    covered = Signal()
    """``coverage`` is of the term as it is."""

    was_judged = Signal()
    """``judged`` is of the term as it is."""

    def __init__(self, aside: Aside, levels: OpenLevels) -> None:
        super().__init__()
        self._aside = aside
        self._levels = levels
        self._wanted: tuple[Term, Mapping[str, Lesson]] | None = None
        self._turn = self._searches = self._rankings = 0
        self.coverage = Coverage()
        self.judged = Judged()
        self.is_covered = self.is_judged = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)
        self._soon.timeout.connect(self._begin)
        levels.changed.connect(self._judge_again)
        levels.opened.connect(self._judge_again)

    def count(self, term: Term, lessons: Mapping[str, Lesson]) -> None:
        """Count a term; of several wishes in a row the last one is heard."""
        self._wanted = (term, dict(lessons))
        self._turn += 1
        self.is_covered = self.is_judged = False
        self._soon.start()

    def spans(self, rows: Axis, columns: Axis) -> Mapping[Cell, Span]:
        """The cells of a grid of what is counted."""
        return self.coverage.spans(rows, columns)

    def propose(self, rows: Axis, columns: Axis, cell: Cell, then: Callable[[Proposal | None], None]) -> None:
        """Work out a drill that fills a gap, and hand it or None to ``then``."""
        coverage, curriculum = self.coverage, self._levels.curriculum

        def work() -> Proposal | None:
            return fill(coverage, rows, columns, cell, curriculum) if coverage.lessons else None

        self._aside.ask("proposal", work, then)

    def search(self, text: str, lessons: Mapping[str, Lesson], then: Callable[[Sought], None]) -> None:
        """Find lessons by what is in their drills, and hand what was found to ``then``."""
        self._searches += 1
        turn, wanted = self._searches, dict(lessons)

        def work() -> Sought:
            return self._search(text, wanted, turn)

        self._aside.ask("search", work, then)

    def rank(
        self, wish: Wish, lessons: Mapping[str, Lesson], folders: Sequence[Path], then: Callable[[Ranks], None]
    ) -> None:
        """Work out in which order lessons stand, and hand it to ``then``."""
        self._rankings += 1
        turn, wanted = self._rankings, dict(lessons)
        work = partial(ranked, wish, wanted, folders, date.today(), lambda: turn == self._rankings)
        self._aside.ask("ranks", work, then)

    def _begin(self) -> None:
        assert self._wanted is not None
        (term, lessons), turn, like = self._wanted, self._turn, self.coverage
        self._aside.ask("coverage", lambda: self._count(term, lessons, like, turn), self._take_coverage)

    def _take_coverage(self, coverage: Coverage) -> None:
        assert self._wanted is not None
        self.coverage, self.is_covered = coverage, True
        self.covered.emit()
        self._judge_again()

    def _judge_again(self) -> None:
        if self._wanted is not None and self.is_covered:
            (term, lessons), turn, coverage = self._wanted, self._turn, self.coverage
            before = self._levels.curriculum.needed_before
            self.is_judged = False
            self._aside.ask("judged", lambda: self._judge(term, lessons, coverage, before, turn), self._take_judged)

    def _take_judged(self, judged: Judged) -> None:
        if self.is_covered:
            self.judged, self.is_judged = judged, True
            self.was_judged.emit()

    # Beside the window's thread

    def _count(self, term: Term, lessons: Mapping[str, Lesson], like: Coverage, turn: int) -> Coverage:
        placed = [one for _, one in term.placements if one.lesson in lessons]
        for number, one in enumerate(placed):
            lesson = issued(lessons[one.lesson], one)
            for block in lesson.blocks:
                if turn != self._turn:
                    return like
                if isinstance(block, Drill):
                    counted(block.family, lesson.setting)
                    time.sleep(BREATH)
            self.progressed.emit(number + 1, len(placed))
        return coverage_of_term(term, lessons, like)

    def _search(self, text: str, lessons: Mapping[str, Lesson], turn: int) -> Sought:
        for lesson in lessons.values():
            for block in lesson.blocks:
                if turn != self._searches:
                    return Sought(text)
                if isinstance(block, Drill):
                    counted(block.family, lesson.setting)
                    time.sleep(BREATH)
        query = read_query(text[:LONGEST_QUERY])
        found = search(coverage_of(lessons.items()), query)
        return Sought(text, frozenset(one.place.lesson for one in found), query.told)

    def _judge(
        self, term: Term, lessons: Mapping[str, Lesson], coverage: Coverage, before: Before, turn: int
    ) -> Judged:
        for taught in coverage.lessons:
            for block in taught.lesson.blocks:
                if turn != self._turn:
                    return self.judged
                if isinstance(block, Drill):
                    try:
                        by_hand(block.family, taught.lesson.setting)
                    except ValueError:
                        continue
                    time.sleep(BREATH)
        weeks = hardest_by_week(coverage)
        early, better = too_early(coverage, before), improved_since(term, lessons)
        return Judged(weeks, jumps(weeks), early, better, plan_problems(term, lessons))
