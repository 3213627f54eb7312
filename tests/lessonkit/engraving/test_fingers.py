"""Which fingers are printed where only changes are: what is left out can be guessed from the finger before."""

from __future__ import annotations

import pytest

from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.fingers import fingers_to_print
from lessonkit.theory.key import Key

RUN = {"size": "triad", "direction": "up"}


def printed(code: str, key: str = "C", hand: Hand = Hand.RIGHT, **settings: Plain) -> str:
    """The fingers of a hand in order, a point for each note whose finger is left out."""
    drill = family(code).from_settings({"fingers_shown": "changes only", "hands": hand.value, **settings})
    exercise = realise(drill, Setting(Key.parse(key)))
    shown = fingers_to_print(exercise)
    return "".join(
        "".join(str(finger) for finger in shown[index]) if index in shown else "."
        for index, event in enumerate(exercise.events)
        if event.pitches
    )


@pytest.mark.parametrize(
    ("hand", "expected"),
    [(Hand.RIGHT, "1..1..5"), (Hand.LEFT, "5.2.421")],
)
def test_a_run_prints_its_first_note_and_each_crossing(hand: Hand, expected: str) -> None:
    """C major: crossings, skipped fingers and the last note; the thumb after the second finger is expected."""
    assert printed("arpeggio-run", hand=hand, **RUN) == expected


def test_positions_print_what_is_not_the_next_finger() -> None:
    """1 2 3 5: the first finger and the five that leaves the four out; the same frame is said once."""
    words = printed("broken-chords", octaves=1, direction="up", size="seventh")
    assert words.startswith("1..5")
    again = printed("broken-chords", size="triad", group_size="the chord's notes and the octave", octaves=2)
    assert again[:12] == "1..51.4....."


def test_chords_are_printed_whole_where_their_fingers_change() -> None:
    """One shape leapt about says its fingers once."""
    assert printed("chord-jumps", "Ab", direction="up") == "1235.."


def test_typed_fingers_are_always_printed() -> None:
    """They are exceptions by nature, even where a reader would have guessed them."""
    assert printed("arpeggio-run", right_fingers=[0, 2], **RUN) == "12.1..5"


def test_fingers_of_the_first_group_are_those_of_each_key() -> None:
    """A reader needs them once where the hand is placed."""
    drill = family("progression-through-keys").from_settings({"count": 3, "fingers_shown": "first group"})
    exercise = realise(drill, Setting(Key.parse("C")))
    shown = fingers_to_print(exercise)
    begins = {bar.onset for bar in exercise.bars if bar.key is not None}
    assert {exercise.events[index].onset for index in shown} == begins
    assert len(shown) == 2 * len(begins)
