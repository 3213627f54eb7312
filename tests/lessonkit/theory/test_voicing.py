"""Voicings lie where they are asked to, and the smoothest chain is the smoothest there is."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.theory.quality import QUALITIES, Quality
from lessonkit.theory.voicing import (
    Shell,
    close_position,
    drop_2,
    drop_3,
    movement,
    open_position,
    root_and_chord,
    rootless,
    shell,
    smoothest,
)

FLOOR = Pitch.parse("C3")


def names(pitches: tuple[Pitch, ...]) -> str:
    """Pitches as one text."""
    return " ".join(pitch.ascii for pitch in pitches)


POSITIONS = [
    (close_position, "Abmaj7", 0, "Ab3 C4 Eb4 G4"),
    (close_position, "Abmaj7", 1, "C3 Eb3 G3 Ab3"),
    (close_position, "C9", 0, "C3 E3 G3 Bb3 D4"),
    (close_position, "C9", 1, "E3 G3 Bb3 D4 C5"),
    (close_position, "Cbmaj7", 0, "Cb4 Eb4 Gb4 Bb4"),
    (close_position, "B#m7b5", 0, "B#2 D#3 F#3 A#3"),
    (open_position, "C", 0, "C3 G3 E4"),
    (open_position, "C", 1, "E3 C4 G4"),
    (open_position, "Cmaj7", 0, "C3 G3 E4 B4"),
    (drop_2, "Cmaj7", 0, "G3 C4 E4 B4"),
    (drop_3, "Cmaj7", 0, "E3 C4 G4 B4"),
]
"""What, chord, inversion, notes from C3 up; worked out from the definitions."""


@pytest.mark.parametrize(("position", "symbol", "inversion", "expected"), POSITIONS)
def test_positions_begin_at_or_above_the_floor(position, symbol: str, inversion: int, expected: str) -> None:
    """The lowest note that fits, counted by sound: C♭4 is B3 and B♯2 is C3."""
    assert names(position(Chord.parse(symbol), inversion, FLOOR)) == expected


SHELLS = [
    ("Dm7", Shell.ROOT_THIRD, "D3 F3"),
    ("Dm7", Shell.ROOT_SEVENTH, "D3 C4"),
    ("Dm7", Shell.ROOT_THIRD_SEVENTH, "D3 F3 C4"),
    ("G7", Shell.ROOT_SEVENTH_THIRD, "G3 F4 B4"),
    ("Cm6", Shell.ROOT_SEVENTH, "C3 A3"),
    ("G7sus4", Shell.ROOT_THIRD_SEVENTH, "G3 C4 F4"),
    ("C", Shell.ROOT_SEVENTH, "C3 G3"),
    ("C5", Shell.ROOT_THIRD_SEVENTH, "C3 G3"),
]
"""Chord, shell, notes; common practice, no source."""


@pytest.mark.parametrize(("symbol", "kind", "expected"), SHELLS)
def test_shells_hold_the_root_and_what_tells_the_chord(symbol: str, kind: Shell, expected: str) -> None:
    """A sixth stands for a seventh and a suspended fourth for a third."""
    assert names(shell(Chord.parse(symbol), kind, FLOOR)) == expected


ROOTLESS = [
    ("Dm7b5", "A", "F3 Ab3 C4 D4"),
    ("Cm6/9", "A", "Eb3 G3 A3 D4"),
    ("G7b9", "A", "F3 Ab3 B3 E4"),
    ("G7b13", "B", "B3 Eb4 F4 A4"),
    ("C6", "A", "E3 G3 A3 D4"),
    ("G9sus4", "A", "F3 A3 C4 E4"),
    ("C", "A", "E3 G3 C4 D4"),
]
"""Chord, form, notes; the first two from lesson pages seen, the others common practice, no source."""


@pytest.mark.parametrize(("symbol", "form", "expected"), ROOTLESS)
def test_rootless_shapes_use_the_chords_own_degrees(symbol: str, form: str, expected: str) -> None:
    """Altered ninths and thirteenths stand where the plain ones would."""
    assert names(rootless(Chord.parse(symbol), form, FLOOR)) == expected


@pytest.mark.parametrize("quality", QUALITIES, ids=lambda quality: quality.key)
def test_every_quality_has_every_voicing(quality: Quality) -> None:
    """No chord may leave a drill without notes; all rise and begin within an octave of the floor."""
    chord = Chord(NoteName.parse("Eb"), quality)
    found = [shell(chord, kind, FLOOR) for kind in Shell] + [rootless(chord, form, FLOOR) for form in "AB"]
    found += [open_position(chord, inversion, FLOOR) for inversion in range(len(chord.tones))]
    for pitches in found:
        sounding = [pitch.midi for pitch in pitches]
        assert sounding == sorted(set(sounding))
        assert FLOOR.midi <= sounding[0] < FLOOR.midi + 12


def test_the_root_or_the_slash_bass_goes_to_the_left_hand() -> None:
    """Am7/G has G below and Am7 above."""
    voicing = root_and_chord(Chord.parse("Am7/G"), 1, Pitch.parse("C2"), Pitch.parse("C4"))
    assert (names(voicing.left), names(voicing.right)) == ("G2", "C4 E4 G4 A4")
    assert names(voicing.pitches) == "G2 C4 E4 G4 A4"


def test_what_a_chord_does_not_have_is_refused_in_a_sentence() -> None:
    """An inversion, a drop, a form, a range."""
    chord = Chord.parse("C")
    with pytest.raises(ValueError, match="C has no inversion 3; its inversions run from 0"):
        close_position(chord, 3, FLOOR)
    with pytest.raises(ValueError, match="C has only 3 notes; drop-3 needs 4 at least"):
        drop_3(chord, 0, FLOOR)
    with pytest.raises(ValueError, match="'C' is not a rootless form; choose A or B"):
        rootless(chord, "C", FLOOR)
    with pytest.raises(ValueError, match="C does not fit between C3 and E3 in any inversion; widen the range"):
        smoothest([chord], FLOOR, Pitch.parse("E3"))


def least_by_trying(before: tuple[int, ...], after: tuple[int, ...]) -> int:
    """Every way of giving each voice of the fuller chord a place in the other, none left out."""
    fuller, other = (before, after) if len(before) >= len(after) else (after, before)
    ways = itertools.product(range(len(other)), repeat=len(fuller))
    return min(
        sum(abs(voice - other[place]) for voice, place in zip(fuller, way, strict=True))
        for way in ways
        if set(way) == set(range(len(other)))
    )


voices = st.lists(st.integers(40, 80), min_size=1, max_size=5, unique=True).map(lambda keys: tuple(sorted(keys)))


@given(voices, voices)
@settings(max_examples=150)
def test_movement_is_the_least_of_all_ways(before: tuple[int, ...], after: tuple[int, ...]) -> None:
    """Also between chords of different sizes, against trying every way there is."""
    assert movement(pitches(before), pitches(after)) == least_by_trying(before, after)


def pitches(keys: tuple[int, ...]) -> tuple[Pitch, ...]:
    """Pitches of piano keys, spelled with sharps."""
    spelled = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
    return tuple(NoteName.parse(spelled[key % 12]).in_octave(key // 12 - 1) for key in keys)


def total(chain: tuple[tuple[Pitch, ...], ...]) -> int:
    """The movement through a whole chain."""
    return sum(movement(one, other) for one, other in itertools.pairwise(chain))


roots = st.sampled_from(["C", "Db", "E", "F#", "Ab", "Bb"])
some_chords = st.lists(
    st.tuples(roots, st.sampled_from(["", "m7", "7", "maj7", "9"])).map(lambda pair: Chord.parse("".join(pair))),
    min_size=1, max_size=3,
)  # fmt: skip


@given(some_chords)
@settings(max_examples=40, deadline=None)
def test_no_chain_in_the_range_is_smoother(chords: list[Chord]) -> None:
    """Against every chain of inversions and octaves there is."""
    low, high = Pitch.parse("C3"), Pitch.parse("D5")
    options = []
    for chord in chords:
        found = []
        for inversion, octave in itertools.product(range(len(chord.tones)), range(-1, 4)):
            position = tuple(p.octaves_up(octave) for p in close_position(chord, inversion, low))
            if position[0].midi >= low.midi and position[-1].midi <= high.midi:
                found.append(position)
        options.append(found)
    chain = smoothest(chords, low, high)
    assert all(position in found for position, found in zip(chain, options, strict=True))
    assert total(chain) == min(total(other) for other in itertools.product(*options))


STEPS = [("Cmaj7 Am7 Fmaj7 G7 Cmaj7", [2, 2, 5, 3]), ("Dm7 G7 Cmaj7", [3, 3])]
"""Chords, semitones moved from each to the next; worked out by hand."""


@pytest.mark.parametrize(("symbols", "steps"), STEPS)
def test_common_progressions_move_as_little_as_worked_out_by_hand(symbols: str, steps: list[int]) -> None:
    """Common notes stay, the others go to the nearest."""
    chain = smoothest([Chord.parse(symbol) for symbol in symbols.split()], FLOOR, Pitch.parse("C5"))
    assert [movement(one, other) for one, other in itertools.pairwise(chain)] == steps


def test_ties_are_broken_towards_the_middle_of_the_range() -> None:
    """One chord alone has no movement at all: it lies nearest to the middle; nothing gives nothing."""
    assert names(smoothest([Chord.parse("C")], FLOOR, Pitch.parse("C5"))[0]) == "G3 C4 E4"
    assert smoothest([], FLOOR, Pitch.parse("C5")) == ()
