"""What to change so that hands reach a drill, and what is said of typed fingers."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonkit.drills.family import DrillFamily, families, family
from lessonkit.drills.finger_remarks import finger_remarks, swapped_group
from lessonkit.drills.fingers import runner_up, with_pin, with_runner_up
from lessonkit.drills.reach_marks import reach_marks
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.within_reach import ReachWay, left_in_words, ways_within_reach
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.key import Key

SMALL = Setting(Key.parse("Eb"), hands=HandProfile(160, 160))
LARGE = Setting(Key.parse("Eb"), hands=HandProfile(240, 240))


def ways(drill: DrillFamily, setting: Setting) -> list[ReachWay]:
    """Only those that help."""
    return [way for way in ways_within_reach(drill, setting) if way is not None]


@pytest.mark.parametrize("code", list(families()))
def test_every_way_leaves_less_that_is_too_wide(code: str) -> None:
    """Advice that does not help is worse than none; each way is worked out before it is offered."""
    drill = families()[code]()
    now = len(reach_marks(drill, SMALL))
    for way in ways(drill, SMALL):
        assert replace(drill, **{way.setting: way.value}) == way.drill  # type: ignore[arg-type]
        assert len(reach_marks(way.drill, SMALL)) == way.left < now
        assert bool(left_in_words(way)) == bool(way.left)


def test_solid_tenths_for_small_hands_are_rolled() -> None:
    """Rolled chords are not held together and may be as wide as they like (common practice, no source)."""
    tenths = family("left-hand-tenths").from_settings({"touch": "solid"})
    assert "roll it" in [way.what for way in ways(tenths, SMALL)]


def test_wide_chords_are_laid_out_otherwise() -> None:
    """Sevenths in root position are wide; smooth ones lie closer together (common practice, no source)."""
    found = {way.what: way.left for way in ways(family("degree-detective")(), SMALL)}
    assert found["lay the chords out otherwise: smooth"] < len(reach_marks(family("degree-detective")(), SMALL))


def test_the_fifth_is_left_out_only_where_that_helps() -> None:
    """What is too wide from root to tenth stays so without the fifth between."""
    tenths = family("left-hand-tenths").from_settings({"touch": "solid"})
    assert "leave out the fifth" not in [way.what for way in ways(tenths, SMALL)]


def test_what_large_hands_reach_needs_no_change() -> None:
    """Nothing is offered where nothing is too wide."""
    assert not list(ways_within_reach(family("chord-jumps")(), LARGE))


def pinned(*fingers: int) -> DrillFamily:
    """Broken chords with these fingers on the first notes."""
    drill: DrillFamily = family("broken-chords")()
    for note, finger in enumerate(fingers):
        drill = with_pin(drill, Hand.RIGHT, note, finger, Key.parse("Eb"))
    return drill


def test_only_typed_fingers_are_remarked_on() -> None:
    """What the program itself remarks on a drill is not the teacher's typing."""
    setting = Setting(Key.parse("Eb"))
    assert finger_remarks(pinned(), setting) == ()
    assert finger_remarks(pinned(1, 2), setting) == ()
    (sentence,) = finger_remarks(pinned(5, 1, 5, 1), setting)
    assert "cannot be taken in one position of the right hand" in sentence


@pytest.mark.parametrize("code", list(families()))
def test_the_group_that_is_shown_is_the_one_that_changes(code: str) -> None:
    """What the teacher reads of the other fingers is what the swap then prints."""
    setting = Setting(Key.parse("Ab"))
    drill = families()[code]()
    for hand in drill.playing_hands:
        other = runner_up(drill, setting, hand)
        if other is None:
            continue
        exercise = realise(drill, setting)
        names, now, then = swapped_group(exercise, other)
        assert len(names) == len(now) == len(then)
        assert now != then
        swapped = realise(with_runner_up(drill, other), setting)
        printed = [
            tuple(finger for event in swapped.of(hand) if event.group == group for finger in event.fingers)
            for group in {event.group for event in swapped.of(hand)}
        ]
        assert then in printed
