"""An improvement reaches a student's lesson; what was made theirs stays, and disagreements are told in words."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.progression_through_keys import ProgressionThroughKeys
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson import edits
from lessonkit.lesson.lesson import Drill, Note
from lessonkit.students.adapt import adapt, with_choice
from lessonkit.students.carrying_over import carried_over
from lessonkit.students.student import ReadingLevel
from tests.lessonkit.students.test_adapt import DAY, PLAIN, WEAK_IN_FLATS, lesson

ORIGINAL = lesson(ProgressionThroughKeys(count=4), BrokenChords())
SMALL = replace(WEAK_IN_FLATS, hands=HandProfile().with_span(190))


def test_nothing_improved_changes_nothing() -> None:
    adapted = adapt(ORIGINAL, SMALL, DAY)
    found = carried_over(adapted, ORIGINAL, SMALL, DAY)
    assert found.adapted.lesson == adapted.lesson
    assert (found.taken, found.conflicts) == ((), ())


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
    assert "Progression through keys is new" in found.taken
    assert "Progression through keys, degrees: no rather than yes" in found.taken
    assert found.adapted.original == better


def test_what_both_changed_stays_and_is_told() -> None:
    """The teacher decides; nothing of the student's is lost silently."""
    adapted = adapt(ORIGINAL, WEAK_IN_FLATS, DAY)
    by_hand = replace(adapted, lesson=edits.set_note_text(adapted.lesson, "n", "For you."))
    better = edits.set_note_text(ORIGINAL, "n", "Better words.")
    better = edits.set_drill_setting(
        better, "d0", "order", ProgressionThroughKeys().with_text("order", "chromatic").order
    )
    found = carried_over(by_hand, better, WEAK_IN_FLATS, DAY)
    assert found.adapted.lesson.block("n") == Note("For you.", "n")
    assert found.conflicts == (
        "Progression through keys, order of keys: the original now has chromatic rather than round the fifths; "
        "this student's stays as listed",
        "the note changed in the original and here; this student's stays",
    )


def test_a_drill_told_in_letters_is_told_anew() -> None:
    """Letters of the older drill would be wrong."""
    reader = replace(PLAIN, reading=ReadingLevel.LETTERS)
    adapted = adapt(ORIGINAL, reader, DAY)
    better = edits.set_drill_setting(ORIGINAL, "d1", "octaves", 1)
    found = carried_over(adapted, better, reader, DAY)
    assert found.adapted.lesson == adapt(better, reader, DAY).lesson
    assert found.adapted.lesson.block("d1") != adapted.lesson.block("d1")


def test_what_is_gone_is_gone_unless_it_was_changed_here() -> None:
    adapted = adapt(ORIGINAL, WEAK_IN_FLATS, DAY)
    without = edits.delete_blocks(ORIGINAL, ("d0", "d1"))
    found = carried_over(adapted, without, WEAK_IN_FLATS, DAY)
    assert [block.id for block in found.adapted.lesson.blocks] == ["h", "d0", "n"]
    assert found.conflicts == ("Progression through keys is gone from the original; it was changed here and stays",)


def test_a_change_taken_back_leaves_what_was_edited_by_hand() -> None:
    """The teacher writes a word for the student, then takes one change back."""
    adapted = adapt(ORIGINAL, SMALL, DAY)
    by_hand = replace(adapted, lesson=edits.set_note_text(adapted.lesson, "n", "For you."))
    back = with_choice(by_hand, SMALL, "keys:d0", False)
    assert back.lesson.block("d0") == ORIGINAL.block("d0")
    assert back.lesson.block("n") == Note("For you.", "n")
    again = with_choice(back, SMALL, "keys:d0", True)
    assert again.lesson == by_hand.lesson
