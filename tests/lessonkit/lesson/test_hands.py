"""The player's hands in a lesson: spans, preferences, typed fingers, easier drills, the line of care."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonkit.drills.chord_map import ChordMap, Columns
from lessonkit.drills.easier_drills import easier_drills
from lessonkit.drills.family import FingersHold, family
from lessonkit.drills.realise import realise
from lessonkit.drills.strain import Strain
from lessonkit.hands.easier import Way
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson import edits
from lessonkit.lesson.cautions import LINES, STANDARD, caution_of
from lessonkit.lesson.change import change_between
from lessonkit.lesson.history import History
from lessonkit.lesson.lesson import LONGEST_CAUTION, DifficultyMap, Drill, House, Lesson, Note
from lessonkit.lesson.problems import problems
from lessonkit.theory.key import Key

AB = Key.parse("Ab")


def lesson_with(code: str = "arpeggio-run", **settings: object) -> Lesson:
    drill = Drill(family(code).from_settings(settings), "drill")  # type: ignore[arg-type]
    return Lesson(key=AB, blocks=(drill,))


def test_the_hands_of_a_lesson_reach_its_drills() -> None:
    """A student with small hands gets other remarks from the same lesson."""
    lesson = edits.set_hands(lesson_with(), HandProfile().with_span(185))
    assert lesson.setting.hands.span(Hand.RIGHT) == 185
    assert change_between(lesson_with(), lesson).is_setting_changed


@pytest.mark.parametrize(
    ("text", "span"), [("205", 205), ("19 cm", 190), ("8 in", 203), ("small", 185), ("comfortable ninth", 240)]
)
def test_a_span_is_read_as_teachers_say_it(text: str, span: int) -> None:
    """One hand at a time, in whole millimetres."""
    hands = edits.set_span_text(Lesson(), Hand.LEFT, text).house.hands
    assert (hands.left_span, hands.right_span) == (span, 205)


def test_a_span_that_is_no_hand_is_one_sentence() -> None:
    """As is a strength between the steps."""
    with pytest.raises(ValueError, match="50 mm is not a playing hand"):
        edits.set_span_text(Lesson(), Hand.RIGHT, "50 mm")
    with pytest.raises(ValueError, match=r"right span is 205\.5; give a whole number"):
        edits.set_hands(Lesson(), HandProfile(right_span=205.5))
    with pytest.raises(ValueError, match=r"keep thumb off black is 1\.5; give a whole number"):
        edits.set_hands(Lesson(), HandProfile(keep_thumb_off_black=1.5))


def test_a_finger_typed_on_the_page_can_be_taken_away_and_undone() -> None:
    """A click on a number is an edit like any other."""
    lesson = lesson_with()
    pinned = edits.pin_finger(lesson, "drill", 1, 0, 1)
    event = realise(edits.declared_of(pinned.blocks[0]), pinned.setting).events[1]  # type: ignore[arg-type]
    assert event.fingers == (1,)
    assert event.pinned == {0}
    assert edits.pin_finger(pinned, "drill", 1, 0, 0).blocks[0].family.right_fingers == ()  # type: ignore[union-attr]
    history = History(lesson)
    history.edit("Finger", pinned)
    assert history.undo() == lesson


def test_a_typed_finger_holds_where_the_teacher_says() -> None:
    """In every key or in this one only, and back again."""
    lesson = edits.pin_finger(lesson_with("broken-chords"), "drill", 0, 0, 2)
    everywhere = edits.hold_finger(lesson, "drill", 0, 0, True)
    family_now = edits.declared_of(everywhere.blocks[0])
    assert family_now.fingers_hold is FingersHold.EVERY_KEY  # type: ignore[attr-defined]
    assert family_now.fingers_key == lesson.key  # type: ignore[attr-defined]
    assert edits.hold_finger(everywhere, "drill", 0, 0, False) == lesson
    assert edits.hold_finger(lesson, "drill", 1, 0, True) == lesson, "no finger is typed there"


def test_the_runner_up_is_taken_with_one_edit() -> None:
    """Where there is none the lesson stays as it is."""
    lesson = lesson_with("broken-chords")
    taken = edits.take_runner_up(lesson, "drill", Hand.RIGHT)
    assert any(taken.blocks[0].family.right_fingers)  # type: ignore[union-attr]
    assert edits.take_runner_up(lesson, "drill", Hand.LEFT) == lesson


@pytest.mark.parametrize("way", [Way.INVERSION, Way.START, Way.UPPER, Way.CELL, Way.SPLIT])
def test_every_easier_way_is_applied_with_one_edit(way: Way) -> None:
    """A run on A♭maj7 from the root, at speed."""
    lesson = edits.set_tempo(lesson_with(note_length="1/16"), 90)
    drill = lesson.blocks[0]
    assert isinstance(drill, Drill)
    suggestion = next(one for one in easier_drills(drill.family, lesson.setting) if one.way is way)
    easier = edits.make_easier(lesson, "drill", suggestion)
    assert easier != lesson
    assert problems(easier) == ()
    assert easier.blocks[0].id == "drill"


def test_typed_fingers_stay_with_the_key_they_were_typed_in() -> None:
    """A transposed lesson moves the keys of its drills, not the key that fingers were made for."""
    lesson = lesson_with(key="Ab", right_fingers=[1], fingers_hold="in one key only", fingers_key="Ab")
    moved = edits.transposed(lesson, Key.parse("Bb")).blocks[0].family  # type: ignore[union-attr]
    assert (moved.key, moved.fingers_key) == (Key.parse("Bb"), AB)


def test_a_map_is_edited_moved_and_checked_like_a_drill() -> None:
    """Its listed keys go along with the lesson."""
    listed = ChordMap(columns=Columns.CHOSEN, keys=(AB,))
    lesson = Lesson(key=AB, blocks=(DifficultyMap(listed, "map"),))
    assert edits.declared_of(edits.transposed(lesson, Key.parse("Bb")).blocks[0]).keys == (  # type: ignore[attr-defined]
        Key.parse("Bb"),
    )
    faster = edits.set_drill_setting(lesson, "map", "tempo", 120).blocks[0]
    assert faster == DifficultyMap(replace(listed, tempo=120), "map")
    assert edits.set_drill_text(lesson, "map", "hand", "left").blocks[0] != lesson.blocks[0]
    empty = edits.set_drill_setting(lesson, "map", "keys", ())
    assert problems(lesson) == ()
    assert problems(empty) == (
        "blocks[0]: Difficulty map cannot be worked out: no keys are listed; list some, such as C, F, Bb",
    )
    with pytest.raises(TypeError, match="is not a drill"):
        edits.declared_of(Note("words"))


def test_a_lesson_with_drills_carries_a_caution_that_cannot_be_lost() -> None:
    """The teacher may reword it; empty or blank stands for the usual wording."""
    lesson = lesson_with()
    assert caution_of(lesson) == STANDARD
    for words in ("Stop if anything hurts", "stretch", "rest", "Warm up", "teacher", "doctor"):
        assert words in STANDARD
    for empty in ("", "   "):
        assert caution_of(edits.set_house(lesson, House(caution=empty))) == STANDARD
    own = edits.set_house(lesson, House(caution="Gently, and stop when it hurts."))
    assert caution_of(own) == "Gently, and stop when it hurts."
    assert change_between(lesson, own).is_head_changed
    assert caution_of(Lesson(blocks=(Note("words"),))) == ""
    with pytest.raises(ValueError, match="the caution is one paragraph"):
        House(caution="two\nlines")
    with pytest.raises(ValueError, match="the caution of 501 characters is longer than 500"):
        House(caution="x" * (LONGEST_CAUTION + 1))


def test_what_a_drill_asks_for_is_said_whatever_the_wording() -> None:
    """A handout of ten loud leaps says so; the usual wording speaks of stretches already, another may not."""
    loud = family("chord-jumps").from_settings({"terraces": "all loud", "octaves": 4, "lowest": "C2"})
    lesson = Lesson(blocks=(Drill(loud),), house=House(hands=HandProfile().with_span(240)))
    assert caution_of(lesson) == f"{STANDARD} {LINES[Strain.FORCE]}"
    own = edits.set_house(lesson, replace(lesson.house, caution="Gently."))
    assert caution_of(own) == f"Gently. {LINES[Strain.FORCE]}"
    wide = family("double-notes").from_settings({"doubled": "octaves"})
    small = Lesson(blocks=(Drill(wide),), house=House(hands=HandProfile().with_span(165)))
    assert LINES[Strain.STRETCH] not in caution_of(small)
    assert LINES[Strain.STRETCH] in caution_of(edits.set_house(small, replace(small.house, caution="Gently.")))
    assert set(LINES) == set(Strain)
