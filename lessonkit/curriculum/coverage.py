"""What lessons cover: for every cell of a grid, in how many drills it comes, where first, where last, and what is not.

Counted from the drills themselves. A lesson that changes takes its changed drills out of the counts and puts them in
anew; nothing else is counted again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import field
from datetime import date
from functools import cached_property
from typing import Any, NamedTuple

from lessonkit.curriculum.issue import issued
from lessonkit.curriculum.seen import NOTHING, ORDER, Axis, BlockCount, Cell, Seen, counted
from lessonkit.curriculum.term import Term
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.theory.key import Key
from lessonkit.values import dataclass


class Place(NamedTuple):
    """Where something is found: the lesson's file, its week (1 first, 0 for none), its day, and the drill's id."""

    lesson: str
    week: int
    day: date | None
    block_id: str


@dataclass(frozen=True, eq=False)
class Taught:
    """A lesson as it is taught, with what each of its drills contains. ``week`` is 1 first, 0 on a shelf.

    ``given`` is the lesson, or what reads it when somebody asks for it: a shelf whose counts are kept need not be read.
    """

    name: str
    given: Lesson | Callable[[], Lesson]
    blocks: tuple[tuple[str, BlockCount], ...]
    week: int = 0
    day: date | None = None
    placement_id: str = ""

    @cached_property
    def lesson(self) -> Lesson:
        """The lesson."""
        return self.given if isinstance(self.given, Lesson) else self.given()

    @property
    def seen(self) -> frozenset[Seen]:
        """Everything that the lesson contains."""
        return frozenset().union(*(count.seen for _, count in self.blocks))

    def places(self, block_ids: Iterable[str]) -> Iterator[Place]:
        """Drills of the lesson as places."""
        for block_id in block_ids:
            yield Place(self.name, self.week, self.day, block_id)


def taught(
    name: str,
    lesson: Lesson,
    week: int = 0,
    day: date | None = None,
    placement_id: str = "",
    like: Taught | None = None,
) -> Taught:
    """A lesson counted; blocks that ``like`` has too, in the same surroundings, are taken from there."""
    known: dict[int, BlockCount] = {}
    setting = lesson.setting
    if like is not None and like.lesson.setting == setting:
        counts = dict(like.blocks)
        known = {id(block): counts[block.id] for block in like.lesson.blocks if block.id in counts}
    blocks = tuple(
        (block.id, known.get(id(block)) or counted(block.family, setting))
        for block in lesson.blocks
        if isinstance(block, Drill)
    )
    return Taught(name, lesson, blocks, week, day, placement_id)


class Span(NamedTuple):
    """In how many drills a cell comes, and the first and the last place of it."""

    drills: int
    first: Place
    last: Place


@dataclass(frozen=True, eq=False)
class Coverage:
    """Lessons in the order in which they are taught, and what they cover together."""

    lessons: tuple[Taught, ...] = ()
    _grids: dict[tuple[Axis, Axis], Counter[Cell]] = field(default_factory=dict, repr=False)
    _spans: dict[tuple[Axis, Axis], dict[Cell, Span]] = field(default_factory=dict, repr=False)

    def counts(self, rows: Axis, columns: Axis) -> Mapping[Cell, int]:
        """In how many drills each cell comes; a drill that is taught twice counts twice."""
        grid = self._grids.get((rows, columns))
        if grid is None:
            grid = Counter()
            for lesson in self.lessons:
                for _, count in lesson.blocks:
                    grid.update(count.cells(rows, columns))
            self._grids[rows, columns] = grid
        return grid

    def values(self, axis: Axis) -> tuple[Any, ...]:
        """Everything that comes along an axis, in its order."""
        return tuple(sorted({row for row, _ in self.counts(axis, axis)}, key=ORDER[axis]))

    def spans(self, rows: Axis, columns: Axis) -> dict[Cell, Span]:
        """For each cell how often, where first and where last."""
        found = self._spans.get((rows, columns))
        if found is None:
            found = self._spans[rows, columns] = self._worked_out(rows, columns, None)
        return dict(found)

    def _worked_out(self, rows: Axis, columns: Axis, wanted: frozenset[Cell] | None) -> dict[Cell, Span]:
        """The spans of some cells; of all for None."""
        first: dict[Cell, tuple[Taught, str]] = {}
        last: dict[Cell, tuple[Taught, str]] = {}
        for lesson in self.lessons:
            for block_id, count in lesson.blocks:
                cells = count.cells(rows, columns)
                for cell in cells if wanted is None else cells & wanted:
                    if cell not in first:
                        first[cell] = lesson, block_id
                    last[cell] = lesson, block_id
        counts = self.counts(rows, columns)
        return {cell: Span(counts[cell], _place(*first[cell]), _place(*last[cell])) for cell in first}

    def places(self, rows: Axis, columns: Axis, cell: Cell) -> tuple[Place, ...]:
        """Every drill that counts in a cell, in the order of teaching."""
        return tuple(
            place
            for lesson in self.lessons
            for place in lesson.places(name for name, count in lesson.blocks if cell in count.cells(rows, columns))
        )

    def gaps(self, rows: Axis, columns: Axis, wanted: Iterable[Any] | None = None) -> tuple[Cell, ...]:
        """The cells that are empty, for what comes along the rows and ``wanted`` (or comes) along the columns."""
        counts = self.counts(rows, columns)
        across = tuple(wanted) if wanted is not None else self.values(columns)
        return tuple((row, column) for row in self.values(rows) for column in across if not counts.get((row, column)))

    def missing(self, axis: Axis, wanted: Iterable[Any]) -> tuple[Any, ...]:
        """What is wanted along an axis and does not come at all."""
        found = set(self.values(axis))
        return tuple(one for one in wanted if one not in found)


TWELVE_MAJOR = tuple(Key.parse(text) for text in ("Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B"))
TWELVE_MINOR = tuple(
    Key.parse(text + "m") for text in ("Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#")
)
"""The twelve keys of each mode, as they are printed, by fifths."""


def coverage_of(lessons: Iterable[tuple[str, Lesson]]) -> Coverage:
    """What a shelf of lessons covers, each under its name."""
    return Coverage(tuple(taught(name, lesson) for name, lesson in lessons))


def coverage_of_term(term: Term, lessons: Mapping[str, Lesson], like: Coverage | None = None) -> Coverage:
    """What a term covers, week by week, each lesson as its week gives it out; lessons that are not there are left out.

    ``like`` is an older coverage of the same term, from which unchanged lessons are taken.
    """
    known = {one.placement_id: one for one in like.lessons} if like is not None else {}
    found = []
    for dated in term.dated:
        for placed in dated.week.lessons:
            if placed.lesson in lessons:
                lesson = issued(lessons[placed.lesson], placed)
                found.append(taught(placed.lesson, lesson, dated.number, dated.day, placed.id, known.get(placed.id)))
    return Coverage(tuple(found))


def with_lesson(coverage: Coverage, at: int, lesson: Lesson) -> Coverage:
    """The coverage after the lesson at a place has been edited; only drills that changed are counted again."""
    old = coverage.lessons[at]
    return with_taught(coverage, at, taught(old.name, lesson, old.week, old.day, old.placement_id, old))


def with_taught(coverage: Coverage, at: int, new: Taught) -> Coverage:
    """The coverage with another lesson in a place."""
    old = coverage.lessons[at]
    before, after = Counter(map(_count, old.blocks)), Counter(map(_count, new.blocks))
    grids: dict[tuple[Axis, Axis], Counter[Cell]] = {}
    gone, come = before - after, after - before
    for axes, grid in coverage._grids.items():
        changed = grid.copy()
        for count, times in come.items():
            changed.update(dict.fromkeys(count.cells(*axes), times))
        for count, times in gone.items():
            for cell in count.cells(*axes):
                changed[cell] -= times
                if not changed[cell]:
                    del changed[cell]
        grids[axes] = changed
    made = Coverage((*coverage.lessons[:at], new, *coverage.lessons[at + 1 :]), grids)
    for axes, spans in coverage._spans.items():
        # A lesson that is called otherwise is another place, too.
        touched = frozenset[Cell]().union(*(count.cells(*axes) for _, count in (*old.blocks, *new.blocks)))
        kept = {cell: span for cell, span in spans.items() if cell not in touched}
        made._spans[axes] = kept | made._worked_out(*axes, touched)
    return made


FEW = 20
"""So many changed lessons are put into what is counted one by one; for more of them everything is added up again."""


def renewed(before: Coverage, lessons: tuple[Taught, ...]) -> Coverage:
    """The coverage of these lessons, made of an older one where only a few of them differ."""
    old = before.lessons
    if lessons == old:
        return before
    changed = [at for at, (one, other) in enumerate(zip(old, lessons, strict=False)) if one is not other]
    if len(old) != len(lessons) or len(changed) > FEW:
        return Coverage(lessons)
    coverage = before
    for at in changed:
        coverage = with_taught(coverage, at, lessons[at])
    return coverage


def _place(taught: Taught, block_id: str) -> Place:
    return Place(taught.name, taught.week, taught.day, block_id)


def _count(block: tuple[str, BlockCount]) -> BlockCount:
    return block[1]


def unwritten(coverage: Coverage) -> tuple[Place, ...]:
    """The drills that contain nothing since they cannot be written out."""
    return tuple(
        place
        for lesson in coverage.lessons
        for place in lesson.places(name for name, count in lesson.blocks if count is NOTHING)
    )
