"""Fingers for runs that repeat from octave to octave: the same shape an octave higher gets the same fingers.

A pattern is a cycle of groups, each a thumb and the fingers after it. The first notes before a thumb and the last group
are free. Every pattern of the grammar is priced and the cheapest wins; nothing is looked up. Keys rise, right hand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise, product

from lessonkit.hands.costs import key_costs, line_pair_table, pair_table
from lessonkit.hands.keyboard import is_black
from lessonkit.hands.weights import Weights

LONGEST_CYCLE = 9
"""Notes in an octave up to which patterns are searched; the chromatic scale has a rule of its own."""

FEWEST_OF_STEPS = 6
"""From so many notes in an octave on, a run moves by steps, as scales do, and its fingers are priced like theirs."""

Fingers = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Ranked:
    """One way to finger a run and what it costs."""

    fingers: Fingers
    cost: float


@dataclass(frozen=True, slots=True)
class _Plan:
    fingers: Fingers
    changed: int


def cycle_of(keys: tuple[int, ...]) -> int | None:
    """After how many notes rising keys repeat an octave higher, or None; a cycle shows one note past the octave."""
    for cycle in range(2, min(len(keys) - 1, 12) + 1):
        if all(high - low == 12 for low, high in zip(keys, keys[cycle:], strict=False)):
            return cycle
    return None


def ranked_patterns(
    keys: tuple[int, ...], cycle: int, span: float, weights: Weights, fits: Callable[[Fingers], bool] | None = None
) -> tuple[Ranked, ...]:
    """All patterns for rising keys with this cycle, cheapest first; ties fall to the lower fingers.

    ``fits`` keeps only fingerings the teacher's pins allow; without it the answer is cached by shape.
    """
    octaves = keys[0] // 12 * 12
    ranked = _ranked(tuple(key - octaves for key in keys), cycle, span, weights)
    return ranked if fits is None else tuple(one for one in ranked if fits(one.fingers))


@lru_cache(maxsize=4096)
def _ranked(keys: tuple[int, ...], cycle: int, span: float, weights: Weights) -> tuple[Ranked, ...]:
    # A run of any length is judged as two octaves and what is left over, so that its octaves do not change its fingers.
    length = 2 * cycle + (len(keys) - 1) % cycle + 1
    judged = tuple(keys[index % cycle] + index // cycle * 12 for index in range(length))
    free = all(is_black(key) for key in judged)
    priced = line_pair_table if cycle >= FEWEST_OF_STEPS else pair_table
    pairs = [priced(low, high, free, span, weights) for low, high in pairwise(judged)]
    singles = [key_costs(key, free, weights) for key in judged]
    best: dict[Fingers, float] = {}
    for lead, groups in _cycles(cycle):
        for plan in _plans(lead, groups, judged):
            fingers = plan.fingers
            price = weights.changed_end * plan.changed + weights.late_thumb * lead
            if lead:
                price += weights.high_start * (fingers[0] - 2)
            price += sum(costs[finger - 1] for costs, finger in zip(singles, fingers, strict=True))
            price += sum(
                table[low - 1][high - 1] for table, low, high in zip(pairs, fingers, fingers[1:], strict=False)
            )
            fitted = _fitted(fingers, lead, len(keys), cycle, groups)
            if price < best.get(fitted, 1e9):
                best[fitted] = price
    ordered = sorted(best.items(), key=lambda item: (round(item[1], 9), item[0]))
    return tuple(Ranked(fingers, price) for fingers, price in ordered)


def _cycles(cycle: int) -> Iterator[tuple[int, tuple[Fingers, ...]]]:
    """Every number of notes before the first thumb with the groups that follow it round the octave."""
    for groups in _group_rounds(cycle):
        # The notes before the first thumb belong to the end of the last group, so they are fewer than it has.
        for lead in range(len(groups[-1])):
            yield lead, groups


@lru_cache(maxsize=32)
def _group_rounds(cycle: int) -> tuple[tuple[Fingers, ...], ...]:
    fewest = -(-cycle // 4)
    rounds: list[tuple[Fingers, ...]] = []
    for count in (fewest, fewest + 1) if cycle >= 7 else (fewest,):
        for sizes in product((2, 3, 4), repeat=count):
            if sum(sizes) == cycle:
                rounds.extend(product(*(_groups_of(size) for size in sizes)))
    if cycle == 5:
        rounds.append(((1, 2, 3, 4, 5),))
    return tuple(rounds)


@lru_cache(maxsize=8)
def _groups_of(size: int) -> tuple[Fingers, ...]:
    return tuple((1, *rest) for rest in combinations((2, 3, 4), size - 1))


def _plans(lead: int, groups: tuple[Fingers, ...], keys: tuple[int, ...]) -> Iterator[_Plan]:
    around = tuple(finger for group in groups for finger in group)
    cycle = len(around)
    interior = tuple(around[(index - lead) % cycle] for index in range(len(keys)))
    low_start = tuple(range(2, 2 + lead))
    starts = (interior[:lead],) if interior[:lead] == low_start else (interior[:lead], low_start)
    thumb = max(index for index, finger in enumerate(interior) if finger == 1)
    body, last = interior[lead:thumb], interior[thumb:]
    ends: list[tuple[Fingers, int]]
    if len(last) == 1:
        ends = [((closing_finger(interior[-2], keys[-1] - keys[-2]),), 0)]
    else:
        ends = [
            ((1, *rest), sum(one != other for one, other in zip((1, *rest), last, strict=True)))
            for rest in combinations((2, 3, 4, 5), len(last) - 1)
        ]
    for start in starts:
        for end, changed in ends:
            yield _Plan(start + body + end, changed)


def closing_finger(before: int, semitones: int) -> int:
    """The finger on a last note where the thumb would fall: the next one after a step, the little one after a skip."""
    return before + 1 if semitones <= 2 and before < 5 else 5


def _fitted(fingers: Fingers, lead: int, length: int, cycle: int, groups: tuple[Fingers, ...]) -> Fingers:
    """The fingers of the judged run on a run of another length: octaves are added or left out before the last group."""
    if length == len(fingers):
        return fingers
    last = _last_group_size(lead, groups, len(fingers))
    around = [finger for group in groups for finger in group]
    body = [around[(index - lead) % cycle] for index in range(lead, length - last)]
    return (*fingers[:lead], *body, *fingers[len(fingers) - last :])


def _last_group_size(lead: int, groups: tuple[Fingers, ...], length: int) -> int:
    around = [finger for group in groups for finger in group]
    size = 1
    while around[(length - size - lead) % len(around)] != 1:
        size += 1
    return size
