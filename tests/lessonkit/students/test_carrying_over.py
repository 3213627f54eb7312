"""An improvement reaches a student's lesson; what was made theirs stays, and disagreements are told in words."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.left_hand_tenths import LeftHandTenths, Touch
from lessonkit.drills.families.progression_through_keys import ProgressionThroughKeys
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson import edits
from lessonkit.lesson.lesson import Drill, Note
from lessonkit.students.adapt import adapt, with_choice
from lessonkit.students.carrying_over import carried_over
from lessonkit.students.marks import Cause
from lessonkit.students.student import ReadingLevel
from tests.lessonkit.students.test_adapt import DAY, PLAIN, WEAK_IN_FLATS, lesson, mark

ORIGINAL = lesson(ProgressionThroughKeys(count=4), BrokenChords())
SMALL = replace(WEAK_IN_FLATS, hands=HandProfile().with_span(190))


def test_nothing_improved_changes_nothing() -> None:
    adapted = adapt(ORIGINAL, SMALL, DAY)
    found = carried_over(adapted, ORIGINAL, SMALL, DAY)
    assert found.adapted.lesson == adapted.lesson
    assert found.points == ()


def test_a_better_note_and_a_new_drill_are_taken_and_the_keys_stay() -> None:
    """The new drill is adapted as the others were."""
    adapted = adapt(ORIGINAL, SMALL, DAY)
    better = edits.set_note_text(ORIGINAL, "n", "Better words.")
    better = edits.insert_block(better, 3, Drill(ProgressionThroughKeys(count=5), "new"))
    better = edits.set_drill_setting(better, "d0", "shows_degrees", False)
    found = carried_over(adapted, better, SMALL, DAY)
    made = found.adapted.lesson
    assert made.block("n") == Note("Better words.", "n")
    first, new = made.block("d0"), made.block("new")
    assert isinstance(first, Drill)
    assert isinstance(new, Drill)
    assert first.family.shows_degrees is False
    assert [key.ascii for key in first.family.keys] == ["C", "Ab", "Db", "G"]  # type: ignore[attr-defined]
    assert [key.ascii for key in new.family.keys][:3] == ["C", "Ab", "Db"]  # type: ignore[attr-defined]
    assert made.house.hands.right_span == 190
    assert found.conflicts == ()
    assert found.of_student == frozenset()
    assert "Progression through keys is new" in found.taken
    assert "Progression through keys, degrees: no rather than yes" in found.taken
    assert found.adapted.original == better


def test_what_both_changed_stays_and_is_told() -> None:
    """The teacher decides; nothing of the student's is lost silently."""
    adapted = adapt(ORIGINAL, WEAK_IN_FLATS, DAY)
    mine = edits.set_note_text(adapted.lesson, "n", "For you.")
    mine = edits.set_drill_setting(mine, "d1", "octaves", 3)
    by_hand = replace(adapted, lesson=mine)
    better = edits.set_note_text(ORIGINAL, "n", "Better words.")
    better = edits.set_drill_setting(better, "d1", "octaves", 1)
    found = carried_over(by_hand, better, WEAK_IN_FLATS, DAY)
    assert found.adapted.lesson == mine
    assert found.left == (
        "Broken chords, octaves: the original now has 1 rather than 2; here it is 3",
        "the note now reads “Better words.” in the original; here “For you.”",
    )
    accepted = carried_over(by_hand, better, WEAK_IN_FLATS, DAY, {point.key: True for point in found.points})
    assert accepted.adapted.lesson == adapt(better, WEAK_IN_FLATS, DAY).lesson


def test_each_point_is_accepted_or_refused_alone() -> None:
    """What is refused stays as it was, and is not offered again: the better original is now the one compared with."""
    adapted = adapt(ORIGINAL, SMALL, DAY)
    better = edits.set_note_text(ORIGINAL, "n", "Better words.")
    better = edits.insert_block(better, 3, Note("One more.", "more"))
    better = edits.delete_blocks(better, ("h",))
    found = carried_over(adapted, better, SMALL, DAY)
    assert {point.key for point in found.points} == {"block:n", "new:more", "gone:h"}
    for refused in found.points:
        made = carried_over(adapted, better, SMALL, DAY, {refused.key: False}).adapted
        names = [block.id for block in made.lesson.blocks]
        assert (made.lesson.block("n") == ORIGINAL.block("n")) == (refused.key == "block:n")
        assert ("more" in names) == (refused.key != "new:more")
        assert ("h" in names) == (refused.key == "gone:h")
        assert carried_over(made, better, SMALL, DAY).points == ()


def test_another_order_comes_over_unless_the_teacher_made_one() -> None:
    """Blocks that were moved by hand for this student stay where they were put."""
    adapted = adapt(ORIGINAL, PLAIN, DAY)
    better = edits.move_blocks(ORIGINAL, ("n",), 0)
    assert carried_over(adapted, better, PLAIN, DAY).adapted.lesson.blocks[0].id == "n"
    by_hand = replace(adapted, lesson=edits.move_blocks(adapted.lesson, ("d1",), 0))
    only_words = edits.set_note_text(ORIGINAL, "n", "Better words.")
    kept = carried_over(by_hand, only_words, PLAIN, DAY)
    assert [block.id for block in kept.adapted.lesson.blocks] == [block.id for block in by_hand.lesson.blocks]
    assert kept.conflicts == ()
    both = carried_over(by_hand, better, PLAIN, DAY)
    assert both.conflicts == ("the blocks stand in another order",)
    assert both.adapted.lesson == by_hand.lesson
    assert carried_over(by_hand, better, PLAIN, DAY, {"order": True}).adapted.lesson.blocks[0].id == "n"


def test_what_the_student_has_outgrown_is_told_apart_from_the_improvement() -> None:
    """A better hand is no improvement of the lesson."""
    adapted = adapt(ORIGINAL, SMALL, DAY)
    grown = replace(SMALL, hands=HandProfile().with_span(214))
    better = edits.set_note_text(ORIGINAL, "n", "Better words.")
    found = carried_over(adapted, better, grown, DAY)
    of_lesson = [point.sentence for point in found.points if point.key not in found.of_student]
    assert of_lesson == ["the note “Better words.” changed"]
    assert "house:hands" in found.of_student
    assert found.adapted.lesson == adapt(better, grown, DAY).lesson


def test_a_drill_told_in_letters_is_told_anew() -> None:
    """Letters of the older drill would be wrong."""
    reader = replace(PLAIN, reading=ReadingLevel.LETTERS)
    adapted = adapt(ORIGINAL, reader, DAY)
    better = edits.set_drill_setting(ORIGINAL, "d1", "octaves", 1)
    found = carried_over(adapted, better, reader, DAY)
    assert found.adapted.lesson == adapt(better, reader, DAY).lesson
    assert found.adapted.lesson.block("d1") != adapted.lesson.block("d1")


def test_what_is_gone_is_gone_unless_it_was_changed_by_hand() -> None:
    adapted = adapt(ORIGINAL, WEAK_IN_FLATS, DAY)
    by_hand = replace(adapted, lesson=edits.set_drill_setting(adapted.lesson, "d0", "shows_degrees", False))
    without = edits.delete_blocks(ORIGINAL, ("d0", "d1"))
    found = carried_over(by_hand, without, WEAK_IN_FLATS, DAY)
    assert [block.id for block in found.adapted.lesson.blocks] == ["h", "d0", "n"]
    assert found.conflicts == ("Progression through keys is gone from the original; here it was changed",)


def test_a_change_taken_back_leaves_what_was_edited_by_hand() -> None:
    """The teacher writes a word for the student, then takes one change back."""
    adapted = adapt(ORIGINAL, SMALL, DAY)
    by_hand = replace(adapted, lesson=edits.set_note_text(adapted.lesson, "n", "For you."))
    back = with_choice(by_hand, SMALL, "keys:d0", False)
    assert back.lesson.block("d0") == ORIGINAL.block("d0")
    assert back.lesson.block("n") == Note("For you.", "n")
    again = with_choice(back, SMALL, "keys:d0", True)
    assert again.lesson == by_hand.lesson


def test_a_change_taken_back_puts_the_drill_in_the_place_of_words_changed_by_hand() -> None:
    """Who lets a drill be played again wants the drill, whatever was written into the words in its place."""
    sore = replace(PLAIN, marks=(mark("left-hand-tenths/C/left", 1, cause=Cause.PAIN),))
    original = lesson(LeftHandTenths(touch=Touch.SOLID))
    adapted = adapt(original, sore, DAY)
    by_hand = replace(adapted, lesson=edits.set_note_text(adapted.lesson, "d0", "In my own words."))
    assert isinstance(by_hand.lesson.block("d0"), Note)
    assert isinstance(with_choice(by_hand, sore, "pain:d0", False).lesson.block("d0"), Drill)
