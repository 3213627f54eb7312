"""What must never stand on a page: wrong letters, ambiguous puzzles, tenths that a hand cannot hold, short bars.

Each is a mistake that handouts are known for; from common practice, no source.
"""

from __future__ import annotations

import pytest

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.family import families, family
from lessonkit.drills.key_search import check_one_reading
from lessonkit.drills.melody_check import clash
from lessonkit.drills.params import Plain
from lessonkit.drills.reach_marks import reach_marks, reach_sentences
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson.lesson import Drill, Lesson, Note, Paper
from lessonkit.lesson.problems import remarks
from lessonkit.pages.flow import answer_blocks
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import NoteName, Pitch

FRIENDLY_OR_NOT = pytest.mark.parametrize("is_friendly", [False, True])


def made(code: str, key: str, is_friendly: bool = False, **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key), is_friendly=is_friendly))


def names_over(exercise: Exercise, place: int) -> set[str]:
    """The notes that sound with a chord mark."""
    onset = exercise.chords[place].onset
    return {pitch.name.ascii for event in exercise.events if event.onset == onset for pitch in event.pitches}


@FRIENDLY_OR_NOT
def test_four_of_g_flat_is_c_flat(is_friendly: bool) -> None:
    """Never B D♯ F♯ A♯ inside a sheet in G♭."""
    exercise = made("progression-through-keys", "Gb", is_friendly, count=1)
    assert exercise.chords[2].chord == Chord.parse("Cbmaj7")
    assert names_over(exercise, 2) == {"Cb", "Eb", "Gb", "Bb"}


@FRIENDLY_OR_NOT
def test_seven_of_f_sharp_is_e_sharp(is_friendly: bool) -> None:
    """Never F A♭ B E♭."""
    exercise = made("diatonic-ladder", "F#", is_friendly, climb="every degree", touch="solid", direction="up")
    assert exercise.chords[6].chord == Chord.parse("E#m7b5")
    assert names_over(exercise, 6) == {"E#", "G#", "B", "D#"}


@FRIENDLY_OR_NOT
def test_the_diminished_seventh_on_b_has_a_flat(is_friendly: bool) -> None:
    """B D F A♭, never G♯, in C and in the blues in F."""
    exercise = made("broken-chords", "B", is_friendly, quality="dim7")
    assert {pitch.name.ascii for event in exercise.events for pitch in event.pitches} == {"B", "D", "F", "Ab"}
    blues = made("twelve-bar-blues", "F", is_friendly, form="with two-fives")
    assert Chord.parse("Bdim7") in {mark.chord for mark in blues.chords}
    assert "G#" not in {pitch.name.ascii for event in blues.events for pitch in event.pitches}


def test_one_style_has_one_face_for_the_half_diminished() -> None:
    """A style holds one face; one drill cannot print two."""
    for face in ("m7♭5", "ø7"):
        style = LabelStyle(half_diminished=face)
        written = {mark.chord.symbol(style) for mark in made("diatonic-ladder", "C").chords}
        assert f"B{face}" in written
        assert written.isdisjoint({"Bø7", "Bm7♭5"} - {f"B{face}"})


def test_a_solid_tenth_beyond_the_hand_is_told() -> None:
    """A hand of 201 mm is not asked to hold C to E without a word."""
    drill = family("left-hand-tenths").from_settings({"touch": "solid"})
    setting = Setting(Key.parse("C"), hands=HandProfile(201, 201))
    assert reach_sentences(reach_marks(drill, setting))


def test_no_bar_is_short() -> None:
    """In every family, in three metres; longer sweeps are in the contract tests."""
    for code, kind in families().items():
        for metre in ("4/4", "3/4", "6/8"):
            try:
                exercise = realise(kind.from_settings({"metre": metre}), Setting(Key.parse("Eb")))
            except ValueError:
                continue
            assert exercise.meter is not None
            assert {bar.length for bar in exercise.bars} == {exercise.meter.bar}, code
            for hand in exercise.hands:
                assert sum(event.length for event in exercise.of(hand)) == exercise.length, (code, hand)


@pytest.mark.parametrize("code", ["degree-detective", "by-ear", "call-and-response"])
def test_sheet_and_answers_come_from_one_number(code: str) -> None:
    """The answers are drawn from the same exercise as the sheet."""
    drill = Drill(family(code).from_settings({"seed": 17}))
    lesson = Lesson("Puzzles", "", "", Key.parse("Eb"), 72, Paper.A4, blocks=(drill,))
    assert [block for block, _ in answer_blocks(lesson)] == [drill]
    assert realise(drill.family, lesson.setting).seed == 17


def test_a_sharp_nine_is_not_a_chord_on_c_sharp() -> None:
    """C7♯9 and C♯9 are two chords and are printed as two."""
    sharp_nine, on_c_sharp = Chord.parse("C7#9"), Chord.parse("C#9")
    assert sharp_nine != on_c_sharp
    assert sharp_nine.symbol(LabelStyle()) == "C7♯9"
    assert on_c_sharp.symbol(LabelStyle()) == "C♯9"


def test_c_is_not_sung_over_d_flat_seven() -> None:
    """The natural seventh of a dominant."""
    assert clash(NoteName.parse("C"), Chord.parse("Db7")) is not None
    for key in MAJOR_KEYS:
        exercise = made("reharmonisation-steps", key.ascii, melody=[1])
        for mark in exercise.chords:
            degree = mark.degree
            # V of the key itself never gives way to the chord a tritone off, whose natural seventh is the tonic.
            assert degree is None or not degree.is_tritone_substitute or degree.applied_to is not None


def test_a_semitone_up_and_down_restores_the_spelling() -> None:
    """From every name in every octave."""
    step = Pitch.parse("B3").interval_to(Pitch.parse("C4"))
    for letter in "CDEFGAB":
        for sign in ("bb", "b", "", "#", "##"):
            pitch = Pitch.parse(f"{letter}{sign}4")
            assert pitch + step - step == pitch


@FRIENDLY_OR_NOT
def test_the_tritone_substitute_in_d_flat_is_d(is_friendly: bool) -> None:
    """Never E𝄫7."""
    exercise = made("tritone-substitutes", "Db", is_friendly, count=1)
    roots = {mark.chord.root.ascii for mark in exercise.chords}
    assert "D" in roots
    assert not any("bb" in root for root in roots)


@pytest.mark.parametrize("chords", ["C Am F", "C G"])
def test_an_ambiguous_puzzle_is_refused(chords: str) -> None:
    """Two keys have all of these chords, and the sentence says so."""
    with pytest.raises(ValueError, match="could be"):
        check_one_reading([Chord.parse(text) for text in chords.split()], Key.parse("C"))


def test_no_chord_shown_has_two_tones_on_one_letter_in_strict_spelling() -> None:
    """As every family comes, in all thirty keys: thirds are on every other letter."""
    for kind in families().values():
        for key in MAJOR_KEYS + MINOR_KEYS:
            for mark in realise(kind(), Setting(key)).chords:
                letters = [tone.letter for tone in mark.chord.tones]
                assert len(letters) == len(set(letters)), mark.chord


def test_hands_that_play_together_do_not_cross() -> None:
    """As every family comes for two hands, in three keys."""
    for code, kind in families().items():
        for key in ("C", "Eb", "F#"):
            exercise = realise(kind.from_settings({"hands": "both"}), Setting(Key.parse(key)))
            low = {event.onset: event.pitches[-1].midi for event in exercise.of(Hand.LEFT) if event.pitches}
            for event in exercise.of(Hand.RIGHT):
                assert not event.pitches or low.get(event.onset, 0) < event.pitches[0].midi, code


@pytest.mark.parametrize(
    ("text", "is_told"),
    [
        ("Play this in D major.", True), ("Play this in Eb major.", False), ("Play this in E♭ major.", False),
        ("First in Db major.", True), ("Now in {key}.", False), ("A D major chord", False),
        ("Think of C minor, its relative.", True),
    ],
)  # fmt: skip
def test_a_note_above_a_drill_that_names_another_key_is_told(text: str, is_told: bool) -> None:
    """A teacher who moves the lesson to another key forgets what was typed."""
    drill = Drill(family("broken-chords")())
    lesson = Lesson("Keys", "", "", Key.parse("Eb"), 72, Paper.A4, blocks=(Note(text), drill))
    found = [remark for remark in remarks(lesson) if "is named above a drill in E♭ major" in remark]
    assert bool(found) == is_told


def test_two_faces_on_one_page_are_told() -> None:
    """A drill with signs of its own stands out from the lesson's letters."""
    letters, signs = (Drill(family("diatonic-ladder").from_settings({"faces": faces})) for faces in _FACES)
    lesson = Lesson("Faces", "", "", Key.parse("C"), 72, Paper.A4, blocks=(letters, signs))
    found = [remark for remark in remarks(lesson) if "other signs than the rest of the lesson" in remark]
    assert len(found) == 1
    assert found[0].startswith("blocks[1]")


_FACES = ("as the lesson", "in signs: CΔ7, Cø7, C°7")
