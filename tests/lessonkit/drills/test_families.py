"""What is particular to each family: summaries, worksheets, what follows the key, what does not go together."""

from __future__ import annotations

import pytest

from lessonkit.drills.exercise import Blank, Exercise, Roll
from lessonkit.drills.family import families, family
from lessonkit.drills.minor_twin import in_minor
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.progression import Progression


def made(code: str, key: str = "C", **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key)))


SUMMARIES = [
    ("broken-chords", "Ab", {}, "A♭maj7 broken through its inversions in fours, right hand, two octaves up and down"),
    ("broken-chords", "C", {"quality": "m7b5", "hands": "both", "octaves": 1},
     "Cm7♭5 broken through its inversions in fours, both hands, one octave up and down"),
    ("diatonic-ladder", "Eb", {},
     "Seventh chords of E♭ major on every other degree, broken, right hand, two octaves up and down"),
    ("chord-jumps", "F", {"quality": "m", "inversions": "all in turn"},
     "Fm jumping through its inversions, solid, right hand, two octaves up and down"),
    ("comping-rhythms", "Db", {"rhythm": "1 and the and of 2"},
     "ii7–V7–Imaj7–V7/ii in D♭ major, comping on 1 and on the “and” of 2, both hands"),
    ("progression-through-keys", "C", {},
     "Imaj7–vi7–IVmaj7–V7 in 12 keys, round the fifths, smooth chords over roots, both hands"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "key", "settings", "line"), SUMMARIES)
def test_a_drill_is_said_in_one_line(code: str, key: str, settings: dict[str, Plain], line: str) -> None:
    """It stands above the drill and in every list."""
    assert made(code, key, **settings).summary == line


def test_a_summary_speaks_the_teachers_label_style() -> None:
    """No page mixes two faces of one quality."""
    setting = Setting(Key.parse("C"), LabelStyle(half_diminished="ø7"))
    drill = family("broken-chords").from_settings({"quality": "m7b5"})
    assert realise(drill, setting).summary.startswith("Cø7 broken")


def test_a_chord_follows_the_key_by_its_degree() -> None:
    """As the key has it, or of a chosen quality; a degree that the key has not needs a quality."""
    assert str(made("broken-chords", "Eb", degree="4").chords[0].chord) == "A♭maj7"
    assert str(made("broken-chords", "Am", degree="3", size="ninth").chords[0].chord) == "Cmaj9"
    assert str(made("chord-jumps", "Eb", degree="b7", quality="7").chords[0].degree) == "♭VII7"
    with pytest.raises(ValueError, match="C major has no chord of its own on its degree ♭3; choose a chord quality"):
        made("broken-chords", "C", degree="b3")


@pytest.mark.parametrize(
    ("code", "settings", "sentence"),
    [
        ("broken-chords", {"inversion": 4}, "Cmaj7 has no inversion 4; its inversions run from 0"),
        ("broken-chords", {"quality": "5", "octaves": 1, "group_size": "6"}, "a group of 6 notes is larger than the 3"),
        ("diatonic-ladder", {"size": "triad", "inversion": 3}, "a triad has no inversion 3; its inversions run from 0"),
        ("chord-jumps", {"inversions": "as listed"}, "no inversions are listed; list one for each landing"),
        ("progression-through-keys", {"order": "as listed"}, "no keys are listed; list some, such as C, F, Bb"),
    ],
)
def test_settings_that_do_not_go_together_are_one_sentence(
    code: str, settings: dict[str, Plain], sentence: str
) -> None:
    """Shown where the drill would stand."""
    with pytest.raises(ValueError, match=sentence):
        made(code, **settings)


def test_a_very_long_progression_is_refused_before_it_is_worked_out() -> None:
    """Two hundred bars in twelve keys would hold the window for seconds."""
    with pytest.raises(ValueError, match="more than 4000; take fewer keys"):
        made("progression-through-keys", progression=" | ".join(["I V"] * 200))


@pytest.mark.parametrize(
    ("worksheet", "blank"),
    [
        ("nothing", set()),
        ("chord names", {Blank.CHORD_NAMES}),
        ("chord names and degrees", {Blank.CHORD_NAMES, Blank.DEGREES}),
        ("notes", {Blank.NOTES}),
        ("right hand", {Blank.RIGHT_HAND}),
    ],
)
def test_a_worksheet_hides_and_keeps_its_answers(worksheet: str, blank: set[Blank]) -> None:
    """The answer page comes from the same exercise and the same seed."""
    plain = made("progression-through-keys", order="shuffled", seed=7)
    sheet = made("progression-through-keys", order="shuffled", seed=7, worksheet=worksheet)
    assert sheet.blank == blank
    assert (sheet.bars, sheet.seed) == (plain.bars, 7)
    if not sheet.blank & {Blank.CHORD_NAMES, Blank.DEGREES}:
        # Where names are asked for, the chords of each key come in an order of their own.
        assert (sheet.events, sheet.chords) == (plain.events, plain.chords)


def test_each_key_of_a_progression_has_a_line_with_its_name() -> None:
    """Four bars to a line; the signature changes with the line."""
    exercise = made("progression-through-keys", "D", count=3)
    starts = [bar for bar in exercise.bars if bar.starts_line]
    assert [bar.label for bar in starts] == ["D major", "A major", "E major"]
    assert [bar.onset for bar in starts] == [0, 4, 8]
    assert [bar.key for bar in starts] == [Key.parse(text) for text in ("D", "A", "E")]


def test_chords_of_a_bar_share_its_beats() -> None:
    """The first ones are longer where the beats do not go up evenly."""
    exercise = made("progression-through-keys", progression="I vi IV | V", count=1)
    assert [str(event.length) for event in exercise.events[:4]] == ["1/2", "1/4", "1/4", "1"]
    waltz = made("progression-through-keys", progression="I V", count=1, metre="3/4", note_length="1/4")
    assert [str(event.length) for event in waltz.of(waltz.hands[0])] == ["1/4"] * 3


def test_jumps_are_rested_before_and_marked_loud_and_soft_in_turn() -> None:
    """Two beats to look and move; forte and piano strictly alternate, one for each landing."""
    exercise = made("chord-jumps", terraces="loud and soft in turn", touch="rolled")
    landings = [event for event in exercise.events if event.pitches]
    assert [event.onset for event in landings] == [0, 1, 2, 3, 4]
    assert [(mark.onset, mark.mark) for mark in exercise.dynamics] == [(0, "f"), (1, "p"), (2, "f"), (3, "p"), (4, "f")]
    assert {event.roll for event in landings} == {Roll.UP}
    assert {event.roll for event in exercise.events if not event.pitches} == {Roll.NONE}


@pytest.mark.parametrize(
    ("path", "direction", "roots"),
    [
        ("one octave at a time", "up and down", "C4 C5 C6 C5 C4"),
        ("one octave at a time", "down", "C6 C5 C4"),
        ("from home and back, wider each time", "up and down", "C4 C5 C4 C6 C4"),
        ("from home and back, wider each time", "down", "C6 C5 C6 C4"),
        ("from end to end", "up and down", "C4 C6 C4 C6 C4"),
    ],
)
def test_jumps_follow_their_path(path: str, direction: str, roots: str) -> None:
    """Computed from the words of the setting."""
    exercise = made("chord-jumps", path=path, direction=direction, preparation=0)
    assert " ".join(event.pitches[0].ascii for event in exercise.events if event.pitches) == roots


def test_a_scale_chosen_for_the_ladder_is_printed_in_the_key_with_fewer_accidentals() -> None:
    """D♭ harmonic minor would need eight flats; it is printed as C♯ minor."""
    exercise = made("diatonic-ladder", "Db", scale="harmonic minor")
    assert exercise.key == Key.parse("C#m")
    assert str(exercise.chords[2].chord) == "G♯7"


def test_a_progression_becomes_its_minor_twin() -> None:
    """Common practice, no source; what is not of the major key stays, and a bass keeps its degree."""
    major = Progression.parse("Imaj7/3 | vim7 iim7 | bVII7 | viim7b5 V7")
    assert in_minor(major).ascii == "im7/3 | VImaj7 iim7b5 | bVII7 | viidim7 V7"


def test_a_family_that_is_not_there_is_one_sentence() -> None:
    """It names those that are."""
    with pytest.raises(ValueError, match="'scales' is not a drill family; the families are arpeggio-run, "):
        family("scales")
    assert list(families()) == sorted(families(), key=lambda code: families()[code].title)
