"""Progressions as drills against worked examples, chord by chord, with what must hold of them in every key.

Sources: I ♯I°7 ii and the tritone substitute are patterns met in jazz teaching; the rows below were computed from the
degrees. Where nothing else is said, the practice is common, no source.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key


def made(code: str, key: str, **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key)))


def chords(exercise: Exercise) -> str:
    """The chord names, as they are typed."""
    return " ".join(mark.chord.ascii for mark in exercise.chords)


def tones(exercise: Exercise, place: int) -> str:
    """The notes of one of the chords, from the root up."""
    return " ".join(str(tone) for tone in exercise.chords[place].chord.tones)


def bass(exercise: Exercise) -> list[int]:
    """The left hand's lowest notes as MIDI numbers."""
    return [event.pitches[0].midi for event in exercise.of(Hand.LEFT) if event.pitches]


class TestTwoFiveOnes:
    """Six keys down by whole tones and the seam between them."""

    CHAIN = (
        "Dm7 G7 Cmaj7 Cm7 F7 Bbmaj7 Bbm7 Eb7 Abmaj7 Abm7 Db7 Gbmaj7 F#m7 B7 Emaj7 Em7 A7 Dmaj7 "
        "C#m7 F#7 Bmaj7 Bm7 E7 Amaj7 Am7 D7 Gmaj7 Gm7 C7 Fmaj7 Fm7 Bb7 Ebmaj7 Ebm7 Ab7 Dbmaj7"
    )
    """Two chains of six; the second begins from C♯m7. Computed."""

    def test_each_tonic_turns_minor_and_is_the_next_second_degree(self) -> None:
        """The worked chain of six keys, then the other six."""
        assert chords(made("two-five-one-chains", "C", count=12)) == self.CHAIN
        assert len(made("two-five-one-chains", "C").chords) == 18

    def test_the_seam_is_told_once_with_both_names(self) -> None:
        """G♭ is the tonic, F♯ the second degree of E: one key of the piano."""
        labels = [bar.label for bar in made("two-five-one-chains", "C").bars if bar.label]
        assert labels[3:5] == ["G♭ major", "E major (G♭ = F♯)"]
        assert sum("=" in label for label in labels) == 1

    def test_voices_lead_on_from_key_to_key(self) -> None:
        """Where the tonic turns minor, third and seventh fall a semitone and nothing else moves."""
        for key in MAJOR_KEYS:
            right = [event.pitches for event in made("two-five-one-chains", key.ascii).of(Hand.RIGHT)]
            for tonic, second in zip(right[2::3], right[3::3], strict=False):
                moved = sorted(abs(one.midi - two.midi) for one, two in zip(tonic, second, strict=True))
                assert moved == [0, 0, 1, 1]

    def test_minor_keys_have_the_half_diminished_and_the_flat_ninth(self) -> None:
        """Dm7♭5 G7♭9 Cm6; the rows of the minor cadence."""
        exercise = made("two-five-one-chains", "Cm", count=1, extensions="a flat ninth on the dominant")
        assert chords(exercise) == "Dm7b5 G7b9 Cm6"


@pytest.mark.parametrize(
    ("kind", "major", "minor"),
    [
        ("chords of the key", "Cmaj7 Am7 Dm7 G7", "Cm7 Abmaj7 Dm7b5 G7"),
        ("a dominant on six", "Cmaj7 A7 Dm7 G7", "Cm7 Ab7 Dm7b5 G7"),
        ("beginning on three", "Em7 A7 Dm7 G7", "Ebmaj7 Ab7 Dm7b5 G7"),
        ("passing diminished chords", "Cmaj7 C#dim7 Dm7 D#dim7", "Cm7 Adim7 Dm7b5 Bdim7"),
        ("dominants a semitone apart", "Cmaj7 Eb7 D7 Db7", "Cm7 Eb7 D7 Db7"),
    ],
)
def test_turnarounds_fill_two_bars(kind: str, major: str, minor: str) -> None:
    """Two chords to a bar, as often as is asked, and then the tonic for two bars."""
    for key, row, tonic in (("C", major, "Cmaj7"), ("Cm", minor, "Cm7")):
        exercise = made("turnarounds", key, kind=kind, count=1, times=2)
        assert chords(exercise) == f"{row} {row} {tonic} {tonic}"
        assert len(exercise.bars) == 6
        assert len(made("turnarounds", key, kind=kind, count=1, rests_on_tonic=False).bars) == 2


class TestTritoneSubstitutes:
    """The dominant a tritone away."""

    ROWS = """
    C: G7 Db7: D♭ F A♭ C♭
    G: D7 Ab7: A♭ C E♭ G♭
    D: A7 Eb7: E♭ G B♭ D♭
    A: E7 Bb7: B♭ D F A♭
    E: B7 F7: F A C E♭
    B: F#7 C7: C E G B♭
    Gb: Db7 G7: G B D F
    Db: Ab7 D7: D F♯ A C
    Ab: Eb7 A7: A C♯ E G
    Eb: Bb7 E7: E G♯ B D
    Bb: F7 B7: B D♯ F♯ A
    F: C7 Gb7: G♭ B♭ D♭ F♭
    """
    """Key: V, substitute as it is printed: its notes."""

    @pytest.mark.parametrize("row", ROWS.strip().splitlines())
    def test_it_is_printed_without_double_flats(self, row: str) -> None:
        """In D♭ it is D7 and not E𝄫7."""
        key, names, spelled = (part.strip() for part in row.split(":"))
        five, substitute = names.split()
        exercise = made("tritone-substitutes", key, count=1)
        found = [mark.chord.ascii for mark in exercise.chords]
        assert (found[1], found[4]) == (five, substitute)
        assert tones(exercise, 4) == spelled

    def test_third_and_seventh_are_exchanged_and_the_bass_falls_a_semitone(self) -> None:
        """In every key, major and minor: what the drill is there to show."""
        for key in MAJOR_KEYS + MINOR_KEYS:
            exercise = made("tritone-substitutes", key.ascii, count=1)
            plain, other = exercise.chords[1].chord, exercise.chords[4].chord
            assert [plain.tone_for(degree).pitch_class for degree in ("3", "7")] == [
                other.tone_for(degree).pitch_class for degree in ("7", "3")
            ]
            low = bass(exercise)
            assert low[4] - low[5] == 1


class TestPassingDiminished:
    """Chords between chords."""

    ROWS = """
    C: Cmaj7 C#dim7 Dm7 D#dim7 Em7: C♯ E G B♭: D♯ F♯ A C
    G: Gmaj7 G#dim7 Am7 A#dim7 Bm7: G♯ B D F: A♯ C♯ E G
    D: Dmaj7 D#dim7 Em7 E#dim7 F#m7: D♯ F♯ A C: E♯ G♯ B D
    A: Amaj7 A#dim7 Bm7 B#dim7 C#m7: A♯ C♯ E G: B♯ D♯ F♯ A
    E: Emaj7 E#dim7 F#m7 F##dim7 G#m7: E♯ G♯ B D: F𝄪 A♯ C♯ E
    B: Bmaj7 B#dim7 C#m7 C##dim7 D#m7: B♯ D♯ F♯ A: C𝄪 E♯ G♯ B
    Gb: Gbmaj7 Gdim7 Abm7 Adim7 Bbm7: G B♭ D♭ F♭: A C E♭ G♭
    Db: Dbmaj7 Ddim7 Ebm7 Edim7 Fm7: D F A♭ C♭: E G B♭ D♭
    Ab: Abmaj7 Adim7 Bbm7 Bdim7 Cm7: A C E♭ G♭: B D F A♭
    Eb: Ebmaj7 Edim7 Fm7 F#dim7 Gm7: E G B♭ D♭: F♯ A C E♭
    Bb: Bbmaj7 Bdim7 Cm7 C#dim7 Dm7: B D F A♭: C♯ E G B♭
    F: Fmaj7 F#dim7 Gm7 G#dim7 Am7: F♯ A C E♭: G♯ B D F
    """
    """Key: progression: notes of the two diminished chords, strictly spelled. Computed."""

    @pytest.mark.parametrize("row", ROWS.strip().splitlines())
    def test_the_lower_root_is_raised(self, row: str) -> None:
        """A raised root leads to the next one as its leading note."""
        key, names, first, second = (part.strip() for part in row.split(":"))
        exercise = made("passing-diminished", key, count=1)
        assert chords(exercise) == f"{names} {names.split()[-1]}"
        assert (tones(exercise, 1), tones(exercise, 3)) == (first, second)

    @pytest.mark.parametrize(
        ("key", "names", "notes"),
        [
            ("E", "Fdim7 Gdim7", "F A♭ B D; G B♭ D♭ E"), ("B", "Cdim7 Ddim7", "C E♭ G♭ A; D F A♭ B"),
            ("D", "D#dim7 Fdim7", "D♯ F♯ A C; F A♭ B D"), ("A", "A#dim7 Cdim7", "A♯ C♯ E G; C E♭ G♭ A"),
        ],
    )  # fmt: skip
    def test_the_reader_is_given_plain_roots(self, key: str, names: str, notes: str) -> None:
        """F𝄪°7 is read as G°7, C𝄪°7 as D°7, E♯°7 as F°7, B♯°7 as C°7; each change is remarked."""
        drill = family("passing-diminished").from_settings({"count": 1})
        exercise = realise(drill, Setting(Key.parse(key), is_friendly=True))
        assert " ".join(exercise.chords[place].chord.ascii for place in (1, 3)) == names
        events = {event.onset: event for event in exercise.of(Hand.RIGHT)}
        for place, wanted in zip((1, 3), notes.split("; "), strict=True):
            sounding = events[exercise.chords[place].onset]
            assert {str(pitch.name) for pitch in sounding.pitches} == set(wanted.split())

    def test_downward_it_keeps_its_flats(self) -> None:
        """E♭°7 between Em7 and Dm7, for the reader as E♭ G♭ A C."""
        drill = family("passing-diminished").from_settings({"direction": "down", "count": 1})
        strict, friendly = (realise(drill, Setting(Key.parse("C"), is_friendly=answer)) for answer in (False, True))
        assert chords(strict) == chords(friendly) == "Em7 Ebdim7 Dm7 G7 Cmaj7 Cmaj7"
        assert tones(strict, 1) == "E♭ G♭ B𝄫 D𝄫"
        right = [event for event in friendly.of(Hand.RIGHT) if event.pitches][1]
        assert {str(pitch.name) for pitch in right.pitches} == {"E♭", "G♭", "A", "C"}

    @pytest.mark.parametrize("part", ["the lower three", "the upper three"])
    @pytest.mark.parametrize("direction", ["up", "down", "up and down"])
    def test_the_bass_moves_by_semitones_to_and_from_it(self, part: str, direction: str) -> None:
        """In all thirty keys, without a leap to another octave; into V7 in minor it may fall another step."""
        for key in MAJOR_KEYS + MINOR_KEYS:
            exercise = made("passing-diminished", key.ascii, part=part, direction=direction, count=1)
            low = bass(exercise)
            for place, mark in enumerate(exercise.chords):
                if mark.chord.quality.key == "dim7":
                    assert abs(low[place] - low[place - 1]) == 1, (key, mark)
                    assert abs(low[place + 1] - low[place]) == 1, (key, mark)


class TestDominantChains:
    """Dominants of dominants."""

    def test_four_links_in_c(self) -> None:
        """E7 A7 D7 G7 C. A link outside the key is named from the root that needs no double sharp: E♭7, not D♯7."""
        assert chords(made("dominant-chains", "C", count=1)) == "E7 A7 D7 G7 Cmaj7 Cmaj7"
        assert chords(made("dominant-chains", "Am", count=1, links=6)) == "Eb7 G#7 C#7 F#7 B7 E7 Am7"
        substituted = made("dominant-chains", "C", count=1, kind="dominants, every other one substituted")
        assert chords(substituted) == "E7 Eb7 D7 Db7 Cmaj7 Cmaj7"

    def test_the_key_s_own_cycle(self) -> None:
        """All seven degrees by falling fifths."""
        cycle = made("dominant-chains", "C", count=1, kind="the chords of the key")
        assert chords(cycle) == "Cmaj7 Fmaj7 Bm7b5 Em7 Am7 Dm7 G7 Cmaj7"
        minor = made("dominant-chains", "Am", count=1, kind="the chords of the key")
        assert chords(minor) == "Am7 Dm7 G7 Cmaj7 Fmaj7 Bm7b5 E7 Am7"

    def test_third_and_seventh_fall_by_semitones(self) -> None:
        """G♯–D, G–C♯, F♯–C, F–B in C major; in every key, and into the tonic the seventh falls and the third stays."""
        for key in MAJOR_KEYS:
            exercise = made("dominant-chains", key.ascii, count=1, links=6)
            links = [mark.chord for mark in exercise.chords]
            for one, two in pairwise(links[:6]):
                assert (one.tone_for("3").pitch_class - two.tone_for("7").pitch_class) % 12 == 1
                assert (one.tone_for("7").pitch_class - two.tone_for("3").pitch_class) % 12 == 1
            assert links[5].tone_for("3") == links[6].tone_for("7")
            assert (links[5].tone_for("7").pitch_class - links[6].tone_for("3").pitch_class) % 12 == 1


class TestSusResolutions:
    """One voice falls."""

    def test_exactly_one_voice_falls_by_one_semitone(self) -> None:
        """G C D F to G B D F, in all thirty keys."""
        for key in MAJOR_KEYS + MINOR_KEYS:
            exercise = made("sus-resolutions", key.ascii, count=1)
            right = [event.pitches for event in exercise.of(Hand.RIGHT) if event.pitches]
            moved = [one.midi - two.midi for one, two in zip(right[1], right[2], strict=True) if one != two]
            assert moved == [1], key
            assert exercise.chords[1].chord.tone_for("4").pitch_class - 1 in (
                exercise.chords[2].chord.tone_for("3").pitch_class,
                -1,
            )

    def test_the_suspended_ninth_is_the_second_degree_over_the_fifth(self) -> None:
        """G9sus4 is G C D F A, the notes of Dm7/G."""
        exercise = made("sus-resolutions", "C", count=1, resolution="fourth to third, ninth to root")
        assert set(exercise.chords[1].chord.tones) == {*Chord.parse("Dm7").tones, *Chord.parse("G").tones[:1]}
        assert chords(exercise) == "Dm7 G9sus4 G7 Cmaj7 Cmaj7"


class TestTwelveBars:
    """The form."""

    @pytest.mark.parametrize(
        ("key", "form", "expected"),
        [
            ("F", "with two-fives", "F7 Bb7 F7 F7 Bb7 Bdim7 F7 D7 Gm7 C7 F7 D7 Gm7 C7"),
            ("C", "three chords", "C7 C7 C7 C7 F7 F7 C7 C7 G7 F7 C7 G7"),
            ("Bb", "three chords, quick change", "Bb7 Eb7 Bb7 Bb7 Eb7 Eb7 Bb7 Bb7 F7 Eb7 Bb7 F7"),
            ("Cm", "with two-fives", "Cm7 Fm7 Cm7 Cm7 Fm7 Fm7 Cm7 Cm7 Ab7 G7 Cm7 Dm7b5 G7"),
            ("F", "with more two-fives and substitutes",
             "F7 Bb7 F7 Cm7 B7 Bb7 Bdim7 F7 Am7 D7 Gm7 C7 F7 Ab7 G7 Gb7"),
        ],
    )  # fmt: skip
    def test_chords_of_the_form(self, key: str, form: str, expected: str) -> None:
        """Row by row; the first is the worked example in F."""
        assert chords(made("twelve-bar-blues", key, form=form)) == expected

    def test_it_is_twelve_bars_on_three_lines_in_every_form_and_key(self) -> None:
        """And the diminished chord in the sixth bar of F is spelled B D F A♭."""
        forms = [option.value for option in type(family("twelve-bar-blues")().form)]
        for key in MAJOR_KEYS + MINOR_KEYS:
            for form in forms:
                exercise = made("twelve-bar-blues", key.ascii, form=form)
                assert len(exercise.bars) == 12
                assert [number for number, bar in enumerate(exercise.bars) if bar.starts_line] == [0, 4, 8]
        assert tones(made("twelve-bar-blues", "F"), 5) == "B D F A♭"


class TestIntrosAndEndings:
    """Formulas in two, four and eight bars."""

    @pytest.mark.parametrize(
        ("kind", "expected"),
        [
            ("ending: chromatic descent", "F#m7b5 Fm6 Em7 Ebdim7 Dm7 Dbmaj7 Cmaj7"),
            ("ending: minor fourth degree", "F Fm6 C C"),
            ("ending: by the flat seventh degree", "Fm7 Bb7 Cmaj7 Cmaj7"),
            ("ending: flat two", "Dm7 G7 Dbmaj7 Cmaj7 Cmaj7"),
            ("ending: tag", "Em7 A7 Dm7 G7 Cmaj7 Cmaj7"),
            ("intro: the fifth held in the bass", "Dm7/G G7 C/G G7 Dm7/G G7 C/G G7"),
        ],
    )
    def test_formulas_in_c(self, kind: str, expected: str) -> None:
        """The worked examples."""
        assert chords(made("intros-and-endings", "C", kind=kind)) == expected

    def test_lengths_are_exact_intros_lead_in_and_endings_close(self) -> None:
        """An intro's last chord is a dominant on five; an ending's is the tonic, to the end of the last bar."""
        kinds = [option.value for option in type(family("intros-and-endings")().kind)]
        for key in ("C", "Gb", "Am"):
            tonic = Key.parse(key).tonic
            for kind in kinds:
                for length, bars in (("two bars", 2), ("four bars", 4), ("eight bars", 8)):
                    exercise = made("intros-and-endings", key, kind=kind, length=length)
                    last = exercise.chords[-1].chord
                    assert len(exercise.bars) == bars, (kind, length)
                    assert last.root == (tonic if kind.startswith("ending") else Key.parse(key).degree(5))

    def test_the_minor_plagal_ending_moves_its_sixth_down_by_semitones(self) -> None:
        """A, A♭, G in C major: third of IV, of iv, fifth of I."""
        exercise = made("intros-and-endings", "C", kind="ending: minor fourth degree")
        four, minor_four, one, _ = (mark.chord for mark in exercise.chords)
        assert [str(name) for name in (four.tones[1], minor_four.tones[1], one.tones[2])] == ["A", "A♭", "G"]


class TestChromaticApproaches:
    """The same chord from a semitone away."""

    @pytest.mark.parametrize(
        ("side", "expected"),
        [
            ("from above", "Gm7 Ebm7 Dm7 Ab7 G7"),
            ("from below", "Gm7 C#m7 Dm7 F#7 G7"),
            ("from above and from below", "Gm7 Ebm7 C#m7 Dm7 Ab7 F#7 G7"),
        ],
    )
    def test_from_above_in_flats_and_from_below_in_sharps(self, side: str, expected: str) -> None:
        """E♭m7 to Dm7, A♭7 to G7, F♯7 to G7."""
        exercise = made("chromatic-approaches", "C", side=side, count=1, progression="vm7 | iim7 | V7")
        assert chords(exercise) == expected

    @pytest.mark.parametrize("plan", ["root in the left hand, smooth chords in the right", "smooth",
                                      "shells in the left hand, chords in the right"])  # fmt: skip
    def test_all_voices_move_in_parallel_by_a_semitone(self, plan: str) -> None:
        """In all thirty keys, in both hands, onto the first beat of the bar."""
        for key in MAJOR_KEYS + MINOR_KEYS:
            exercise = made("chromatic-approaches", key.ascii, count=1, plan=plan)
            for hand in Hand:
                played = [event for event in exercise.of(hand) if event.pitches]
                for approach, goal in ((played[1], played[2]), (played[3], played[4])):
                    assert {one.midi - two.midi for one, two in zip(approach.pitches, goal.pitches, strict=True)} == {1}
                    assert goal.onset.denominator == 1

    def test_no_approach_needs_a_double_sign_and_its_degree_stays(self) -> None:
        """D7 and not E𝄫7 before D♭7, still the lowered sixth degree of G♭."""
        exercise = made("chromatic-approaches", "Gb", count=1)
        assert chords(exercise) == "Abm7 D7 Db7 Gmaj7 Gbmaj7 Gbmaj7"
        assert [str(mark.degree) for mark in exercise.chords][1:4] == ["♭VI7", "V7", "♭IImaj7"]


class TestModalVamps:
    """Two chords, no cadence."""

    @pytest.mark.parametrize(
        ("key", "mode", "pair", "expected"),
        [
            ("D", "dorian", "the usual pair", "Dm7 G7"),
            ("D", "dorian", "another pair", "Dm7 Em7"),
            ("G", "mixolydian", "a pair over the tonic", "G7 F/G"),
            ("F", "lydian", "a pair over the tonic", "Fmaj7 G/F"),
            ("E", "phrygian", "the usual pair", "Em7 Fmaj7"),
            ("C", "as the key has it", "the usual pair", "Cmaj7 Fmaj7"),
        ],
    )
    def test_pairs_of_each_mode(self, key: str, mode: str, pair: str, expected: str) -> None:
        """On the white keys every pair is white, in the signature of the mode: none."""
        exercise = made("modal-vamps", key, mode=mode, pair=pair, times=1)
        assert chords(exercise) == expected
        assert exercise.key.signature == 0

    def test_all_notes_belong_to_the_mode(self) -> None:
        """In every mode on every tonic of the fifteen major keys."""
        options = type(family("modal-vamps")())
        for mode in (option.value for option in type(options().mode)):
            for pair in (option.value for option in type(options().pair)):
                for key in MAJOR_KEYS:
                    exercise = made("modal-vamps", key.ascii, mode=mode, pair=pair)
                    own = {exercise.key.degree(number) for number in range(1, 8)}
                    played = {pitch.name for event in exercise.events for pitch in event.pitches}
                    assert played <= own, (exercise.key, pair)

    def test_the_right_hand_may_be_left_open(self) -> None:
        """Empty bars over chords in the left hand."""
        exercise = made("modal-vamps", "D", mode="dorian", right_hand="is left open for improvising")
        assert all(event.is_open for event in exercise.of(Hand.RIGHT))
        assert all(len(event.pitches) == 4 for event in exercise.of(Hand.LEFT))


class TestReharmonisationSteps:
    """From four plain bars to a chromatic bass."""

    @pytest.mark.parametrize(
        ("key", "steps"),
        [
            ("C", ["Cmaj7 Cmaj7 G7 Cmaj7", "Cmaj7 Am7 G7 Cmaj7", "Cmaj7 Am7 Dm7 G7 Cmaj7",
                   "Cmaj7 E7 Am7 A7 Dm7 G7 Cmaj7", "Cmaj7 Bb7 Am7 Eb7 Dm7 Db7 Cmaj7"]),
            ("Am", ["Am7 Am7 E7 Am7", "Am7 Fmaj7 E7 Am7", "Am7 Fmaj7 Bm7b5 E7 Am7",
                    "Am7 C7 Fmaj7 Bm7b5 E7 Am7", "Am7 Gb7 Fmaj7 Bm7b5 Bb7 Am7"]),
        ],
    )  # fmt: skip
    def test_each_line_is_one_step_richer(self, key: str, steps: list[str]) -> None:
        """Worked out by hand from the moves; a diminished chord has no dominant of its own."""
        exercise = made("reharmonisation-steps", key)
        begins = [number for number, bar in enumerate(exercise.bars) if bar.starts_line]
        assert begins == [0, 4, 8, 12, 16]
        lines = [" ".join(mark.chord.ascii for mark in exercise.chords if first <= mark.onset < first + 4)
                 for first in begins]  # fmt: skip
        assert lines == steps
        assert [bar.label[:2] for bar in exercise.bars if bar.label] == ["1.", "2.", "3.", "4.", "5."]

    def test_steps_can_be_left_out_and_what_changes_nothing_is(self) -> None:
        """A line that is the same as the one before would teach nothing."""
        only_last = made("reharmonisation-steps", "C", has_relative=False, has_two=False, has_secondary=False)
        assert chords(only_last) == "Cmaj7 Cmaj7 G7 Cmaj7 Cmaj7 Cmaj7 Db7 Cmaj7"
        assert chords(made("reharmonisation-steps", "C", progression="Imaj7 | IVmaj7", has_secondary=False)) == (
            "Cmaj7 Fmaj7"
        )

    def test_the_bass_falls_by_semitones_in_the_end(self) -> None:
        """Into every goal of a substitute, in all fifteen major keys."""
        for key in MAJOR_KEYS:
            exercise = made("reharmonisation-steps", key.ascii)
            low = bass(exercise)
            for place, mark in enumerate(exercise.chords):
                if mark.degree is not None and mark.degree.is_tritone_substitute:
                    assert low[place] - low[place + 1] == 1
