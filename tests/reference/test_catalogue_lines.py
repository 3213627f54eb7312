"""Lines for improvising against worked examples, note by note. Each row names its source in words."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.families.chord_scales import Source, scale_over
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.scale_choice import ScaleChoice
from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.quality import QUALITIES, Quality

ROWS = [
    # family, key, settings, the first notes of the right hand; notes struck together joined by +
    # Each note of a major seventh from the scale above and a semitone below; common practice, no source.
    ("enclosures", "C", {}, "D4 B3 C4 F4 D#4 E4 A4 F#4 G4 C5 A#4 B4 D5 B4 C5"),
    # By the definition: the letter below raised, the key's own note above, never a double sharp.
    ("enclosures", "Gb", {}, "Ab4 F4 Gb4 Cb5 A4 Bb4 Eb5 C5 Db5 Gb5 E5 F5"),
    ("enclosures", "F#", {}, "G#4 E#4 F#4 B4 A4 A#4 D#5 B#4 C#5 F#5 E5 E#5"),
    ("enclosures", "C", {"approach": "by two semitones from below"}, "Bb3 B3 C4 D4 D#4 E4 F4 F#4 G4"),
    ("enclosures", "C", {"approach": "by two semitones from above"}, "D4 Db4 C4 F#4 F4 E4 A4 Ab4 G4"),
    ("enclosures", "C", {"approach": "from a semitone below, then the scale above"}, "B3 D4 C4 D#4 F4 E4"),
    # A cell of thirds and steps along the scale, and the same a whole tone higher each time; worked out by hand.
    ("sequences", "C", {}, "C4 E4 D4 F4 D4 F4 E4 G4 E4 G4 F4 A4"),
    ("sequences", "C", {"moves": "a whole tone higher"}, "C4 E4 D4 F4 D4 F#4 E4 G4 E4 G#4 F#4 A4"),
    # Windows of four over the ladder of five; common practice, no source.
    ("sequences", "C", {"scale": "major pentatonic", "cell": "1-2-3-4", "octaves": 2},
     "C4 D4 E4 G4 D4 E4 G4 A4 E4 G4 A4 C5 G4 A4 C5 D5 A4 C5 D5 E5"),
    # The blue note is sharp where it rises by a semitone, flat where it falls; E♭ has A for a double flat.
    ("sequences", "C", {"scale": "blues", "cell": "as typed", "typed": [1, 2, 3, 4, 5, 6], "direction": "up"},
     "C4 Eb4 F4 F#4 G4 Bb4"),
    ("sequences", "C", {"scale": "blues", "cell": "as typed", "typed": [1, 2, 3, 4, 5, 6], "direction": "down"},
     "C5 Bb4 G4 Gb4 F4 Eb4"),
    ("sequences", "Eb", {"scale": "blues", "cell": "as typed", "typed": [1, 2, 3, 4, 5, 6], "direction": "down"},
     "Eb5 Db5 Bb4 A4 Ab4 Gb4"),
    ("sequences", "C", {"scale": "major blues", "cell": "as typed", "typed": [1, 2, 3, 4, 5, 6], "direction": "up"},
     "C4 D4 D#4 E4 G4 A4"),
    # Thirds and sixths of a major scale; common practice, no source.
    ("double-notes", "C", {}, "C4+E4 D4+F4 E4+G4"),
    ("double-notes", "C", {"doubled": "sixths"}, "E4+C5 F4+D5"),
    ("double-notes", "Gb", {"doubled": "sixths"}, "Bb3+Gb4 Cb4+Ab4 Db4+Bb4"),
    ("double-notes", "Eb", {"doubled": "octaves"}, "Eb4+Eb5 F4+F5 G4+G5"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "key", "settings", "row"), ROWS)
def test_the_right_hand_plays_the_worked_example(code: str, key: str, settings: dict[str, Plain], row: str) -> None:
    """Spelled, and in the register in which it is played."""
    notes = played(realise(family(code).from_settings(settings), Setting(Key.parse(key))))
    wanted = row.split()
    assert notes[: len(wanted)] == wanted


@pytest.mark.parametrize("key", [*MAJOR_KEYS, *MINOR_KEYS], ids=str)
def test_targets_land_on_strong_beats_from_a_tone_away_at_most(key: Key) -> None:
    """By the definition of an enclosure: the target is a note of the chord, its neighbours are within two semitones."""
    exercise = realise(family("enclosures")(), Setting(key))
    notes = [event for event in exercise.of(Hand.RIGHT) if event.pitches]
    targets = notes[2::3]
    assert {target.pitches[0].name for target in targets} == set(exercise.chords[0].chord.tones)
    assert all((target.onset * 2).denominator == 1 for target in targets)
    for place, target in enumerate(targets):
        above, below = (event.pitches[0].midi - target.pitches[0].midi for event in notes[3 * place : 3 * place + 2])
        assert 1 <= above <= 2
        assert below == -1


@pytest.mark.parametrize(
    ("doubled", "sizes"), [("thirds", {"M3", "m3"}), ("sixths", {"M6", "m6"}), ("octaves", {"P8"})]
)
def test_double_notes_are_the_scales_own_intervals(doubled: str, sizes: set[str]) -> None:
    """Large or small as the scale makes them, never one fixed size."""
    for key in MAJOR_KEYS:
        exercise = realise(family("double-notes").from_settings({"doubled": doubled}), Setting(key))
        events = [event for event in exercise.events if event.pitches]
        assert {event.pitches[0].interval_to(event.pitches[1]).name for event in events} == sizes
        assert {pitch.name for event in events for pitch in event.pitches} <= key.notes


@pytest.mark.parametrize("code", ["sequences", "enclosures", "double-notes"])
def test_a_line_comes_home(code: str) -> None:
    """Up and down, it ends on the note on which its chord stands and holds it to the end."""
    for key in MAJOR_KEYS:
        exercise = realise(family(code)(), Setting(key))
        last = exercise.of(Hand.RIGHT)[-1]
        assert last.pitches[0].name == key.tonic
        assert last.end == exercise.length
        assert last.length > Fraction(1, 4)


@pytest.mark.parametrize(
    "moves", ["a semitone higher", "a whole tone higher", "a minor third higher", "a fourth higher"]
)
def test_a_cell_that_moves_as_it_is_keeps_its_intervals(moves: str) -> None:
    """The same cell in every key that it comes through: the same steps in letters and in semitones."""
    drill = family("sequences").from_settings({"moves": moves, "octaves": 2})
    exercise = realise(drill, Setting(Key.parse("D")))
    groups: dict[int, list[str]] = {}
    events = [event for event in exercise.events if event.pitches]
    for before, after in pairwise(events):
        if before.group == after.group:
            groups.setdefault(before.group, []).append(before.pitches[0].interval_to(after.pitches[0]).name)
    assert set(map(tuple, groups.values())) == {("M3", "-M2", "m3")}


@pytest.mark.parametrize(
    ("settings", "strokes"),
    [
        # Eighths of the bar on which each chord comes; worked out from the definition of each rhythm.
        ({"rhythm": "1 and the and of 2"}, ["1 Dm7", "4 Dm7", "9 G7", "12 G7", "17 Cmaj7", "20 Cmaj7"]),
        ({"rhythm": "2 and 4"}, ["3 Dm7", "7 Dm7", "11 G7", "15 G7", "19 Cmaj7", "23 Cmaj7"]),
        # The last eighth of a bar is the next bar's chord, and is tied over a stroke on 1.
        ({"rhythm": "the and of 2 and the and of 4"}, ["4 Dm7", "8 G7", "12 G7", "16 Cmaj7", "20 Cmaj7", "24 Cmaj7"]),
        ({"rhythm": "as typed", "typed": [1, 8]}, ["1 Dm7", "8 G7", "16 Cmaj7", "24 Cmaj7"]),
        ({"rhythm": "as typed", "typed": [1, 8], "anticipates": False},
         ["1 Dm7", "8 Dm7", "9 G7", "16 G7", "17 Cmaj7", "24 Cmaj7"]),
    ],
)  # fmt: skip
def test_chords_come_on_the_eighths_of_the_rhythm(settings: dict[str, Plain], strokes: list[str]) -> None:
    """An anticipated chord has the next bar's notes and sounds across the bar line."""
    drill = family("comping-rhythms").from_settings({"progression": "iim7 | V7 | Imaj7", **settings})
    exercise = realise(drill, Setting(Key.parse("C")))
    chords = {frozenset(mark.chord.tones): str(mark.chord) for mark in exercise.chords}
    events = [event for event in exercise.of(Hand.RIGHT) if event.pitches]
    named = [chords[frozenset(pitch.name for pitch in event.pitches)] for event in events]
    assert [f"{event.onset * 8 + 1} {name}" for event, name in zip(events, named, strict=True)] == strokes
    ahead = [event for event in events if event.onset % 1 == Fraction(7, 8)]
    is_tied = drill.settings()["anticipates"]
    assert all((event.end > event.onset + Fraction(1, 8)) == is_tied for event in ahead[:-1])


QUALITY = {"source": "the usual scale of its quality"}
CHORD_SCALES = [
    # key, degree, settings, the scale from root to octave
    # Modes of the major scale on ii, V and I; by the definition of the modes.
    ("C", "iim7", {}, "D4 E4 F4 G4 A4 B4 C5 D5"),
    ("C", "V7", {}, "G4 A4 B4 C5 D5 E5 F5 G5"),
    ("Gb", "IVmaj7", {}, "Cb4 Db4 Eb4 F4 Gb4 Ab4 Bb4 Cb5"),
    # The dominant of a minor key has its flat ninth and sixth; by the definition of the key around the chord.
    ("Cm", "V7", {}, "G4 Ab4 B4 C5 D5 Eb5 F5 G5"),
    ("C", "V7/ii", {}, "A4 B4 C#5 D5 E5 F5 G5 A5"),
    # The usual scale of each quality; common practice, no source, spelled by the definitions of the scales.
    ("C", "I7alt", QUALITY, "C4 Db4 Eb4 E4 Gb4 Ab4 Bb4 C5"),
    ("C", "V7b9", QUALITY, "G4 Ab4 Bb4 B4 C#5 D5 E5 F5"),
    ("C", "viim7b5", QUALITY, "B3 C4 D4 E4 F4 G4 A4 B4"),
    ("C", "bII7#11", QUALITY, "Db4 Eb4 F4 G4 Ab4 Bb4 Cb5 Db5"),
    ("C", "im(maj7)", QUALITY, "C4 D4 Eb4 F4 G4 A4 B4 C5"),
    ("C", "I7sus4", QUALITY, "C4 D4 E4 F4 G4 A4 Bb4 C5"),
    # An altered dominant keeps the notes of chord and key: C flat in G flat major, not B.
    ("Gb", "V7alt", QUALITY, "Db4 D4 E4 F4 G4 A4 Cb5 Db5"),
]  # fmt: skip


@pytest.mark.parametrize(("key", "degree", "settings", "row"), CHORD_SCALES)
def test_a_chord_has_its_scale(key: str, degree: str, settings: dict[str, Plain], row: str) -> None:
    """Eight notes from the root up in a bar of eighths."""
    drill = family("chord-scales").from_settings({"progression": degree, **settings})
    assert played(realise(drill, Setting(Key.parse(key)))) == row.split()


@pytest.mark.parametrize("quality", [quality.key for quality in QUALITIES])
@pytest.mark.parametrize("source", [member.value for member in Source])
def test_a_chords_notes_are_all_in_its_scale(quality: str, source: str) -> None:
    """As sounds, in every key; from the definition of a chord scale."""
    for key in MAJOR_KEYS + MINOR_KEYS:
        chord = Chord(key.degree(5), Quality.named(quality))
        scale = scale_over(chord, key, Source(source))
        sounds = {name.pitch_class for name in scale}
        assert {tone.pitch_class for tone in chord.tones} <= sounds
        assert scale[0] == chord.root
        rising = [(name.pitch_class - chord.root.pitch_class) % 12 for name in scale]
        assert rising == sorted(set(rising))


@pytest.mark.parametrize(
    ("metre", "typed", "bars"),
    [("4/4", 3, 3), ("4/4", 5, 5), ("4/4", 6, 3), ("4/4", 7, 7), ("4/4", 8, 1), ("3/4", 3, 1), ("3/4", 5, 5)],
)
def test_a_cell_comes_together_with_the_bar_after_so_many_bars(metre: str, typed: int, bars: int) -> None:
    """L eighths against B come together after L / gcd(L, B) bars; computed."""
    steps = [1, 2, 3, 4, 5, 4, 3, 2][:typed]
    drill = family("displacement").from_settings({"metre": metre, "cell": "as typed", "typed": steps})
    exercise = realise(drill, Setting(Key.parse("C")))
    assert len(exercise.bars) == bars
    starts = [event.onset for event in exercise.events[::typed]]
    length = exercise.bars[0].length
    assert [onset for onset in starts if onset % length == 0] == [0]


@pytest.mark.parametrize("scale", [member.value for member in ScaleChoice])
@pytest.mark.parametrize("metre", ["4/4", "3/4", "2/4", "6/8"])
def test_a_call_stops_away_from_home_and_leaves_empty_bars(scale: str, metre: str) -> None:
    """By the definition: every call stops on another note than the tonic and the blue note; empty bars follow it."""
    for seed in range(12):
        settings: dict[str, Plain] = {"scale": scale, "metre": metre, "seed": seed, "answer_bars": 2}
        exercise = realise(family("call-and-response").from_settings(settings), Setting(Key.parse("Eb")))
        assert exercise.seed == seed
        events = exercise.of(Hand.RIGHT)
        ends = [before for before, after in pairwise(events) if before.pitches and after.is_open]
        assert len(ends) == 4
        blue = {"blues": "A", "major blues": "Gb"}.get(scale)
        assert {event.pitches[0].name.ascii for event in ends}.isdisjoint({"Eb", blue})
        bar = exercise.bars[0].length
        assert [event.onset for event in events if event.is_open] == [
            place * bar for place in range(12) if place % 3 != 0
        ]  # fmt: skip


def test_calls_are_drawn_again_alike_and_differ_from_one_number_to_another() -> None:
    """A sheet that is printed again has the same calls."""
    drawn = [
        tuple(played(realise(family("call-and-response").from_settings({"seed": seed}), Setting(Key.parse("C")))))
        for seed in (1, 1, 2, 3)
    ]
    assert drawn[0] == drawn[1]
    assert len(set(drawn)) == 3


def played(exercise: Exercise, hand: Hand = Hand.RIGHT) -> list[str]:
    """The notes of a hand in order, those struck together joined by +; rests are left out."""
    return ["+".join(pitch.ascii for pitch in event.pitches) for event in exercise.of(hand) if event.pitches]
