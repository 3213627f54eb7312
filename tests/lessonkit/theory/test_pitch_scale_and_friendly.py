"""Spelled pitches, keys and scales, and respelling that never changes the sound."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.pitch import Interval, NoteName, Pitch
from lessonkit.theory.quality import ALL_QUALITIES, Quality
from lessonkit.theory.scale import SCALES, Scale, ScaleKind
from lessonkit.theory.voicing import close_position

names = st.builds(NoteName, st.integers(0, 6), st.integers(-2, 2))
pitches = st.builds(Pitch, st.integers(0, 6), st.integers(-2, 2), st.integers(0, 8))
intervals = st.sampled_from(
    [
        Interval.parse(text)
        for text in ["m2", "M2", "m3", "M3", "P4", "A4", "d5", "P5", "m6", "M6", "m7", "M7", "P8", "m9", "M9", "P11"]
    ]
)


@given(pitches, intervals)
def test_up_and_down_by_an_interval_restores_the_spelling(pitch: Pitch, interval: Interval) -> None:
    """Transposing there and back must not turn C♭ into B."""
    assert pitch + interval - interval == pitch
    assert pitch.interval_to(pitch + interval) == interval


@given(names, pitches)
def test_the_nearest_above_is_less_than_an_octave_above(name: NoteName, floor: Pitch) -> None:
    """Counted by sound: B♯ at or above C4 is B♯3."""
    above = name.nearest_above(floor)
    assert above.name == name
    assert floor.midi <= above.midi < floor.midi + 12


@given(names)
def test_other_names_are_the_same_key_of_the_piano(name: NoteName) -> None:
    """The plainest comes first, and the name itself is not among them."""
    assert all(other.pitch_class == name.pitch_class and other != name for other in name.enharmonics)
    weights = [abs(other.alteration) for other in name.enharmonics]
    assert weights == sorted(weights)


def test_plain_names_of_awkward_notes() -> None:
    """What a reader expects to see; common practice, no source."""
    plain = {text: NoteName.parse(text).simplest.ascii for text in ("Bbb", "F##", "Cb", "E#", "Fbb", "B##")}
    assert plain == {"Bbb": "A", "F##": "G", "Cb": "B", "E#": "F", "Fbb": "Eb", "B##": "C#"}


@pytest.mark.parametrize("key", MAJOR_KEYS + MINOR_KEYS, ids=str)
def test_a_scale_of_a_key_is_its_signature(key: Key) -> None:
    """The two ways of spelling a key agree."""
    assert Scale.of_key(key).names == tuple(key.degree(number) for number in range(1, 8))
    assert set(Scale.of_key(key).names) <= key.notes


def test_every_kind_of_scale_is_there() -> None:
    """The list that drills and notes offer."""
    wanted = {
        "major", "natural minor", "harmonic minor", "melodic minor", "ionian", "dorian", "phrygian", "lydian",
        "mixolydian", "aeolian", "locrian", "major pentatonic", "minor pentatonic", "blues", "whole-tone",
        "octatonic half-whole", "octatonic whole-half", "altered", "lydian dominant", "bebop dominant", "bebop major",
    }  # fmt: skip
    assert set(SCALES) == wanted
    with pytest.raises(ValueError, match="'hungarian' is not a scale; the scales are major"):
        ScaleKind.named("hungarian")


@pytest.mark.parametrize("kind", SCALES.values(), ids=lambda kind: kind.key)
def test_a_scale_rises_through_an_octave_and_its_friendly_form_sounds_the_same(kind: ScaleKind) -> None:
    """On all fifteen tonics; the list of what was respelled is complete."""
    for key in MAJOR_KEYS:
        scale = Scale(key.tonic, kind)
        ladder = scale.ladder(Pitch.parse("C4"), 2 * len(kind.tones) + 1)
        sounding = [pitch.midi for pitch in ladder]
        assert sounding == sorted(set(sounding))
        assert sounding[-1] - sounding[0] == 24
        friendly = scale.friendly()
        assert [name.pitch_class for name in friendly.names] == [name.pitch_class for name in scale.names]
        assert len(friendly.respelled) == sum(a != b for a, b in zip(friendly.names, scale.names, strict=True))
        assert kind.key in ("harmonic minor", "melodic minor") or not any(name.is_double for name in friendly.names)


LADDERS = [
    ("Ab", "C4", "C4 Db4 Eb4 F4 G4 Ab4"),
    ("C#", "C4", "B#3 C#4 D#4 E#4 F#4 G#4"),
    ("Cb", "B3", "Cb4 Db4 Eb4 Fb4 Gb4 Ab4"),
]


@pytest.mark.parametrize(("tonic", "start", "expected"), LADDERS)
def test_a_ladder_starts_at_the_lowest_note_of_the_scale_from_there_up(tonic: str, start: str, expected: str) -> None:
    """Counted by sound, spelled as the scale spells."""
    ladder = Scale.named(tonic, "major").ladder(Pitch.parse(start), 6)
    assert " ".join(pitch.ascii for pitch in ladder) == expected


def test_degrees_of_a_scale_begin_again_after_the_last() -> None:
    """The eighth degree is the first."""
    scale = Scale.named("Eb", "major")
    assert [scale.degree(number).ascii for number in (1, 3, 8, 10)] == ["Eb", "G", "Eb", "G"]
    with pytest.raises(ValueError, match="0 is not a degree of a scale"):
        scale.degree(0)


@given(names, st.sampled_from(ALL_QUALITIES), st.sampled_from([None, *MAJOR_KEYS, *MINOR_KEYS]))
def test_a_friendly_chord_sounds_the_same_in_every_key(root: NoteName, quality: Quality, key: Key | None) -> None:
    """Its voicings too: each pitch keeps its key of the piano and takes a name of the friendly chord."""
    chord = Chord(root, quality)
    friendly = chord.friendly(key)
    assert [tone.pitch_class for tone in friendly.tones] == [tone.pitch_class for tone in chord.tones]
    strict = close_position(chord, 0, Pitch.parse("C3"))
    printed = friendly.spelled(strict)
    assert [pitch.midi for pitch in printed] == [pitch.midi for pitch in strict]
    assert tuple(pitch.name for pitch in printed) == friendly.tones


@pytest.mark.parametrize("quality", ALL_QUALITIES, ids=lambda quality: quality.key)
def test_no_friendly_chord_on_a_usual_root_has_a_double_accidental(quality: Quality) -> None:
    """That is the point of it."""
    for key in MAJOR_KEYS:
        assert not any(tone.is_double for tone in Chord(key.tonic, quality).friendly().tones)


def test_what_the_minor_raises_belongs_to_the_key() -> None:
    """So that a leading note is never respelled."""
    assert NoteName.parse("F##") in Key.parse("G#m").notes
    assert NoteName.parse("F##") not in Key.parse("B").notes


def test_a_mode_that_does_not_exist_is_told() -> None:
    """With the modes there are."""
    with pytest.raises(ValueError, match="'C foo' is not a key: 'foo' is no mode; the modes are major, minor, dorian"):
        Key.parse("C foo")
