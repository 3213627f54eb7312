"""Which fingers are printed where only changes are: what is left out can be guessed from the finger before."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import Hands, family
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


def test_chords_say_their_fingers_in_each_key_and_where_their_shape_changes() -> None:
    """C4 E4 G4 B4, then C4 E4 G4 A4 and so on: every shape is another one, and each key begins anew."""
    first = printed("progression-through-keys", count=3, fingers_shown="first group")
    assert first == printed("progression-through-keys", count=3)
    assert first == printed("progression-through-keys", count=3, fingers_shown="all")
    assert len(first) == 3 * 4 * 4


def test_a_chord_that_is_struck_again_does_not_say_its_fingers_again() -> None:
    """Two strokes of each of four chords: D4 F4 A4 C5, D4 F4 G4 B4, C4 E4 G4 B4, C#4 E4 G4 A4."""
    assert re.sub(r"\d{4}", "x", printed("comping-rhythms")) == "x.x.x.x."


def test_sevenths_in_root_position_are_one_shape() -> None:
    """Thirds are thirds under the hand, major or minor: the fingers are said again only where they are others."""
    assert printed("diatonic-ladder", touch="solid", octaves=1, direction="up") == "1235......."


def test_a_bass_that_one_finger_plays_throughout_says_nothing() -> None:
    """A lone 5 under the first of twelve roots helps nobody; typed, it is printed."""
    for shown in ("first group", "changes only"):
        drill = family("progression-through-keys").from_settings({"hands": "both", "count": 3, "fingers_shown": shown})
        for typed in ((), (5,)):
            exercise = realise(replace(drill, left_fingers=typed), Setting(Key.parse("C")))
            events = [exercise.events[index] for index in fingers_to_print(exercise)]
            basses = [event for event in events if event.hand is Hand.LEFT]
            assert all(event.pinned for event in basses)
            assert bool(basses) == bool(typed)


def test_a_line_that_turns_says_where_its_finger_is() -> None:
    """Thirds of G major up and down: where the line turns on G5 it goes on with 4, not anew with 1."""
    assert printed("sequences", "G") == "13.4" + "." * 16 + "4" + "." * 20


def test_a_hand_that_leaps_says_where_it_begins() -> None:
    """The same fingers on a chord a fifth lower: without its first finger the reader does not know who begins."""
    drill = family("upper-extension").from_settings({"fingers_shown": "changes only", "touch": "broken"})
    exercise = realise(replace(drill, hands=Hands.RIGHT), Setting(Key.parse("Db")))
    shown = fingers_to_print(exercise)
    groups: dict[int, list[int]] = {}
    for index, event in enumerate(exercise.events):
        if event.hand is Hand.RIGHT and event.pitches:
            groups.setdefault(event.group, []).append(index)
    leaps = 0
    for before, after in pairwise(groups.values()):
        one, other = (min(exercise.events[index].pitches[0].midi for index in group) for group in (before, after))
        if abs(one - other) > 5:
            leaps += 1
            assert after[0] in shown
    assert leaps


def test_figures_of_the_first_group_are_said_once_in_each_section() -> None:
    """5 2 1 2 over and over, in two parts of the drill."""
    drill = family("ostinato").from_settings({"hands": "left", "fingers_shown": "first group"})
    exercise = realise(drill, Setting(Key.parse("C")))
    begins = {bar.onset for bar in exercise.bars if bar.key is not None or bar.label}
    shown = fingers_to_print(exercise)
    assert len(begins) > 1
    assert len(shown) == 4 * len(begins)
    assert begins <= {exercise.events[index].onset for index in shown}
