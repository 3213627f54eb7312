"""What a hand can span, in words."""

import pytest

from lessonkit.hands.fingering import finger_line
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.hands.reach import Ease, needed_mm, reach_in_run, reach_of_chord
from lessonkit.theory.pitch import Pitch


def notes(text: str) -> tuple[Pitch, ...]:
    return tuple(Pitch.parse(name) for name in text.split())


def test_a_tenth_too_wide_is_told_in_millimetres_with_what_to_do() -> None:
    """The sentence stands on the block; the teacher sees what is missing and what helps."""
    reach = reach_of_chord(notes("C3 G3 Bb3 E4"), Hand.LEFT, HandProfile(left_span=205))
    assert reach.ease is Ease.OUT_OF_REACH
    assert reach.sentence == "the left hand needs 232 mm for C3–E4; this hand has 205"
    assert reach.advice == ("take another inversion", "open the chord to both hands", "roll it", "leave out the fifth")


@pytest.mark.parametrize(
    ("span", "interval", "ease"),
    [
        (216, "C4 C5", Ease.COMFORTABLE),
        (205, "C4 C5", Ease.PLAYABLE),
        (175, "C4 C5", Ease.EDGE),
        (165, "C4 C5", Ease.OUT_OF_REACH),
        (240, "C4 D5", Ease.COMFORTABLE),
        (218, "C4 E5", Ease.EDGE),
        (218, "Db4 F5", Ease.OUT_OF_REACH),
        (240, "Db4 F5", Ease.EDGE),
    ],
)
def test_intervals_lie_as_measured_hands_find_them(span: float, interval: str, ease: Ease) -> None:
    """Edge reach 170, 194 and 217 mm for octave, ninth and tenth, comfortable octave from 216 and ninth from 240 mm:
    published 6.7, 7.6, 8.5 in and 8.5, 9.4 in ("Pianist hand spans", 2015)."""
    assert reach_of_chord(notes(interval), Hand.RIGHT, HandProfile().with_span(span)).ease is ease


def test_a_reachable_chord_has_nothing_to_say() -> None:
    """Marks stand only where something is wrong."""
    reach = reach_of_chord(notes("C4 E4 G4"), Hand.RIGHT, HandProfile())
    assert (reach.is_within, reach.sentence, reach.advice) == (True, "", ())


def test_a_run_that_passes_the_thumb_stretches_nothing() -> None:
    """A fourth from finger 3 to the thumb and a major third from 4 to the thumb are reached by passing."""
    for text in ("C4 E4 G4 C5 E5 G5 C6", "Ab3 C4 Eb4 Ab4 C5 Eb5 Ab5"):
        pitches = notes(text)
        for span in (165, 205, 235):
            profile = HandProfile().with_span(span)
            fingers = finger_line(pitches, Hand.RIGHT, profile).fingers
            assert reach_in_run(pitches, fingers, Hand.RIGHT, profile) == ()


def test_a_run_pulled_wider_than_two_fingers_open_is_told() -> None:
    """Fingers 2 and 3 do not open a seventh."""
    (reach,) = reach_in_run(notes("C4 B4"), (2, 3), Hand.RIGHT, HandProfile())
    assert "fingers 2 and 3 of the right hand would have to open 141 mm for C4–B4" in reach.sentence


def test_a_chord_without_notes_is_refused() -> None:
    """There is nothing to reach for."""
    with pytest.raises(ValueError, match="without notes"):
        reach_of_chord((), Hand.LEFT, HandProfile())


def test_the_need_is_that_of_the_outer_keys() -> None:
    """185 mm hold an octave securely."""
    assert needed_mm(Pitch.parse("C4"), Pitch.parse("C5")) == pytest.approx(185)
