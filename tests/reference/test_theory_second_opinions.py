"""Chord tones against an independent derivation and against other libraries, for every quality in every key.

The derivation below shares no code with the engine: it knows the letters, the white keys and, for every degree, how
many letters and semitones it lies above the root (common practice, no source). mingus, pychord and music21 are general
music libraries; where one of them differs, the exact cases stand here and are held to be so, not passed over.
"""

from itertools import pairwise

import mingus.core.chords as mingus_chords
import pychord
import pytest

from lessonkit.theory.authority import CHORD_KINDS, roman_tones, symbol_tones
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.quality import QUALITIES, Quality
from lessonkit.theory.roman import RomanChord
from lessonkit.theory.voicing import close_position

LETTERS = "CDEFGAB"
WHITE = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
FIFTEEN_TONICS = ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"]

DEFINITIONS = {
    "maj": "1 3 5", "m": "1 b3 5", "dim": "1 b3 b5", "aug": "1 3 #5", "sus2": "1 2 5", "sus4": "1 4 5", "5": "1 5",
    "6": "1 3 5 6", "m6": "1 b3 5 6", "maj7": "1 3 5 7", "7": "1 3 5 b7", "m7": "1 b3 5 b7", "m7b5": "1 b3 b5 b7",
    "dim7": "1 b3 b5 bb7", "m(maj7)": "1 b3 5 7", "maj7#5": "1 3 #5 7", "7#5": "1 3 #5 b7", "7sus4": "1 4 5 b7",
    "7b5": "1 3 b5 b7", "7b9": "1 3 5 b7 b9", "7#9": "1 3 5 b7 #9", "7#11": "1 3 5 b7 #11", "7b13": "1 3 5 b7 b13",
    "7b9b13": "1 3 5 b7 b9 b13", "7alt": "1 3 #5 b7 #9",
    "add9": "1 3 5 9", "m(add9)": "1 b3 5 9", "6/9": "1 3 5 6 9", "m6/9": "1 b3 5 6 9",
    "9": "1 3 5 b7 9", "maj9": "1 3 5 7 9", "m9": "1 b3 5 b7 9", "9sus4": "1 4 5 b7 9", "maj7#11": "1 3 5 7 #11",
    "11": "1 3 5 b7 9 11", "m11": "1 b3 5 b7 9 11", "13": "1 3 5 b7 9 13", "maj13": "1 3 5 7 9 13",
    "m13": "1 b3 5 b7 9 11 13",
}  # fmt: skip
"""What each quality is made of; common practice, no source (the kinds of the MusicXML 4.0 specification agree)."""


def derived(root: str, degree: str) -> str:
    """The note on a degree above a root: its letter counted off, its accidental from the semitones."""
    number = int(degree.lstrip("b#"))
    major = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 11, 9: 14, 11: 17, 13: 21}[number]
    semitones = major + degree.count("#") - degree.count("b")
    letter = LETTERS[(LETTERS.index(root[0]) + number - 1) % 7]
    sounding = WHITE[root[0]] + root.count("#") - root[1:].count("b") + semitones
    off = (sounding - WHITE[letter] + 6) % 12 - 6
    return letter + "#" * off + "b" * -off


def ours(root: str, quality: Quality) -> list[str]:
    """The engine's notes."""
    return [tone.ascii for tone in Chord.parse(root + quality.suffix).tones]


def test_every_quality_is_defined_here_and_there() -> None:
    """A quality that one side lacks would escape the check."""
    assert list(DEFINITIONS) == [quality.key for quality in QUALITIES]


@pytest.mark.parametrize("quality", QUALITIES, ids=lambda quality: quality.key)
@pytest.mark.parametrize("root", FIFTEEN_TONICS)
def test_tones_and_inversions_agree_with_letters_and_semitones(root: str, quality: Quality) -> None:
    """Every quality on every tonic, in every inversion: the right letters, rising, each less than an octave on."""
    expected = [derived(root, degree) for degree in DEFINITIONS[quality.key].split()]
    assert ours(root, quality) == expected
    assert list(quality.degrees) == DEFINITIONS[quality.key].split()
    floor = Pitch.parse("C3")
    for inversion in range(len(expected)):
        position = close_position(Chord.parse(root + quality.suffix), inversion, floor)
        assert [pitch.name.ascii for pitch in position] == expected[inversion:] + expected[:inversion]
        assert floor.midi <= position[0].midi < floor.midi + 12
        assert all(0 < high.midi - low.midi < 12 for low, high in pairwise(position))


@pytest.mark.parametrize("quality", QUALITIES, ids=lambda quality: quality.key)
def test_each_degree_of_a_chord_answers_with_its_own_spelled_tone(quality: Quality) -> None:
    """The ♭9 of C is D♭ and the ♯9 is D♯, whatever else the chord holds."""
    for root in FIFTEEN_TONICS:
        chord = Chord.parse(root + quality.suffix)
        for degree in DEFINITIONS[quality.key].split():
            assert chord.tone_for(degree).ascii == derived(root, degree)
            assert chord.tone_for(degree.lstrip("b#")).ascii == derived(root, degree)


PYCHORD_NAMES = {"maj": "", "m(maj7)": "mM7", "7alt": "7#9#5", "m(add9)": "madd9", "6/9": "69", "m6/9": "m69"}
PYCHORD_HAS_NOT = {"maj7#5", "m13"}
PYCHORD_DIFFERS = {"13": "1 3 5 b7 9 11 13", "maj13": "1 3 5 7 9 11 13", "7b9b13": "1 3 5 b7 b9 11 b13"}
"""pychord keeps the natural eleventh above a major third in thirteenth chords, which players leave out."""
PYCHORD_ORDERS = {"7alt"}
"""pychord is asked for the same notes under another name and lists the altered fifth in its place."""


@pytest.mark.parametrize("quality", QUALITIES, ids=lambda quality: quality.key)
def test_pychord_agrees_but_for_thirteenths(quality: Quality) -> None:
    """A second opinion from a library that spells by letters."""
    name = PYCHORD_NAMES.get(quality.key, quality.key)
    for root in FIFTEEN_TONICS:
        if quality.key in PYCHORD_HAS_NOT:
            with pytest.raises(ValueError, match=r"(?i)unknown|invalid"):
                pychord.Chord(root + name)
            continue
        theirs = list(pychord.Chord(root + name).components())
        if quality.key in PYCHORD_DIFFERS:
            assert theirs == [derived(root, degree) for degree in PYCHORD_DIFFERS[quality.key].split()]
            assert [tone for tone in theirs if tone != derived(root, "11")] == ours(root, quality)
        else:
            assert theirs == ours(root, quality)


MINGUS_NAMES = {
    "maj": "M", "maj7": "M7", "m(maj7)": "mM7", "maj7#5": "M7+5", "7sus4": "sus47", "maj9": "M9", "maj13": "M13",
}  # fmt: skip
MINGUS_HAS_NOT = {"m6/9", "m(add9)", "maj7#11", "7alt", "9sus4", "add9", "7b13", "7b9b13"}
MINGUS_DIFFERS = {"maj7#5": "1 3 #5 b7", "11": "1 5 b7 11", "m11": "1 b3 5 b7 11", "m13": "1 b3 5 b7 9 13"}
"""mingus gives its M7+5 a minor seventh, which is wrong, and leaves notes out of elevenths and the minor thirteenth."""


@pytest.mark.parametrize("quality", QUALITIES, ids=lambda quality: quality.key)
def test_mingus_agrees_but_for_four_qualities(quality: Quality) -> None:
    """Another second opinion; what it gets wrong is held to be wrong still, so that a mended release is noticed."""
    name = MINGUS_NAMES.get(quality.key, quality.key)
    for root in FIFTEEN_TONICS:
        if quality.key in MINGUS_HAS_NOT:
            with pytest.raises(Exception, match=r"Unknown shorthand|Unrecognised note"):
                mingus_chords.from_shorthand(root + name)
            continue
        theirs = mingus_chords.from_shorthand(root + name)
        if quality.key in MINGUS_DIFFERS:
            assert theirs == [derived(root, degree) for degree in MINGUS_DIFFERS[quality.key].split()]
            assert theirs != ours(root, quality)
        else:
            assert theirs == ours(root, quality)


@pytest.mark.parametrize("key", CHORD_KINDS)
def test_music21_spells_its_kinds_of_chord_alike(key: str) -> None:
    """The authority itself, asked on every tonic and not only on C."""
    for tonic in MAJOR_KEYS:
        assert set(symbol_tones(tonic.tonic, key)) == set(Chord(tonic.tonic, Quality.named(key)).tones)


THEIR_FIGURES = {
    "I": "I", "ii": "ii", "iii": "iii", "IV": "IV", "V": "V", "vi": "vi", "vii°": "viio", "i": "i", "iv": "iv",
    "v": "v", "III": "III", "VI": "VI", "VII": "VII", "ii°": "iio", "V7": "V7", "vii°7": "viio7", "viiø7": "vii/o7",
    "V7/V": "V7/V", "V7/IV": "V7/IV", "vii°7/V": "viio7/V", "#IV": "#IV", "bII": "bII", "#iv°7": "#ivo7",
    "V/vi": "V/vi",
}  # fmt: skip
"""Our numerals by the figures in which music21 reads the same chord."""


@pytest.mark.parametrize("key", MAJOR_KEYS + MINOR_KEYS, ids=lambda key: key.ascii)
def test_music21_agrees_on_roman_numerals(key: Key) -> None:
    """Roots, raised degrees of the minor, sevenths and applied chords, in all thirty keys."""
    for numeral, figure in THEIR_FIGURES.items():
        theirs = roman_tones(figure, key)
        assert RomanChord.parse(numeral).strict_in_key(key).tones == theirs, (numeral, figure)


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=lambda key: key.ascii)
def test_music21_agrees_on_borrowed_chords_in_major(key: Key) -> None:
    """♭III, ♭VI and ♭VII count from the major scale."""
    for numeral in ("bIII", "bVI", "bVII"):
        assert RomanChord.parse(numeral).strict_in_key(key).tones == roman_tones(numeral, key)


BY_THE_SCALE = {"Imaj7": "IM7", "IVmaj7": "IVM7", "V9": "V9"}


@pytest.mark.parametrize("key", MAJOR_KEYS + MINOR_KEYS, ids=lambda key: key.ascii)
def test_music21_takes_figures_above_the_fifth_from_the_scale(key: Key) -> None:
    """The same in major; in minor its IM7 has a minor seventh and its V9 a minor ninth, where ours are as named."""
    for numeral, figure in BY_THE_SCALE.items():
        our_tones, theirs = RomanChord.parse(numeral).strict_in_key(key).tones, roman_tones(figure, key)
        assert our_tones[:-1] == theirs[:-1]
        assert (our_tones[-1] == theirs[-1]) is (key in MAJOR_KEYS)


def test_in_minor_a_flat_that_says_what_the_key_does_changes_nothing() -> None:
    """Here we differ from music21 on purpose: it flattens the third, sixth and seventh of the minor once more."""
    key = Key.parse("Cm")
    assert roman_tones("bVI", key) == Chord.parse("Abb").tones
    assert RomanChord.parse("bVI").in_key(key) == RomanChord.parse("VI").in_key(key) == Chord.parse("Ab")
