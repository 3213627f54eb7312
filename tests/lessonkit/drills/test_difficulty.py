"""How hard a drill is for a hand, what it cannot span, maps, and what is easier."""

from __future__ import annotations

import pytest

from lessonkit.drills.chord_map import ChordMap, Columns, Qualities, Rows, worked_out
from lessonkit.drills.difficulty import difficulty
from lessonkit.drills.easier_drills import easier_drills, why_nothing_easier
from lessonkit.drills.family import DrillFamily, families, family
from lessonkit.drills.params import Plain
from lessonkit.drills.reach_marks import reach_marks, reach_sentences
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.hands.difficulty import Band
from lessonkit.hands.easier import As, Way
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.key import MAJOR_KEYS, Key
from lessonkit.theory.quality import QUALITIES


def drill_of(code: str, **settings: Plain) -> DrillFamily:
    return family(code).from_settings(settings)


def setting(key: str, tempo: int = 72, span: float = 205) -> Setting:
    return Setting(Key.parse(key), tempo=tempo, hands=HandProfile().with_span(span))


@pytest.mark.parametrize("code", list(families()))
@pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
def test_every_drill_has_a_band_with_reasons_and_a_place(code: str, key: Key) -> None:
    """Never a bare number, whatever a family plays; only what costs nothing has nothing to explain."""
    found = difficulty(families()[code](), Setting(key))
    assert found.band in Band
    assert len(found.reasons) <= 3
    assert bool(found.reasons) == ("hand, bar " in found.where) == (found.score > 0)


def test_faster_is_harder_and_slower_easier() -> None:
    """However slow: a tempo below what the hands' own scale holds still counts."""
    scores = [difficulty(drill_of("arpeggio-run"), setting("Ab", tempo)).score for tempo in (20, 40, 80, 160, 300)]
    assert scores == sorted(scores)
    assert len(set(scores)) == 5


def test_a_run_on_a_flat_major_seventh_is_hard_from_the_root_and_easier_from_its_third() -> None:
    """Common practice, no source: G has no room before a thumb on A♭."""
    from_root, from_third = (
        difficulty(drill_of("arpeggio-run", note_length="1/16", inversion=inversion), setting("Ab", 80))
        for inversion in (0, 1)
    )
    assert from_root.band is Band.VERY_HARD
    assert from_third.score < from_root.score / 2
    assert difficulty(drill_of("arpeggio-run", size="triad"), setting("C", 80)).band is Band.EASY


def test_reasons_name_the_fingers_that_play() -> None:
    """In A♭ the first inversion has the fourth finger on top, so nothing is said of the little finger."""
    found = difficulty(drill_of("broken-chords", inversion=1, octaves=1, direction="up"), setting("Ab"))
    assert not any("little finger" in reason for reason in found.reasons)


def test_what_a_hand_cannot_span_is_marked_with_a_reason_and_a_way_out() -> None:
    """A ninth in a small hand; rolled, it is no trouble, and a large hand has none."""
    solid = {"size": "ninth", "touch": "solid", "octaves": 1, "direction": "up"}
    marks = reach_marks(drill_of("diatonic-ladder", **solid), setting("C"))
    assert [mark.event for mark in marks] == list(range(len(marks)))
    assert marks[0].sentence == "the right hand needs 209 mm for C4–D5; this hand has 205"
    assert "roll it" in marks[0].advice
    assert [mark.bar for mark in marks[:3]] == [1, 1, 2]
    (sentence,) = reach_sentences(marks)
    assert sentence.startswith("The right hand needs 209 mm for C4–D5; this hand has 205, and ")
    assert sentence.endswith(" or leave out the fifth.")
    assert reach_marks(drill_of("diatonic-ladder", **{**solid, "touch": "rolled"}), setting("C")) == ()
    assert reach_marks(drill_of("diatonic-ladder", **solid), setting("C", span=240)) == ()
    assert reach_sentences(()) == ()


def test_more_notes_than_fingers_are_told() -> None:
    """Six notes of a thirteenth in one hand."""
    (sentence,) = reach_sentences(reach_marks(drill_of("chord-jumps", quality="13"), setting("C")))
    assert "6 notes for the right hand, which has five fingers" in sentence
    assert "Give some to the other hand" in sentence


@pytest.mark.parametrize("played", As)
@pytest.mark.parametrize("hand", Hand)
def test_there_is_a_map_of_every_quality(played: As, hand: Hand) -> None:
    """A row for each inversion, a column for each of twelve keys."""
    for quality in QUALITIES:
        found = worked_out(ChordMap(quality=quality, played=played, hand=hand), setting("C"))
        assert len(found.columns) == 12
        assert len(found.rows) == len(quality.tones)


@pytest.mark.parametrize("qualities", Qualities)
def test_qualities_can_be_compared_in_keys_of_ones_own(qualities: Qualities) -> None:
    """Listed keys keep their order; a list that is empty is one sentence."""
    listed = ChordMap(rows=Rows.QUALITIES, qualities=qualities, columns=Columns.CHOSEN, keys=(Key.parse("Gb"),))
    found = worked_out(listed, setting("C"))
    assert found.columns == ("G♭",)
    assert len(found.rows) == len(qualities.qualities)
    with pytest.raises(ValueError, match="no keys are listed"):
        worked_out(ChordMap(columns=Columns.CHOSEN), setting("C"))


def test_a_map_declares_its_settings_as_a_drill_does() -> None:
    """Form, file and checks are made of them."""
    for name, param in ChordMap.declared().items():
        assert param.label
        for value in param.extremes():
            changed = ChordMap().with_value(name, value)
            assert ChordMap.from_settings(changed.settings()) == changed
    with pytest.raises(ValueError, match="octaves: 9 is more than 4"):
        ChordMap.from_settings({"octaves": 9})


def test_a_map_says_what_it_is() -> None:
    """The line above the table."""
    words = ChordMap(played=As.JUMP, hand=Hand.LEFT, tempo=60).summary(setting("C", span=190)).replace("\xa0", " ")
    assert words == (
        "major seventh chords through their inversions, as jumps of an octave, a left hand that spans 190 mm, "
        "a jump to each of 60 beats a minute"
    )


@pytest.mark.parametrize("key", ["Ab", "Eb", "Db"])
@pytest.mark.parametrize("code", ["arpeggio-run", "chord-jumps"])
def test_easier_ways_are_drills_that_can_be_written(code: str, key: str) -> None:
    """Best first, each another drill that is no harder than it says."""
    here = setting(key, 120)
    ways = easier_drills(drill_of(code), here)
    assert ways
    for way in ways:
        assert way.drill != drill_of(code)
        assert way.gain > 0
        assert way.what
        assert way.why
        assert realise(way.drill, here).events


def test_a_run_can_be_eased_in_every_way() -> None:
    """E♭maj7 at speed: other inversions, another start, a cell, both hands, and G B♭ D F over E♭."""
    here = setting("Eb", 160)
    ways = {way.way: way for way in easier_drills(drill_of("arpeggio-run"), here)}
    assert set(ways) >= {Way.INVERSION, Way.START, Way.CELL, Way.SPLIT, Way.UPPER}
    upper = realise(ways[Way.UPPER].drill, here)
    assert [event.pitches[0].name.ascii for event in upper.of(Hand.RIGHT)[:4]] == ["G", "Bb", "D", "F"]
    assert {event.pitches[0].name.ascii for event in upper.of(Hand.LEFT)} == {"Eb"}
    later = realise(ways[Way.START].drill, here)
    assert later.events[0].pitches[0].name.ascii == "G"
    assert {event.hand for event in realise(ways[Way.SPLIT].drill, here).events} == set(Hand)
    assert difficulty(ways[Way.UPPER].drill, here).score < difficulty(drill_of("arpeggio-run"), here).score


@pytest.mark.parametrize("code", list(families()))
def test_every_drill_is_easy_has_easier_forms_or_says_why_not(code: str) -> None:
    """Nobody is left with an empty list; what a form gains is what the margin will show."""
    drill, here = families()[code](), setting("Db", 120)
    now = difficulty(drill, here)
    ways = easier_drills(drill, here)
    for way in ways:
        then = difficulty(way.drill, here)
        assert way.gain == pytest.approx(now.score - then.score, abs=0.002)
        assert way.band is then.band
        assert way.gain >= 0.3
    sentence = why_nothing_easier(drill, here)
    assert sentence.endswith(".")
    assert sentence.startswith("This drill is easy") == (now.band is Band.EASY)
    assert not (ways and now.band is Band.EASY)


def test_the_tempo_that_is_said_to_help_helps() -> None:
    """Double thirds in D♭ are hard at 120."""
    drill = drill_of("double-notes")
    sentence = why_nothing_easier(drill, setting("Db", 120))
    tempo = int(sentence.split(" at ")[1].split()[0])
    assert sentence.endswith(f"at {tempo} quarters a minute it is moderate.")
    assert difficulty(drill, setting("Db", tempo)).band is Band.MODERATE
    assert difficulty(drill, setting("Db", tempo + 2)).band is Band.HARD


@pytest.mark.parametrize(
    ("code", "way", "changed"),
    [
        ("arpeggio-run", Way.CELL, {"passing": "the same cell set down in each octave"}),
        ("arpeggio-run", Way.SPLIT, {"sharing": "the hands take turns, an octave each"}),
        ("chord-jumps", Way.ROLL, {"touch": "rolled"}),
        ("chord-jumps", Way.SPLIT, {"sharing": "the chord is shared between the hands"}),
        ("broken-chords", Way.CELL, {"step": 4}),
        ("left-hand-arpeggios", Way.SETTING, {"figure": "1-5-8-5"}),
        ("left-hand-tenths", Way.ROLL, {"touch": "rolled"}),
        ("upper-extension", Way.ROLL, {"touch": "rolled"}),
        ("diatonic-ladder", Way.INVERSION, {"inversion": 2}),
    ],
)
def test_an_easier_form_is_a_setting_of_the_drill(code: str, way: Way, changed: dict[str, Plain]) -> None:
    """One tap changes it in the form, where it can be seen and taken back."""
    settings = setting("Db", 120), setting("C", 200)
    ways = [one for here in settings for one in easier_drills(drill_of(code), here)]
    easier = next(one.drill for one in ways if one.way is way)
    plain = easier.settings()
    assert {name: plain[name] for name in changed} == changed


def test_the_same_cell_in_each_octave_keeps_its_inversion_and_the_hands_take_turns() -> None:
    """D♭maj7: the cell is set down on the same keys an octave higher; shared, the left hand begins."""
    here = setting("Db", 120)
    ways = {way.way: realise(way.drill, here) for way in easier_drills(drill_of("arpeggio-run"), here)}
    cell = [event.pitches[0].name.ascii for event in ways[Way.CELL].of(Hand.RIGHT) if event.pitches]
    assert cell[:4] == cell[4:8] == ["Db", "F", "Ab", "C"]
    shared = ways[Way.SPLIT]
    assert [event.hand for event in shared.events if event.pitches and event.onset < 1][:8].count(Hand.LEFT) == 4


def test_a_line_is_scored_with_the_fingers_that_it_has() -> None:
    """A thumb typed onto A♭ has to pass onto it in each octave, which makes the run harder, and the reasons say so."""
    free = drill_of("arpeggio-run", size="triad", direction="up", octaves=2)
    typed = free.with_value("right_fingers", (1, 2, 4, 1, 2, 4, 5))
    found = difficulty(typed, setting("Ab", 100))
    assert found.score > difficulty(free, setting("Ab", 100)).score
    assert any("the thumb passes onto a black key (E♭4–A♭4)" in reason for reason in found.reasons)


def test_a_rolled_landing_and_a_broken_one_are_easier_than_a_solid_one() -> None:
    """The hand need not meet all keys at once (common practice, no source)."""
    here = setting("Ab", 100)
    solid, rolled = (difficulty(drill_of("chord-jumps", touch=touch), here).score for touch in ("solid", "rolled"))
    assert rolled < solid


def test_a_hand_that_stays_does_not_leap() -> None:
    """After the closing note of a run of cells the hand turns round on the spot."""
    cells = drill_of("arpeggio-run", passing="the same cell set down in each octave", octaves=1)
    assert not any("165 mm" in reason for reason in difficulty(cells, setting("C", 160)).reasons)


def test_what_plays_many_chords_has_no_easier_way() -> None:
    """There is no one chord to turn over, and a sentence says so."""
    assert easier_drills(drill_of("turnarounds"), setting("Db", 120)) == ()
    assert why_nothing_easier(drill_of("turnarounds"), setting("Db", 120)).startswith("Its shapes are what this drill")
