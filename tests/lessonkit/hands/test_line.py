"""The search for any line, against trying every fingering there is."""

from itertools import pairwise, product

import pytest

from lessonkit.hands.costs import key_costs
from lessonkit.hands.fingering import finger_line
from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import is_black
from lessonkit.hands.line import _pairs, _triples, ranked_lines
from lessonkit.hands.weights import WEIGHTS
from lessonkit.theory.pitch import Pitch

LINES = [(60, 64, 63, 67, 70, 66), (61, 63, 66, 60, 72), (72, 71, 67, 67, 65, 60), (58, 70, 61, 63)]


def _price(keys: tuple[int, ...], fingers: tuple[int, ...]) -> float:
    free = all(is_black(key) for key in keys)
    price = sum(key_costs(key, free, WEIGHTS)[finger] for key, finger in zip(keys, fingers, strict=True))
    steps = zip(pairwise(keys), pairwise(fingers), strict=True)
    price += sum(_pairs(*two, free, 205.0, WEIGHTS)[one][other] for two, (one, other) in steps)
    for index in range(len(keys) - 2):
        one, two, three = fingers[index : index + 3]
        price += _triples(*keys[index : index + 3], 205.0, WEIGHTS)[two][three][one]
    return price


@pytest.mark.parametrize("keys", LINES)
def test_the_search_finds_the_cheapest_and_the_second_cheapest_of_all_fingerings(keys: tuple[int, ...]) -> None:
    """Exact means that trying all of them finds no better one."""
    every = sorted(_price(keys, fingers) for fingers in product(range(5), repeat=len(keys)))
    best, second = ranked_lines(keys, 205.0, WEIGHTS)
    assert best.cost == pytest.approx(every[0])
    assert second.cost == pytest.approx(every[1])
    assert best.fingers != second.fingers
    for one in (best, second):
        assert _price(keys, tuple(finger - 1 for finger in one.fingers)) == pytest.approx(one.cost)


def test_pins_hold_in_the_best_and_the_second_best() -> None:
    """What the teacher types wins."""
    for one in ranked_lines((60, 64, 63, 67, 70), 205.0, WEIGHTS, ((1, 2), (3, 4))):
        assert (one.fingers[1], one.fingers[3]) == (2, 4)


def test_the_same_shape_in_another_octave_has_the_same_fingers() -> None:
    """Nothing changes under the hand when the whole keyboard moves by an octave."""
    for keys in LINES:
        higher = tuple(key + 12 for key in keys)
        assert ranked_lines(keys, 205.0, WEIGHTS) == ranked_lines(higher, 205.0, WEIGHTS)


def test_five_neighbouring_white_keys_take_five_fingers() -> None:
    """The five-finger position; common practice, no source."""
    assert ranked_lines((60, 62, 64, 65, 67, 65, 64, 62, 60), 205.0, WEIGHTS)[0].fingers == (1, 2, 3, 4, 5, 4, 3, 2, 1)


def test_a_bass_line_that_lies_under_the_hand_needs_no_passing() -> None:
    """C E G G♯ A and back down to D: one position up, five fingers down (common practice, no source)."""
    line = [Pitch.parse(name) for name in ["C2", "E2", "G2", "G#2", "A2", "G2", "F2", "Eb2", "D2"]]
    assert finger_line(line, Hand.LEFT).fingers == (5, 4, 3, 2, 1, 2, 3, 4, 5)


def test_a_third_lies_under_the_fingers_above_it() -> None:
    """A finger to each white key, where nothing else decides (common practice, no source)."""
    assert finger_line([Pitch.parse("C4"), Pitch.parse("E4")], Hand.RIGHT).fingers == (1, 3)


def test_a_black_key_alone_is_not_the_thumbs() -> None:
    """Five black keys in a row leave the thumb no choice, one does (common practice, no source)."""
    assert finger_line([Pitch.parse("Eb5")], Hand.RIGHT).fingers == (2,)
