"""Fingers for any other line of notes: the cheapest of all fingerings, judged by three notes at a time. Right hand."""

from __future__ import annotations

from functools import lru_cache

from lessonkit.hands.costs import key_costs, opens_to, pair_table
from lessonkit.hands.keyboard import SEMITONE_MM, distance_mm, is_black
from lessonkit.hands.patterns import Ranked
from lessonkit.hands.weights import Weights

REPEATED_KEY_CHANGE = 0.6
"""The price of changing the finger on a repeated key; keeping it costs nothing."""

_UNPINNED = (1, 2, 3, 4, 5)

Pins = tuple[tuple[int, int], ...]
"""Pairs of the index of a note and the finger the teacher wrote there, in order of the index."""


def ranked_lines(keys: tuple[int, ...], span: float, weights: Weights, pins: Pins = ()) -> tuple[Ranked, ...]:
    """The cheapest fingering of a line and the best one that differs from it, if any; exact, by dynamic programming.

    The price of a note depends on its finger and the two before it. The same shape in another octave is not searched
    again.
    """
    octaves = min(keys) // 12 * 12
    return _ranked(tuple(key - octaves for key in keys), span, weights, pins)


@lru_cache(maxsize=2048)
def _ranked(keys: tuple[int, ...], span: float, weights: Weights, pins: Pins) -> tuple[Ranked, ...]:
    pinned = dict(pins)
    allowed = [(pinned[index],) if index in pinned else _UNPINNED for index in range(len(keys))]
    free = all(is_black(key) for key in keys)
    singles = [key_costs(key, free, weights) for key in keys]
    if len(keys) == 1:
        options = sorted((singles[0][finger - 1] + 0.1 * (finger - 1), finger) for finger in allowed[0])
        return tuple(Ranked((finger,), price) for price, finger in options[:2])
    pairs = [_pairs(low, high, free, span, weights) for low, high in zip(keys, keys[1:], strict=False)]
    # forward[i][(f, g)]: the cheapest way to note i + 1 with fingers f and g on notes i and i + 1.
    forward: list[dict[tuple[int, int], float]] = [
        {
            (one, two): singles[0][one - 1] + singles[1][two - 1] + pairs[0][one - 1][two - 1]
            for one in allowed[0]
            for two in allowed[1]
        }
    ]
    triples = [_triples(keys[index], keys[index + 1], keys[index + 2], span, weights) for index in range(len(keys) - 2)]
    for index in range(2, len(keys)):
        forward.append(_step(forward[-1], allowed[index], singles[index], pairs[index - 1], triples[index - 2]))
    final = forward[-1]
    best_pair = min(final, key=lambda pair: (round(final[pair], 9), pair))
    best = _trace(best_pair, forward, triples)
    runner_up = _runner_up(best, allowed, singles, pairs, triples, forward)
    return (Ranked(best, final[best_pair]), *runner_up)


def _step(
    before: dict[tuple[int, int], float],
    allowed: tuple[int, ...],
    single: tuple[float, ...],
    pair: tuple[tuple[float, ...], ...],
    triple: tuple[tuple[tuple[float, ...], ...], ...],
) -> dict[tuple[int, int], float]:
    by_middle: dict[int, list[tuple[int, float]]] = {}
    for (one, two), price in before.items():
        by_middle.setdefault(two, []).append((one, price))
    after: dict[tuple[int, int], float] = {}
    for two, ways in by_middle.items():
        row, middle = pair[two - 1], triple[two - 1]
        for three in allowed:
            extra = middle[three - 1]
            after[two, three] = min([price + extra[one] for one, price in ways]) + row[three - 1] + single[three - 1]
    return after


def _trace(
    last: tuple[int, int],
    forward: list[dict[tuple[int, int], float]],
    triples: list[tuple[tuple[tuple[float, ...], ...], ...]],
) -> tuple[int, ...]:
    fingers = [last[1], last[0]]
    for index in range(len(forward) - 1, 0, -1):
        three, two = fingers[-2], fingers[-1]
        extra = triples[index - 1][two - 1][three - 1]
        before = forward[index - 1]
        ways = [(round(price + extra[one], 9), one) for (one, middle), price in before.items() if middle == two]
        fingers.append(min(ways)[1])
    return tuple(reversed(fingers))


def _runner_up(
    best: tuple[int, ...],
    allowed: list[tuple[int, ...]],
    singles: list[tuple[float, ...]],
    pairs: list[tuple[tuple[float, ...], ...]],
    triples: list[tuple[tuple[tuple[float, ...], ...], ...]],
    forward: list[dict[tuple[int, int], float]],
) -> tuple[Ranked, ...]:
    """The second cheapest fingering: the first note at which it leaves the best one is tried at every place."""
    # backward[(f, g)]: the cheapest way from fingers f, g on notes i, i + 1 to the end.
    backward: dict[tuple[int, int], float] = {pair: 0.0 for pair in forward[-1]}
    onward: list[dict[tuple[int, int], int]] = []
    least: tuple[float, int, tuple[int, int]] | None = None
    for index in range(len(forward) - 1, -1, -1):
        # The second best agrees with the best up to note i and leaves it at note i + 1 (or at the very first note).
        for pair, price in forward[index].items():
            if pair[1] != best[index + 1] or (index == 0 and pair[0] != best[0]):
                total = price + backward[pair]
                if least is None or (round(total, 9), index, pair) < (round(least[0], 9), least[1], least[2]):
                    least = (total, index, pair)
        if index == 0:
            break
        step: dict[tuple[int, int], float] = {}
        choice: dict[tuple[int, int], int] = {}
        row_pairs, row_triples, single = pairs[index], triples[index - 1], singles[index + 1]
        for one, two in forward[index - 1]:
            row, middle = row_pairs[two - 1], row_triples[two - 1]
            prices = [
                row[three - 1] + single[three - 1] + middle[three - 1][one] + backward[two, three]
                for three in allowed[index + 1]
            ]
            price = min(prices)
            step[one, two] = price
            choice[one, two] = allowed[index + 1][prices.index(price)]
        onward.append(choice)
        backward = step
    if least is None:
        return ()
    total, index, pair = least
    fingers = list(_trace(pair, forward[: index + 1], triples))
    onward.reverse()
    while len(fingers) < len(best):
        fingers.append(onward[len(fingers) - 2][fingers[-2], fingers[-1]])
    return (Ranked(tuple(fingers), total),)


def _pairs(key: int, next_key: int, free: bool, span: float, weights: Weights) -> tuple[tuple[float, ...], ...]:
    if key == next_key:
        return _REPEATED
    return pair_table(key, next_key, free, span, weights)


_REPEATED = tuple(tuple(0.0 if one == two else REPEATED_KEY_CHANGE for two in range(5)) for one in range(5))


def _triples(
    first: int, second: int, third: int, span: float, weights: Weights
) -> tuple[tuple[tuple[float, ...], ...], ...]:
    octaves = min(first, second, third) // 12 * 12
    return _shaped_triples(first - octaves, second - octaves, third - octaves, span, weights)


@lru_cache(maxsize=16384)
def _shaped_triples(
    first: int, second: int, third: int, span: float, weights: Weights
) -> tuple[tuple[tuple[float, ...], ...], ...]:
    """What three notes cost beyond their pairs, as ``table[middle - 1][last - 1][first]``."""
    return tuple(
        tuple(
            (0.0, *(_triple(one, two, three, first, second, third, span, weights) for one in range(1, 6)))
            for three in range(1, 6)
        )
        for two in range(1, 6)
    )


def _triple(
    one: int, two: int, three: int, first: int, second: int, third: int, span: float, weights: Weights
) -> float:
    if first == third:
        return 0.0 if one == three else REPEATED_KEY_CHANGE
    if one == three:
        return weights.position_change
    low, high = (one, three) if first < third else (three, one)
    if low > high:
        # The thumb has passed or a finger crossed between the first and the third note; the pairs have paid for it.
        return 0.0 if 1 in (one, two, three) else weights.position_change
    far = abs(distance_mm(first, third))
    over = far - opens_to(low, high, span)
    is_one_way = (first < second) == (second < third)
    return 0.0 if over <= 0 else over / SEMITONE_MM * (weights.wide_thumb if is_one_way else 0.5 * weights.wide_thumb)
