"""MusicXML out: valid against the published schema, and read back by other programs as the same music."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from lxml import etree

from lessonkit.drills.exercise import Blank, Exercise
from lessonkit.drills.family import DrillFamily, families, family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.exchange.excerpt import _chord as our_chord
from lessonkit.exchange.harmony import KINDS
from lessonkit.exchange.musicxml import Movement, to_musicxml
from lessonkit.exchange.parsing import _chord as plain_chord
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, Key
from lessonkit.theory.quality import ALL_QUALITIES
from tests.lessonkit.exchange.scores import faults, notes_by_music21, notes_of, read_by_music21

FAMILIES = list(families().values())
PLAYED: dict[str, Any] = {
    "articulation": "legato, a slur over each group", "loudness": "pp", "shaping": "louder up, softer down",
    "pedal_use": "changed with each group", "repeats": 3, "shows_degrees": True,
}  # fmt: skip


def drill_of(kind: type[DrillFamily], settings: dict[str, Any]) -> DrillFamily:
    """A drill with those of the settings that its family has."""
    return kind.from_settings({name: value for name, value in settings.items() if name in kind.declared()})


def written(exercise: Exercise, shows_answers: bool = True) -> bytes:
    """The exercise as a score of its own."""
    return to_musicxml([Movement(exercise, 72, "Heading")], "A drill", "A teacher", shows_answers)


def chords_by_music21(score: Any) -> list[tuple[Fraction, Chord | None]]:
    """The chord symbols with their onsets, as the way in reads them."""
    symbols = [one for part in score.parts for one in part.flatten() if "ChordSymbol" in one.classes]
    found = []
    for symbol in symbols:
        onset = Fraction(symbol.offset) / 4
        found.append((onset, our_chord(*plain_chord(onset, symbol)[1:6])))
    return found


def notes_by_partitura(content: bytes, folder: Path) -> list[tuple[Fraction, Fraction, str]]:
    """Onset, length and spelled pitch of each note as partitura reads them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import partitura
        from partitura.utils.music import note_array_from_part_list

        path = folder / "one.musicxml"
        path.write_bytes(content)
        parts = partitura.load_musicxml(path).parts
        notes = note_array_from_part_list(parts, include_pitch_spelling=True)

    def whole(number: float) -> Fraction:
        return Fraction(float(number)).limit_denominator(1000) / 4

    return sorted(
        (
            whole(note["onset_quarter"]),
            whole(note["duration_quarter"]),
            f"{note['step']}{'#' * note['alter']}{'b' * -note['alter']}{note['octave']}",
        )
        for note in notes
    )


def check_round_trip(exercise: Exercise, folder: Path) -> None:
    """Hold what was written to the schema and to both readers."""
    content = written(exercise)
    assert not list(faults(content))
    exercise = exercise.answered()
    score = read_by_music21(content)
    expected = notes_of(exercise)
    assert expected
    assert notes_by_music21(score) == expected
    chords = [(mark.onset, mark.chord) for mark in exercise.chords] if exercise.shown.chord_names else []
    assert chords_by_music21(score) == chords
    assert notes_by_partitura(content, folder) == sorted((one.onset, one.length, one.pitch) for one in expected)


@pytest.mark.parametrize(("place", "kind"), list(enumerate(FAMILIES)), ids=lambda one: getattr(one, "code", ""))
def test_every_family_is_read_back_as_it_was(place: int, kind: type[DrillFamily], tmp_path: Path) -> None:
    """music21 and partitura find the same pitches, onsets and lengths; music21 the same fingers and chord symbols."""
    check_round_trip(realise(kind(), Setting(MAJOR_KEYS[place % 15])), tmp_path)


@pytest.mark.whole
@pytest.mark.parametrize("key", MAJOR_KEYS, ids=lambda key: key.ascii)
@pytest.mark.parametrize("kind", FAMILIES, ids=lambda kind: kind.code)
def test_every_family_in_every_key_is_read_back_as_it_was(kind: type[DrillFamily], key: Key, tmp_path: Path) -> None:
    """A wrong sign in one key of one family is a wrong note for somebody."""
    check_round_trip(realise(kind(), Setting(key)), tmp_path)


@pytest.mark.parametrize("kind", FAMILIES, ids=lambda kind: kind.code)
def test_what_is_printed_of_playing_is_valid(kind: type[DrillFamily]) -> None:
    """Slurs, swells, pedal and repeats are where files most often leave the standard; worksheets are files too."""
    exercise = realise(drill_of(kind, PLAYED), Setting(Key.parse("Gb")))
    assert not list(faults(written(exercise)))
    assert not list(faults(written(exercise, shows_answers=False)))
    try:
        free = realise(drill_of(kind, {"metre": "free"}), Setting(Key.parse("Bm")))
    except ValueError:
        return  # A family may need a metre.
    assert not list(faults(written(free)))


def test_a_lesson_is_one_valid_score_of_two_staves() -> None:
    """Drills of one hand and of two follow one another on the same part."""
    drills = [family(code)() for code in ("broken-chords", "stride", "twelve-bar-blues", "call-and-response")]
    movements = [Movement(realise(drill, Setting(Key.parse("Ab"))), 60, drill.title) for drill in drills]
    content = to_musicxml(movements, "A lesson", "A teacher")
    assert not list(faults(content))
    root = etree.fromstring(content)
    bars = sum(len(movement.exercise.bars) for movement in movements)
    assert [measure.get("number") for measure in root.iter("measure")] == [str(at + 1) for at in range(bars)]
    headings = [words.text for words in root.iter("words") if words.get("font-weight") == "bold"]
    assert headings == [drill.title for drill in drills]
    assert len(read_by_music21(content).parts) == 2
    for measure in root.iter("measure"):
        tags = [element.tag for element in measure]
        assert "harmony" not in tags[tags.index("backup") :], "chord symbols stand above the upper staff"


class TestMarks:
    """What stands beside the notes."""

    @pytest.fixture
    def root(self) -> Any:
        """A drill with all of it, on two staves, so high that it needs octave lines."""
        settings = {**PLAYED, "hands": "both", "octaves": 3, "lowest": "C4"}
        exercise = realise(drill_of(family("broken-chords"), settings), Setting(Key.parse("Eb")))
        content = written(exercise)
        assert not list(faults(content))
        return etree.fromstring(content)

    def test_octave_lines_open_and_close(self, root: Any) -> None:
        """8va: notes are written lower than they sound, which the standard calls down; pitches are those that sound."""
        shifts = [(one.get("type"), one.get("size")) for one in root.iter("octave-shift") if one.get("number") == "1"]
        assert ("down", "8") in shifts
        opened = 0
        for kind, _ in shifts:
            opened += -1 if kind == "stop" else 1
            assert opened in (0, 1)
        assert opened == 0

    def test_pedal_is_held_changed_and_let_go(self, root: Any) -> None:
        """Each change lifts and takes it anew at once."""
        kinds = [one.get("type") for one in root.iter("pedal")]
        assert kinds[0] == "start"
        assert kinds[-1] == "stop"
        assert set(kinds[1:-1]) == {"change"}

    def test_loudness_swells_slurs_and_repeat(self, root: Any) -> None:
        """A mark, a swell there and back, a slur for each group, three times through."""
        assert [one[0].tag for one in root.iter("dynamics")] == ["pp"]
        assert [one.get("type") for one in root.iter("wedge")] == ["crescendo", "stop", "diminuendo", "stop"]
        slurs = [one.get("type") for one in root.iter("slur")]
        assert slurs.count("start") == slurs.count("stop") > 8
        assert [one.get("times") for one in root.iter("repeat") if one.get("direction") == "backward"] == ["3"]

    def test_tempo_counts_the_beat_of_the_metre(self) -> None:
        """In 6/8 the dotted quarter is counted; players of files hear quarters."""
        exercise = realise(drill_of(family("broken-chords"), {"metre": "6/8"}), Setting(Key.parse("C")))
        root = etree.fromstring(written(exercise))
        mark = root.find(".//metronome")
        assert [one.tag for one in mark] == ["beat-unit", "beat-unit-dot", "per-minute"]
        assert root.find(".//sound[@tempo]").get("tempo") == "108"

    def test_degrees_are_words(self) -> None:
        """Roman numerals in one face of the house, as they are printed."""
        drill = drill_of(family("twelve-bar-blues"), {"shows_degrees": True})
        exercise = realise(drill, Setting(Key.parse("F")))
        root = etree.fromstring(written(exercise))
        told = [words.text for words in root.iter("words")]
        for mark in exercise.chords:
            assert mark.degree is not None
            assert mark.degree.text() in told

    def test_touch_and_rolls(self) -> None:
        """Staccato at each note, and rolled chords where a drill has them."""
        staccato = realise(drill_of(family("broken-chords"), {"articulation": "staccato"}), Setting(Key.parse("C")))
        root = etree.fromstring(written(staccato))
        assert len(list(root.iter("staccato"))) == sum(bool(event.pitches) for event in staccato.events)


def test_a_worksheet_keeps_its_answers_to_itself() -> None:
    """What is left blank must not be found in the file that a student opens."""
    exercise = realise(drill_of(family("twelve-bar-blues"), {"worksheet": "notes"}), Setting(Key.parse("F")))
    assert Blank.NOTES in exercise.blank
    root = etree.fromstring(written(exercise, shows_answers=False))
    assert not list(root.iter("pitch"))
    assert list(etree.fromstring(written(exercise)).iter("pitch"))
    asked = realise(
        drill_of(family("twelve-bar-blues"), {"worksheet": "chord names and degrees"}), Setting(Key.parse("F"))
    )
    assert not list(etree.fromstring(written(asked, shows_answers=False)).iter("harmony"))
    assert list(etree.fromstring(written(asked)).iter("harmony"))


def test_free_time_has_no_time_signature() -> None:
    """Bars of free time are as long as their groups."""
    exercise = realise(drill_of(family("arpeggio-run"), {"metre": "free"}), Setting(Key.parse("D")))
    root = etree.fromstring(written(exercise))
    assert root.find(".//time/senza-misura") is not None
    assert root.find(".//time/beats") is None


CHORDS_OF_KINDS = {
    "major": "1 3 5", "minor": "1 b3 5", "augmented": "1 3 #5", "diminished": "1 b3 b5", "dominant": "1 3 5 b7",
    "major-seventh": "1 3 5 7", "minor-seventh": "1 b3 5 b7", "diminished-seventh": "1 b3 b5 bb7",
    "augmented-seventh": "1 3 #5 b7", "half-diminished": "1 b3 b5 b7", "major-minor": "1 b3 5 7",
    "major-sixth": "1 3 5 6", "minor-sixth": "1 b3 5 6", "dominant-ninth": "1 3 5 b7 9", "major-ninth": "1 3 5 7 9",
    "minor-ninth": "1 b3 5 b7 9", "dominant-11th": "1 3 5 b7 9 11", "minor-11th": "1 b3 5 b7 9 11",
    "dominant-13th": "1 3 5 b7 9 11 13", "major-13th": "1 3 5 7 9 11 13", "minor-13th": "1 b3 5 b7 9 11 13",
    "suspended-second": "1 2 5", "suspended-fourth": "1 4 5", "power": "1 5",
}  # fmt: skip
"""What each kind is made of: MusicXML 4.0 specification, data type kind-value (W3C, 2021)."""


def changed(kind: str, changes: tuple[tuple[str, int, int], ...]) -> list[str]:
    """The degrees of a kind with its changes; added ones count from the dominant chord, as the specification says."""
    degrees = CHORDS_OF_KINDS[kind].split()
    for how, number, semitones in changes:
        if how == "add":
            below = {7: -1}.get(number, 0)
            degrees.append(("#" * (semitones + below) or "b" * -(semitones + below)) + str(number))
        else:
            place = next(at for at, one in enumerate(degrees) if one.lstrip("b#") == str(number))
            assert degrees[place] == str(number)
            degrees[place] = ("#" * semitones or "b" * -semitones) + str(number)
    return degrees


@pytest.mark.parametrize("quality", ALL_QUALITIES, ids=lambda quality: quality.key)
def test_every_quality_has_the_kind_that_means_its_notes(quality: Any) -> None:
    """Programs that play or transpose chord symbols read the kind, not the letters."""
    kind, changes = KINDS[quality.key]
    expected = set(quality.degrees)
    found = set(changed(kind, changes))
    if "13" in quality.degrees:
        # The specification itself leaves the eleventh of a thirteenth to practice.
        found.discard("11")
        expected.discard("11")
    assert found == expected


@pytest.mark.parametrize("quality", ALL_QUALITIES, ids=lambda quality: quality.key)
def test_every_chord_symbol_is_read_back(quality: Any) -> None:
    """All qualities on awkward roots, with and without another bass."""
    exercise = realise(family("block-chords")(), Setting(Key.parse("C")))
    for text in ("C", "F#", "Bb", "Ab/Eb"):
        root, _, bass = text.partition("/")
        chord = Chord.parse(f"{root}{quality.suffix}{'/' + bass if bass else ''}")
        one = replace(exercise, chords=(replace(exercise.chords[0], chord=chord),))
        assert chords_by_music21(read_by_music21(written(one))) == [(Fraction(0), chord)]


def test_a_score_needs_a_drill() -> None:
    """A page of words has no notes to write."""
    with pytest.raises(ValueError, match="no drill"):
        to_musicxml([], "Nothing")


def test_titles_may_hold_what_xml_forbids() -> None:
    """A pasted form feed or an ampersand stops no export."""
    exercise = realise(family("block-chords")(), Setting(Key.parse("C")))
    content = to_musicxml([Movement(exercise)], "Runs & <jumps>\x0c", "A & B")
    assert etree.fromstring(content).findtext("work/work-title") == "Runs & <jumps>"


@pytest.fixture(autouse=True)
def quiet_readers() -> Iterator[None]:
    """What the other readers warn of is theirs."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


@pytest.mark.parametrize("kind", FAMILIES, ids=lambda kind: kind.code)
def test_accidentals_are_those_that_are_printed(kind: type[DrillFamily]) -> None:
    """The same signs before the same notes as on our own page, courtesies in brackets among them."""
    for key in ("Gb", "E", "Am"):
        exercise = realise(kind(), Setting(Key.parse(key))).answered()
        # The brackets of a courtesy are drawn beside its sign and bear the same name.
        drawn = {
            mark.name
            for system in engrave(exercise, Look(500, shows_answers=True))
            for mark in system.marks
            if mark.kind == "accidental"
        }
        root = etree.fromstring(written(exercise))
        found = [
            (note.findtext("staff") or "1", note.findtext("accidental"), note.findtext("pitch/alter") or "0")
            for note in root.iter("note")
            if note.find("accidental") is not None
        ]
        assert len(found) == len(drawn)
        expected = {"-2": "flat-flat", "-1": "flat", "0": "natural", "1": "sharp", "2": "double-sharp"}
        assert all(sign == expected[alter] for _, sign, alter in found)
