"""Chord symbols are read in the ways that teachers type them, and all that is written can be read again."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.theory.chord import Chord
from lessonkit.theory.label_style import CHOICES, LabelStyle
from lessonkit.theory.pitch import NoteName
from lessonkit.theory.quality import ALL_QUALITIES, QUALITIES, Quality

STYLES = [LabelStyle(*faces) for faces in itertools.product(*CHOICES.values())]

TYPED = """
Abmaj7: Abmaj7 A♭maj7 AbM7 Ab^7 AbΔ7 AbΔ Ab△7 Abma7 AbMaj7 AbMA7 Abmajor7 Abj7
Dm7b5: Dm7b5 Dø Dø7 Dm7-5 D-7b5 D−7♭5 Dmin7b5 Dm7(b5) Dhalfdim
Bdim7: Bdim7 B°7 Bo7 Bº7 BDim7 Bdiminished7
Bdim: Bdim B° Bo Bmb5
C7#9: C7#9 C7(#9) C7♯9 C7+9 C7sharp9 C7[#9]
C7b9: C7b9 C7(b9) C7♭9 C7-9 C7flat9
C7#5: C7#5 C+7 C7+ C7+5 Caug7 C7(♯5)
Caug: Caug C+ C(#5)
Cm(maj7): Cm(maj7) CmM7 CmΔ7 C-Δ7 Cm/maj7 Cmmaj7 Cmin(maj7) C−(maj7)
Cm: Cm Cmin Cmi C- Cminor
C: C CM Cmaj Cmajor
Cm7: Cm7 Cmin7 Cmi7 CMI7 C-7 C−7
C7: C7 Cdom7
C6/9: C6/9 C69 C6add9 C6(9) C6⁄9
Cm6/9: Cm6/9 Cm69 C-6/9
Cadd9: Cadd9 C(add9) Cadd2
Cm(add9): Cm(add9) Cmadd9 C-(add9)
Csus4: Csus4 Csus
C7sus4: C7sus4 C7sus
C9sus4: C9sus4 C9sus
Cmaj7#5: Cmaj7#5 C+maj7 CM7#5 CΔ7♯5
Cmaj7#11: Cmaj7#11 CΔ7♯11 CΔ#11 CM7(#11)
C7alt: C7alt Calt C7altered
G/B: G/B G/b
Am7/G: Am7/G A-7/G
C6/9/E: C6/9/E C69/E
F#m11: F#m11 F♯m11 F♯-11
"""
"""Plain symbol: what teachers type for it; common practice, no source."""


@pytest.mark.parametrize("row", TYPED.strip().splitlines())
def test_what_teachers_type_is_read_as_the_same_chord(row: str) -> None:
    """Three teachers write three dialects; one chord is meant."""
    plain, typed = row.split(": ")
    assert [Chord.parse(text).ascii for text in typed.split()] == [plain] * len(typed.split())


@pytest.mark.parametrize("text", ["A♭ maj7", " Am7 / G ", "C 7 sus4", "D m7 (b5)"])
def test_spaces_say_nothing(text: str) -> None:
    """Nobody is punished for a space."""
    assert Chord.parse(text) == Chord.parse(text.replace(" ", ""))


@pytest.mark.parametrize("style", STYLES, ids=str)
def test_every_quality_written_in_every_style_is_read_again(style: LabelStyle) -> None:
    """A teacher copies a printed name into another drill."""
    for quality in ALL_QUALITIES:
        for root, bass in (("C", None), ("Bb", "D"), ("F#", "Bb")):
            chord = Chord(NoteName.parse(root), quality, None if bass is None else NoteName.parse(bass))
            assert Chord.parse(chord.symbol(style)) == chord
            assert Chord.parse(chord.ascii) == chord


@given(st.sampled_from(ALL_QUALITIES), st.integers(0, 6), st.integers(-2, 2), st.integers(0, 6), st.integers(-2, 2))
def test_every_chord_is_read_again_from_every_way_of_writing_it(
    quality: Quality, letter: int, alteration: int, bass_letter: int, bass_alteration: int
) -> None:
    """Whatever the root and the bass."""
    root, bass = NoteName(letter, alteration), NoteName(bass_letter, bass_alteration)
    chord = Chord(root, quality, None if root == bass else bass)
    texts = {chord.ascii, *(chord.symbol(style) for style in STYLES)}
    assert {Chord.parse(text) for text in texts} == {chord}


@given(st.text(max_size=60))
def test_any_text_is_a_chord_or_a_sentence(text: str) -> None:
    """What is typed into a line edit never brings the window down."""
    try:
        chord = Chord.parse(text)
    except ValueError as error:
        sentence = str(error)
    else:
        sentence = chord.ascii
        assert Chord.parse(chord.ascii) == chord
    # The text itself may be long when its signs are written as escapes.
    assert len(sentence.replace(repr(text), "")) < 200


WRONG = [
    ("H7", "'H7' is not a chord symbol; begin with the root as a capital letter, like Abmaj7, Dm7b5 or G/B"),
    ("", "'' is not a chord symbol; begin with the root as a capital letter, like Abmaj7, Dm7b5 or G/B"),
    ("dm7", "'dm7' is not a chord symbol; begin with the root as a capital letter, like Abmaj7, Dm7b5 or G/B"),
    ("B####7#9", "'B####7#9' has notes that no accidental can spell; write it from another root"),
    ("Cfoo", "'Cfoo' is not a chord symbol: 'foo' names no chord quality; write it like Abmaj7, Dm7b5 or G/B"),
    ("C/H", "'C/H' is not a chord symbol: '/H' names no chord quality; write it like Abmaj7, Dm7b5 or G/B"),
]


@pytest.mark.parametrize(("text", "sentence"), WRONG)
def test_what_cannot_be_read_is_told_in_one_sentence(text: str, sentence: str) -> None:
    """It says what is wrong and what to write."""
    with pytest.raises(ValueError) as caught:
        Chord.parse(text)
    assert str(caught.value) == sentence


def test_a_very_long_text_is_not_repeated_in_full() -> None:
    """The sentence has to fit on the screen."""
    with pytest.raises(ValueError, match="too long for a chord symbol") as caught:
        Chord.parse("C" * 100_000)
    assert len(str(caught.value)) < 150


FACES = [
    ("Dm7b5", LabelStyle(), "Dm7♭5"),
    ("Dm7b5", LabelStyle(half_diminished="ø7"), "Dø7"),
    ("Dm7b5", LabelStyle(minor="−"), "D−7♭5"),
    ("Abmaj7", LabelStyle(), "A♭maj7"),
    ("Abmaj7", LabelStyle(major_seventh="Δ7"), "A♭Δ7"),
    ("Abmaj9", LabelStyle(major_seventh="Δ7"), "A♭Δ9"),
    ("Cm(maj7)", LabelStyle(), "Cm(maj7)"),
    ("Cm(maj7)", LabelStyle(major_seventh="Δ7", minor="−"), "C−(Δ7)"),
    ("Cm6/9", LabelStyle(minor="−"), "C−6/9"),
    ("Bdim7", LabelStyle(), "B°7"),
    ("Bdim7", LabelStyle(diminished="dim"), "Bdim7"),
    ("Bdim", LabelStyle(), "B°"),
    ("Caug", LabelStyle(), "C+"),
    ("C7#9", LabelStyle(), "C7♯9"),
    ("G/B", LabelStyle(), "G/B"),
    ("Bm7b5b9", LabelStyle(), "Bm7(♭5♭9)"),
    ("Bm7b5b9", LabelStyle(half_diminished="ø7"), "Bø7(♭9)"),
    ("Fbbmaj7", LabelStyle(), "F𝄫maj7"),
]
"""Plain symbol, style, what is printed; common practice, no source."""


@pytest.mark.parametrize(("plain", "style", "printed"), FACES)
def test_a_style_decides_the_face(plain: str, style: LabelStyle, printed: str) -> None:
    """One style a page, so that no student takes two faces for two chords."""
    assert Chord.parse(plain).symbol(style) == printed


def test_a_face_that_is_not_offered_is_refused() -> None:
    """A file from elsewhere may say anything."""
    with pytest.raises(ValueError, match="'mi' is not a way to write minor; choose m or −"):
        LabelStyle(minor="mi")


def test_the_first_face_of_every_choice_is_the_default() -> None:
    """The form shows the choices in this order."""
    assert LabelStyle(*(faces[0] for faces in CHOICES.values())) == LabelStyle()


def test_no_two_qualities_share_a_name_or_a_shape_of_spelled_tones() -> None:
    """Otherwise reading back could not know which was meant."""
    assert len({quality.key for quality in ALL_QUALITIES}) == len(ALL_QUALITIES)
    assert len({quality.tones for quality in ALL_QUALITIES}) == len(ALL_QUALITIES)
    assert len({quality.words for quality in ALL_QUALITIES}) == len(ALL_QUALITIES)


@pytest.mark.parametrize("quality", ALL_QUALITIES, ids=lambda quality: quality.key)
def test_no_quality_strikes_one_key_twice(quality: Quality) -> None:
    """Two tones on one key of the piano would lose a finger."""
    assert quality.tones[0].semitones == 0
    assert len({tone.semitones % 12 for tone in quality.tones}) == len(quality.tones)
    assert list(quality.tones) == sorted(quality.tones, key=lambda tone: tone.steps)


def test_chords_are_spoken_in_words() -> None:
    """For screen readers and for summaries."""
    spoken = {text: Chord.parse(text).speak() for text in ("Abmaj7", "F#m7b5", "G/B", "Bbb7")}
    assert spoken == {
        "Abmaj7": "A flat major seventh",
        "F#m7b5": "F sharp half-diminished seventh",
        "G/B": "G major over B",
        "Bbb7": "B double flat dominant seventh",
    }


def test_a_degree_answers_in_the_chords_own_form_or_exactly() -> None:
    """A bare 3 of a minor chord is its minor third; a signed degree is what it says."""
    chord = Chord.parse("Cm7")
    assert [chord.tone_for(degree).ascii for degree in ("3", "7", "9", "b9", "#11", "♭3")] == [
        "Eb",
        "Bb",
        "D",
        "Db",
        "F#",
        "Eb",
    ]
    with pytest.raises(ValueError, match="'x' is not a chord degree"):
        chord.tone_for("x")


def test_the_repr_can_be_typed_back_in() -> None:
    """A failing test then shows what to try."""
    chord = Chord.parse("Ebm7b5/Bbb")
    assert eval(repr(chord)) == chord
    assert eval(repr(QUALITIES[3])) == QUALITIES[3]
