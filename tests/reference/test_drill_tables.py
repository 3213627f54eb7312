"""Drills against published and computed tables, note by note.

Sources of the tables: the quality on each degree is that of the open textbook *Harmony and Musicianship with Solfège*,
chapter “Diatonic seventh chords”; the intervals of each quality are those of the chord kinds of the MusicXML 4.0
specification; the notes follow from them by arithmetic. Sequences and counts of broken chords are computed from their
definition: a chord of n notes over k octaves has n·k + 1 rungs, and a group begins on each rung that has room for it.
"""

from __future__ import annotations

import pytest

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.enharmonic import KEYS_IN_FIFTHS
from lessonkit.theory.key import Key
from tests.reference.tables import EVERY_OTHER_DEGREE, ONE_SIX_FOUR_FIVE, SEVENTHS, rows

COUNTS = [
    # settings, rungs of the ladder, groups up, notes up and back with the turning group restated; computed
    ({"quality": "maj", "octaves": 2}, 7, 5, 30),
    ({"quality": "maj", "octaves": 2, "group_size": "4"}, 7, 4, 32),
    ({"quality": "maj7", "octaves": 2}, 9, 6, 48),
    ({"quality": "maj", "octaves": 3}, 10, 8, 48),
    ({"quality": "maj7", "octaves": 1, "group_size": "3"}, 5, 3, 18),
]

FIGURES = [
    # family, key, settings, the right hand's groups; from the definitions, by arithmetic
    ("broken-chords", "C", {"quality": "maj"},
     "C4 E4 G4 | E4 G4 C5 | G4 C5 E5 | C5 E5 G5 | E5 G5 C6 | C6 G5 E5 | G5 E5 C5 | E5 C5 G4 | C5 G4 E4 | G4 E4 C4"),
    ("broken-chords", "C", {"quality": "maj", "group_size": "the chord's notes and the octave", "direction": "up"},
     "C4 E4 G4 C5 | E4 G4 C5 E5 | G4 C5 E5 G5 | C5 E5 G5 C6"),
    ("broken-chords", "Ab", {"quality": "maj7", "direction": "up"},
     "Ab3 C4 Eb4 G4 | C4 Eb4 G4 Ab4 | Eb4 G4 Ab4 C5 | G4 Ab4 C5 Eb5 | Ab4 C5 Eb5 G5 | C5 Eb5 G5 Ab5"),
    ("broken-chords", "Gb", {"quality": "maj7", "direction": "up"},
     "Gb3 Bb3 Db4 F4 | Bb3 Db4 F4 Gb4 | Db4 F4 Gb4 Bb4 | F4 Gb4 Bb4 Db5 | Gb4 Bb4 Db5 F5 | Bb4 Db5 F5 Gb5"),
    ("broken-chords", "Eb", {"quality": "maj", "direction": "up"},
     "Eb4 G4 Bb4 | G4 Bb4 Eb5 | Bb4 Eb5 G5 | Eb5 G5 Bb5 | G5 Bb5 Eb6"),
    ("broken-chords", "C", {"quality": "maj7", "octaves": 1, "group_size": "3", "direction": "up"},
     "C4 E4 G4 | E4 G4 B4 | G4 B4 C5"),
    # A group from every rung up to the tonic: seven groups that overshoot to G6.
    ("broken-chords", "C", {"quality": "maj", "direction": "up", "begins": "on every note up to the top"},
     "C4 E4 G4 | E4 G4 C5 | G4 C5 E5 | C5 E5 G5 | E5 G5 C6 | G5 C6 E6 | C6 E6 G6"),
    ("broken-chords", "C", {"quality": "maj7", "octaves": 1, "direction": "up", "order": "1-3-2-4"},
     "C4 G4 E4 B4 | E4 B4 G4 C5"),
    ("broken-chords", "C", {"quality": "maj7", "octaves": 1, "order": "outside-in"},
     "C4 B4 E4 G4 | E4 C5 G4 B4 | C5 E4 B4 G4 | B4 C4 G4 E4"),
    ("broken-chords", "C", {"quality": "9", "octaves": 2, "direction": "up", "rungs": "above the seventh"},
     "C4 E4 G4 Bb4 D5 | E4 G4 Bb4 D5 C6"),
    ("chord-jumps", "C", {"quality": "maj", "lowest": "C3", "registers": [1, 2, 3, 2, 1, 0]},
     "C4+E4+G4 | C5+E5+G5 | C6+E6+G6 | C5+E5+G5 | C4+E4+G4 | C3+E3+G3"),
    ("chord-jumps", "Eb", {"quality": "m", "octaves": 1, "direction": "up"}, "Eb4+Gb4+Bb4 | Eb5+Gb5+Bb5"),
    ("chord-jumps", "B", {"quality": "maj7", "octaves": 1, "direction": "up"}, "B3+D#4+F#4+A#4 | B4+D#5+F#5+A#5"),
    ("chord-jumps", "C",
     {"quality": "maj", "registers": [0, 1, 0, 1], "inversions": "as listed", "chosen": [0, 1, 2, 0]},
     "C4+E4+G4 | E5+G5+C6 | G3+C4+E4 | C5+E5+G5"),
    ("chord-jumps", "Bb", {"quality": "m", "registers": [0, 1, 0], "inversions": "all in turn"},
     "Bb3+Db4+F4 | Db5+F5+Bb5 | F4+Bb4+Db5"),
    ("diatonic-ladder", "C",
     {"size": "triad", "inversion": 1, "climb": "every degree", "octaves": 1, "direction": "up", "touch": "solid"},
     "E4+G4+C5 | F4+A4+D5 | G4+B4+E5 | A4+C5+F5 | B4+D5+G5 | C5+E5+A5 | D5+F5+B5 | E5+G5+C6"),
]  # fmt: skip


def made(code: str, key: str, **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key)))


def groups(exercise: Exercise) -> list[str]:
    """The right hand's groups as text."""
    found: dict[int, list[str]] = {}
    for event in exercise.of(Hand.RIGHT):
        if event.pitches:
            found.setdefault(event.group, []).append("+".join(pitch.ascii for pitch in event.pitches))
    return [" ".join(notes) for notes in found.values()]


@pytest.mark.parametrize(("key", "row"), rows(SEVENTHS))
def test_the_ladder_by_steps_has_the_sevenths_of_the_key(key: str, row: str) -> None:
    """Seven chords and the tonic again, each note by its own name."""
    exercise = made("diatonic-ladder", key, climb="every degree", octaves=1, direction="up")
    expected = [item.split(" = ") for item in row.split(";")]
    assert [str(mark.chord) for mark in exercise.chords[:7]] == [name.strip() for name, _ in expected]
    notes = [str(event.pitches[0].name) for event in exercise.events[:28]]
    assert notes == [note for _, spelled in expected for note in spelled.split()]


@pytest.mark.parametrize(("key", "row"), rows(EVERY_OTHER_DEGREE))
def test_the_ladder_on_every_other_degree_reaches_the_tonic_after_two_octaves(key: str, row: str) -> None:
    """Eight chords up and seven more down."""
    exercise = made("diatonic-ladder", key)
    names = [str(mark.chord) for mark in exercise.chords]
    assert names[:8] == row.split()
    assert names[8:] == row.split()[-2::-1]


def test_the_ladder_from_c3_has_its_roots_where_they_are_known() -> None:
    """Stacked thirds from C3: C3 E3 G3 B3 D4 F4 A4 C5; from C4 the last chord reaches B6. By arithmetic."""
    low = made("diatonic-ladder", "C", lowest="C3", touch="solid", direction="up")
    assert " ".join(event.pitches[0].ascii for event in low.events) == "C3 E3 G3 B3 D4 F4 A4 C5"
    high = made("diatonic-ladder", "C", lowest="C4", touch="solid", direction="up")
    assert high.events[-1].pitches[-1].ascii == "B6"


@pytest.mark.parametrize(("key", "row"), rows(ONE_SIX_FOUR_FIVE))
def test_one_six_four_five_in_every_key(key: str, row: str) -> None:
    """The progression as it is dropped in, one key on a line of its own."""
    exercise = made("progression-through-keys", key, count=1)
    assert [str(mark.chord) for mark in exercise.chords] == row.split()
    for event in exercise.of(Hand.RIGHT):
        chord = next(mark.chord for mark in exercise.chords if mark.onset == event.onset)
        assert {pitch.name for pitch in event.pitches} == set(chord.tones)


def test_twelve_keys_dealt_by_a_number_are_each_dealt_once() -> None:
    """F♯ and G♭ never meet in twelve; the same number deals the same order; another another."""
    deals = [made("progression-through-keys", "C", order="shuffled", seed=seed) for seed in (1, 1, 2)]
    keys = [[bar.key for bar in exercise.bars if bar.key is not None] for exercise in deals]
    assert set(keys[0]) == set(KEYS_IN_FIFTHS)
    assert len(keys[0]) == 12
    assert keys[0] == keys[1] != keys[2]
    assert deals[0].seed == 1
    sharp = made("progression-through-keys", "F#", order="shuffled", seed=3)
    assert Key.parse("Gb") not in {bar.key for bar in sharp.bars}
    assert Key.parse("F#") in {bar.key for bar in sharp.bars}
    fifteen = made("progression-through-keys", "C", order="shuffled", deck="fifteen keys", count=15)
    assert len({bar.key for bar in fifteen.bars} - {None}) == 15


@pytest.mark.parametrize(("settings", "rungs", "count", "notes"), COUNTS)
def test_broken_chords_have_as_many_groups_and_notes_as_counted(
    settings: dict[str, Plain], rungs: int, count: int, notes: int
) -> None:
    """Whole sequences, there and back, with the group at the top played again."""
    up = made("broken-chords", "C", direction="up", **settings)
    assert len(groups(up)) == count
    assert len({event.pitches for event in up.events if event.pitches}) == rungs
    assert sum(bool(event.pitches) for event in made("broken-chords", "C", **settings).events) == notes


def test_what_is_played_again_at_the_top_is_a_choice() -> None:
    """Thirty notes with the whole group again, twenty-nine with the top note once, twenty-seven with nothing again."""
    for turn, notes in (
        ("the group again", 30),
        ("the group again, its first note once", 29),
        ("nothing again", 27),
    ):
        exercise = made("broken-chords", "C", quality="maj", turn=turn)
        assert sum(bool(event.pitches) for event in exercise.events) == notes


@pytest.mark.parametrize(("code", "key", "settings", "expected"), FIGURES)
def test_figures_are_as_they_are_defined(code: str, key: str, settings: dict[str, Plain], expected: str) -> None:
    """Worked examples, note by note, register and spelling included."""
    assert groups(made(code, key, **settings)) == expected.split(" | ")


def test_the_cycle_of_fourths_folds_into_one_octave() -> None:
    """I IV vii iii vi ii V I, up a fourth and down a fifth (common practice, no source)."""
    exercise = made("diatonic-ladder", "C", climb="up a fourth", octaves=1, direction="up", touch="solid")
    assert " ".join(str(mark.degree) for mark in exercise.chords) == "Imaj7 IVmaj7 viiø7 iii7 vi7 ii7 V7 Imaj7"
    assert " ".join(event.pitches[0].ascii for event in exercise.events) == "C4 F4 B4 E4 A4 D4 G4 C5"


def test_rootless_chords_of_a_two_five_one_move_one_note_by_a_semitone() -> None:
    """From ii to V in one form only the seventh of ii falls, in all twelve keys; by arithmetic."""
    exercise = made(
        "progression-through-keys", "C", progression="iim9 | V13 | Imaj9", plan="rootless over left-hand roots"
    )
    assert groups(exercise)[:3] == ["F4+A4+C5+E5", "F4+A4+B4+E5", "E4+G4+B4+D5"]
    chords = [event.pitches for event in exercise.of(Hand.RIGHT)]
    for two, five in zip(chords[::3], chords[1::3], strict=True):
        assert sorted(abs(one.midi - other.midi) for one, other in zip(two, five, strict=True)) == [0, 0, 0, 1]


def test_shells_of_a_two_five_one_step_down_in_their_upper_note() -> None:
    """D–C, G–B, C–B in C major: root and seventh, root and third in turn (common practice, no source)."""
    plan = "shells in the left hand, chords in the right"
    exercise = made("progression-through-keys", "C", progression="iim7 | V7 | Imaj7", plan=plan, count=1)
    left = ["+".join(pitch.ascii for pitch in event.pitches) for event in exercise.of(Hand.LEFT)]
    assert left == ["D3+C4", "G3+B3", "C3+B3"]


@pytest.mark.parametrize(("key", "row"), [("Am", "Am7 Fmaj7 Dm7 E7"), ("Ebm", "Ebm7 Cbmaj7 Abm7 Bb7")])
def test_in_minor_the_progression_takes_the_minor_keys_chords(key: str, row: str) -> None:
    """The dominant keeps its major third (common practice, no source); the teacher can turn it off."""
    exercise = made("progression-through-keys", key, count=1)
    assert [mark.chord for mark in exercise.chords] == [Chord.parse(text) for text in row.split()]
    plain = made("progression-through-keys", "Am", count=1, adapts_to_minor=False)
    assert plain.chords[0].chord == Chord.parse("Amaj7")
