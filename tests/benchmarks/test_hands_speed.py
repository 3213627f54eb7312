"""How long fingers, maps and ratings take. Prints milliseconds and asserts none of the clock.

Run with ``python -m pytest -m bench tests/benchmarks/test_hands_speed.py -s``.
"""

import random
import time

import pytest

from lessonkit.hands.easier import As
from lessonkit.hands.fingering import finger_line
from lessonkit.hands.hand import Hand
from lessonkit.hands.line import _ranked
from lessonkit.hands.maps import map_of_inversions
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import Pitch

NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
STEPS = (-5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 7)


def _line(seed: int) -> list[Pitch]:
    chance, key, keys = random.Random(seed), 60, []
    for _ in range(64):
        keys.append(key)
        key = min(88, max(48, key + chance.choice(STEPS)))
    return [Pitch.parse(f"{NAMES[key % 12]}{key // 12 - 1}") for key in keys]


@pytest.mark.bench
def test_a_line_of_64_notes() -> None:
    """Aimed at: 5 ms for a line never seen before; the same shape an octave higher is not searched again."""
    finger_line(_line(0), Hand.RIGHT)
    spent = []
    for seed in range(1, 21):
        line = _line(seed)
        start = time.perf_counter()
        finger_line(line, Hand.RIGHT)
        spent.append(1000 * (time.perf_counter() - start))
    spent.sort()
    again = time.perf_counter()
    before = _ranked.cache_info().misses
    finger_line([pitch.octaves_up(1) for pitch in _line(20)], Hand.RIGHT)
    again = 1000 * (time.perf_counter() - again)
    print(f"\n64 notes: median {spent[10]:.2f} ms, slowest {spent[-1]:.2f} ms; an octave higher {again:.2f} ms")
    assert _ranked.cache_info().misses == before


@pytest.mark.bench
@pytest.mark.parametrize("symbol", ["C", "Cmaj7", "C9", "C13"])
def test_a_map_of_twelve_keys(symbol: str) -> None:
    """Aimed at: 150 ms for all inversions of one chord in twelve keys."""
    start = time.perf_counter()
    chart = map_of_inversions(Chord.parse(symbol).quality, As.RUN, Hand.LEFT)
    spent = 1000 * (time.perf_counter() - start)
    print(f"\n{symbol}: {len(chart.rows) * 12} runs in {spent:.1f} ms")
    assert len(chart.cells[0]) == 12
