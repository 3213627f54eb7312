"""Every family's notes against a derivation of its own: letters counted from the root, semitones counted from the root.

The derivation shares nothing with the engine but the names of qualities. The degrees of each quality are common
practice, no source; sharps and flats count from the major scale of the root.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from lessonkit.drills.answers import notes_answer
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.setting import Setting
from lessonkit.theory.key import Key

FORMULAS = {
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

MAJOR_KEYS = ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"]
LETTERS = "CDEFGAB"
MAJOR = [0, 2, 4, 5, 7, 9, 11]

SCALES = {
    # The steps of each scale in semitones; common practice, no source.
    "major": [0, 2, 4, 5, 7, 9, 11], "natural minor": [0, 2, 3, 5, 7, 8, 10], "harmonic minor": [0, 2, 3, 5, 7, 8, 11],
    "melodic minor": [0, 2, 3, 5, 7, 9, 11], "dorian": [0, 2, 3, 5, 7, 9, 10], "phrygian": [0, 1, 3, 5, 7, 8, 10],
    "lydian": [0, 2, 4, 6, 7, 9, 11], "mixolydian": [0, 2, 4, 5, 7, 9, 10], "locrian": [0, 1, 3, 5, 6, 8, 10],
}  # fmt: skip


def spelled(root: str, steps: int, semitones: int) -> str:
    """The note so many letters and semitones above a root."""
    letter = (LETTERS.index(root[0]) + steps) % 7
    sounds = MAJOR[LETTERS.index(root[0])] + root.count("#") - root.count("b") + semitones
    off = (sounds - MAJOR[letter] + 6) % 12 - 6
    return LETTERS[letter] + "#" * off + "b" * -off


def tone(root: str, degree: str) -> str:
    """The note on a degree above a root."""
    number = int(degree.lstrip("b#")) - 1
    return spelled(root, number, MAJOR[number % 7] + degree.count("#") - degree.count("b"))


def tones(root: str, quality: str) -> list[str]:
    """The notes of a chord from its root up."""
    return [tone(root, degree) for degree in FORMULAS[quality].split()]


def name(pitch: str) -> str:
    """A pitch without its octave."""
    return pitch.rstrip("0123456789-")


def sound(pitch: str) -> int:
    """The MIDI key of a pitch, worked out here."""
    plain = name(pitch)
    octave = int(pitch[len(plain) :])
    return 12 * (octave + 1) + MAJOR[LETTERS.index(plain[0])] + plain.count("#") - plain.count("b")


def events(code: str, key: str, **settings: Plain) -> list[dict[str, list[str]]]:
    """What the command line answers for a drill."""
    answer = notes_answer(family(code).from_settings(settings), Setting(Key.parse(key)))
    for event in answer["events"]:
        assert [sound(pitch) for pitch in event["pitches"]] == event["midi"]
        assert event["midi"] == sorted(event["midi"])
    found: list[dict[str, list[str]]] = answer["events"]
    return found


def cases() -> Iterator[tuple[str, str, int]]:
    """Every key, quality and inversion."""
    for key in MAJOR_KEYS:
        for quality, formula in FORMULAS.items():
            for inversion in range(len(formula.split())):
                yield key, quality, inversion


ALL = list(cases())
SAMPLE = ALL[::16]
"""Every sixteenth case; a test below holds that every key and every quality comes up."""


def check_chord_families(key: str, quality: str, inversion: int) -> None:
    """One chord broken, leapt and in a progression."""
    own = tones(key, quality)
    broken = events("broken-chords", key, quality=quality, inversion=inversion, octaves=1, direction="up", begins=EVERY)
    notes = [event["pitches"][0] for event in broken]
    assert notes[0][: len(own[inversion])] == own[inversion]
    assert {name(note) for note in notes} == set(own)
    assert len(notes) == len(own) * (len(own) + 1)

    for landing in events("chord-jumps", key, quality=quality, inversion=inversion, octaves=1, direction="up"):
        assert [name(pitch) for pitch in landing["pitches"]] == own[inversion:] + own[:inversion]

    numeral = f"I{quality}" if quality != "maj" else "I"
    if quality[0] == "m" and not quality.startswith("maj"):
        numeral = f"i{quality}"
    plans = {"plan": "root position", "hands": "right"}, {"plan": "smooth", "hands": "right"}
    settings = {"progression": numeral, "count": 1}
    whole, smooth = (events("progression-through-keys", key, **plan, **settings) for plan in plans)
    assert [name(pitch) for pitch in whole[0]["pitches"]] == own
    assert {name(pitch) for pitch in smooth[0]["pitches"]} <= set(own)
    assert len(smooth[0]["pitches"]) == min(5, len(own))


EVERY = "on every note up to the top"


def test_the_formulas_are_of_all_qualities() -> None:
    """No quality is left out of the comparison."""
    declared = family("broken-chords").declared()["quality"].describe()["allowed"]
    assert set(declared) - {None} == set(FORMULAS)
    assert {key for key, _, _ in SAMPLE} == set(MAJOR_KEYS)
    assert {quality for _, quality, _ in SAMPLE} == set(FORMULAS)


@pytest.mark.parametrize(("key", "quality", "inversion"), SAMPLE)
def test_chords_are_spelled_as_derived(key: str, quality: str, inversion: int) -> None:
    """A fixed sample of all keys, qualities and inversions."""
    check_chord_families(key, quality, inversion)


@pytest.mark.whole
def test_all_chords_are_spelled_as_derived() -> None:
    """All fifteen major keys, all qualities, all inversions."""
    for case in ALL:
        check_chord_families(*case)


@pytest.mark.parametrize("scale", SCALES)
def test_ladders_are_spelled_as_derived(scale: str) -> None:
    """Every scale on every tonic that has a signature for it, every size and inversion: stacked thirds of the scale."""
    for key in MAJOR_KEYS:
        for size, count in (("triad", 3), ("seventh", 4), ("ninth", 5)):
            for inversion in range(count):
                check_ladder(key, scale, size, count, inversion)


def check_ladder(key: str, scale: str, size: str, count: int, inversion: int) -> None:
    """One octave of a ladder by steps."""
    settings = {"climb": "every degree", "octaves": 1, "direction": "up", "touch": "solid"}
    found = events("diatonic-ladder", key, scale=scale, size=size, inversion=inversion, **settings)
    assert len(found) == 8
    # The tonic may be printed by its other name; it sounds the same.
    tonic = name(found[0]["pitches"][-inversion if inversion else 0])
    assert sound(tonic + "4") % 12 == sound(key + "4") % 12
    notes = [spelled(tonic, step, SCALES[scale][step]) for step in range(7)]
    for degree, event in enumerate(found):
        chord = [notes[(degree + 2 * third) % 7] for third in range(count)]
        assert [name(pitch) for pitch in event["pitches"]] == chord[inversion:] + chord[:inversion]
