"""Voicings as drills against worked examples, note by note, with what must hold of them in every key.

Sources: shapes of rootless voicings in C major agree with lesson pages seen; the other keys follow by transposition.
Where nothing else is said, rows are worked out from the definition and the practice is common, no source.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from tests.reference.tables import UPPER_NOTES


def made(code: str, key: str, **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key)))


def shapes(exercise: Exercise, hand: Hand) -> str:
    """What a hand plays: the notes of each chord, chords parted by bars; rests are left out."""
    return " | ".join(
        " ".join(pitch.ascii for pitch in event.pitches) for event in exercise.of(hand) if event.pitches
    )  # fmt: skip


def names(exercise: Exercise, hand: Hand) -> str:
    """The same without octaves, as printed."""
    return " | ".join(
        " ".join(str(pitch.name) for pitch in event.pitches) for event in exercise.of(hand) if event.pitches
    )  # fmt: skip


class TestShells:
    """Root and seventh, root and third in turn."""

    @pytest.mark.parametrize(
        ("key", "expected"),
        [
            ("C", "D3 C4 | G3 B3 | C3 B3 | A3 C4"),
            ("G", "A2 G3 | D3 F#3 | G2 F#3 | E3 G3"),
            ("Gb", "Ab2 Gb3 | Db3 F3 | Gb2 F3 | Eb3 Gb3"),
            ("Am", "B2 A3 | E3 G#3 | A2 G3 | F3 A3"),
        ],
    )
    def test_the_upper_note_steps_down_and_comes_back(self, key: str, expected: str) -> None:
        """D–C, G–B, C–B in C major; worked out from the definition."""
        assert shapes(made("shell-voicings", key, count=1), Hand.LEFT) == expected

    def test_where_roots_fall_by_fifths_the_upper_note_moves_by_a_step_at_most(self) -> None:
        """In every key, from either shell, round five falling fifths."""
        chain = "iiim7 | vim7 | iim7 | V7 | Imaj7"
        for key in MAJOR_KEYS:
            for first in ("root and seventh", "root and third"):
                drill = family("shell-voicings").from_settings({"progression": chain, "first": first, "count": 1})
                tops = [event.pitches[-1].midi for event in realise(drill, Setting(key)).of(Hand.LEFT)]
                assert all(0 <= before - after <= 2 for before, after in pairwise(tops)), key

    def test_no_third_lies_where_it_is_muddy(self) -> None:
        """No root with a third above it lies below B♭2, no root at all below F2 (common practice; tables differ)."""
        for kind in ("seventh or third, whichever is nearer", "root and third", "root, third and seventh"):
            for event in made("shell-voicings", "C", kind=kind, count=12).of(Hand.LEFT):
                low, above = event.pitches[0].midi, event.pitches[1].midi
                assert low >= (46 if above - low <= 4 else 41)

    def test_a_tenth_is_rolled(self) -> None:
        """Few hands reach it, and a lesson must not ask for it."""
        exercise = made("shell-voicings", "C", kind="root, seventh and tenth", count=1)
        assert shapes(exercise, Hand.LEFT).startswith("D3 C4 F4 | G2 F3 B3 | C3 B3 E4")
        assert {event.roll.value for event in exercise.of(Hand.LEFT)} == {"up"}


class TestGuideTones:
    """Thirds and sevenths."""

    def test_two_five_one_in_c(self) -> None:
        """F–C, F–B, E–B over D, G, C; worked out from the definition."""
        exercise = made("guide-tones", "C", count=1)
        assert shapes(exercise, Hand.RIGHT) == "F4 C5 | F4 B4 | E4 B4 | E4 B4"
        assert shapes(exercise, Hand.LEFT) == "D3 | G3 | C3 | C3"

    def test_dominants_in_fifths_fall_by_semitones(self) -> None:
        """E7 A7 D7 G7 C: G♯–D, G–C♯, F♯–C, F–B; into the tonic the fourth falls and the leading note stays."""
        exercise = made("guide-tones", "C", progression="III7 | VI7 | II7 | V7 | Imaj7", count=1)
        assert names(exercise, Hand.RIGHT) == "G♯ D | G C♯ | F♯ C | F B | E B"

    @pytest.mark.parametrize("key", MAJOR_KEYS + MINOR_KEYS, ids=str)
    def test_each_voice_moves_by_a_step_at_most_where_roots_fall_by_fifths(self, key: Key) -> None:
        """From either note below."""
        for line in ("both, the third below at first", "both, the seventh below at first"):
            exercise = made("guide-tones", key.ascii, line=line, count=1, progression="vim7 | iim7 | V7 | Imaj7")
            chords = [event.pitches for event in exercise.of(Hand.RIGHT)]
            first = 1 if key in MINOR_KEYS else 0
            for before, after in pairwise(chords[first:]):
                assert all(abs(one.midi - other.midi) <= 2 for one, other in zip(before, after, strict=True))

    def test_a_single_line_begins_where_it_is_asked_to(self) -> None:
        """The seventh of ii falls to the third of V and is held as the seventh of I."""
        line = made("guide-tones", "C", count=1, line="one line that begins on the seventh")
        assert shapes(line, Hand.RIGHT) == "C4 | B3 | B3 | B3"


class TestRootless:
    """Forms A and B."""

    @pytest.mark.parametrize(
        ("key", "form", "expected"),
        [
            ("C", "A", "F3 A3 C4 E4 | F3 A3 B3 E4 | E3 G3 B3 D4 | E3 G3 B3 D4"),
            ("C", "B", "C4 E4 F4 A4 | B3 E4 F4 A4 | B3 D4 E4 G4 | B3 D4 E4 G4"),
            ("Gb", "B", "Gb3 Bb3 Cb4 Eb4 | F3 Bb3 Cb4 Eb4 | F3 Ab3 Bb3 Db4 | F3 Ab3 Bb3 Db4"),
            ("F#", "A", "B3 D#4 F#4 A#4 | B3 D#4 E#4 A#4 | A#3 C#4 E#4 G#4 | A#3 C#4 E#4 G#4"),
            ("Cm", "A", "F3 Ab3 C4 D4 | F3 Ab3 B3 Eb4 | Eb3 G3 A3 D4 | Eb3 G3 A3 D4"),
        ],
    )
    def test_two_five_one(self, key: str, form: str, expected: str) -> None:
        """In G♭ it is C♭ and not B; in minor the tonic has its sixth."""
        assert shapes(made("rootless-voicings", key, form=form, count=1), Hand.LEFT) == expected

    @pytest.mark.parametrize("form", ["A", "B", "the one that lies better in each key"])
    @pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
    def test_from_two_to_five_one_note_falls_a_semitone(self, key: Key, form: str) -> None:
        """The seventh of ii becomes the third of V; true in all keys for both forms."""
        two, five, one, _ = (
            event.pitches for event in made("rootless-voicings", key.ascii, form=form, count=1).of(Hand.LEFT)
        )
        assert sorted(before.midi - after.midi for before, after in zip(two, five, strict=True)) == [0, 0, 0, 1]
        assert sum(abs(before.midi - after.midi) for before, after in zip(five, one, strict=True)) <= 6

    @pytest.mark.parametrize("key", MAJOR_KEYS + MINOR_KEYS, ids=str)
    def test_the_better_form_lies_where_it_sounds_clear(self, key: Key) -> None:
        """No note below C3, the lowest between C♯3 and A♭3, the highest no higher than C5; common practice."""
        exercise = made("rootless-voicings", key.ascii, count=1)
        notes = [pitch.midi for event in exercise.of(Hand.LEFT) for pitch in event.pitches]
        assert 49 <= min(notes) <= 56
        assert max(notes) <= 72

    def test_a_hand_alone_has_the_shapes_and_two_hands_part_them_from_the_roots(self) -> None:
        """The right hand plays in the same place as the left alone."""
        alone = made("rootless-voicings", "C", count=1)
        both = made("rootless-voicings", "C", count=1, hands="both")
        assert shapes(both, Hand.RIGHT) == shapes(alone, Hand.LEFT)
        assert shapes(both, Hand.LEFT) == "D2 | G2 | C2 | C2"


HELPED = {"Imaj9": "D♭ E♭ A♭ B♭", "I9": "D♭ E♭ A♭ B♭", "im9": "D♭ G♭ F♯ A♭"}
HINDERED = {"Imaj9": "D E A B", "I9": "D E A B", "im9": "C F G"}
"""Roots over which the right thumb is better or worse off on the third; worked out from black and white keys."""


class TestUpperExtension:
    """Third, fifth, seventh and ninth over the root."""

    @pytest.mark.parametrize("row", UPPER_NOTES.strip().splitlines())
    def test_the_right_hand_has_the_table(self, row: str) -> None:
        """Three qualities on each root, and what the thumb gains or loses by leaving the root to the other hand."""
        root, cells = row.split(": ")
        for degree, notes in zip(HELPED, cells.split("; "), strict=True):
            exercise = made("upper-extension", root, progression=degree)
            assert names(exercise, Hand.RIGHT) == notes
            assert names(exercise, Hand.LEFT) == root
            (remark,) = exercise.remarks
            assert ("helps" in remark) == (root in HELPED[degree].split())
            assert ("harder" in remark) == (root in HINDERED[degree].split())
            assert ("changes nothing" in remark) == (root not in f"{HELPED[degree]} {HINDERED[degree]}".split())

    def test_it_lies_as_it_is_taught_in_c(self) -> None:
        """C3 below, E4 G4 B4 D5 above; with its fifth, in octaves."""
        assert shapes(made("upper-extension", "C", progression="Imaj9"), Hand.RIGHT) == "E4 G4 B4 D5"
        for root, left in (("the root", "C3"), ("the root in octaves", "C2 C3"), ("root and fifth", "C3 G3")):
            assert shapes(made("upper-extension", "C", progression="Imaj9", root=root), Hand.LEFT) == left

    def test_broken_it_fills_each_bar(self) -> None:
        """Eight eighths to a bar of four quarters, the shape twice."""
        exercise = made("upper-extension", "C", progression="Imaj9", touch="broken")
        assert shapes(exercise, Hand.RIGHT) == " | ".join(["E4", "G4", "B4", "D5"] * 2)

    def test_the_remark_says_which_keys_are_meant(self) -> None:
        """The teacher reads it aloud."""
        assert made("upper-extension", "Db", progression="Imaj9").remarks == (
            "D♭maj9: the extension helps, for the right thumb goes from black D♭ to white F",
        )


class TestSpreads:
    """Five notes for two hands."""

    @pytest.mark.parametrize(
        ("degree", "left", "right"),
        [("Imaj9", "C3 G3", "E4 B4 D5"), ("V13", "G2 F3", "B3 E4 A4"), ("iim9", "D3 A3", "F4 C5 E5")],
    )
    def test_single_chords_in_c(self, degree: str, left: str, right: str) -> None:
        """Root and fifth under 3 7 9; in a dominant root and seventh under 3 13 9."""
        exercise = made("two-hand-spreads", "C", progression=degree, count=1)
        assert (shapes(exercise, Hand.LEFT), shapes(exercise, Hand.RIGHT)) == (left, right)

    @pytest.mark.parametrize("key", MAJOR_KEYS + MINOR_KEYS, ids=str)
    @pytest.mark.parametrize("left", ["the fifth, in dominants the seventh", "the fifth", "the seventh"])
    def test_no_note_is_doubled_and_each_hand_reaches_its_notes(self, key: Key, left: str) -> None:
        """Five different notes, a ninth at most in a hand; the ninth is there wherever the chord's name has it."""
        exercise = made("two-hand-spreads", key.ascii, left=left, count=1)
        for mark, low, high in zip(exercise.chords, exercise.of(Hand.LEFT), exercise.of(Hand.RIGHT), strict=True):
            sounding = [pitch.name for pitch in (*low.pitches, *high.pitches)]
            telling = {mark.chord.tone_for("3"), mark.chord.tone_for("7")}
            assert all(sounding.count(name) == 1 for name in telling), mark
            assert low.pitches[-1].midi - low.pitches[0].midi <= 14
            assert high.pitches[-1].midi - high.pitches[0].midi <= 14
            if any("9" in degree for degree in mark.chord.quality.degrees):
                assert mark.chord.tone_for("9") in sounding
            assert low.pitches[0].midi >= 34


class TestLedToMinor:
    """Tensions that nobody has written."""

    def test_a_dominant_before_a_minor_chord_has_that_chord_s_notes(self) -> None:
        """B♭7 to E♭m7 with G♭ and C♭, not G and C; A♭7 to D♭maj7 keeps thirteenth and ninth (common practice)."""
        settings: dict[str, Plain] = {"progression": "iim7 | V7 | Imaj7 | V7/ii"}
        exercise = made("comping-rhythms", "Db", plan="rootless over left-hand roots", **settings)
        sounding: dict[str, set[str]] = {}
        for event in exercise.of(Hand.RIGHT):
            # A chord on the last eighth of a bar is the next bar's.
            mark = [mark for mark in exercise.chords if mark.onset <= event.end - Fraction(1, 16)][-1]
            sounding.setdefault(str(mark.chord), set()).update(str(pitch.name) for pitch in event.pitches)
        assert sounding["B♭7"] == {"D", "A♭", "C♭", "G♭"}
        assert sounding["A♭7"] == {"C", "G♭", "B♭", "F"}

    @pytest.mark.parametrize(
        ("key", "progression", "expected"),
        [("C", "V7 | Imaj7", "B E F A"), ("Cm", "V7 | im7", "B E♭ F A♭"), ("C", "V7/ii | iim7", "C♯ F G B♭")],
    )
    def test_in_form_b(self, key: str, progression: str, expected: str) -> None:
        """3 13 7 9, or 3 ♭13 7 ♭9 where the root falls a fifth to a minor chord."""
        settings: dict[str, Plain] = {"form": "B", "count": 1, "minor_tonic": "its seventh", "adapts_to_minor": False}
        exercise = made("rootless-voicings", key, progression=progression, **settings)
        assert names(exercise, Hand.LEFT).split(" | ")[0] == expected


class TestNearestShells:
    """Which of two notes a shell has."""

    def test_a_suspended_fourth_falls_to_the_third(self) -> None:
        """B7sus4 as B E, B7 as B D♯; and the D♯ stays in Emaj7 (common practice, no source)."""
        exercise = made("shell-voicings", "E", progression="V7sus4 | V7 | Imaj7", count=1)
        assert shapes(exercise, Hand.LEFT) == "B3 E4 | B3 D#4 | E3 D#4"

    @pytest.mark.parametrize("key", ["C", "F", "Bb", "Eb", "Ab", "Gb", "B", "E", "A", "G"])
    def test_under_chords_the_upper_note_moves_by_step_as_well(self, key: str) -> None:
        """In F major G F, C E, F E; D and D♭ major would need a third below B♭2, which is muddy, and leap instead."""
        plan = "shells in the left hand, chords in the right"
        exercise = made("progression-through-keys", key, count=1, progression="iim7 | V7 | Imaj7", plan=plan)
        tops = [event.pitches[-1].midi for event in exercise.of(Hand.LEFT)]
        assert all(abs(one - other) <= 2 for one, other in pairwise(tops))
        for low, high in zip(exercise.of(Hand.LEFT), exercise.of(Hand.RIGHT), strict=True):
            assert low.pitches[-1].midi < high.pitches[0].midi


BLOCKS = """
C: E G A C; F A♭ B D; G A C E; A♭ B D F; A C E G; B D F A♭; C E G A; D F A♭ B
E♭: G B♭ C E♭; A♭ C♭ D F; B♭ C E♭ G; C♭ D F A♭; C E♭ G B♭; D F A♭ C♭; E♭ G B♭ C; F A♭ C♭ D
F: A C D F; B♭ D♭ E G; C D F A; D♭ E G B♭; D F A C; E G B♭ D♭; F A C D; G B♭ D♭ E
G♭: B♭ D♭ E♭ G♭; C♭ E𝄫 F A♭; D♭ E♭ G♭ B♭; E𝄫 F A♭ C♭; E♭ G♭ B♭ D♭; F A♭ C♭ E𝄫; G♭ B♭ D♭ E♭; A♭ C♭ E𝄫 F
"""
"""Key: the four notes under 1 2 3 4 5 ♭6 6 7, low to high. That the eight-note scale gives a sixth and a diminished
chord is taught so; the rows are worked out from it."""


class TestBlockChords:
    """Locked hands."""

    @pytest.mark.parametrize("row", BLOCKS.strip().splitlines())
    def test_the_harmonised_scale(self, row: str) -> None:
        """Each melody note carries its own inversion."""
        key, cells = row.split(": ")
        exercise = made("block-chords", key)
        assert names(exercise, Hand.RIGHT).split(" | ")[:8] == cells.split("; ")
        tops = [event.pitches[-1] for event in exercise.of(Hand.RIGHT)]
        assert [event.pitches for event in exercise.of(Hand.LEFT)] == [(top.octaves_up(-1),) for top in tops]

    @pytest.mark.parametrize("key", MAJOR_KEYS + MINOR_KEYS, ids=str)
    def test_tonic_and_passing_chords_alternate(self, key: Key) -> None:
        """Through all eight degrees without exception, in minor with the minor sixth chord."""
        names_of = [mark.chord.quality.key for mark in made("block-chords", key.ascii).chords]
        tonic = "m6" if key in MINOR_KEYS else "6"
        assert names_of == [tonic, "dim7"] * 4 + [tonic]

    def test_a_reader_of_g_flat_gets_d_for_e_double_flat(self) -> None:
        """Friendly spelling of the passing note."""
        exercise = realise(family("block-chords")(), Setting(Key.parse("Gb"), is_friendly=True))
        assert names(exercise, Hand.RIGHT).split(" | ")[1] == "C♭ D F A♭"

    def test_drop_2_gives_the_second_voice_to_the_left_hand(self) -> None:
        """E G A C opens to A – E G C."""
        exercise = made("block-chords", "C", lower="the second voice an octave lower")
        assert shapes(exercise, Hand.RIGHT).startswith("E4 G4 C5 | F4 Ab4 D5")
        assert shapes(exercise, Hand.LEFT).startswith("A3 | B3")


DROP_2 = """
Cmaj7: G C E B; B E G C; C G B E; E B C G
Dm7: A D F C; C F A D; D A C F; F C D A
G7: D G B F; F B D G; G D F B; B F G D
Bm7b5: F B D A; A D F B; B F A D; D A B F
Gbmaj7: D♭ G♭ B♭ F; F B♭ D♭ G♭; G♭ D♭ F B♭; B♭ F G♭ D♭
Ebm7: B♭ E♭ G♭ D♭; D♭ G♭ B♭ E♭; E♭ B♭ D♭ G♭; G♭ D♭ E♭ B♭
Ab7: E♭ A♭ C G♭; G♭ C E♭ A♭; A♭ E♭ G♭ C; C G♭ A♭ E♭
C#dim7: G C♯ E B♭; B♭ E G C♯; C♯ G B♭ E; E B♭ C♯ G
C6: G C E A; A E G C; C G A E; E A C G
"""
"""Chord: its four inversions in drop-2, by the definition in a dissertation's annotation (the second note from the top
an octave lower); the rows are worked out from it."""


class TestDropVoicings:
    """Open four-part chords."""

    @pytest.mark.parametrize("row", DROP_2.strip().splitlines())
    def test_drop_2_through_the_inversions(self, row: str) -> None:
        """The left hand has the voice that was taken down, the right hand the other three."""
        symbol, cells = row.split(": ")
        root = symbol[:2] if symbol[1] in "b#" else symbol[0]
        exercise = made("drop-voicings", root, quality=symbol[len(root) :], shows_close=False)
        lows, highs = (names(exercise, hand).split(" | ") for hand in (Hand.LEFT, Hand.RIGHT))
        assert [f"{low} {high}" for low, high in zip(lows, highs, strict=True)][:4] == cells.split("; ")

    def test_the_close_position_comes_first(self) -> None:
        """So that the hand sees where the open chord comes from; the left hand rests meanwhile."""
        exercise = made("drop-voicings", "C", quality="maj7")
        assert shapes(exercise, Hand.RIGHT).startswith("C4 E4 G4 B4 | C4 E4 B4 | E4 G4 B4 C5 | E4 G4 C5")
        assert [bool(event.pitches) for event in exercise.of(Hand.LEFT)][:4] == [False, True, False, True]

    @pytest.mark.parametrize(
        ("drop", "left", "right"),
        [("drop-2", "G3", "C4 E4 B4"), ("drop-3", "E3", "C4 G4 B4"), ("drop-2 and 4", "C3 G3", "E4 B4")],
    )
    def test_voices_are_counted_from_the_top(self, drop: str, left: str, right: str) -> None:
        """Cmaj7 from C E G B; counting from the bottom would give the wrong note."""
        exercise = made("drop-voicings", "C", quality="maj7", drop=drop, shows_close=False)
        assert shapes(exercise, Hand.LEFT).split(" | ")[0] == left
        assert shapes(exercise, Hand.RIGHT).split(" | ")[0] == right

    def test_the_keys_chords_climb_the_scale_in_one_shape(self) -> None:
        """Seven sevenths and the first again, each a step higher than the one before."""
        exercise = made("drop-voicings", "C", path="the key's chords up the scale", shows_close=False)
        assert [str(mark.chord) for mark in exercise.chords][:4] == ["Cmaj7", "Dm7", "Em7", "Fmaj7"]
        assert shapes(exercise, Hand.LEFT) == "G3 | A3 | B3 | C4 | D4 | E4 | F4 | G4"

    def test_one_hand_rolls_what_is_wider_than_a_ninth(self) -> None:
        """G3 to B4 is a tenth."""
        exercise = made("drop-voicings", "C", quality="maj7", shows_close=False, hands="right")
        assert exercise.of(Hand.RIGHT)[0].roll.value == "up"

    @pytest.mark.parametrize("quality", ["maj9", "m(add9)"])
    def test_other_chords_are_refused(self, quality: str) -> None:
        """Five notes or a wide close position would let the hands cross."""
        with pytest.raises(ValueError, match="choose a sixth or seventh chord"):
            made("drop-voicings", "C", quality=quality)


class TestLineCliches:
    """One voice moves by semitones."""

    @pytest.mark.parametrize(
        ("key", "settings", "chords", "line"),
        [
            ("Cm", {}, "Cm Cm(maj7) Cm7 Cm6", "C B B♭ A"),
            ("C", {}, "C C+ C6 C7", "G G♯ A B♭"),
            ("C", {"degree": "2"}, "Dm Dm(maj7) Dm7 Dm6", "D C♯ C B"),
            ("Gb", {}, "G♭ G♭+ G♭6 G♭7", "D♭ D E♭ F♭"),
            ("Em", {"line": "minor chord, rising from the fifth"}, "Em C/E Em6 Em7", "B C C♯ D"),
            ("Eb", {"line": "major chord, falling from the root"}, "E♭ E♭maj7 E♭7 E♭6", "E♭ D D♭ C"),
        ],
    )
    def test_names_and_notes(self, key: str, settings: dict[str, Plain], chords: str, line: str) -> None:
        """Rising a voice is sharpened, falling it is flattened, and the seventh keeps its letter."""
        exercise = made("line-cliches", key, **settings)
        assert " ".join(str(mark.chord) for mark in exercise.chords) == chords
        tops = [event.pitches[-1] for event in exercise.of(Hand.RIGHT)]
        assert " ".join(str(pitch.name) for pitch in tops) == line
        assert {abs(before.midi - after.midi) for before, after in pairwise(tops)} == {1}

    @pytest.mark.parametrize(("voice", "place"), [("lowest", 0), ("in the middle", 1), ("on top", 2)])
    def test_one_voice_moves_and_the_others_stay(self, voice: str, place: int) -> None:
        """In every key, there and back."""
        for key in MAJOR_KEYS + MINOR_KEYS:
            exercise = made("line-cliches", key.ascii, voice=voice, comes_back=True)
            held = {event.pitches[:place] + event.pitches[place + 1 :] for event in exercise.of(Hand.RIGHT)}
            assert len(held) == 1
            moving = [event.pitches[place].midi for event in exercise.of(Hand.RIGHT)]
            assert len(moving) == 7
            assert moving == moving[::-1]
            assert {abs(before - after) for before, after in pairwise(moving)} == {1}


class TestPedalPoints:
    """Slash chords."""

    @pytest.mark.parametrize(
        ("key", "settings", "expected"),
        [
            ("C", {}, "C F/C G/C C"),
            ("C", {"progression": "iim7 | V7 | I | V7", "pedal": "dominant"}, "Dm7/G G7 C/G G7"),
            ("Gb", {}, "G♭ C♭/G♭ D♭/G♭ G♭"),
            ("Cm", {}, "Cm Fm/C G/C Cm"),
            ("Db", {"progression": "I | subV7 | I"}, "D♭ D7/D♭ D♭"),
        ],
    )
    def test_the_bass_is_named_and_stays(self, key: str, settings: dict[str, Plain], expected: str) -> None:
        """Spelled as the key spells it, also under a chord that does not belong to the key."""
        exercise = made("pedal-points", key, **settings)
        assert " ".join(str(mark.chord) for mark in exercise.chords) == expected
        assert len({event.pitches for event in exercise.of(Hand.LEFT)}) == 1

    def test_a_held_bass_is_held(self) -> None:
        """One note under four chords, tied from bar to bar; after four bars it is struck anew."""
        bass = made("pedal-points", "E", progression="I | IV | V | I | IV | I").of(Hand.LEFT)
        assert [event.length for event in bass] == [4, 2]


class TestVoiceLeading:
    """Progressions in the nearest inversions."""

    def test_one_six_four_five_one_moves_twelve_semitones(self) -> None:
        """C E G B, C E G A, C E F A, B D F G, B C E G: motions 2, 2, 5, 3; worked out voice by voice."""
        exercise = made(
            "progression-through-keys", "C",
            progression="Imaj7 | vim7 | IVmaj7 | V7 | Imaj7", plan="smooth", hands="right", count=1,
        )  # fmt: skip
        chords = [[pitch.midi for pitch in event.pitches] for event in exercise.of(Hand.RIGHT)]
        steps = [zip(before, after, strict=True) for before, after in pairwise(chords)]
        moved = [sum(abs(one - other) for one, other in step) for step in steps]
        assert moved == [2, 2, 5, 3]


STRUCTURES = """
D: 9 ♯11 13 C13(♯11); E♭: ♯9 5 ♭7 C7♯9; G♭: ♯11 ♭7 ♭9 C7(♭9♯11); A♭: ♭13 R ♯9 C7alt; A: 13 ♭9 3 C13(♭9);
Cm: R ♯9 5 C7♯9; D♭m: ♭9 3 ♭13 C7(♭9♭13); E♭m: ♯9 ♯11 ♭7 C7(♯9♯11); F♯m: ♯11 13 ♭9 C13(♭9♯11)
"""
"""The triads over C7, the tensions they bring and the name of what sounds; a table of the trade seen, the tensions'
names by arithmetic, the chords' names common practice, no source."""


class TestUpperStructures:
    """Triads over third and seventh."""

    def test_over_c7_they_are_the_table(self) -> None:
        """In F major, where C7 is the dominant; the triads keep their own spelling, A with C♯ and not D♭."""
        exercise = made("upper-structures", "F", structures="major and minor triads")
        rows = [row.split() for row in STRUCTURES.replace("\n", "").split(";")]
        for bar, mark, (triad, *tensions, chord) in zip(exercise.bars, exercise.chords, rows, strict=True):
            told = ", ".join(tensions).replace("R", "root")
            assert bar.label == f"{triad[:-1]} triad: {told}"
            assert str(mark.chord) == chord
        assert names(exercise, Hand.RIGHT).split(" | ")[4] == "E A C♯"
        assert set(names(exercise, Hand.LEFT).split(" | ")) == {"E B♭"}

    @pytest.mark.parametrize("key", MAJOR_KEYS + MINOR_KEYS, ids=str)
    def test_the_chord_s_name_tells_all_that_sounds_and_no_more(self, key: Key) -> None:
        """Every note is in the chord's name, and every tension of the name is among the notes (♯5 sounds as ♭13)."""
        exercise = made("upper-structures", key.ascii, structures="major and minor triads")
        for mark, low, high in zip(exercise.chords, exercise.of(Hand.LEFT), exercise.of(Hand.RIGHT), strict=True):
            sounding = {pitch.midi % 12 for pitch in (*low.pitches, *high.pitches)}
            named = {tone.pitch_class for tone in mark.chord.tones}
            may_lack = {mark.chord.root.pitch_class, mark.chord.tone_for("5").pitch_class}
            assert sounding <= named
            assert named - sounding <= may_lack

    @pytest.mark.parametrize("key", MAJOR_KEYS + MINOR_KEYS, ids=str)
    def test_no_triad_has_the_fourth_or_the_major_seventh(self, key: Key) -> None:
        """Over C7 neither F nor B, which leaves out D♭, F, B♭, E, G and B; and no triad needs a double accidental."""
        exercise = made("upper-structures", key.ascii, structures="major and minor triads")
        root = exercise.chords[0].chord.root.pitch_class
        for event in exercise.of(Hand.RIGHT):
            assert not {(pitch.midi - root) % 12 for pitch in event.pitches} & {5, 11}
            assert not any(pitch.name.is_double for pitch in event.pitches)


class TestQuartal:
    """Stacks of perfect fourths."""

    @pytest.mark.parametrize(
        ("settings", "expected"),
        [
            ({}, "A3 D4 G4 | B3 E4 A4 | D4 G4 C5 | E4 A4 D5 | G4 C5 F5 | A4 D5 G5"),
            ({"sound": "six-nine"}, "A3 D4 G4 | D4 G4 C5 | E4 A4 D5 | A4 D5 G5"),
            ({"sound": "suspended dominant"}, "A3 D4 G4 | D4 G4 C5 | E4 A4 D5 | G4 C5 F5 | A4 D5 G5"),
        ],
    )
    def test_three_notes_in_c(self, settings: dict[str, Plain], expected: str) -> None:
        """Dm7 from the whole mode; C6/9 as E A D and its like, without F and B; G9sus4 without B."""
        assert shapes(made("quartal-voicings", "C", direction="up", **settings), Hand.RIGHT) == expected

    @pytest.mark.parametrize(
        ("key", "sound", "expected"),
        [
            ("C", "minor seventh, dorian",
             "A3 D4 G4 | B3 E4 A4 | C4 F4 B4 | D4 G4 C5 | E4 A4 D5 | F4 B4 E5 | G4 C5 F5 | A4 D5 G5"),
            ("D", "minor seventh, dorian",
             "A3 D4 G4 | B3 E4 A4 | C#4 F#4 B4 | D4 G4 C#5 | E4 A4 D5 | F#4 B4 E5 | G4 C#5 F#5 | A4 D5 G5"),
        ],
    )  # fmt: skip
    def test_on_every_step_of_the_mode(self, key: str, sound: str, expected: str) -> None:
        """Fourths as the mode has them, F B among them, so that each note goes to its neighbour; worked out."""
        exercise = made("quartal-voicings", key, sound=sound, steps="on every step of the mode", direction="up")
        assert shapes(exercise, Hand.RIGHT) == expected
        assert "on every step of the mode" in exercise.summary
        assert "where every fourth is perfect" in made("quartal-voicings", key, sound=sound).summary

    def test_three_fourths_and_a_third(self) -> None:
        """D G C F A over both hands, spelled in fourths."""
        exercise = made(
            "quartal-voicings", "C", stack="four notes in fourths and a third on top", direction="up"
        )  # fmt: skip
        left, right = (shapes(exercise, hand).split(" | ") for hand in (Hand.LEFT, Hand.RIGHT))
        assert "D3 G3 C4 F4 A4" in [f"{low} {high}" for low, high in zip(left, right, strict=True)]

    @pytest.mark.parametrize("key", MAJOR_KEYS + MINOR_KEYS, ids=str)
    def test_each_step_is_a_perfect_fourth_by_letter_and_sound(self, key: Key) -> None:
        """No stack has the tritone of the key, and all notes belong to it."""
        exercise = made("quartal-voicings", key.ascii)
        for event in exercise.of(Hand.RIGHT):
            assert {before.interval_to(after).name for before, after in pairwise(event.pitches)} == {"P4"}
            assert {pitch.name for pitch in event.pitches} <= key.notes
