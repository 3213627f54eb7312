"""Names of notes: English, German, syllables. Common practice, no source, unless a line says otherwise."""

from __future__ import annotations

import pytest

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.naming import NoteNames, in_english, note_name, renamed, respoken
from lessonkit.theory.pitch import NoteName, Pitch

GERMAN = LabelStyle(notes=NoteNames.GERMAN)
SUNG = LabelStyle(notes=NoteNames.SYLLABLES)


@pytest.mark.parametrize(
    ("english", "german", "sung"),
    [
        ("C", "C", "do"), ("D", "D", "re"), ("E", "E", "mi"), ("F", "F", "fa"), ("G", "G", "sol"), ("A", "A", "la"),
        ("B", "H", "si"), ("Bb", "B", "si♭"), ("Eb", "E♭", "mi♭"), ("F#", "F♯", "fa♯"), ("B#", "H♯", "si♯"),
    ],
)  # fmt: skip
def test_a_note_is_called_as_each_language_calls_it(english: str, german: str, sung: str) -> None:
    """Only B and B♭ differ between English and German where signs are written; syllables sing every letter."""
    name = NoteName.parse(english)
    assert note_name(name, NoteNames.GERMAN) == german
    assert note_name(name, NoteNames.SYLLABLES) == sung


def test_no_two_notes_share_a_name() -> None:
    """A name that stood for two keys of the piano would be a wrong note in somebody's hands."""
    notes = [NoteName(letter, alteration) for letter in range(7) for alteration in range(-2, 3)]
    for names in NoteNames:
        assert len({note_name(note, names) for note in notes}) == len(notes)


def test_chords_pitches_and_keys_take_the_names() -> None:
    """One style names everything on a page."""
    assert Chord.parse("Bb7").symbol(GERMAN) == "B7"
    assert Chord.parse("Bm7b5").symbol(GERMAN) == "Hm7♭5"
    assert Chord.parse("G/B").symbol(GERMAN) == "G/H"
    assert Chord.parse("Bbmaj7").symbol(SUNG) == "si♭maj7"
    assert GERMAN.pitch(Pitch.parse("B3")) == "H3"
    assert GERMAN.key(Key.parse("Bb")) == "B major"
    assert SUNG.key(Key.parse("F#m")) == "fa♯ minor"


@pytest.mark.parametrize("key", [*MAJOR_KEYS, *MINOR_KEYS])
@pytest.mark.parametrize("names", list(NoteNames))
def test_what_is_shown_of_a_key_can_be_typed(key: Key, names: NoteNames) -> None:
    """A teacher types what stands on the strip."""
    shown = note_name(key.tonic, names) + ("m" if key.is_minor else "")
    assert Key.parse(in_english(shown, names)) == key


@pytest.mark.parametrize(
    ("typed", "read"), [("B, H, f#m", "Bb, B, f#m"), ("b", "Bb"), ("bm", "Bbm"), ("Bb", "Bb"), ("h", "B"), ("C", "C")]
)
def test_german_is_read_where_german_is_written(typed: str, read: str) -> None:
    """B means B♭ then, and Bb, which nobody means otherwise, is left as it is."""
    assert in_english(typed, NoteNames.GERMAN) == read
    assert in_english(typed, NoteNames.ENGLISH) == typed


@pytest.mark.parametrize(
    ("typed", "chord"), [("B7", "Bb7"), ("Hm7b5", "Bm7b5"), ("Bdim7", "Bbdim7"), ("G/H", "G/B"), ("Bbmaj7", "Bbmaj7")]
)
def test_german_chord_names_are_read(typed: str, chord: str) -> None:
    """What a teacher writes in a note is read as it is meant."""
    assert Chord.parse(in_english(typed, NoteNames.GERMAN)) == Chord.parse(chord)


@pytest.mark.parametrize(
    ("words", "german"),
    [
        ("B♭ major · Broken chords", "B major · Broken chords"),
        ("1 2 4 on B3 D4 F♯4", "1 2 4 on H3 D4 F♯4"),
        ("B♭maj7 broken, Bm7 and C7/B", "Bmaj7 broken, Hm7 and C7/H"),
        ("form B, two octaves", "form B, two octaves"),
        ("(W white, B black)", "(W white, B black)"),
        ("Bars of chords", "Bars of chords"),
    ],
)
def test_sentences_take_the_names(words: str, german: str) -> None:
    """A remark that said B of an H would be wrong; letters that are no notes stay."""
    assert renamed(words, NoteNames.GERMAN) == german
    assert renamed(words, NoteNames.ENGLISH) == words


def test_sung_sentences_keep_their_articles() -> None:
    """A is a note and a word."""
    assert renamed("A major, A7 in A minor", NoteNames.SYLLABLES) == "la major, la7 in la minor"
    assert renamed("A chord of A", NoteNames.SYLLABLES) == "A chord of la"


def test_spoken_notes_take_the_names() -> None:
    """What is read aloud for who cannot see the page."""
    assert respoken("together B flat 3 with 1 and B 4", NoteNames.GERMAN) == "together B 3 with 1 and H 4"
    assert respoken("B flat 3", NoteNames.ENGLISH) == "B flat 3"
    assert respoken("F sharp 4", NoteNames.SYLLABLES) == "fa sharp 4"
