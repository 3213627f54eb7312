"""Ledger lines, octave lines and clefs: what stands where, and that nothing needs more than four ledger lines."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lessonkit.drills.exercise import Bar, Event, Exercise, Hand, Meter
from lessonkit.drills.family import family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.score import written
from lessonkit.engraving.staves import Stand, ledger_lines, stands
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch

TREBLE, BASS = Stand("G", 0), Stand("F", 0)


def drill(hand: Hand, groups: list[str]) -> Exercise:
    """Groups of eighths in 4/4."""
    notes = [(text, number) for number, group in enumerate(groups) for text in group.split()]
    eighth = Fraction(1, 8)
    events = tuple(
        Event(hand, place * eighth, eighth, (Pitch.parse(text),), group=number)
        for place, (text, number) in enumerate(notes)
    )
    bars = -(-len(notes) // 8)
    return Exercise(
        Key.parse("C"), Meter(4, 4), events, tuple(Bar(Fraction(bar), Fraction(1)) for bar in range(bars)),
    )  # fmt: skip


def stands_of(hand: Hand, groups: list[str]) -> list[Stand]:
    """The stand of each note."""
    score = written(drill(hand, groups))
    rows = stands(score, hand)
    return [
        stand
        for bar, row in zip(score.bars[hand], rows, strict=True)
        for piece, stand in zip(bar.pieces, row, strict=True)
        if piece.event >= 0
    ]


@pytest.mark.parametrize(
    ("pitch", "stand", "lines"),
    [
        ("E6", TREBLE, 3), ("F6", TREBLE, 3), ("G6", TREBLE, 4), ("F3", TREBLE, 3), ("E3", TREBLE, 3),
        ("G4", BASS, 3), ("B4", BASS, 4), ("A1", BASS, 3), ("C2", BASS, 2), ("F1", BASS, 4), ("C4", TREBLE, 1),
        ("C4", BASS, 1), ("E6", Stand("G", 1), 0), ("C1", Stand("F", -1), 2),
    ],
)  # fmt: skip
def test_ledger_lines_are_counted_as_pianists_count_them(pitch: str, stand: Stand, lines: int) -> None:
    """The limits of reading are told in these notes (counted from the staff, no source)."""
    assert ledger_lines(Pitch.parse(pitch).staff_step, stand) == lines


def test_a_drill_within_three_ledger_lines_stays_at_home() -> None:
    """An octave line that is not needed only makes reading harder."""
    assert set(stands_of(Hand.RIGHT, ["C5 E5 G5 C6", "E5 G5 C6 E6"])) == {TREBLE}


def test_groups_above_three_ledger_lines_go_under_an_octave_line_whole() -> None:
    """The line goes from a group's start to a group's end and splits no beam."""
    answered = stands_of(Hand.RIGHT, ["C5 E5 G5 C6", "E5 G5 C6 E6", "C6 E6 G6 C7", "E6 G6 C7 E7"])
    assert answered[:4] == [TREBLE] * 4
    assert answered[8:] == [Stand("G", 1)] * 8
    for group in range(4):
        assert len(set(answered[4 * group : 4 * group + 4])) == 1


def test_the_left_hand_changes_its_clef_for_high_groups() -> None:
    """High groups of the left hand read easily in the treble clef."""
    answered = stands_of(Hand.LEFT, ["C3 E3 G3 C4", "C4 E4 G4 C5", "E4 G4 C5 E5", "C5 G4 E4 C4", "C4 G3 E3 C3"])
    assert answered[0] == BASS
    assert answered[8] == TREBLE
    assert answered[-1] == BASS


def test_the_left_hand_takes_an_octave_line_below() -> None:
    """The lowest octave of the piano is read under 8vb."""
    assert set(stands_of(Hand.LEFT, ["A0 C1 E1 A1", "A0 C1 E1 A1"])) == {Stand("F", -1)}


@pytest.mark.parametrize("hand", Hand)
def test_nothing_needs_more_than_four_ledger_lines(hand: Hand) -> None:
    """From one end of the keyboard to the other and back, whatever the groups."""
    letters = [f"{letter}{octave}" for octave in range(1, 8) for letter in "CDEFGAB"]
    groups = [" ".join(letters[place : place + 4]) for place in range(0, len(letters) - 3, 3)]
    groups.append("C1 C7 C2 C6")
    notes = " ".join(groups).split()
    for text, stand in zip(notes, stands_of(hand, groups), strict=True):
        assert ledger_lines(Pitch.parse(text).staff_step, stand) <= 4


def test_a_chord_that_comes_again_looks_the_same_each_time() -> None:
    """Leaps between two octaves of a chord: each level has one clef, so that the leap home looks like home."""
    drill = family("chord-jumps").from_settings(
        {"hands": "left", "degree": "4", "lowest": "C4", "registers": [0, 1, 0, 1, 0, 1, 0]}
    )
    score = written(realise(drill, Setting(Key.parse("C"))))
    rows = stands(score, Hand.LEFT)
    looks: dict[tuple[Pitch, ...], set[Stand]] = {}
    for bar, row in zip(score.bars[Hand.LEFT], rows, strict=True):
        for piece, stand in zip(bar.pieces, row, strict=True):
            pitches = score.exercise.events[piece.event].pitches if piece.event >= 0 else ()
            if pitches:
                looks.setdefault(pitches, set()).add(stand)
    assert len(looks) == 2
    assert all(len(found) == 1 for found in looks.values())
