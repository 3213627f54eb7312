"""What hands do becomes whole bars: groups, rests at the end, tuplets, ends of sections, fingers."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lessonkit.drills.exercise import BarEnd, ChordMark, Dynamic, Exercise, Hand
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.family import Hands, Metre
from lessonkit.drills.writing import MOST_EVENTS, Section, Step, Threes, for_hands, note_in_group, write
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch

C = Key.parse("C")
EIGHTH = Fraction(1, 8)


def steps(count: int, size: int, length: Fraction = EIGHTH) -> list[Step]:
    """So many groups of middle Cs."""
    return [Step((Pitch.parse("C4"),), length, group) for group in range(count) for _ in range(size)]


def lines(exercise: Exercise) -> list[str]:
    """The bars as length and end."""
    return [f"{bar.length} {bar.end.value}" for bar in exercise.bars]


def test_the_last_bar_is_filled_with_a_rest_of_its_own_group() -> None:
    """No beam may reach into the rest."""
    exercise = write(BrokenChords(), [Section(C, {Hand.RIGHT: steps(3, 4)})], summary="")
    assert lines(exercise) == ["1 single", "1 final"]
    rest = exercise.events[-1]
    assert (rest.pitches, rest.onset, rest.length, rest.group) == ((), Fraction(3, 2), Fraction(1, 2), 3)


def test_a_full_bar_needs_no_rest() -> None:
    """Eight eighths are one bar of four quarters."""
    exercise = write(BrokenChords(), [Section(C, {Hand.RIGHT: steps(2, 4)})], summary="")
    assert lines(exercise) == ["1 final"]
    assert all(event.pitches for event in exercise.events)


def test_free_time_gives_each_group_a_bar_without_a_line() -> None:
    """Lines of the page may break between groups and nowhere else."""
    exercise = write(BrokenChords(metre=Metre.FREE), [Section(C, {Hand.RIGHT: steps(3, 5)})], summary="")
    assert exercise.meter is None
    assert lines(exercise) == ["5/8 invisible", "5/8 invisible", "5/8 final"]


def test_sections_follow_one_another_with_their_own_keys() -> None:
    """Onsets of a section's chords and dynamics count from its start; its groups are its own."""
    mark, loud = ChordMark(Fraction(0), Chord.parse("C")), Dynamic(EIGHTH, "f")
    sections = [
        Section(Key.parse(text), {Hand.RIGHT: steps(1, 4)}, (mark,), (loud,), label=text, starts_line=True)
        for text in ("C", "F")
    ]
    exercise = write(BrokenChords(), sections, summary="")
    assert [(bar.key, bar.label, bar.starts_line, bar.end) for bar in exercise.bars] == [
        (Key.parse("C"), "C", True, BarEnd.DOUBLE),
        (Key.parse("F"), "F", True, BarEnd.FINAL),
    ]
    assert [chord.onset for chord in exercise.chords] == [0, 1]
    assert [dynamic.onset for dynamic in exercise.dynamics] == [EIGHTH, 1 + EIGHTH]
    assert [event.group for event in exercise.events] == [0, 0, 0, 0, 1, 2, 2, 2, 2, 3]


@pytest.mark.parametrize(
    ("metre", "size", "threes", "length"),
    [
        (Metre.FOUR_FOUR, 3, Threes.TRIPLETS, Fraction(1, 12)),
        (Metre.FOUR_FOUR, 6, Threes.TRIPLETS, Fraction(1, 12)),
        (Metre.FOUR_FOUR, 3, Threes.EVEN, EIGHTH),
        (Metre.FOUR_FOUR, 4, Threes.TRIPLETS, EIGHTH),
        (Metre.SIX_EIGHT, 3, Threes.TRIPLETS, EIGHTH),
        (Metre.FREE, 3, Threes.TRIPLETS, EIGHTH),
    ],
)
def test_threes_become_triplets_where_beats_are_plain(
    metre: Metre, size: int, threes: Threes, length: Fraction
) -> None:
    """In dotted beats threes are at home already, and in free time there is no beat to divide."""
    assert note_in_group(EIGHTH, size, BrokenChords(metre=metre), threes) == length


def test_triplets_chosen_as_note_length_stay_as_they_are() -> None:
    """They are not divided once more, and the page learns that they are triplets."""
    exercise = write(BrokenChords(), [Section(C, {Hand.RIGHT: steps(1, 3, Fraction(1, 12))})], summary="")
    assert note_in_group(Fraction(1, 12), 3, BrokenChords(), Threes.TRIPLETS) == Fraction(1, 12)
    assert [event.tuplet for event in exercise.events] == [3, 3, 3, 0]


def test_hands_keep_apart() -> None:
    """An octave for single notes, two where a chord is wider than that; the left hand alone an octave below."""
    single = [Step((Pitch.parse("C4"),), EIGHTH)]
    wide = [Step((Pitch.parse("C4"), Pitch.parse("D5")), EIGHTH)]
    both, left = BrokenChords(hands=Hands.BOTH), BrokenChords(hands=Hands.LEFT)
    assert for_hands(both, single)[Hand.LEFT][0].pitches == (Pitch.parse("C3"),)
    assert for_hands(both, wide)[Hand.LEFT][0].pitches == (Pitch.parse("C2"), Pitch.parse("D3"))
    assert list(for_hands(left, wide)) == [Hand.LEFT]
    assert for_hands(left, wide)[Hand.LEFT][0].pitches[0] == Pitch.parse("C3")


def test_a_drill_without_end_is_refused() -> None:
    """Before it is laid out, so that the sentence comes at once."""
    with pytest.raises(ValueError, match=f"more than {MOST_EVENTS}; take fewer keys"):
        write(BrokenChords(), [Section(C, {Hand.RIGHT: steps(MOST_EVENTS, 2)})], summary="")
