"""Hands in millimetres and in words."""

import pytest

from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile, span_from_words


@pytest.mark.parametrize(
    ("said", "millimetres"),
    [
        ("205", 205),
        ("20.5 cm", 205),
        ("8 in", 203.2),
        ("21", 210),
        ("small", 185),
        ("Large", 226),
        ("large hand", None),
    ],
)
def test_a_span_is_read_as_teachers_say_it(said: str, millimetres: float | None) -> None:
    """Rulers differ; below 40 a bare number can only be centimetres."""
    if millimetres is None:
        with pytest.raises(ValueError, match="is not a hand"):
            span_from_words(said)
    else:
        assert span_from_words(said) == pytest.approx(millimetres)


def test_a_comfortable_octave_takes_eight_and_a_half_inches() -> None:
    """Published: 8.5 in for a comfortable octave and 9.4 in for a ninth ("Pianist hand spans", 2015)."""
    assert span_from_words("comfortable octave") == pytest.approx(8.5 * 25.4, abs=2)
    assert span_from_words("a comfortable 9th") == span_from_words("ninth") == span_from_words("Comfortable  Ninth")
    assert span_from_words("comfortable ninth") == pytest.approx(9.4 * 25.4, abs=2)


@pytest.mark.parametrize("span", [50, 119, 301])
def test_a_span_that_is_no_hand_is_refused_in_a_sentence(span: float) -> None:
    """A mistyped span would give fingers that nobody can play."""
    with pytest.raises(ValueError, match=rf"span of {span} mm is not a playing hand; measure"):
        HandProfile(right_span=span)


def test_the_hands_may_differ() -> None:
    """Left spans are sometimes larger than right ones ("The pianist's hand", Ergonomics, 1988)."""
    profile = HandProfile(right_span=200, left_span=208)
    assert (profile.span(Hand.RIGHT), profile.span(Hand.LEFT)) == (200, 208)


def test_a_preference_beyond_its_scale_is_refused() -> None:
    """Strengths run from 0 to 3."""
    with pytest.raises(ValueError, match="the strength runs from 0 to 3"):
        HandProfile(keep_thumb_off_black=4)
