"""Roman numerals and progressions hold for every key, are read as typed, and tell what is wrong and where."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import NoteName
from lessonkit.theory.progression import Progression
from lessonkit.theory.quality import ALL_QUALITIES, Quality
from lessonkit.theory.roman import RomanChord, diatonic_chord, recognise
from lessonkit.theory.scale import Scale

MODES = tuple(Key.parse(text) for text in ("D dorian", "E phrygian", "F lydian", "G mixolydian", "B locrian"))
KEYS = MAJOR_KEYS + MINOR_KEYS + MODES

IN_C_AND_A_MINOR = """
I: C: A
vi: Am: F#m
vim7: Am7: F#m7
VI: A: F
bVI: Ab: F
bvi: Abm: Fm
V7: G7: E7
I7: C7: A7
vii°7: Bdim7: G#dim7
viiø7: Bm7b5: G#m7b5
VII7: B7: G7
bVII7: Bb7: G7
bvii: Bbm: Gm
III: E: C
bIIImaj7: Ebmaj7: Cmaj7
#I°7: C#dim7: A#dim7
#IVm7b5: F#m7b5: D#m7b5
V7/ii: A7: F#7
V7/V: D7: B7
V7/V/V: A7: F#7
vii°7/V: F#dim7: D#dim7
iiø7/ii: Em7b5: C#m7b5
subV7: Db7: Bb7
subV7/ii: Eb7: C7
bIImaj7: Dbmaj7: Bbmaj7
ivm7: Fm7: Dm7
IIm7: Dm7: Bm7
iimaj7: Dm(maj7): Bm(maj7)
i6/9: Cm6/9: Am6/9
V/3: G/B: E/G#
vim7/7: Am7/G: F#m7/E
vsus4: Gsus4: Esus4
"""
"""Numeral: chord in C major: chord in A minor. Common practice, no source; vi and vii in minor as in music21."""


@pytest.mark.parametrize("row", IN_C_AND_A_MINOR.strip().splitlines())
def test_a_numeral_makes_the_chord_of_the_key(row: str) -> None:
    """The same numeral in major and in minor."""
    numeral, major, minor = row.split(": ")
    roman = RomanChord.parse(numeral)
    assert (roman.in_key(Key.parse("C")).ascii, roman.in_key(Key.parse("Am")).ascii) == (major, minor)


STYLES = (LabelStyle(), LabelStyle("ø7", "Δ7", "−", "dim"), LabelStyle(numerals="VIm7"))


@pytest.mark.parametrize("row", IN_C_AND_A_MINOR.strip().splitlines())
def test_a_numeral_is_read_again_from_every_way_of_writing_it(row: str) -> None:
    """What is printed can be typed."""
    roman = RomanChord.parse(row.split(": ")[0])
    assert [RomanChord.parse(text) for text in (roman.ascii, *map(roman.text, STYLES))] == [roman] * 4


@pytest.mark.parametrize(
    ("text", "plain"),
    [("V7/viim7b5", "V7/viim7b5"), ("V7/iidim", "V7/iidim"), ("V7/♭VIΔ7", "V7/bVImaj7"), ("V+/vi", "Vaug/vi"),
     ("subV7/viø7", "subV7/vim7b5"), ("V7/V7/vii°7", "V7/V7/viidim7")],
)  # fmt: skip
def test_a_numeral_in_plain_letters_says_so_of_the_chord_it_leads_to_as_well(text: str, plain: str) -> None:
    """A file is typed with any keyboard."""
    roman = RomanChord.parse(text)
    assert roman.ascii == plain
    assert RomanChord.parse(plain) == roman


@pytest.mark.parametrize(
    ("numerals", "printed"),
    [
        # As in the open textbook "Harmony and Musicianship with Solfège", chapter "Diatonic seventh chords".
        ("vi7", "Imaj7 ii7 iii7 IVmaj7 V7 vi7 viiø7"),
        # Common practice, no source.
        ("VIm7", "Imaj7 IIm7 IIIm7 IVmaj7 V7 VIm7 VIIm7♭5"),
    ],
)
def test_a_numeral_says_the_minor_third_once(numerals: str, printed: str) -> None:
    """By small letters or by an m, never by both; half-diminished is ø behind a small numeral."""
    key, style = Key.parse("C"), LabelStyle(numerals=numerals)
    degrees = (recognise(diatonic_chord(key, degree), key) for degree in range(1, 8))
    assert " ".join(degree.text(style) for degree in degrees) == printed


@given(st.sampled_from(ALL_QUALITIES), st.integers(1, 7), st.sampled_from(STYLES))
def test_every_quality_is_read_again_behind_every_numeral(quality: Quality, degree: int, style: LabelStyle) -> None:
    """A printed numeral can be typed, whatever the chord."""
    roman = RomanChord(degree, quality)
    assert RomanChord.parse(roman.text(style)) == roman


@given(
    st.sampled_from(KEYS), st.sampled_from(ALL_QUALITIES),
    st.integers(0, 6), st.integers(-2, 2), st.integers(0, 6), st.integers(-2, 2),
)  # fmt: skip
def test_every_chord_is_recognised_in_every_key_and_comes_back(
    key: Key, quality: Quality, letter: int, alteration: int, bass_letter: int, bass_alteration: int
) -> None:
    """The degree that is named leads to the very same chord, and its text to the very same degree."""
    root, bass = NoteName(letter, alteration), NoteName(bass_letter, bass_alteration)
    chord = Chord(root, quality, None if root == bass else bass)
    roman = recognise(chord, key)
    assert roman.strict_in_key(key) == chord
    assert RomanChord.parse(roman.ascii) == roman


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_no_double_accidental_is_printed_where_another_root_avoids_it(key: Key) -> None:
    """Only a chord on a degree of the key keeps a double accidental that its own spelling demands."""
    degrees = ("I", "II", "III", "IV", "V", "VI", "VII")
    numerals = [sign + degree + suffix for sign in "b#" for degree in degrees for suffix in ("", "7", "maj7")]
    numerals += ["subV7", "subV7/ii", "subV7/V"]
    for numeral in numerals:
        chord = RomanChord.parse(numeral).in_key(key)
        if any(tone.is_double for tone in chord.tones):
            assert chord.root in key.notes


def test_printing_another_root_never_changes_the_sound() -> None:
    """D7 for E𝄫7 is the same chord to the ear, its bass as well."""
    roman = RomanChord.parse("subV7/7")
    strict, printed = roman.strict_in_key(Key.parse("Db")), roman.in_key(Key.parse("Db"))
    assert (printed.ascii, strict.ascii) == ("D7/C", "Ebb7/Dbb")
    assert [tone.pitch_class for tone in strict.tones] == [tone.pitch_class for tone in printed.tones]


WRONG = [
    ("Q", "'Q' is not a degree; write it like IVmaj7, vim7, V7/ii or bIII7"),
    ("IVfoo", "'IVfoo' is not a degree: 'foo' names no chord quality; write it like IVmaj7, vim7, V7/ii or bIII7"),
    ("ii7#9", "'ii7#9' is not a degree: a small numeral is a minor chord; write II7#9"),
    ("subII7", "'subII7' is not a degree: only V has a tritone substitute; write it like subV7 or subV7/ii"),
    ("b#I", "'b#I' is not a degree: 'b#' mixes flats and sharps; write it like IVmaj7, vim7, V7/ii or bIII7"),
]


@pytest.mark.parametrize(("text", "sentence"), WRONG)
def test_what_is_no_degree_is_told_in_one_sentence(text: str, sentence: str) -> None:
    """It says what is wrong and what to write."""
    with pytest.raises(ValueError) as caught:
        RomanChord.parse(text)
    assert str(caught.value) == sentence


@given(st.text(alphabet="IViv bBm#7/+°ø%|aj39", max_size=70))
def test_any_text_is_a_progression_or_a_sentence(text: str) -> None:
    """What is typed never brings the window down, and what was read is read again."""
    try:
        progression = Progression.parse(text)
    except ValueError as error:
        is_understood = len(str(error)) < 300
    else:
        is_understood = Progression.parse(progression.ascii) == progression
    assert is_understood


DIATONIC = """
C harmonic minor: Cm(maj7) Dm7b5 Ebmaj7#5 Fm7 G7 Abmaj7 Bdim7
C melodic minor: Cm(maj7) Dm7 Ebmaj7#5 F7 G7 Am7b5 Bm7b5
C natural minor: Cm7 Dm7b5 Ebmaj7 Fm7 Gm7 Abmaj7 Bb7
D dorian: Dm7 Em7 Fmaj7 G7 Am7 Bm7b5 Cmaj7
F lydian: Fmaj7 G7 Am7 Bm7b5 Cmaj7 Dm7 Em7
B locrian: Bm7b5 Cmaj7 Dm7 Em7 Fmaj7 G7 Am7
"""
"""Scale: the seventh on each degree; worked out by stacking thirds, common textbook knowledge."""


@pytest.mark.parametrize("row", DIATONIC.strip().splitlines())
def test_minor_scales_and_modes_make_their_sevenths(row: str) -> None:
    """The ladder drill walks through these."""
    name, chords = row.split(": ")
    scale = Scale.named(*name.split(" ", 1))
    assert " ".join(diatonic_chord(scale, degree).ascii for degree in range(1, 8)) == chords


@pytest.mark.parametrize("kind", ["major", "natural minor", "harmonic minor", "melodic minor", "dorian", "altered"])
@pytest.mark.parametrize("size", [3, 7, 9])
def test_a_diatonic_chord_takes_every_other_note_of_its_scale(kind: str, size: int) -> None:
    """Whatever it is called, its letters are those of the scale."""
    for key in MAJOR_KEYS:
        try:
            scale = Scale(key.tonic, Scale.named("C", kind).kind)
            names = scale.names
        except ValueError:
            continue
        for degree in range(1, 8):
            count = {3: 3, 7: 4, 9: 5}[size]
            stacked = tuple(names[(degree - 1 + 2 * rung) % 7] for rung in range(count))
            assert diatonic_chord(scale, degree, size).tones == stacked


def test_scales_of_other_sizes_carry_no_stacked_chords() -> None:
    """A pentatonic has no thirds to stack."""
    with pytest.raises(ValueError, match="the blues scale has not seven notes"):
        diatonic_chord(Scale.named("C", "blues"), 1)


def test_bars_hold_one_chord_or_more() -> None:
    """And a bar may repeat the one before it."""
    progression = Progression.parse("Imaj7 vim7 | IVmaj7 | % | V7")
    bars = progression.in_key(Key.parse("Eb"))
    assert [[placed.chord.ascii for placed in bar] for bar in bars] == [
        ["Ebmaj7", "Cm7"],
        ["Abmaj7"],
        ["Abmaj7"],
        ["Bb7"],
    ]
    assert progression.text(LabelStyle(major_seventh="Δ7")) == "IΔ7 vi7 | IVΔ7 | IVΔ7 | V7"


def test_a_song_in_one_key_is_carried_to_another() -> None:
    """Chord symbols become degrees, and slash basses go along."""
    progression = Progression.from_symbols("Dm7 G7 | Cmaj7 Am7/G | Bb7 A7b9 | C/E", Key.parse("C"))
    assert progression.ascii == "iim7 V7 | Imaj7 vim7/7 | bVII7 VI7b9 | I/3"
    there = [placed.chord.ascii for bar in progression.in_key(Key.parse("Db")) for placed in bar]
    assert there == ["Ebm7", "Ab7", "Dbmaj7", "Bbm7/Ab", "B7", "Bb7b9", "Db/F"]


WRONG_BARS = [
    ("I | Q7", "bar 2, chord 1: 'Q7' is not a degree; write it like IVmaj7, vim7, V7/ii or bIII7"),
    ("I V | ii V7 x", "bar 2, chord 3: 'x' is not a degree; write it like IVmaj7, vim7, V7/ii or bIII7"),
    ("I | | V", "bar 2 has no chord; write it like Imaj7 | vim7 | IVmaj7 | V7"),
    ("", "nothing is written; write it like Imaj7 | vim7 | IVmaj7 | V7"),
    ("% | I", "bar 1 repeats the bar before it, and there is none; write it like Imaj7 | vim7 | IVmaj7 | V7"),
    ("I " * 9, "bar 1 has 9 chords; a bar holds 8 at most"),
    ("I |" * 300, "a progression of 300 bars is longer than 200"),
]


@pytest.mark.parametrize(("text", "sentence"), WRONG_BARS)
def test_a_wrong_bar_is_named(text: str, sentence: str) -> None:
    """The teacher finds the place without counting."""
    with pytest.raises(ValueError) as caught:
        Progression.parse(text)
    assert str(caught.value) == sentence
