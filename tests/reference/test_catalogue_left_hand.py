"""Left-hand textures against worked examples, note by note. Each row names its source in words."""

from __future__ import annotations

from itertools import pairwise

import pytest

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key

ROWS = [
    # family, key, settings, the left hand's notes by bars; chords joined by +
    # The flowing figure over a major chord; common practice, no source.
    ("left-hand-arpeggios", "C", {"progression": "I"}, "C3 G3 C4 D4 E4 D4 C4 G3"),
    # By the definition: the key's ninths, the chord's own fifth; a half-diminished chord has a flat one.
    ("left-hand-arpeggios", "C", {"progression": "V7"}, "G2 D3 G3 A3 B3 A3 G3 D3"),
    ("left-hand-arpeggios", "Cm", {"progression": "V7"}, "G2 D3 G3 Ab3 B3 Ab3 G3 D3"),
    ("left-hand-arpeggios", "Cm", {"progression": "iim7b5"}, "D3 Ab3 D4 Eb4 F4 Eb4 D4 Ab3"),
    ("left-hand-arpeggios", "C", {"progression": "iiim7"}, "E2 B2 E3 F3 G3 F3 E3 B2"),
    ("left-hand-arpeggios", "Gb", {"progression": "IVmaj7"}, "Cb3 Gb3 Cb4 Db4 Eb4 Db4 Cb4 Gb3"),
    ("left-hand-arpeggios", "C", {"progression": "I", "figure": "1-5-10-5"}, "C3 G3 E4 G3 C3 G3 E4 G3"),
    ("left-hand-arpeggios", "C", {"progression": "I", "figure": "1-5-8-5"}, "C3 G3 C4 G3 C3 G3 C4 G3"),
    ("left-hand-arpeggios", "C", {"progression": "I", "figure": "1-5-3-5"}, "C3 G3 E3 G3 C3 G3 E3 G3"),
    # In half a bar the figure turns back halfway; in a bar of six eighths 1-5-10-5 swings on at its end.
    ("left-hand-arpeggios", "C", {"progression": "I V"}, "C3 G3 C4 G3 G2 D3 G3 D3"),
    ("left-hand-arpeggios", "C", {"progression": "I", "metre": "3/4"}, "C3 G3 C4 D4 C4 G3"),
    ("left-hand-arpeggios", "C", {"progression": "I", "metre": "3/4", "figure": "1-5-10-5"}, "C3 G3 E4 G3 E4 G3"),
    # Over another bass the degrees keep their names and lie above it.
    ("left-hand-arpeggios", "C", {"progression": "I/3", "figure": "1-5-8-5"}, "E2 G2 C3 G2 E2 G2 C3 G2"),
    # Tenths up a major scale, broken with the fifth; common practice, no source.
    ("left-hand-tenths", "C", {"progression": "I", "along": "a progression"}, "C3 G3 E4"),
    ("left-hand-tenths", "C", {"direction": "up", "has_fifth": False},
     "C2 E3 D2 F3 | E2 G3 F2 A3 | G2 B3 A2 C4 | B2 D4 C3 E4"),
    ("left-hand-tenths", "Db", {"direction": "up", "touch": "solid", "has_fifth": False},
     "Db2+F3 Eb2+Gb3 | F2+Ab3 Gb2+Bb3 | Ab2+C4 Bb2+Db4 | C3+Eb4 Db3+F4"),
    # Stride over a major chord; common practice, no source.
    ("stride", "C", {"progression": "I"}, "C2 G3+C4+E4 G2 G3+C4+E4"),
    ("stride", "C", {"progression": "I", "bass": "root and tenth in turn"}, "C2 G3+C4+E4 E3 G3+C4+E4"),
    ("stride", "Eb", {"progression": "i", "bass": "root and tenth in turn"}, "Eb2 Gb3+Bb3+Eb4 Gb3 Gb3+Bb3+Eb4"),
    # By the definition: a seventh chord is told by 3, 5 and 7; in three one bass and two chords.
    ("stride", "C", {"progression": "V7", "metre": "3/4"}, "G1 F3+B3+D4 F3+B3+D4"),
    ("stride", "Gb", {"progression": "IVmaj7", "bass": "root only"}, "Cb2 Gb3+Bb3+Eb4 Cb2 Gb3+Bb3+Eb4"),
    ("stride", "C", {"progression": "I V", "has_octaves": True}, "C2+C3 G3+C4+E4 G1+G2 G3+B3+D4"),
    # A walking bass through ii, V and I; common practice, no source.
    ("walking-bass", "C", {"progression": "iim7 | V7 | I"}, "D2 F2 A2 Ab2 | G2 F2 E2 D2 | C2"),
    # Root and fifth, twice in a bar; by the definition.
    ("walking-bass", "C", {"progression": "iim7 | V7 | I", "feel": "twice in a bar"}, "D2 A2 | G2 D3 | C2"),
    ("walking-bass", "Gb", {"progression": "I | IV | I", "feel": "twice in a bar", "metre": "3/4"},
     "Gb2 Db3 | Cb2 Gb2 | Gb2"),
    # A boogie's left hand over a dominant seventh; common practice, no source.
    ("rocking-fifths", "C", {"progression": "I7", "times": 1},
     "C3+G3 C3+A3 C3+Bb3 C3+A3 C3+G3 C3+A3 C3+Bb3 C3+A3"),
    ("rocking-fifths", "Eb", {"progression": "I7"}, "Eb3+Bb3 Eb3+Bb3 Eb3+C4 Eb3+C4 Eb3+Db4 Eb3+Db4 Eb3+C4 Eb3+C4"),
    ("rocking-fifths", "F", {"progression": "I7", "figure": "fifth and sixth", "note_length": "1/4"},
     "F2+C3 F2+C3 F2+D3 F2+D3"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "key", "settings", "row"), ROWS)
def test_the_left_hand_plays_the_worked_example(code: str, key: str, settings: dict[str, Plain], row: str) -> None:
    """Bar by bar, spelled and in the register in which it is played."""
    exercise = realise(family(code).from_settings(settings), Setting(Key.parse(key)))
    assert written(exercise) == row


def test_tenths_of_a_major_scale_are_major_and_minor_in_the_order_of_its_thirds() -> None:
    """Major, minor, minor, major, major, minor, minor; from the definition of the major scale."""
    for key in MAJOR_KEYS:
        drill = family("left-hand-tenths").from_settings({"direction": "up", "touch": "solid", "has_fifth": False})
        events = [event for event in realise(drill, Setting(key)).events if event.pitches]
        sizes = [event.pitches[0].interval_to(event.pitches[1]).name for event in events]
        assert sizes == ["M10", "m10", "m10", "M10", "M10", "m10", "m10", "M10"]


@pytest.mark.parametrize(
    ("code", "settings", "fingers"),
    [
        ("left-hand-arpeggios", {"progression": "I"}, [5, 2, 1, 2, 1, 2, 1, 2]),
        ("left-hand-arpeggios", {"progression": "I", "figure": "1-5-10-5"}, [5, 2, 1, 2, 5, 2, 1, 2]),
        ("left-hand-tenths", {"progression": "I", "along": "a progression"}, [5, 2, 1]),
    ],
)
def test_usual_fingers_of_figures(code: str, settings: dict[str, Plain], fingers: list[int]) -> None:
    """Common practice, no source; the same in every key, since the hand opens rather than runs."""
    for key in MAJOR_KEYS:
        exercise = realise(family(code).from_settings(settings), Setting(key))
        assert [finger for event in exercise.events for finger in event.fingers] == fingers


CHANGES = "Imaj7 | vim7 | iim7 | V7 | iiim7 | V7/ii | iim7 | V7 | Imaj7"


@pytest.mark.parametrize("key", [*MAJOR_KEYS, *MINOR_KEYS], ids=str)
def test_a_walking_bass_has_the_root_on_one_and_leads_to_the_next_on_four(key: Key) -> None:
    """By the definition: the last beat is a step or less from the next root; no beat repeats the one before."""
    exercise = realise(family("walking-bass").from_settings({"progression": CHANGES}), Setting(key))
    notes = [event.pitches[0] for event in exercise.of(Hand.LEFT)]
    assert [note.name for note in notes[::4]] == [mark.chord.root for mark in exercise.chords]
    assert all(1 <= abs(before.midi - root.midi) <= 2 for before, root in zip(notes[3::4], notes[4::4], strict=True))
    assert all(one.midi != other.midi for one, other in pairwise(notes))
    assert not any(note.name.is_double for note in notes[3::4])


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
def test_a_walking_bass_can_be_led_by_semitones_only(key: Key) -> None:
    """By the definition of a chromatic approach."""
    drill = family("walking-bass").from_settings({"progression": CHANGES, "approach": "by a semitone"})
    notes = [event.pitches[0] for event in realise(drill, Setting(key)).of(Hand.LEFT)]
    assert {abs(before.midi - root.midi) for before, root in zip(notes[3::4], notes[4::4], strict=True)} == {1}


def written(exercise: Exercise, hand: Hand = Hand.LEFT) -> str:
    """The notes of a hand, bars parted by |, chords joined by +; rests are left out."""
    bars: list[list[str]] = [[] for _ in exercise.bars]
    for event in exercise.of(hand):
        place = max(number for number, bar in enumerate(exercise.bars) if bar.onset <= event.onset)
        if event.pitches:
            bars[place].append("+".join(pitch.ascii for pitch in event.pitches))
    return " | ".join(" ".join(bar) for bar in bars)
