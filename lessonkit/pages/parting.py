"""Where a page may end: each place has a cost, as the share of a page that may rather stay empty than ending there.

What must never be parted (a heading and what it heads, a caption and its first system, one line of a paragraph) is not
weighed here; see ``Part.keeps``. The costs were found by trying on the sample lessons in all editions.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.exercise import Bar, BarEnd, Exercise
from lessonkit.lesson.prose import Paragraph, ParagraphKind
from lessonkit.pages.parts import Turn

TURN_COSTS = {Turn.FREE: 0.0, Turn.REST: 0.08, Turn.BUSY: 0.32}
"""What it costs besides to turn the page there."""

WELL_FILLED = 0.25
"""So much of a page may stay empty without looking forgotten; what goes beyond that weighs three times."""

SHORT_LAST_PAGE = 0.2
"""A last page with less on it looks forgotten, too."""

EASY_TO_SAVE = 0.4
"""A last page that is filled no further may be saved."""
LENIENT, A_PAGE_SAVED = 0.3, 0.7
"""All pages are then filled once more with other costs weighing so much; that is taken where it saves a page and costs
no more than this.
"""
MOST_DRAWN_IN = 20
"""In a lesson of more pages one is little."""
FOOT_ELSEWHERE = 0.25
"""The last page has no room for the line of care, which then stands at the foot of another."""

INSIDE_A_PARAGRAPH, BETWEEN_PARAGRAPHS = 0.06, 0.02
UNDER_A_HEADING = 0.15
"""Behind fewer than ``LEAST_UNDER_A_HEADING`` lines of what a heading heads."""
LEAST_UNDER_A_HEADING = 4

SHORT_LIST, WEEK = 4, 7
INSIDE_A_SHORT_LIST, INSIDE_A_WEEK, INSIDE_A_LIST, ONE_ITEM_ALONE = 0.2, 0.25, 0.04, 0.15
MOST_LINES_OF_A_DAY = 3

WORDS_FROM_DRILL, FEW_WORDS_FROM_DRILL = 0.14, 0.28
"""Words say what to do with the drill below them; a line or two do nothing else."""
REASONS_FROM_ANSWERS = 0.14
SPACE_FROM_WORDS = 0.4
"""Room to write in belongs to what asks for it."""

SHORT_DRILL = 4
"""A drill of so many systems or fewer is rather seen whole, as a twelve-bar blues is."""
INSIDE_A_SHORT_DRILL, INSIDE_A_DRILL, INSIDE_A_PHRASE = 0.12, 0.04, 0.08
ONE_SYSTEM_ALONE, ONE_OF_TWO = 0.18, 0.12
PHRASE = 4
"""So many bars make a phrase, counted from where a key begins (common practice, no source)."""


def emptiness(share: float) -> float:
    """The cost of so much of a page staying empty below what stands on it."""
    return share + 2 * max(0.0, share - WELL_FILLED)


def shortness(share: float) -> float:
    """The cost of a last page that is filled so far only."""
    return max(0.0, SHORT_LAST_PAGE - share) * 5


def between_systems(systems: Sequence[Drawing], exercise: Exercise) -> tuple[float, ...]:
    """The cost of ending a page behind each system of a drill; nothing behind the last."""
    count = len(systems)
    costs = []
    for place, system in enumerate(systems[:-1], 1):
        cost = INSIDE_A_SHORT_DRILL if count <= SHORT_DRILL else INSIDE_A_DRILL
        if 1 in (place, count - place):
            cost += ONE_SYSTEM_ALONE if count > 2 else ONE_OF_TWO
        if not _ends_phrase(last_bar(system), exercise):
            cost += INSIDE_A_PHRASE
        costs.append(cost)
    return (*costs, *(0.0 for _ in systems[-1:]))


def last_bar(system: Drawing) -> int | None:
    """The number of the last bar of a system, from 0; None where it shows none."""
    numbers = [int(mark.name) for mark in system.marks if mark.kind == "bar line" and mark.name.isdigit()]
    return max(numbers) if numbers else None


def _ends_phrase(number: int | None, exercise: Exercise) -> bool:
    if number is None or number + 1 >= len(exercise.bars):
        return True
    begun = max((place for place in range(number + 1) if _begins(exercise.bars[place])), default=0)
    ends = exercise.bars[number].end in (BarEnd.DOUBLE, BarEnd.REPEAT, BarEnd.FINAL)
    return ends or _begins(exercise.bars[number + 1]) or (number + 1 - begun) % PHRASE == 0


def _begins(bar: Bar) -> bool:
    return bar.key is not None or bool(bar.label) or bar.begins_repeat


def between_paragraphs(paragraphs: Sequence[Paragraph], lines: Sequence[int]) -> Iterator[tuple[float, float]]:
    """For each paragraph of so many lines: the cost of ending a page inside it, and behind it."""
    places = iter(range(len(paragraphs)))
    for is_list, run in groupby(paragraphs, key=lambda paragraph: bool(paragraph.level) and not _is_heading(paragraph)):
        numbers = [next(places) for _ in run]
        if not is_list:
            yield from ((INSIDE_A_PARAGRAPH, BETWEEN_PARAGRAPHS) for _ in numbers)
            continue
        count = len(numbers)
        for place, number in enumerate(numbers, 1):
            cost = _inside_a_list(place, count, max(lines[one] for one in numbers))
            inside = max(cost, _inside_a_list(place - 1, count, 0) if place > 1 else cost) + INSIDE_A_PARAGRAPH
            yield inside, cost if number != numbers[-1] else BETWEEN_PARAGRAPHS


def _is_heading(paragraph: Paragraph) -> bool:
    return paragraph.kind is ParagraphKind.HEADING


def _inside_a_list(above: int, count: int, longest: int) -> float:
    """The cost of ending a page behind so many items of a list."""
    if count <= SHORT_LIST:
        return INSIDE_A_SHORT_LIST
    if count <= WEEK and longest <= MOST_LINES_OF_A_DAY:
        return INSIDE_A_WEEK
    return INSIDE_A_LIST if 1 < above < count - 1 else ONE_ITEM_ALONE
