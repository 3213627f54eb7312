"""What to play instead."""

import pytest

from lessonkit.hands.easier import As, Way, easier_ways, rate_chord
from lessonkit.hands.hand import Hand
from lessonkit.hands.maps import TWELVE_KEYS, map_of_inversions, map_of_qualities
from lessonkit.theory.chord import Chord


def test_e_flat_major_seventh_is_played_as_its_upper_part() -> None:
    """Common practice, no source: G B♭ D F in the right hand over E♭ in the left."""
    ways = easier_ways(Chord.parse("Ebmaj7"), 0, As.RUN, Hand.RIGHT, tempo=120)
    upper = next(way for way in ways if way.way is Way.UPPER)
    assert upper.what == "play G B♭ D F over E♭ in the left hand"
    assert [pitch.name.ascii for pitch in upper.notes[:4]] == ["G", "Bb", "D", "F"]
    assert upper.left_hand is not None
    assert upper.left_hand.ascii == "Eb"
    assert upper.score < 0.5 * rate_chord(Chord.parse("Ebmaj7"), 0, As.RUN, Hand.RIGHT, tempo=120).score


def test_a_hard_run_is_offered_every_kind_of_way() -> None:
    """Another inversion, another start, the upper part, one cell, both hands."""
    ways = {way.way for way in easier_ways(Chord.parse("Abmaj7"), 0, As.RUN, Hand.RIGHT)}
    assert ways == {Way.INVERSION, Way.START, Way.UPPER, Way.CELL, Way.SPLIT}


@pytest.mark.parametrize("played", As)
@pytest.mark.parametrize("symbol", ["Abmaj7", "Db", "F#7", "C", "Bbm7"])
def test_every_way_gains_what_it_says(symbol: str, played: As) -> None:
    """The gain is the fall of the score, and nothing is offered that makes a passage harder."""
    now = rate_chord(Chord.parse(symbol), 0, played, Hand.RIGHT).score
    for way in easier_ways(Chord.parse(symbol), 0, played, Hand.RIGHT):
        assert way.gain > 0
        assert now - way.gain == pytest.approx(way.score, abs=0.002)
        assert way.why


def test_an_easy_run_is_left_alone() -> None:
    """C major in root position wants no remedy."""
    assert easier_ways(Chord.parse("C"), 0, As.RUN, Hand.RIGHT) == ()


def test_a_map_has_a_row_for_each_inversion_and_a_column_for_each_key() -> None:
    """The map is complete, and in A♭ root position is not the best place of a run on the major seventh."""
    chart = map_of_inversions(Chord.parse("Cmaj7").quality, As.RUN, Hand.RIGHT)
    assert len(chart.rows) == len(chart.cells) == 4
    assert all(len(row) == len(chart.columns) == 12 for row in chart.cells)
    assert chart.easiest[8].inversion != 0
    assert chart.cells[1][8].difficulty == rate_chord(Chord.parse("Abmaj7"), 1, As.RUN, Hand.RIGHT)


def test_qualities_are_mapped_in_root_position() -> None:
    """The other map: which qualities lie well in which key."""
    qualities = [Chord.parse(f"C{suffix}").quality for suffix in ("", "m7", "maj7")]
    chart = map_of_qualities(qualities, As.JUMP, Hand.LEFT)
    assert len(chart.cells) == 3
    assert [cell.chord.root for cell in chart.cells[0]] == list(TWELVE_KEYS)


def test_an_inversion_the_chord_has_not_is_refused() -> None:
    """A triad has inversions 0 to 2."""
    with pytest.raises(ValueError, match="C has inversions 0 to 2; 3 is not one of them"):
        rate_chord(Chord.parse("C"), 3, As.RUN, Hand.RIGHT)
