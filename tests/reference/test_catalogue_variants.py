"""Rotating inversions, cells over chords, notes to avoid, shifted cells, tenths and sample answers.

Common practice, no source, unless a row says that it was computed.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.families.chord_scales import Source, avoid_notes, scale_over
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.scale_choice import ScaleChoice
from lessonkit.drills.setting import Setting
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key


def made(code: str, key: str, span: float = 205, **settings: Plain) -> Exercise:
    """A drill's exercise in a key for hands of a span."""
    setting = Setting(Key.parse(key), hands=HandProfile(span, span))
    return realise(family(code).from_settings(settings), setting)


def played(exercise: Exercise, hand: Hand) -> list[str]:
    """The notes of a hand in order, those struck together joined by +; rests are left out."""
    return ["+".join(pitch.ascii for pitch in event.pitches) for event in exercise.of(hand) if event.pitches]


class TestTriadsOfTheKey:
    """Up the scale in one inversion, or in each in turn."""

    def test_first_inversions_up_the_scale(self) -> None:
        """E G C, F A D, G B E and so on, eight chords with the octave."""
        exercise = made("diatonic-ladder", "C", size="triad", inversion=1, climb="every degree", octaves=1,
                        direction="up", touch="solid")  # fmt: skip
        assert " ".join(played(exercise, Hand.RIGHT)) == (
            "E4+G4+C5 F4+A4+D5 G4+B4+E5 A4+C5+F5 B4+D5+G5 C5+E5+A5 D5+F5+B5 E5+G5+C6"
        )

    def test_inversions_take_turns(self) -> None:
        """C E G, F A D, B E G, F A C: root position, first and second inversion, and again."""
        exercise = made("diatonic-ladder", "C", size="triad", rotates=True, climb="every degree", octaves=1,
                        touch="solid", direction="up")  # fmt: skip
        assert played(exercise, Hand.RIGHT)[:5] == ["C4+E4+G4", "F4+A4+D5", "B4+E5+G5", "F4+A4+C5", "B4+D5+G5"]
        for key in MAJOR_KEYS:
            chords = made("diatonic-ladder", key.ascii, size="triad", rotates=True, climb="every degree",
                          touch="solid")  # fmt: skip
            for mark, event in zip(chords.chords, chords.of(Hand.RIGHT), strict=False):
                assert {pitch.name for pitch in event.pitches} == set(mark.chord.tones)

    def test_on_the_way_back_each_chord_is_as_it_was(self) -> None:
        """There and back is the same row, turned round."""
        exercise = made("diatonic-ladder", "E", size="triad", rotates=True, climb="every degree", touch="solid")
        row = played(exercise, Hand.RIGHT)
        assert row == row[::-1]


class TestOverChords:
    """Cells from each root, and the notes no one rests on."""

    def test_a_cell_from_each_root(self) -> None:
        """1 2 3 5 of each chord's scale: D E F A, G A B D, C D E G, A B C E."""
        exercise = made("chord-scales", "C", line="the cell 1-2-3-5")
        assert played(exercise, Hand.RIGHT)[::4] == ["D4", "D4", "G4", "G4", "C4", "C4", "A4", "A4"]
        assert played(exercise, Hand.RIGHT)[:4] == ["D4", "E4", "F4", "A4"]

    @pytest.mark.parametrize(
        ("key", "chord", "expected"),
        [
            # The fourth over a major third; the flat sixth over a minor seventh; the flat ninth over a half-diminished.
            ("C", "Cmaj7", "F"), ("C", "G7", "C"), ("C", "Dm7", ""), ("C", "Am7", "F"), ("C", "Em7", "F C"),
            ("C", "Fmaj7", ""), ("Eb", "Ebmaj7", "A♭"), ("Gb", "Gbmaj7", "C♭"), ("C", "Bm7b5", "C"),
        ],
    )  # fmt: skip
    def test_notes_to_avoid(self, key: str, chord: str, expected: str) -> None:
        """On IV, whose fourth is raised, nothing has to be avoided."""
        scale = scale_over(Chord.parse(chord), Key.parse(key), Source.KEY)
        assert " ".join(map(str, avoid_notes(Chord.parse(chord), scale))) == expected

    def test_they_are_named_or_left_out(self) -> None:
        """Named above the line, or missing from the run."""
        named = made("chord-scales", "C", progression="Imaj7", avoided="passed through and named above the line")
        left_out = made("chord-scales", "C", progression="Imaj7", avoided="left out")
        assert named.bars[0].label == "C major, do not rest on F over Cmaj7"
        assert "F4" in played(named, Hand.RIGHT)
        assert "F4" not in played(left_out, Hand.RIGHT)


class TestShiftedCell:
    """A cell with a bar of its own comes later each time."""

    @pytest.mark.parametrize(
        ("metre", "way", "bars", "times"),
        [
            # A period of 9, 10 or 11 eighths against 8, of 7, 8 or 9 against 6: period / gcd bars; computed.
            ("4/4", "an eighth", 9, 8), ("4/4", "two eighths", 5, 4), ("4/4", "three eighths", 11, 8),
            ("3/4", "an eighth", 7, 6), ("3/4", "two eighths", 4, 3), ("3/4", "three eighths", 3, 2),
        ],
    )  # fmt: skip
    def test_bars_until_it_is_at_home(self, metre: str, way: str, bars: int, times: int) -> None:
        """Every repetition begins so many eighths later in its bar; after all of them it would begin on one again."""
        exercise = made("displacement", "C", metre=metre, way=f"a bar for each, then {way} later")
        bar = exercise.bars[0].length
        starts = [event.onset % bar * 8 for event in exercise.of(Hand.RIGHT) if event.pitches][::3]
        later = {"an eighth": 1, "two eighths": 2, "three eighths": 3}[way]
        assert len(exercise.bars) == bars
        assert starts == [later * place % (bar * 8) for place in range(times)]
        assert exercise.length == bars * bar


class TestTenths:
    """As far apart as hands allow."""

    def test_two_hands_share_a_melody_in_tenths(self) -> None:
        """The scale's own tenths, the melody in the right hand."""
        exercise = made("double-notes", "C", doubled="tenths", hands="both", direction="up")
        assert played(exercise, Hand.LEFT)[:3] == ["C3", "D3", "E3"]
        assert played(exercise, Hand.RIGHT)[:3] == ["E4", "F4", "G4"]
        for key in MAJOR_KEYS:
            both = made("double-notes", key.ascii, doubled="tenths", hands="both")
            pairs = zip(both.of(Hand.LEFT), both.of(Hand.RIGHT), strict=True)
            sizes = {low.pitches[0].interval_to(high.pitches[0]).name for low, high in pairs if low.pitches}
            assert sizes == {"M10", "m10"}

    def test_one_hand_rolls_them(self) -> None:
        """No one is asked to strike a tenth."""
        exercise = made("double-notes", "C", doubled="tenths")
        assert {event.roll.value for event in exercise.events if event.pitches} == {"up"}

    @pytest.mark.parametrize(
        ("span", "tenths", "expected"),
        [
            (205, "as the hand spans", "C3 G3 E4 G3"), (175, "as the hand spans", "C3 G3 C4 E4"),
            (175, "straight from the fifth", "C3 G3 E4 G3"), (205, "over the octave", "C3 G3 C4 E4"),
        ],
    )  # fmt: skip
    def test_a_small_hand_takes_the_tenth_over_the_octave(self, span: float, tenths: str, expected: str) -> None:
        """1-5-10-5 becomes 1-5-8-10, and the second finger crosses the thumb."""
        exercise = made("left-hand-arpeggios", "C", span, progression="I", figure="1-5-10-5", tenths=tenths)
        assert played(exercise, Hand.LEFT)[:4] == expected.split()
        assert ("1-5-8-10" in exercise.summary) == (expected == "C3 G3 C4 E4")


class TestSampleAnswers:
    """One of many right answers for each call, on the answer page."""

    @pytest.mark.parametrize("answer", ["the same again", "the same rhythm, other notes",
                                        "the same notes, another rhythm", "free, ending on the tonic"])  # fmt: skip
    @pytest.mark.parametrize("scale", [member.value for member in ScaleChoice])
    def test_a_sample_follows_its_rule(self, answer: str, scale: str) -> None:
        """The calls are the same on both pages; the samples fill the open bars and nothing else."""
        for seed in range(6):
            exercise = made("call-and-response", "Eb", answer=answer, seed=seed, scale=scale)
            open_bars = [event for event in exercise.events if event.is_open]
            assert exercise.has_answers
            answered = exercise.answered()
            assert answered.length == exercise.length == sum(event.length for event in answered.events)
            for before, after in pairwise(answered.events):
                assert before.end == after.onset
            for bar in open_bars:
                call = [event for event in answered.events if bar.onset - 1 <= event.onset < bar.onset]
                sample = [event for event in answered.events if bar.onset <= event.onset < bar.end]
                same_notes = [event.pitches for event in call] == [event.pitches for event in sample]
                same_rhythm = [event.length for event in call] == [event.length for event in sample]
                assert answer != "the same again" or (same_notes and same_rhythm)
                assert answer != "the same rhythm, other notes" or same_rhythm
                if answer == "the same notes, another rhythm":
                    sounds = [[event.pitches[0].midi for event in row] for row in (call, sample)]
                    assert sounds[0] == sounds[1]
                    assert not same_rhythm
                if answer in ("the same rhythm, other notes", "free, ending on the tonic"):
                    assert sample[-1].pitches[0].name.ascii == "Eb"

    @pytest.mark.parametrize("scale", ["blues", "major pentatonic", "as the key has it", "dorian"])
    @pytest.mark.parametrize("density", ["few", "some", "many"])
    def test_other_notes_are_other_notes(self, scale: str, density: str) -> None:
        """No note of a sample is the one that its call has in the same place, and the last step is a step."""
        for seed in range(20):
            settings = {"scale": scale, "density": density, "seed": seed, "calls": 6}
            exercise = made("call-and-response", "A", answer="the same rhythm, other notes", **settings).answered()
            for call, sample in zip(exercise.bars[::2], exercise.bars[1::2], strict=True):
                rows = [
                    [e.pitches[0].midi for e in exercise.events if e.onset // 1 == bar.onset] for bar in (call, sample)
                ]
                assert all(one != other for one, other in zip(*rows, strict=True))

    def test_a_free_answer_has_a_rhythm_of_its_own_and_fills_its_bars(self) -> None:
        """Neither its call's nor that of another sample, as long as there are others."""
        for seed in range(20):
            for bars in (1, 2):
                settings = {"calls": 3, "seed": seed, "density": "few", "answer_bars": bars}
                exercise = made("call-and-response", "A", answer="free, ending on the tonic", **settings).answered()
                assert all(event.pitches for event in exercise.events)
                rows: dict[bool, list[list[Fraction]]] = {True: [], False: []}
                for number in range(3):
                    start = number * (1 + bars)
                    spans = {True: (start, start + 1), False: (start + 1, start + 1 + bars)}
                    for is_call, (begin, end) in spans.items():
                        rows[is_call].append([e.length for e in exercise.events if begin <= e.onset < end])
                assert all(call != sample for call, sample in zip(rows[True], rows[False], strict=True))
                assert len({tuple(row) for row in rows[False]}) == 3

    def test_a_longer_answer_has_rests_and_a_shorter_one_is_cut(self) -> None:
        """Two bars for the answer to a call of one, one for a call of two."""
        longer = made("call-and-response", "C", answer_bars=2).answered()
        shorter = made("call-and-response", "C", bars=2, answer_bars=1).answered()
        assert longer.length == 12
        assert [event.onset for event in longer.events if not event.pitches] == [2, 5, 8, 11]
        assert shorter.length == 12
        assert all(event.pitches for event in shorter.events)

    def test_in_key_after_key_the_samples_go_along(self) -> None:
        """The answer page of a drill in twelve keys is as long as the drill."""
        exercise = made("call-and-response", "C", key_count=12)
        assert exercise.samples[-1].end == exercise.length
        assert {mark.chord.root for mark in exercise.chords} >= {Key.parse("Gb").tonic}


@pytest.mark.parametrize("key", [*MAJOR_KEYS, *MINOR_KEYS], ids=str)
def test_a_cell_stands_on_the_beat_in_every_key(key: Key) -> None:
    """Four eighths fill half a bar, so each cell begins on a half."""
    exercise = made("chord-scales", key.ascii, line="the cell 1-2-3-5")
    roots = [event for event in exercise.of(Hand.RIGHT) if event.onset % Fraction(1, 2) == 0]
    marks = {mark.onset: mark.chord for mark in exercise.chords}
    for event in roots:
        assert event.pitches[0].name == marks[event.onset // 1].root


class TestCrushedThirds:
    """The minor third struck just before the major one, as in the blues; common practice, no source."""

    @pytest.mark.parametrize(
        ("key", "scale", "crushed", "third"),
        [
            ("C", "blues", "Eb4", "E4"), ("Eb", "blues", "Gb4", "G4"), ("B", "major pentatonic", "D4", "D#4"),
            # A for B double flat, which no one reads gladly.
            ("Gb", "major blues", "A4", "Bb4"), ("F", "minor pentatonic", "Ab4", "A4"),
        ],
    )  # fmt: skip
    def test_the_third_is_struck_with_the_note_below_it(self, key: str, scale: str, crushed: str, third: str) -> None:
        """♭3 before 3 and nothing before the others; a scale without a major third has it instead of the minor."""
        exercise = made("sequences", key, scale=scale, crushes=True, cell="1-2-3-4")
        found = {(event.crushed[0].ascii, event.pitches[0].ascii) for event in exercise.of(Hand.RIGHT) if event.crushed}
        assert (crushed, third) in found
        assert {(one[:-1], other[:-1]) for one, other in found} == {(crushed[:-1], third[:-1])}

    def test_in_two_hands_the_left_crushes_an_octave_lower(self) -> None:
        """What is struck before goes with the note."""
        exercise = made("sequences", "C", scale="blues", crushes=True, hands="both")
        for event in exercise.events:
            for small in event.crushed:
                assert event.pitches[0].midi - small.midi == 1


class TestSmallHands:
    """A hand that does not hold an octave leaves it out of broken chords in fours."""

    @pytest.mark.parametrize(
        ("span", "row"),
        [
            # An octave is 165 mm from key to key, and 5 mm more catch the keys at their edges.
            (205, "C4 E4 G4 C5 E4 G4 C5 E5"),
            (170, "C4 E4 G4 C5 E4 G4 C5 E5"),
            (165, "C4 E4 G4 E4 G4 C5 G4 C5"),
        ],
    )
    def test_threes_take_the_place_of_fours_in_as_many_bars(self, span: float, row: str) -> None:
        """The note before the octave takes its time, so that every group keeps its place in the bar."""
        fours: dict[str, Plain] = {"quality": "maj", "group_size": "the chord's notes and the octave"}
        exercise = made("broken-chords", "C", span, **fours)
        large = made("broken-chords", "C", 205, **fours)
        assert played(exercise, Hand.RIGHT)[:8] == row.split()
        assert exercise.bars == large.bars
        groups = {event.group for event in exercise.events}
        assert groups == {event.group for event in large.events}
        assert bool(exercise.remarks) == (span < 170)
