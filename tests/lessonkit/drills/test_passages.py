"""What a hand does, told from the notes alone."""

from __future__ import annotations

import pytest

from lessonkit.drills.family import Texture, family
from lessonkit.drills.params import Plain
from lessonkit.drills.passages import Kind, passages
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.key import Key

C = Setting(Key.parse("C"))


def kinds(code: str, texture: Texture = Texture.FROM_NOTES, **settings: Plain) -> list[Kind]:
    exercise = realise(family(code).from_settings(settings), C)
    return [passage.kind for passage in passages(exercise, texture, HandProfile())]


@pytest.mark.parametrize(
    ("code", "settings", "expected"),
    [
        ("broken-chords", {}, Kind.POSITIONS),
        ("broken-chords", {"order": "outside-in"}, Kind.POSITIONS),
        ("diatonic-ladder", {}, Kind.POSITIONS),
        ("diatonic-ladder", {"touch": "solid"}, Kind.CHORDS),
        ("chord-jumps", {}, Kind.CHORDS),
        ("arpeggio-run", {}, Kind.LINE),
        ("arpeggio-run", {"size": "triad", "direction": "up"}, Kind.LINE),
    ],
)
def test_the_notes_say_what_the_hand_does(code: str, settings: dict[str, Plain], expected: Kind) -> None:
    """A new family needs to say nothing about it."""
    assert kinds(code, **settings) == [expected]


def test_a_family_may_say_it_where_the_notes_do_not() -> None:
    """A run that goes on upwards may be meant as one cell for each octave."""
    assert kinds("arpeggio-run", Texture.POSITIONS) == [Kind.POSITIONS]
    assert kinds("broken-chords", Texture.LINE) == [Kind.LINE]


def test_groups_that_no_hand_can_hold_are_a_line() -> None:
    """Six notes, or a group wider than the hand opens."""
    assert kinds("broken-chords", Texture.POSITIONS, quality="13", group_size="6") == [Kind.LINE]
    exercise = realise(family("broken-chords").from_settings({"quality": "maj7"}), C)
    narrow = HandProfile().with_span(140)
    assert [passage.kind for passage in passages(exercise, Texture.POSITIONS, narrow)] == [Kind.LINE]


def test_each_key_and_each_hand_has_passages_of_its_own() -> None:
    """Typed fingers are counted from the first note of each key."""
    drill = family("progression-through-keys").from_settings({"count": 3, "progression": "Imaj7 | V7"})
    found = passages(realise(drill, C), Texture.FROM_NOTES, HandProfile())
    assert [(passage.hand.value, str(passage.key), passage.kind) for passage in found[:2]] == [
        ("right", "C major", Kind.CHORDS), ("right", "G major", Kind.CHORDS),
    ]  # fmt: skip
    assert [passage.kind for passage in found[3:]] == [Kind.BASS] * 3
    assert all(passage.first_note == 0 for passage in found)
