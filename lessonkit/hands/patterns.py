"""Fingers for runs that repeat from octave to octave: the same shape an octave higher gets the same fingers.

A pattern is a cycle of groups, each a thumb and the fingers after it. The first notes before a thumb and the last group
are free. Every pattern of the grammar is priced and the cheapest wins; nothing is looked up. Keys rise, right hand.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from itertools import combinations, pairwise, product

from lessonkit.hands.costs import key_costs, line_pair_table, pair_table
from lessonkit.hands.keyboard import is_black
from lessonkit.hands.weights import Weights
from lessonkit.values import dataclass

LONGEST_CYCLE = 9
"""Notes in an octave up to which patterns are searched; the chromatic scale has a rule of its own."""

FEWEST_OF_STEPS = 6
"""From so many notes in an octave on, a run moves by steps, as scales do, and its fingers are priced like theirs."""

Fingers = tuple[int, ...]
Fits = Callable[[Fingers], bool]


@dataclass(frozen=True, slots=True)
class Ranked:
    """One way to finger a run and what it costs."""

    fingers: Fingers
    cost: float


def cycle_of(keys: tuple[int, ...]) -> int | None:
    """After how many notes rising keys repeat an octave higher, or None; a cycle shows one note past the octave."""
    for cycle in range(2, min(len(keys) - 1, 12) + 1):
        if all(high - low == 12 for low, high in zip(keys, keys[cycle:], strict=False)):
            return cycle
    return None


def ranked_patterns(
    keys: tuple[int, ...], cycle: int, span: float, weights: Weights, fits: Fits | None = None
) -> tuple[Ranked, ...]:
    """The cheapest pattern for rising keys with this cycle and the next one; ties fall to the lower fingers.

    ``fits`` keeps only fingerings the teacher's pins allow; without it the answer is cached by shape.
    """
    octaves = keys[0] // 12 * 12
    shape = tuple(key - octaves for key in keys)
    return _cached(shape, cycle, span, weights) if fits is None else _searched(shape, cycle, span, weights, fits)


def price_of_pattern(fingers: Fingers, keys: tuple[int, ...], cycle: int, span: float, weights: Weights) -> float:
    """What a pattern over two octaves and what is left over costs; ``keys`` are a run's ``judged_keys``."""
    prices = _Prices(keys, cycle, span, weights)
    lead = fingers.index(1)
    return prices.of(0, fingers) + weights.late_thumb * lead + (prices.high_start(fingers) if lead else 0.0)


def judged_keys(keys: tuple[int, ...], cycle: int) -> tuple[int, ...]:
    """The two octaves and what is left over as which a run of any length is judged.

    So the number of a run's octaves does not change its fingers.
    """
    length = 2 * cycle + (len(keys) - 1) % cycle + 1
    return tuple(keys[index % cycle] + index // cycle * 12 for index in range(length))


@lru_cache(maxsize=4096)
def _cached(keys: tuple[int, ...], cycle: int, span: float, weights: Weights) -> tuple[Ranked, ...]:
    return _searched(keys, cycle, span, weights, None)


def _searched(
    keys: tuple[int, ...], cycle: int, span: float, weights: Weights, fits: Fits | None
) -> tuple[Ranked, ...]:
    prices = _Prices(judged_keys(keys, cycle), cycle, span, weights)
    best = _BestTwo(fits)
    for sizes in _sizes(cycle):
        # The notes before the first thumb belong to the end of the last group, so they are fewer than it has.
        for lead in range(sizes[-1]):
            _Round(sizes, lead, prices, weights).offer(best, len(keys))
    return best.ranked()


class _Prices:
    """The prices of one run: each note's fingers and each pair's, and of whole groups once they have been asked for."""

    def __init__(self, keys: tuple[int, ...], cycle: int, span: float, weights: Weights) -> None:
        free = all(is_black(key) for key in keys)
        priced = line_pair_table if cycle >= FEWEST_OF_STEPS else pair_table
        self.keys = keys
        self.singles = [key_costs(key, free, weights) for key in keys]
        self.pairs = [priced(low, high, free, span, weights) for low, high in pairwise(keys)]
        self.weights = weights
        self._kept: dict[tuple[int, Fingers], float] = {}

    def of(self, place: int, fingers: Fingers) -> float:
        """The price of fingers on the notes from a place on."""
        known = self._kept.get((place, fingers))
        if known is not None:
            return known
        before = fingers[0]
        price = self.singles[place][before - 1]
        for at, finger in enumerate(fingers[1:], place):
            price += self.pairs[at][before - 1][finger - 1] + self.singles[at + 1][finger - 1]
            before = finger
        self._kept[place, fingers] = price
        return price

    def step(self, place: int, finger: int, next_finger: int) -> float:
        """The price of going from the note at a place to the next one."""
        return self.pairs[place][finger - 1][next_finger - 1]

    def high_start(self, fingers: Fingers) -> float:
        """What a run pays that begins before its thumb with a finger above the second."""
        return self.weights.high_start * (fingers[0] - 2)


class _BestTwo:
    """The two cheapest fingerings offered so far."""

    def __init__(self, fits: Fits | None) -> None:
        self._fits = fits
        self._kept: dict[Fingers, float] = {}
        self.most = 1e9
        """More than this is of no interest any more."""

    def add(self, fingers: Fingers, price: float) -> None:
        """Keep fingers if they are among the two cheapest and the pins allow them."""
        if price >= self._kept.get(fingers, 1e9) or (self._fits is not None and not self._fits(fingers)):
            return
        self._kept[fingers] = price
        if len(self._kept) > 2:
            del self._kept[max(self._kept, key=lambda one: (round(self._kept[one], 9), one))]
        if len(self._kept) == 2:
            self.most = max(self._kept.values()) + 1e-9

    def ranked(self) -> tuple[Ranked, ...]:
        """The two, cheapest first."""
        ordered = sorted(self._kept.items(), key=lambda item: (round(item[1], 9), item[0]))
        return tuple(Ranked(fingers, price) for fingers, price in ordered)


class _Round:
    """All patterns with groups of given sizes and so many notes before the first thumb.

    What a group costs does not depend on the fingers of other groups, for the thumb stands between them.
    """

    def __init__(self, sizes: tuple[int, ...], lead: int, prices: _Prices, weights: Weights) -> None:
        self._sizes, self._lead, self._prices, self._weights = sizes, lead, prices, weights
        self._length = len(prices.keys)
        self._choices = [_groups_of(size) for size in sizes]
        thumbs = [lead]
        while thumbs[-1] + sizes[(len(thumbs) - 1) % len(sizes)] < self._length:
            thumbs.append(thumbs[-1] + sizes[(len(thumbs) - 1) % len(sizes)])
        self._thumbs = thumbs
        self._last = self._length - thumbs[-1]
        """How many notes the free group at the end has."""

    def offer(self, best: _BestTwo, length: int) -> None:
        """Offer every pattern that may still be among the best two, fitted to a run of a length."""
        sums = [[self._price_of_group(number, group) for group in own] for number, own in enumerate(self._choices)]
        ends = self._ends()
        last_number = (len(self._thumbs) - 1) % len(self._sizes)
        least_end = min((price for _, price in ends), default=0.0)
        late = self._weights.late_thumb * self._lead + least_end
        for chosen in product(*(range(len(own)) for own in self._choices)):
            body = late + sum(own[which] for own, which in zip(sums, chosen, strict=True))
            if body > best.most:
                continue
            groups = tuple(own[which] for own, which in zip(self._choices, chosen, strict=True))
            closing = self._closing(groups) if not ends else None
            for start, start_price in self._starts(groups[-1]):
                begun = body - least_end + start_price
                if closing is not None:
                    if begun <= best.most:
                        best.add(self._fitted(start, groups, closing, length), begun)
                    continue
                for end, end_price in ends:
                    price = begun + end_price
                    if price > best.most:
                        continue
                    changed = sum(one != other for one, other in zip(end, groups[last_number], strict=False))
                    price += self._weights.changed_end * changed
                    if price <= best.most:
                        best.add(self._fitted(start, groups, end, length), price)

    def _price_of_group(self, number: int, group: Fingers) -> float:
        """What a group costs wherever it stands before the last one, with the way to the thumb after it."""
        price = 0.0
        count = len(self._sizes)
        for at in range(number, len(self._thumbs) - 1, count):
            place = self._thumbs[at]
            price += self._prices.of(place, group)
            end = place + len(group) - 1
            if end + 1 == self._length - 1:
                keys = self._prices.keys
                closing = closing_finger(group[-1], keys[-1] - keys[-2])
                price += self._prices.step(end, group[-1], closing) + self._prices.singles[-1][closing - 1]
            else:
                price += self._prices.step(end, group[-1], 1)
        return price

    def _ends(self) -> list[tuple[Fingers, float]]:
        """The free groups that may stand at the end; none where a single closing finger does."""
        if self._last == 1:
            return []
        ends = [(1, *rest) for rest in combinations((2, 3, 4, 5), self._last - 1)]
        return [(end, self._prices.of(self._thumbs[-1], end)) for end in ends]

    def _closing(self, groups: tuple[Fingers, ...]) -> Fingers:
        before = groups[(len(self._thumbs) - 2) % len(groups)][-1]
        return (closing_finger(before, self._prices.keys[-1] - self._prices.keys[-2]),)

    def _starts(self, last_group: Fingers) -> list[tuple[Fingers, float]]:
        if not self._lead:
            return [((), 0.0)]
        low_start = tuple(range(2, 2 + self._lead))
        answer = []
        for start in dict.fromkeys((last_group[-self._lead :], low_start)):
            price = self._prices.of(0, start) + self._prices.step(self._lead - 1, start[-1], 1)
            answer.append((start, price + self._prices.high_start(start)))
        return answer

    def _fitted(self, start: Fingers, groups: tuple[Fingers, ...], end: Fingers, length: int) -> Fingers:
        """The pattern on a run of a length: octaves are added or left out before the last group."""
        around = [finger for group in groups for finger in group]
        body = [around[index % len(around)] for index in range(length - self._lead - len(end))]
        return (*start, *body, *end)


@lru_cache(maxsize=32)
def _sizes(cycle: int) -> tuple[tuple[int, ...], ...]:
    """The sizes of the groups that may follow one another round the octave."""
    fewest = -(-cycle // 4)
    found = [
        sizes
        for count in ((fewest, fewest + 1) if cycle >= 7 else (fewest,))
        for sizes in product((2, 3, 4), repeat=count)
        if sum(sizes) == cycle
    ]
    return (*found, (5,)) if cycle == 5 else tuple(found)


@lru_cache(maxsize=8)
def _groups_of(size: int) -> tuple[Fingers, ...]:
    if size == 5:
        return ((1, 2, 3, 4, 5),)
    return tuple((1, *rest) for rest in combinations((2, 3, 4), size - 1))


def closing_finger(before: int, semitones: int) -> int:
    """The finger on a last note where the thumb would fall: the next one after a step, the little one after a skip."""
    return before + 1 if semitones <= 2 and before < 5 else 5
