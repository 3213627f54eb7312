"""The survey of shapes against tables of black and white keys and of how easily inversions lie.

The tables were computed from the keyboard: B a black key, W a white one, from the lowest note up.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from lessonkit.drills.exercise import Blank, Exercise
from lessonkit.drills.families.shape_survey import pattern_of
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.theory.quality import Quality
from lessonkit.theory.voicing import close_position

PATTERNS = {
    "maj": "WWW: C F G; BWB: Db Eb Ab; WBW: D E A; BBB: F#; BWW: Bb; WBB: B",
    "m": "WBW: C F G; BWB: Db F# Ab; WWW: D E A; BBB: Eb; BBW: Bb; WWB: B",
    "dim": "BWW: Db F# Ab; WWB: D E A; WBB: C G; BBW: Eb Bb; WBW: F; WWW: B",
    "aug": "WWB: C F G; BWW: Db Eb Ab; WBW: E A B; WBB: D; BBW: F#; BWB: Bb",
    "maj7": "BWBW: Db Eb Ab; WBWB: D E A; WWWW: C F; BBBW: F#; WWWB: G; BWWW: Bb; WBBB: B",
    "7": "WBWW: D E A; WWWB: C F; BWBB: Eb Ab; BWBW: Db; BBBW: F#; WWWW: G; BWWB: Bb; WBBW: B",
    "m7": "WWWW: D E A; WBWB: C F; BWBW: Db F#; BBBB: Eb; WBWW: G; BWBB: Ab; BBWB: Bb; WWBW: B",
    "m7b5": "WWBW: D E A; BWWW: Db F#; BBWB: Eb Bb; WBBB: C; WBWB: F; WBBW: G; BWWB: Ab; WWWW: B",
    "dim7": "WBBW: C G; BWWB: Db F#; BBWW: Eb Bb; WWBB: E A; WWBW: D; WBWW: F; BWWW: Ab; WWWB: B",
}

ROOTS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]

COSTS = {
    # What outer fingers on black keys and squeezed white keys cost by inversion, right hand, in the order of ROOTS.
    "maj": "0·0·0 6·3·2 0·2·3 6·3·2 0·2·3 0·0·0 5·5·5 0·0·0 6·3·2 0·2·3 2·3·0 3·2·6",
    "m": "0·2·3 6·3·2 0·0·0 5·5·5 0·0·0 0·2·3 6·3·2 0·2·3 6·3·2 0·0·0 2·6·3 3·0·2",
}


def made(key: str, **settings: Plain) -> Exercise:
    """The survey in a key."""
    return realise(family("shape-survey").from_settings(settings), Setting(Key.parse(key)))


@pytest.mark.parametrize("quality", PATTERNS)
def test_keys_are_sorted_into_the_families_of_the_table(quality: str) -> None:
    """Every quality, every root; roots count by their sound."""
    for row in PATTERNS[quality].split("; "):
        pattern, roots = row.split(": ")
        for root in roots.split():
            chord = Chord(NoteName.parse(root), Quality.named(quality))
            assert pattern_of(close_position(chord, 0, Pitch.parse("C4"))) == pattern, root


@pytest.mark.parametrize(("quality", "count"), [("maj", 6), ("m", 6), ("maj7", 7), ("7", 8), ("m7", 8), ("m7b5", 8)])
def test_keys_of_one_pattern_stand_together(quality: str, count: int) -> None:
    """As many patterns as counted in the table, each in one stretch, each beginning a line."""
    exercise = made("C", quality=quality)
    labels = [bar.label for bar in exercise.bars if bar.label]
    patterns = [label.split(": ")[1] for label in labels]
    assert len(labels) == 12
    assert len(dict.fromkeys(patterns)) == count
    changes = sum(before != after for before, after in pairwise(patterns))
    assert changes == count - 1
    for place, bar in enumerate(bar for bar in exercise.bars if bar.label):
        assert bar.starts_line or (place and patterns[place] == patterns[place - 1])


@pytest.mark.parametrize("quality", COSTS)
def test_the_easiest_inversion_is_the_one_of_the_table(quality: str) -> None:
    """Second inversion in D♭, E♭, A♭ and B♭ major, root position in D, E and A, first inversion in B."""
    exercise = made("C", quality=quality)
    found: dict[int, list[str]] = {}
    for mark in exercise.chords:
        found.setdefault(mark.chord.root.pitch_class, []).append(mark.verdict)
    for root, row in zip(ROOTS, COSTS[quality].split(), strict=True):
        costs = [int(cost) for cost in row.split("·")]
        verdicts = found[NoteName.parse(root).pitch_class]
        places = [verdict.split("(")[1].rstrip(")") for verdict in verdicts]
        if len(set(costs)) == 1:
            assert places == ["=", "=", "="]
        else:
            assert places == [str(1 + sum(other < cost for other in costs)) for cost in costs], root


def test_the_sheet_asks_and_the_answers_tell() -> None:
    """The verdicts are on the exercise; the worksheet leaves them blank unless they are to be printed."""
    assert made("Eb").blank == {Blank.VERDICTS}
    assert not made("Eb", judged="printed").blank
    assert all(mark.verdict for mark in made("Eb").chords)


def test_twelve_keys_are_named_as_they_are_printed() -> None:
    """G♭ and D♭ major, but C♯, F♯ and G♯ minor."""
    major = {str(mark.chord.root) for mark in made("C").chords}
    minor = {str(mark.chord.root) for mark in made("C", quality="m7").chords}
    assert {"G♭", "D♭", "A♭"} <= major
    assert {"F♯", "C♯", "G♯"} <= minor


@pytest.mark.parametrize(
    ("key", "degree", "printed"), [("Ab", "1", "A♭maj9"), ("F", "2", "Gm9"), ("C", "5", "G9"), ("C", "4", "Fmaj9")]
)
def test_a_run_of_three_five_seven_nine_is_named_by_its_ninth(key: str, degree: str, printed: str) -> None:
    """The B♭ over A♭maj7 is heard, so the chord is A♭maj9 (common practice, no source)."""
    drill = family("arpeggio-run").from_settings(
        {"degree": degree, "sharing": "upper part over a left-hand root", "octaves": 1}
    )
    exercise = realise(drill, Setting(Key.parse(key)))
    (mark,) = exercise.chords
    assert str(mark.chord) == printed
    assert exercise.summary.startswith(f"{printed} run as 3-5-7-9 over a left-hand root")
    assert {pitch.name for event in exercise.events for pitch in event.pitches} == set(mark.chord.tones)


CELLS = ["C3", "D3", "E3", "G3", "C4", "D4", "E4", "G4", "C5", "D5", "E5", "G5", "C6"]


def cells(**settings: Plain) -> Exercise:
    """A run that sets the same cell down in each octave, in C from C3."""
    drill = family("arpeggio-run").from_settings(
        {"quality": "add9", "passing": "the same cell set down in each octave", "lowest": "C3", "octaves": 3}
        | {"direction": "up", **settings}
    )
    return realise(drill, Setting(Key.parse("C")))


def test_a_cell_is_set_down_in_each_octave_and_lands_on_its_first_note() -> None:
    """C D E G over three octaves has 4 × 3 notes and the landing (worked from the definition of the cell)."""
    notes = [str(pitch) for event in cells().events for pitch in event.pitches]
    assert notes == CELLS


def test_the_hands_take_turns_an_octave_each() -> None:
    """Left, right, left over: the left begins an octave below where the right would (common practice, no source)."""
    exercise = cells(sharing="the hands take turns, an octave each", lowest="C4")
    sounding = sorted((event for event in exercise.events if event.pitches), key=lambda event: event.onset)
    turns = [(event.hand.value, str(event.pitches[0])) for event in sounding]
    assert [hand for hand, _ in turns[::4]] == ["left", "right", "left", "right"]
    assert [note for _, note in turns] == CELLS
    assert all(len({hand for hand, _ in turns[at : at + 4]}) == 1 for at in range(0, 12, 4))


def test_the_pedal_holds_through_the_run_and_comes_up_at_its_end() -> None:
    """Down on the first note, changed with the chord, up on the landing (common practice, no source)."""
    exercise = cells(pedal_use="changed with each chord")
    assert len(exercise.pedals) == 1
    assert exercise.pedals[0].onset == 0
