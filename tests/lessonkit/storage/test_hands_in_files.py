"""Hands, cautions and maps in lesson files."""

from __future__ import annotations

import json
from typing import Any

import pytest

from lessonkit.drills.chord_map import ChordMap, Columns, Qualities, Rows
from lessonkit.drills.exercise import FingersShown
from lessonkit.hands.easier import As
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson.lesson import DifficultyMap, House, Lesson
from lessonkit.storage.lesson_file import LessonFileError, lesson_from_bytes, lesson_to_bytes
from lessonkit.theory.key import MAJOR_KEYS

MAP = ChordMap(
    Rows.QUALITIES, qualities=Qualities.TRIADS, played=As.JUMP, hand=Hand.LEFT, tempo=120,
    columns=Columns.CHOSEN, keys=MAJOR_KEYS,
)  # fmt: skip
HOUSE = House(
    hands=HandProfile(190, 196, 0, 3, True), starts_black_with_second=True, shows_difficulty=True, caution="Gently.",
    fingers=FingersShown.CHANGES,
)  # fmt: skip
LESSON = Lesson(house=HOUSE, blocks=(DifficultyMap(ChordMap(), "a"), DifficultyMap(MAP, "b")))


def tree() -> Any:
    return json.loads(lesson_to_bytes(LESSON))


def sentence_about(changed: Any) -> str:
    with pytest.raises(LessonFileError) as caught:
        lesson_from_bytes(json.dumps(changed).encode(), "my.lesson")
    return str(caught.value).removeprefix("my.lesson: ")


def test_hands_cautions_and_maps_come_back_as_they_were() -> None:
    """Spans and strengths are whole numbers in the file."""
    assert lesson_from_bytes(lesson_to_bytes(LESSON), "a") == LESSON
    assert tree()["house"]["hands"] == {
        "right_span": 190, "left_span": 196, "keep_thumb_off_black": 0, "keep_little_finger_off_black": 3,
        "avoid_stretches": True,
    }  # fmt: skip


def test_what_older_files_do_not_say_is_as_usual() -> None:
    """The first files know no hands, no caution and no map."""
    old = tree()
    for name in ("hands", "starts_black_with_second", "shows_difficulty", "caution", "fingers"):
        del old["house"][name]
    assert lesson_from_bytes(json.dumps(old).encode(), "a").house == House()


@pytest.mark.parametrize(
    ("name", "value", "expected"),
    [
        ("right_span", 50, "house.hands.right_span: this number is less than 120"),
        ("left_span", 900, "house.hands.left_span: this number is more than 300"),
        ("left_span", 200.5, "house.hands.left_span: a whole number belongs here"),
        ("keep_thumb_off_black", 4, "house.hands.keep_thumb_off_black: this number is more than 3"),
        ("avoid_stretches", 1, "house.hands.avoid_stretches: true or false belongs here"),
        ("fingers", 11, "house.hands.fingers: there is no such field"),
    ],
)
def test_a_wrong_hand_is_named_in_one_sentence(name: str, value: object, expected: str) -> None:
    """As every other wrong place in a file."""
    changed = tree()
    changed["house"]["hands"][name] = value
    assert sentence_about(changed).startswith(expected)


def test_a_caution_of_two_lines_or_too_long_is_named() -> None:
    """It stands at the foot of a page."""
    changed = tree()
    changed["house"]["caution"] = "a\nb"
    assert sentence_about(changed).startswith("house.caution: the caution is one paragraph")
    changed["house"]["caution"] = "x" * 501
    assert sentence_about(changed).startswith("house.caution: this text is longer than 500")


@pytest.mark.parametrize(
    ("name", "value", "expected"),
    [
        ("tempo", 5, "blocks[1].map.tempo: 5 is less than 20"),
        ("played", "sung", "blocks[1].map.played: 'sung' is not one of: run, jump"),
        ("quality", "zzz", "blocks[1].map.quality: 'zzz' is not a chord quality"),
        ("colour", "red", "blocks[1].map.colour: Difficulty map has no such setting"),
        ("keys", [1, "C"], "blocks[1].map.keys: a list holds either texts or numbers"),
    ],
)
def test_a_wrong_map_is_named_in_one_sentence(name: str, value: object, expected: str) -> None:
    """The place is that of the block."""
    changed = tree()
    changed["blocks"][1]["map"][name] = value
    assert sentence_about(changed).startswith(expected)
