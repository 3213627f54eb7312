"""Numbers that a teacher can work out again by hand: metronome marks, ledger lines, accidentals, voices, deals.

Source of the metronome marks: those that mechanical metronomes carry. Everything else was computed from its definition.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.family import family
from lessonkit.drills.params import METRONOME_MARKS, Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.tempo_ladder import tempo_ladder
from lessonkit.engraving.score import written
from lessonkit.engraving.staves import Stand, ledger_lines, stands
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, Key
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.voicing import movement, smoothest

TREBLE, BASS = Stand("G", 0), Stand("F", 0)


def made(code: str, key: str, **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key)))


def test_the_metronome_has_thirty_nine_marks() -> None:
    """40 to 58 by 2, 60 to 69 by 3, 72 to 116 by 4, 120 to 138 by 6, 144 to 208 by 8."""
    ranges = (range(40, 59, 2), range(60, 70, 3), range(72, 117, 4), range(120, 139, 6), range(144, 209, 8))
    assert tuple(METRONOME_MARKS) == tuple(mark for marks in ranges for mark in marks)
    assert len(METRONOME_MARKS) == 39


@pytest.mark.parametrize(
    ("start", "goal", "steps", "marks"),
    [
        (60, 120, 6, "60 69 80 92 104 120"),
        (50, 92, 5, "50 58 69 80 92"),
        (72, 144, 7, "72 80 92 100 116 126 144"),
        (40, 60, 4, "40 46 52 60"),
    ],
)
def test_a_tempo_ladder_climbs_by_the_same_share(start: int, goal: int, steps: int, marks: str) -> None:
    """The mark nearest to each even step of the tempo's logarithm."""
    drill = family("broken-chords").from_settings({"ladder_steps": steps, "ladder_start": start, "ladder_goal": goal})
    assert " ".join(map(str, tempo_ladder(drill, Setting(Key.parse("C"))))) == marks


@pytest.mark.parametrize(
    ("stand", "row"),
    [
        (TREBLE, "A5 1, C6 2, E6 3, G6 4, B6 5, C4 1, A3 2, F3 3"),
        (BASS, "C4 1, E4 2, G4 3, B4 4, E2 1, C2 2, A1 3, F1 4, A0 6"),
    ],
)
def test_ledger_lines(stand: Stand, row: str) -> None:
    """Counted from the staff."""
    for cell in row.split(", "):
        pitch, lines = cell.split()
        assert ledger_lines(Pitch.parse(pitch).staff_step, stand) == int(lines), pitch


def test_a_ladder_that_begins_on_middle_c_needs_an_octave_line() -> None:
    """Its last chord tops at B6, on the fifth ledger line; an octave lower none is needed."""
    for lowest, needs in (("C4", True), ("C3", False)):
        exercise = made("diatonic-ladder", "C", lowest=lowest, direction="up")
        assert exercise.events[-1].pitches[-1] == Pitch.parse("B6" if needs else "B5")
        rows = stands(written(exercise), Hand.RIGHT)
        assert any(stand.octaves for row in rows for stand in row) == needs


def test_middle_c_and_the_tuning_note() -> None:
    """C4 is the key 60, A4 the key 69."""
    assert Pitch.parse("C4").midi == 60
    assert Pitch.parse("A4").midi == 69


@pytest.mark.parametrize(
    ("progression", "moves"), [("Imaj7 vim7 IVmaj7 V7 Imaj7", [2, 2, 5, 3]), ("iim7 V7 Imaj7", [3, 3])]
)
def test_voices_move_as_little_as_counted(progression: str, moves: list[int]) -> None:
    """In semitones, in all fifteen major keys: Cmaj7 Am7 Fmaj7 G7 Cmaj7, and Dm7 G7 Cmaj7 with all four notes."""
    for key in MAJOR_KEYS:
        bars = Progression.parse(progression).in_key(key)
        chords = [placed.chord for bar in bars for placed in bar]
        low = key.tonic.nearest_above(Pitch.parse("G3"))
        shapes = smoothest(chords, low - _FIFTH, low + _FIFTH + _FIFTH + _FIFTH)
        assert [movement(one, other) for one, other in pairwise(shapes)] == moves, key


_FIFTH = NoteName.parse("C").in_octave(4).interval_to(Pitch.parse("G4"))


@pytest.mark.parametrize("is_flat", [True, False])
def test_no_deal_of_twelve_has_both_f_sharp_and_g_flat(is_flat: bool) -> None:
    """Twelve keys, each sound once, whatever the number and the key of the lesson."""
    for seed in range(40):
        for key in ("C", "F#", "Gb", "Db"):
            drill = family("progression-through-keys").from_settings({"order": "shuffled", "seed": seed})
            exercise = realise(drill, Setting(Key.parse(key), prefers_flats_at_six=is_flat))
            tonics = [bar.key.tonic for bar in exercise.bars if bar.key is not None]
            assert len(tonics) == len({tonic.pitch_class for tonic in tonics}) == 12
            again = realise(drill, Setting(Key.parse(key), prefers_flats_at_six=is_flat))
            assert [bar.key for bar in again.bars] == [bar.key for bar in exercise.bars]


@pytest.mark.parametrize(
    ("row", "notes"),
    [
        # Worked by hand, letter by letter and semitone by semitone.
        ("Ab7b9", "A♭ C E♭ G♭ B𝄫"),
        ("E#m7b5", "E♯ G♯ B D♯"),
        ("Dbm7", "D♭ F♭ A♭ C♭"),
    ],
)
def test_arithmetic_that_can_be_done_again_by_hand(row: str, notes: str) -> None:
    """Letters from the degrees, accidentals from the semitones."""
    assert " ".join(map(str, Chord.parse(row).tones)) == notes
