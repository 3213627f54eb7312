"""Facts of the trade about runs and jumps (common practice, no source), for all hands and with every weight shaken.

Each fact holds at spans of 165 to 235 mm, and in at least nine of ten draws in which each weight moves by up to 30 %.
"""

import random
from collections.abc import Callable
from functools import lru_cache

import pytest

from lessonkit.hands.chord_shapes import held, inverted, run_of
from lessonkit.hands.difficulty import TROUBLE, Band, Difficulty, Trouble, outer_finger_cost, rate_jump, rate_run
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.hands.weights import WEIGHTS, Weights
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import NoteName, Pitch

from .shaking import shaken

SPANS = (165.0, 205.0, 235.0)
DRAWS = 40
HARD = (Band.HARD, Band.VERY_HARD)

Prices = tuple[float, Trouble, Weights]


@lru_cache(maxsize=1)
def _draws() -> tuple[Prices, ...]:
    pairs = list(zip(shaken(TROUBLE, DRAWS), shaken(WEIGHTS, DRAWS), strict=True))
    random.Random(7).shuffle(pairs)
    return tuple((span, trouble, weights) for span in SPANS for trouble, weights in pairs)


def _names(text: str) -> tuple[NoteName, ...]:
    return tuple(NoteName.parse(name) for name in text.split())


def _run(names: tuple[NoteName, ...], prices: Prices, hand: Hand = Hand.RIGHT, tempo: int = 80) -> Difficulty:
    span, trouble, weights = prices
    return rate_run(run_of(names, 2, hand), hand, HandProfile().with_span(span), tempo, trouble, weights)


def _jump(chord: str, prices: Prices, hand: Hand = Hand.RIGHT) -> Difficulty:
    span, trouble, _ = prices
    return rate_jump(held(Chord.parse(chord).tones, hand), hand, HandProfile().with_span(span), trouble=trouble)


def _root(chord: str) -> tuple[NoteName, ...]:
    return inverted(Chord.parse(chord), 0)


FACTS: dict[str, Callable[[Prices], bool]] = {
    "a root-position run on Am7♭5 is moderate at most": lambda prices: (
        _run(_root("Am7b5"), prices).band in (Band.EASY, Band.MODERATE)
    ),
    "a root-position run on A♭maj7 is very hard": lambda prices: _run(_root("Abmaj7"), prices).band is Band.VERY_HARD,
    "A♭maj7 in first inversion is clearly easier": lambda prices: (
        _run(inverted(Chord.parse("Abmaj7"), 1), prices).score < 0.7 * _run(_root("Abmaj7"), prices).score
    ),
    "a fast root-position run on E♭maj7 is hard or very hard": lambda prices: (
        _run(_root("Ebmaj7"), prices, tempo=120).band in HARD
    ),
    "G B♭ D F over a left-hand E♭ is much easier than E♭maj7": lambda prices: (
        _run(_names("G Bb D F"), prices, tempo=120).score < 0.5 * _run(_root("Ebmaj7"), prices, tempo=120).score
    ),
    "a C major triad is the easiest of these": lambda prices: (
        _run(_root("C"), prices).score
        < min(_run(names, prices).score for names in (_root("Am7b5"), _root("Abmaj7"), _names("G Bb D F")))
    ),
    "jumps on Fmaj7 and Cmaj7 are more secure than on A♭maj7": lambda prices: (
        max(_jump("Fmaj7", prices).score, _jump("Cmaj7", prices).score) < _jump("Abmaj7", prices).score
    ),
}


@pytest.mark.parametrize("fact", FACTS)
@pytest.mark.parametrize("span", SPANS)
def test_facts_of_the_trade_hold_for_all_hands(fact: str, span: float) -> None:
    """With the weights as they stand they hold without exception."""
    assert FACTS[fact]((span, TROUBLE, WEIGHTS))


@pytest.mark.parametrize("fact", FACTS)
def test_facts_of_the_trade_survive_shaken_weights(fact: str) -> None:
    """A fact that rests on the second decimal of a weight is no fact."""
    held_up = [FACTS[fact](prices) for prices in _draws()]
    assert sum(held_up) >= 0.9 * len(held_up)


def test_the_reasons_say_what_and_where() -> None:
    """A bare number teaches nothing: G to a thumb on A♭ is what makes A♭maj7 hard."""
    reasons = _run(_root("Abmaj7"), (205.0, TROUBLE, WEIGHTS)).reasons
    assert 1 <= len(reasons) <= 3
    assert "G5" in reasons[0].sentence
    assert "thumb on A♭" in reasons[0].sentence


def test_the_jump_on_a_flat_names_the_thumb_on_the_black_key() -> None:
    """The reason is the trade's own."""
    sentences = [reason.sentence for reason in _jump("Abmaj7", (205.0, TROUBLE, WEIGHTS)).reasons]
    assert any("thumb lands on a black key (A♭4)" in sentence for sentence in sentences)


def test_scores_start_at_zero_and_grow_with_tempo_and_leap() -> None:
    """Nothing leapt is nothing hard; faster and further is harder."""
    chord = held(_root("Cmaj7"), Hand.RIGHT)
    wide = HandProfile().with_span(235)
    assert rate_jump(chord, Hand.RIGHT, wide, leap=0).score == 0
    assert rate_jump(chord, Hand.RIGHT, wide, leap=12).score < rate_jump(chord, Hand.RIGHT, wide, leap=24).score
    slow, fast = (_run(_root("Ebmaj7"), (205.0, TROUBLE, WEIGHTS), tempo=tempo).score for tempo in (60, 120))
    assert 0 < slow < fast


def test_a_chord_out_of_reach_is_harder_to_land_on() -> None:
    """A tenth that the hand cannot hold is no secure landing."""
    tenth = (Pitch.parse("C3"), Pitch.parse("G3"), Pitch.parse("E4"))
    small, large = (rate_jump(tenth, Hand.LEFT, HandProfile().with_span(span)).score for span in (185, 240))
    assert large < small


@pytest.mark.parametrize(
    ("chord", "costs"),
    [
        ("C", "0 0 0"), ("Db", "6 3 2"), ("D", "0 2 3"), ("F#", "5 5 5"), ("Bb", "2 3 0"), ("Bbm", "2 6 3"),
        ("Fmaj7", "0 0 0 0"), ("Abmaj7", "3 4 3 4"), ("Gbmaj7", "2 6 6 3"), ("G7", "0 0 0 0"), ("Eb7", "6 3 2 6"),
        ("Ebm7", "5 5 5 5"), ("Am7b5", "0 0 2 3"), ("Fm7b5", "4 3 4 3"),
    ],
)  # fmt: skip
def test_the_outer_fingers_order_the_inversions(chord: str, costs: str) -> None:
    """Worked out from the definition: thumb on black 2, fifth on black 3, a white key between the chord's blacks 1."""
    parsed = Chord.parse(chord)
    found = [outer_finger_cost(held(inverted(parsed, inversion), Hand.RIGHT)) for inversion in range(len(parsed.tones))]
    assert found == [int(cost) for cost in costs.split()]


@pytest.mark.parametrize("tempo", [0, 19, 301])
def test_a_tempo_nobody_plays_is_refused(tempo: int) -> None:
    """Runs and jumps share the limits."""
    with pytest.raises(ValueError, match=f"a tempo of {tempo} is not playable"):
        _run(_root("C"), (205.0, TROUBLE, WEIGHTS), tempo=tempo)
