"""The diatonic sevenths of all fifteen major keys, against a table.

Source: the quality on each degree (I maj7, ii m7, iii m7, IV maj7, V 7, vi m7, vii half-diminished) is that of the open
textbook *Harmony and Musicianship with Solfège*, chapter “Diatonic seventh chords”; the intervals of each quality are
those of the chord kinds of the MusicXML 4.0 specification; the notes follow from them by arithmetic.
"""

import pytest

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, Key
from lessonkit.theory.progression import Progression
from lessonkit.theory.roman import RomanChord, diatonic_chord, recognise
from lessonkit.theory.scale import Scale
from tests.reference.tables import EVERY_OTHER_DEGREE, ONE_SIX_FOUR_FIVE, SEVENTHS, rows


@pytest.mark.parametrize(("tonic", "row"), rows(SEVENTHS))
def test_the_seventh_on_each_degree_is_the_one_in_the_table(tonic: str, row: str) -> None:
    """A wrong name or a wrong letter on any degree would be printed in every drill on scales."""
    key = Key.parse(tonic)
    for degree, cell in enumerate(row.split("; "), start=1):
        name, notes = cell.split(" = ")
        for chord in (diatonic_chord(key, degree), diatonic_chord(Scale.of_key(key), degree, size=7)):
            assert chord.symbol() == name
            assert " ".join(map(str, chord.tones)) == notes


NUMERALS = ("Imaj7", "iim7", "iiim7", "IVmaj7", "V7", "vim7", "viim7b5")


@pytest.mark.parametrize(("tonic", "row"), rows(SEVENTHS))
def test_numerals_and_symbols_of_the_sevenths_lead_to_one_another(tonic: str, row: str) -> None:
    """A progression typed as symbols in one key is carried to another through its degrees."""
    key = Key.parse(tonic)
    for numeral, cell in zip(NUMERALS, row.split("; "), strict=True):
        name = cell.split(" = ")[0]
        assert RomanChord.parse(numeral).in_key(key) == Chord.parse(name)
        assert recognise(Chord.parse(name), key).ascii == numeral


@pytest.mark.parametrize(("tonic", "row"), rows(ONE_SIX_FOUR_FIVE))
def test_one_six_four_five_is_the_table_in_every_major_key(tonic: str, row: str) -> None:
    """The progression that most lessons begin with."""
    bars = Progression.parse("Imaj7 | vim7 | IVmaj7 | V7").in_key(Key.parse(tonic))
    assert " ".join(str(placed.chord) for bar in bars for placed in bar) == row


@pytest.mark.parametrize(("tonic", "row"), rows(EVERY_OTHER_DEGREE))
def test_sevenths_on_every_other_degree_follow_the_table(tonic: str, row: str) -> None:
    """The ladder goes by thirds and comes back to the tonic after two octaves."""
    degrees = [1 + 2 * rung for rung in range(8)]
    assert " ".join(str(diatonic_chord(Key.parse(tonic), degree)) for degree in degrees) == row


def test_the_tables_name_all_fifteen_major_keys() -> None:
    """A key left out would never be checked."""
    for table in (SEVENTHS, ONE_SIX_FOUR_FIVE, EVERY_OTHER_DEGREE):
        assert {Key.parse(tonic) for tonic, _ in rows(table)} == set(MAJOR_KEYS)
