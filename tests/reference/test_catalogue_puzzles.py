"""Puzzles: each has one answer, and the sheet that the student gets does not tell it.

The rows of keys and degrees are worked out from the definition: a chord belongs to a key that has all its notes.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from lessonkit.drills.exercise import Blank, Exercise, Hand
from lessonkit.drills.family import family
from lessonkit.drills.key_search import check_one_reading, readings
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.told import keys_in_words
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key, Mode


def made(code: str, key: str, **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key)))


def puzzles(exercise: Exercise) -> list[tuple[Key, list[Chord], list[str]]]:
    """Each puzzle's key, chords in the order shown, and degrees."""
    begins = [bar for bar in exercise.bars if bar.key is not None]
    ends = [*(bar.onset for bar in begins[1:]), exercise.length]
    found = []
    for bar, end in zip(begins, ends, strict=True):
        marks = [mark for mark in exercise.chords if bar.onset <= mark.onset < end]
        assert bar.key is not None
        found.append((bar.key, [mark.chord for mark in marks], [str(mark.degree) for mark in marks]))
    return found


def texts(exercise: Exercise, look: Look) -> set[str]:
    """Every text that is printed with an exercise."""
    shapes = [shape for system in engrave(exercise, look) for shape in system.shapes]
    return {text for shape in shapes if isinstance(text := getattr(shape, "text", None), str)}


CASES = """
Bbm7 Ab7 Dbmaj7 Gbmaj7: 6 5 1 4 in D♭ major
Cbmaj7 Db7 Gbmaj7 Ebm7: 4 5 1 6 in G♭ major
G#m7 Bmaj7 F#7 Emaj7: 6 1 5 4 in B major
Fmaj7 Am7 Cmaj7 G7: 4 6 1 5 in C major
D#m7 C#7 Bmaj7 F#maj7: 6 5 4 1 in F♯ major
Gm7 F7 Ebmaj7 Bbmaj7: 6 5 4 1 in B♭ major
F G: 4 5 in C major
Cmaj7 Fmaj7: 1 4 in C major
C Am F: 1 6 4 in C major; 5 3 1 in F major
C G: 1 5 in C major; 4 1 in G major
"""
"""Chords as given: every major key that has them all, with their degrees."""


@pytest.mark.parametrize("row", CASES.strip().splitlines())
def test_every_major_key_is_tried(row: str) -> None:
    """What fits one key is accepted and what fits two is refused with both answers in the sentence."""
    given, expected = row.split(": ")
    chords = [Chord.parse(text) for text in given.split()]
    found = sorted(map(str, readings(chords, MAJOR_KEYS)))
    assert found == sorted(expected.split("; "))
    key = readings(chords, MAJOR_KEYS)[0].key
    if len(found) == 1:
        check_one_reading(chords, key)
        return
    with pytest.raises(ValueError, match=r"could be .* or .* in .* major; add a chord that only one of them has"):
        check_one_reading(chords, key)


class TestDegreeDetective:
    """The family."""

    def test_every_puzzle_has_one_answer_and_it_is_the_one_printed(self) -> None:
        """Searched again here over all keys of the mode, for many numbers and both ways of dealing."""
        for source in ("the chords written below", "dealt from all degrees"):
            for seed in range(25):
                for home, keys in (("Db", MAJOR_KEYS), ("F#m", MINOR_KEYS)):
                    exercise = made("degree-detective", home, source=source, seed=seed, size=3, count=4)
                    for key, chords, _ in puzzles(exercise):
                        assert [reading.key for reading in readings(chords, keys)] == [key]

    def test_four_chords_of_the_key_come_in_another_order(self) -> None:
        """The same four degrees in every puzzle, not always in the same order; the drill's key is among them."""
        found = puzzles(made("degree-detective", "Gb"))
        assert len(found) == 6
        assert {frozenset(degrees) for _, _, degrees in found} == {frozenset({"Imaj7", "vi7", "IVmaj7", "V7"})}
        assert len({tuple(degrees) for _, _, degrees in found}) > 1
        assert Key.parse("Gb") in [key for key, _, _ in found]
        assert len({key.tonic.pitch_class for key, _, _ in found}) == 6

    def test_no_puzzle_repeats_the_one_before(self) -> None:
        """Three written chords have six orders, so six puzzles have one each; dealt ones have other degrees in turn."""
        for seed in range(20):
            written = puzzles(made("degree-detective", "G", progression="IV | ii | V", count=6, seed=seed))
            assert len({tuple(degrees) for _, _, degrees in written}) == 6
            for source in ("dealt from all degrees", "triads dealt from all degrees"):
                dealt = puzzles(made("degree-detective", "G", source=source, size=3, count=6, seed=seed))
                sets = [frozenset(degrees) for _, _, degrees in dealt]
                assert all(one != other for one, other in pairwise(sets))

    def test_triads_can_be_dealt(self) -> None:
        """The seven triads of a major key; those of a minor key with its leading note (common practice, no source)."""
        major = {degree for _, _, row in puzzles(made("degree-detective", "Bb", source="triads dealt from all degrees",
                                                      size=7, count=1)) for degree in row}  # fmt: skip
        assert major == {"I", "ii", "iii", "IV", "V", "vi", "vii°"}
        minor = {degree for _, _, row in puzzles(made("degree-detective", "Gm", source="triads dealt from all degrees",
                                                      size=7, count=1)) for degree in row}  # fmt: skip
        assert minor == {"i", "ii°", "III", "iv", "V", "VI", "vii°"}

    def test_one_number_gives_one_sheet(self) -> None:
        """Sheet and answers come from the same exercise; another number gives another one."""
        one, again, other = (made("degree-detective", "C", seed=seed) for seed in (5, 5, 6))
        assert one == again
        assert one.seed == 5
        assert one.chords != other.chords

    def test_an_ambiguous_puzzle_is_refused(self) -> None:
        """Three triads that C major and F major both have."""
        sentence = "C, Am, F could be 5 3 1 in F major or 1 6 4 in C major; add a chord that only one of them has"
        with pytest.raises(ValueError, match=sentence):
            made("degree-detective", "C", progression="I | vi | IV", count=1)

    def test_chords_from_outside_the_key_are_refused(self) -> None:
        """A chord of another key tells nothing."""
        with pytest.raises(ValueError, match="Cmaj7, A7 are not all chords of C major"):
            made("degree-detective", "C", progression="Imaj7 | V7/ii", count=1)
        with pytest.raises(ValueError, match="choose such a key for this drill, not D dorian"):
            made("degree-detective", "D dorian")

    @pytest.mark.parametrize("given", ["chord names", "notes", "chord names and notes"])
    @pytest.mark.parametrize("key", ["Db", "C#m"])
    def test_the_sheet_does_not_tell_the_key_and_the_answers_do(self, given: str, key: str) -> None:
        """Neither a label, nor the caption, nor a signature."""
        exercise = made("degree-detective", key, given=given, count=2)
        assert exercise.open_signature
        assert {Blank.KEY, Blank.DEGREES} <= exercise.blank
        sheet, answers = (" ".join(texts(exercise, Look(width=500, shows_answers=shown))) for shown in (False, True))
        word = Key.parse(key).mode.word
        assert word not in sheet
        assert sheet.count("Key:") == answers.count("Key:") == 2
        assert answers.count(word) == 2
        assert keys_in_words(exercise) == f"2 {word} keys to find"
        assert keys_in_words(made("degree-detective", key, count=1)) == f"A {word} key to find"

    def test_a_signature_cannot_be_asked_for(self) -> None:
        """It would tell the key."""
        assert made("degree-detective", "Eb", open_signature=False).open_signature


class TestShuffledWorksheet:
    """A progression whose names or degrees are to be written."""

    PROGRESSIONS = ("vim7 | V7 | Imaj7 | IVmaj7", "V | I | IV | V", "iim7 V7 | Imaj7 | vim7")

    @pytest.mark.parametrize("blank", ["chord names", "degrees", "chord names and degrees"])
    @pytest.mark.parametrize("progression", PROGRESSIONS)
    def test_no_line_gives_the_next_one_away(self, progression: str, blank: str) -> None:
        """The same chords in every key, in an order of their own; with orders enough, none comes twice."""
        for seed in range(20):
            sheet = {"progression": progression, "order": "shuffled", "count": 5, "seed": seed, "worksheet": blank}
            exercise = made("progression-through-keys", "Eb", **sheet)
            rows = [tuple(degrees) for _, _, degrees in puzzles(exercise)]
            assert len({tuple(sorted(row)) for row in rows}) == 1
            assert len(set(rows)) == len(rows)
            assert not any(one == other for row in rows for one, other in pairwise(row))
            assert "5 keys, keys and chords shuffled" in exercise.summary
            assert made("progression-through-keys", "Eb", **sheet) == exercise

    def test_the_answers_belong_to_the_notes(self) -> None:
        """Each chord's lowest note is still its root where the left hand has the roots."""
        sheet: dict[str, Plain] = {"order": "shuffled", "count": 12, "seed": 3, "worksheet": "degrees"}
        exercise = made("progression-through-keys", "F", **sheet)
        for event, mark in zip(exercise.of(Hand.LEFT), exercise.chords, strict=True):
            assert event.pitches[0].name == mark.chord.root

    def test_what_is_given_keeps_its_order(self) -> None:
        """Played, or with its names printed, a progression is a progression."""
        for sheet in ({"worksheet": "nothing"}, {"worksheet": "notes"}, {"worksheet": "degrees", "order": "chromatic"}):
            settings: dict[str, Plain] = {"order": "shuffled", "count": 5} | sheet
            rows = puzzles(made("progression-through-keys", "F", **settings))
            assert {tuple(degrees) for _, _, degrees in rows} == {("Imaj7", "vi7", "IVmaj7", "V7")}


class TestByEar:
    """What is heard and what is printed."""

    def test_the_bass_is_given_and_the_rest_asked_for(self) -> None:
        """Four common progressions, each different, in four keys."""
        exercise = made("by-ear", "Eb")
        assert exercise.blank == {Blank.KEY, Blank.DEGREES, Blank.CHORD_NAMES, Blank.RIGHT_HAND}
        found = puzzles(exercise)
        assert len({tuple(degrees) for _, _, degrees in found}) == len(found) == 4
        for event, mark in zip(exercise.of(Hand.LEFT), exercise.chords, strict=True):
            assert [pitch.name for pitch in event.pitches] == [mark.chord.root]

    def test_only_the_first_chord_s_name_may_be_given(self) -> None:
        """It stands in the label; no other chord name is printed on the sheet."""
        exercise = made("by-ear", "C", given="the first chord's name", count=1, source="the one written below")
        sheet = " ".join(texts(exercise, Look(width=500)))
        assert "1. Begins with Cmaj7. Key:" in sheet
        assert "Am" not in sheet
        assert Blank.NOTES in exercise.blank

    def test_every_dealt_progression_tells_its_key(self) -> None:
        """Its dominant seventh, or what stands for it in minor, belongs to one key only."""
        for seed in range(12):
            for home in ("Bb", "Em"):
                for key, chords, _ in puzzles(made("by-ear", home, seed=seed)):
                    keys = MINOR_KEYS if key.mode is Mode.MINOR else MAJOR_KEYS
                    assert [reading.key for reading in readings(chords, keys)] == [key]
