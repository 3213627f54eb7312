"""Whether the fitted prices carry over to keys they were not fitted to: half of the keys teach, the other half asks.

The transcription is no part of the project: give its path in LESSONKIT_FINGERING_ROWS and run
``python -m pytest -m bench tests/benchmarks/test_hands_cross_check.py -s``. Only arpeggio rows teach, for broken chords
and scales do not rest on fitted prices.

The prices start at the trade's own (see ``weights.py``) and not at the fitted ones, so that nothing of the asked keys
leaks in. Each round searches the teaching rows, adds what parts each printed fingering from its best rival to what is
known, and moves the prices until the printed ones are cheaper by a margin, as far as they can be.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from dataclasses import fields, replace
from itertools import combinations
from operator import mul
from pathlib import Path
from typing import Any

import pytest

from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import mirrored
from lessonkit.hands.patterns import Fingers, Ranked, cycle_of, judged_keys, ranked_patterns
from lessonkit.hands.weights import Weights

FITTED = {
    "pass_under_4": 2.3, "fourth_under_4": 1.0, "use_of_4": 0.7, "wide_2_3": 0.5, "wide_3_5": 1.0, "wide_4_5": 1.0,
    "changed_end": 0.5, "late_thumb": 1.0,
}  # fmt: skip
"""The prices that were fitted and where the trade would have them."""

SPAN = 205.0
ROUNDS = 8
MARGIN = 0.15
NUDGE = 1e-4
PASSES, STEP = 1500, 0.02


class Row:
    """One printed row as the search sees it: rising keys of a right hand with its fingers."""

    def __init__(self, row: dict[str, Any]) -> None:
        rising = tuple(sorted(set(row["midi"])))
        place = {key: index for index, key in enumerate(rising)}
        self.name = row["key"]
        self.printed: set[Fingers] = set()
        for way in (row["fingers"], *row.get("alternates", [])):
            fingers = [0] * len(rising)
            for key, finger in zip(row["midi"], way, strict=True):
                fingers[place[key]] = fingers[place[key]] or int(finger)
            self.printed.add(tuple(fingers if row["hand"] == Hand.RIGHT.value else fingers[::-1]))
        self.main = next(iter(self.printed))
        self.keys = rising if row["hand"] == Hand.RIGHT.value else tuple(mirrored(key) for key in reversed(rising))
        self.cycle = cycle_of(self.keys) or 0


def ways(row: Row, weights: Weights, fits: Callable[[Fingers], bool] | None = None) -> tuple[Ranked, ...]:
    return ranked_patterns(row.keys, row.cycle, SPAN, weights, fits)


def price(row: Row, fingers: Fingers, weights: Weights) -> float:
    """What the search makes of given fingers."""
    return ways(row, weights, lambda one: one == fingers)[0].cost


def difference(row: Row, printed: Fingers, rival: Fingers, weights: Weights) -> tuple[float, tuple[float, ...]]:
    """How much more the printed fingers cost than a rival: what is fixed, and the share of each fitted price."""

    def more(at: Weights) -> float:
        return price(row, printed, at) - price(row, rival, at)

    now = more(weights)
    shares = tuple((more(replace(weights, **{name: getattr(weights, name) + NUDGE})) - now) / NUDGE for name in FITTED)
    return now - sum(share * getattr(weights, name) for share, name in zip(shares, FITTED, strict=True)), shares


def fitted(rows: list[Row]) -> Weights:
    """Prices learnt from rows: of all rounds those that finger most of the rows as printed."""
    weights = best = replace(Weights(), **FITTED)
    known: dict[tuple[Row, Fingers], tuple[float, tuple[float, ...]]] = {}
    for _ in range(ROUNDS):
        for row in rows:
            printed = next((one for one in row.printed if ways(row, weights, lambda two, one=one: two == one)), None)
            if printed is None:
                continue  # No pattern has these fingers.
            rival = ways(row, weights, lambda one, own=row.printed: one not in own)[0].fingers
            known[row, rival] = difference(row, printed, rival, weights)
        weights = _satisfying(list(known.values()), weights)
        if exact(rows, weights) > exact(rows, best):
            best = weights
    return best


def _satisfying(known: list[tuple[float, tuple[float, ...]]], weights: Weights) -> Weights:
    """Prices at which as little as may be is dearer than it should be, found by small steps; the mean of the last."""
    prices = [getattr(weights, name) for name in FITTED]
    total, count = [0.0] * len(prices), 0
    for turn in range(PASSES):
        step = STEP / (1 + 4 * turn / PASSES)
        for fixed, shares in known:
            if fixed + sum(map(mul, shares, prices)) > -MARGIN:
                length = sum(share * share for share in shares) or 1.0
                prices = [max(0.0, one - step * share / length) for one, share in zip(prices, shares, strict=True)]
        if turn >= PASSES // 2:
            total, count = [one + two for one, two in zip(total, prices, strict=True)], count + 1
    return replace(weights, **{name: value / count for name, value in zip(FITTED, total, strict=True)})


def exact(rows: list[Row], weights: Weights) -> int:
    return sum(ways(row, weights)[0].fingers in row.printed for row in rows)


@pytest.mark.bench
def test_prices_fitted_on_half_of_the_keys_finger_the_other_half() -> None:
    """All ways to halve the keys that are given; aimed at: 98 of 100 rows of keys that did not teach."""
    path = os.environ.get("LESSONKIT_FINGERING_ROWS")
    if not path:
        print("\nno transcription given in LESSONKIT_FINGERING_ROWS; nothing compared")
        return
    assert set(FITTED) < {field.name for field in fields(Weights)}
    given = json.loads(Path(path).read_text("utf-8"))
    rows = [Row(row) for row in given if row["family"].endswith("arpeggio")]
    assert all(row.cycle and len(judged_keys(row.keys, row.cycle)) == len(row.keys) for row in rows)
    names = sorted({row.name.replace("G#", "Ab") for row in rows})
    taught_all = asked_all = taught_exact = asked_exact = 0
    print("\nfitted on          rows exact      asked in           rows exact")
    for half in combinations(names, len(names) // 2):
        teaching = [row for row in rows if row.name.replace("G#", "Ab") in half]
        asked = [row for row in rows if row.name.replace("G#", "Ab") not in half]
        weights = fitted(teaching)
        taught, right = exact(teaching, weights), exact(asked, weights)
        others = " ".join(name for name in names if name not in half)
        print(f"{' '.join(half):16s} {taught:4d} of {len(teaching):3d}      {others:16s} {right:4d} of {len(asked):3d}")
        taught_all, taught_exact = taught_all + len(teaching), taught_exact + taught
        asked_all, asked_exact = asked_all + len(asked), asked_exact + right
    print(
        f"all: {100 * taught_exact / taught_all:.1f} % of teaching rows, {100 * asked_exact / asked_all:.1f} % of asked"
    )
    print(f"with the prices as they stand: {exact(rows, Weights())} of {len(rows)}")
