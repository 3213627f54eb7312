"""Fills, ostinatos and reharmonised melodies against worked examples. Common practice, no source, unless it is said."""

from __future__ import annotations

import pytest

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.families.fills_between_phrases import wave
from lessonkit.drills.family import family
from lessonkit.drills.melody_check import clash
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.told import keys_in_words
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.pitch import NoteName
from lessonkit.theory.scale import Scale


def made(code: str, key: str, **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key)))


def played(exercise: Exercise, hand: Hand) -> list[str]:
    """The notes of a hand in order, those struck together joined by +; rests are left out."""
    return ["+".join(pitch.ascii for pitch in event.pitches) for event in exercise.of(hand) if event.pitches]


FILLS = [
    # key, settings, the right hand of the first bar.
    # Over a held C5 eight sixteenths of C major pentatonic, up and back.
    ("C", {}, "C5 E5 G5 A5 C6 A5 G5 E5 G5"),
    ("Gb", {}, "Gb4 Bb4 Db5 Eb5 Gb5 Eb5 Db5 Bb4 Db5"),
    ("C", {"fill": "the chord, upward"}, "C5 E5 G5 B5 C6 E6 G6 B6 C7"),
    ("C", {"fill": "pentatonic, downward"}, "C5 A6 G6 E6 D6 C6 A5 G5 E5"),
    ("C", {"fill": "thirds"}, "C5 E5+G5 F5+A5 G5+B5 A5+C6"),
    ("C", {"fill": "sixths"}, "C5 E5+C6 F5+D6 G5+E6 A5+F6"),
    # The phrase and its echo.
    ("C", {"fill": "the phrase again an octave higher", "phrase": "two short notes and a held one"},
     "A4 B4 C5 A5 B5 C6"),
    # A short one turns halfway.
    ("C", {"lasts": "the last beat"}, "C5 E5 G5 A5 G5"),
    ("C", {"lasts": "the last beat", "has_breath": True}, "C5 E5 G5 A5"),
]  # fmt: skip


class TestFills:
    """What fills the rest of a held note."""

    @pytest.mark.parametrize(("key", "settings", "row"), FILLS)
    def test_the_first_bar_is_the_worked_example(self, key: str, settings: dict[str, Plain], row: str) -> None:
        """Spelled, and in the register in which it is played."""
        exercise = made("fills-between-phrases", key, progression="Imaj7", **settings)
        assert played(exercise, Hand.RIGHT) == row.split()

    def test_a_wave_turns_at_its_ends(self) -> None:
        """Up, back, and up again."""
        assert wave(8, 4) == [0, 1, 2, 3, 2, 1, 0, 1]

    @pytest.mark.parametrize("fill", ["the chord, upward", "pentatonic, up and back", "pentatonic, downward", "thirds"])
    def test_a_fill_lies_above_its_note_and_ends_before_the_next(self, fill: str) -> None:
        """In all thirty keys; the melody stays the lowest note of the hand and is on the beat."""
        for key in MAJOR_KEYS + MINOR_KEYS:
            exercise = made("fills-between-phrases", key.ascii, fill=fill)
            melody = {mark.onset: None for mark in exercise.chords}
            held = 0
            for event in exercise.of(Hand.RIGHT):
                if event.onset in melody:
                    held = event.pitches[0].midi
                    assert event.length * 2 == 1
                else:
                    assert event.pitches[0].midi >= held + 3
                    assert event.end <= (event.onset // 1) + 1

    def test_the_left_hand_steps_into_the_next_chord(self) -> None:
        """Cmaj7 to Am7: down to A by C and B; the last chord is held."""
        exercise = made("fills-between-phrases", "C", fill="the left hand leads to the next chord",
                        progression="Imaj7 | vim7", note_length="1/4")  # fmt: skip
        assert played(exercise, Hand.LEFT) == ["C3+B3", "C3", "B2", "A2+G3"]
        assert played(exercise, Hand.RIGHT) == ["C5", "C5"]


class TestOstinato:
    """One bar again and again in the left hand, open bars above it."""

    def test_every_bar_of_the_left_hand_is_the_same(self) -> None:
        """In every metre, in all thirty keys."""
        for key in MAJOR_KEYS + MINOR_KEYS:
            for metre in ("4/4", "3/4", "6/8"):
                exercise = made("ostinato", key.ascii, metre=metre, scale="as the key has it")
                left, length = exercise.of(Hand.LEFT), exercise.bars[0].length
                bars = [
                    [event.pitches for event in left if event.onset // length == number]
                    for number in range(len(exercise.bars))
                ]
                assert len(bars) == 12
                assert all(bar == bars[0] for bar in bars)
                assert all(event.is_open for event in exercise.of(Hand.RIGHT))

    def test_what_is_asked_for_changes_every_four_bars(self) -> None:
        """Three notes, four, five; each task with another rhythm; drawn again alike by the same number."""
        exercise = made("ostinato", "Eb")
        labels = [bar.label for bar in exercise.bars]
        tasks = [label for label in labels if label]
        assert [bool(label) for label in labels] == [True, False, False, False] * 3
        assert [task.split(" · ")[0] for task in tasks] == ["1. E♭ F G", "2. E♭ F G B♭", "3. E♭ F G B♭ C"]
        assert len({task.split(" · ")[1] for task in tasks}) == 3
        again, other = made("ostinato", "Eb", seed=1), made("ostinato", "Eb", seed=2)
        assert [bar.label for bar in again.bars] == labels != [bar.label for bar in other.bars]
        assert exercise.seed == 1


class TestTheKeyOfAScale:
    """The signature is that of what is played (common practice, no source)."""

    @pytest.mark.parametrize("code", ["ostinato", "displacement", "call-and-response", "sequences", "double-notes"])
    @pytest.mark.parametrize(
        ("key", "scale", "written"),
        [
            ("E", "dorian", "E dorian"), ("A", "mixolydian", "A mixolydian"), ("Bb", "lydian", "B♭ lydian"),
            ("A", "harmonic minor", "A minor"), ("Dm", "bebop major", "D major"), ("A", "melodic minor", "A minor"),
            ("A", "minor pentatonic", "A minor"), ("Db", "minor pentatonic", "C♯ minor"), ("F", "blues", "F major"),
            ("E", "as the key has it", "E major"), ("D dorian", "dorian", "D dorian"),
        ],
    )  # fmt: skip
    def test_a_mode_has_its_own_signature(self, code: str, key: str, scale: str, written: str) -> None:
        """E dorian has two sharps; the blues keeps the key in which it is played."""
        if code == "double-notes" and ("tonic" in scale or scale in ("blues", "bebop major")):
            # Double notes need a scale of seven notes, and say so.
            with pytest.raises(ValueError, match="seven notes"):
                made(code, key, scale=scale)
            return
        exercise = made(code, key, scale=scale)
        assert {str(bar.key) for bar in exercise.bars if bar.key} == {written} == {str(exercise.key)}
        assert keys_in_words(exercise) == written

    def test_the_notes_of_e_dorian_need_no_accidental(self) -> None:
        """C♯ and F♯ are in the signature, and the G of Em7 is natural."""
        alone = made("ostinato", "E", scale="dorian", figure="1-5-7-5")
        played = {pitch.name for event in alone.events for pitch in event.pitches}
        assert played <= set(Scale.of_key(Key.parse("E dorian")).names)
        carried = made("ostinato", "E", scale="dorian", figure="1-5-7-5", key_count=2)
        begins = [bar.label.split(" · ")[0] for bar in carried.bars if bar.label]
        assert begins == ["E dorian", "2. E F♯ G A", "3. E F♯ G A B", "B dorian", "2. B C♯ D E", "3. B C♯ D E F♯"]


class TestMelody:
    """Which notes go with which chord."""

    def test_two_of_twelve_notes_are_barred_over_the_tritone_substitute(self) -> None:
        """D♭7 for G7 in C: only C, its natural seventh, and G♭, its fourth; computed from the rule."""
        chord = Chord.parse("Db7")
        names = [NoteName.parse(text) for text in ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]]
        assert [str(name) for name in names if clash(name, chord)] == ["C", "G♭"]
        assert clash(NoteName.parse("C"), chord) == "the natural seventh"

    @pytest.mark.parametrize(
        ("chord", "note", "why"),
        [
            ("Cmaj7", "F", "the fourth"), ("C6", "F", "the fourth"), ("Cmaj7", "F#", None), ("C7", "F", "the fourth"),
            ("C7sus4", "F", None), ("C9sus4", "E", "the major third"), ("Cm7", "F", None),
            ("Dm7", "D#", "the flat ninth"),
            ("C7", "Db", None), ("C7", "D#", None), ("C7", "B", "the natural seventh"), ("Bm7b5", "F", None),
        ],
    )  # fmt: skip
    def test_the_natural_eleventh_and_the_natural_seventh(self, chord: str, note: str, why: str | None) -> None:
        """Over a major third no eleventh, over a dominant no natural seventh."""
        assert clash(NoteName.parse(note), Chord.parse(chord)) == why

    def test_a_bar_that_would_clash_stays_and_says_why(self) -> None:
        """A melody with C in the bar of G7 refuses D♭7 there; with D it is taken."""
        refused = made("reharmonisation-steps", "C", melody=[3, 5, 1, 1], hands="both")
        taken = made("reharmonisation-steps", "C", melody=[3, 5, 2, 1], hands="both")
        last = [mark.chord.ascii for mark in refused.chords if mark.onset >= 16]
        assert last == ["Cmaj7", "Bb7", "Am7", "Eb7", "Dm7", "G7", "Cmaj7"]
        assert [mark.chord.ascii for mark in taken.chords][-2] == "Db7"
        assert refused.bars[16].label == "5. Tritone substitutes (bar 3 stays for the melody)"
        assert refused.remarks == ("Tritone substitutes: C is the natural seventh of D♭7, so bar 3 stays",)
        assert played(refused, Hand.RIGHT)[-4:] == ["E5", "G5", "C5", "C5"]

    @pytest.mark.parametrize(
        ("settings", "expected"),
        [
            ({"has_backdoor": True}, "Cmaj7 Am7 Fm7 Bb7 Cmaj7"),
            ({"has_interchange": True, "progression": "Imaj7 | IVmaj7 | iim7 | V7 | Imaj7"},
             "Cmaj7 Fmaj7 Fm6 Dm7 Dm7b5 G7 Cmaj7"),
            ({"has_passing": True, "progression": "Imaj7 | iim7 | iiim7 | V7 | Imaj7", "has_two": False},
             "Cmaj7 C#dim7 Dm7 D#dim7 Em7 G7 Cmaj7"),
        ],
    )  # fmt: skip
    def test_more_steps(self, settings: dict[str, Plain], expected: str) -> None:
        """Backdoor, chords borrowed from minor, passing diminished sevenths."""
        plain: dict[str, Plain] = {"has_secondary": False, "has_substitutes": False}
        exercise = made("reharmonisation-steps", "C", **plain, **settings)
        lines = [bar.onset for bar in exercise.bars if bar.label]
        assert " ".join(mark.chord.ascii for mark in exercise.chords if mark.onset >= lines[-1]) == expected
