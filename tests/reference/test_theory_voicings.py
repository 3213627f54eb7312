"""Rootless shapes and drop-2 voicings against tables.

Sources: the rootless shapes in C major agree with lesson pages seen (A: F A C E, F A B E, E G B D); the other keys are
worked out by transposition. Drop-2 by its definition in a dissertation's annotation (the second note from the top an
octave lower); the rows are worked out from it. The upper notes of ninth chords are worked out from the chords.
"""

import pytest

from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.voicing import close_position, drop_2, rootless
from tests.reference.tables import UPPER_NOTES

FLOOR = Pitch.parse("C3")

TWO_FIVE_ONE = """
Dm7 G7 Cmaj7 = F A C E = F A B E = E G B D = C E F A = B E F A = B D E G
Am7 D7 Gmaj7 = C E G B = C E F♯ B = B D F♯ A = G B C E = F♯ B C E = F♯ A B D
Em7 A7 Dmaj7 = G B D F♯ = G B C♯ F♯ = F♯ A C♯ E = D F♯ G B = C♯ F♯ G B = C♯ E F♯ A
Bm7 E7 Amaj7 = D F♯ A C♯ = D F♯ G♯ C♯ = C♯ E G♯ B = A C♯ D F♯ = G♯ C♯ D F♯ = G♯ B C♯ E
F♯m7 B7 Emaj7 = A C♯ E G♯ = A C♯ D♯ G♯ = G♯ B D♯ F♯ = E G♯ A C♯ = D♯ G♯ A C♯ = D♯ F♯ G♯ B
C♯m7 F♯7 Bmaj7 = E G♯ B D♯ = E G♯ A♯ D♯ = D♯ F♯ A♯ C♯ = B D♯ E G♯ = A♯ D♯ E G♯ = A♯ C♯ D♯ F♯
G♯m7 C♯7 F♯maj7 = B D♯ F♯ A♯ = B D♯ E♯ A♯ = A♯ C♯ E♯ G♯ = F♯ A♯ B D♯ = E♯ A♯ B D♯ = E♯ G♯ A♯ C♯
D♯m7 G♯7 C♯maj7 = F♯ A♯ C♯ E♯ = F♯ A♯ B♯ E♯ = E♯ G♯ B♯ D♯ = C♯ E♯ F♯ A♯ = B♯ E♯ F♯ A♯ = B♯ D♯ E♯ G♯
Gm7 C7 Fmaj7 = B♭ D F A = B♭ D E A = A C E G = F A B♭ D = E A B♭ D = E G A C
Cm7 F7 B♭maj7 = E♭ G B♭ D = E♭ G A D = D F A C = B♭ D E♭ G = A D E♭ G = A C D F
Fm7 B♭7 E♭maj7 = A♭ C E♭ G = A♭ C D G = G B♭ D F = E♭ G A♭ C = D G A♭ C = D F G B♭
B♭m7 E♭7 A♭maj7 = D♭ F A♭ C = D♭ F G C = C E♭ G B♭ = A♭ C D♭ F = G C D♭ F = G B♭ C E♭
E♭m7 A♭7 D♭maj7 = G♭ B♭ D♭ F = G♭ B♭ C F = F A♭ C E♭ = D♭ F G♭ B♭ = C F G♭ B♭ = C E♭ F A♭
A♭m7 D♭7 G♭maj7 = C♭ E♭ G♭ B♭ = C♭ E♭ F B♭ = B♭ D♭ F A♭ = G♭ B♭ C♭ E♭ = F B♭ C♭ E♭ = F A♭ B♭ D♭
D♭m7 G♭7 C♭maj7 = F♭ A♭ C♭ E♭ = F♭ A♭ B♭ E♭ = E♭ G♭ B♭ D♭ = C♭ E♭ F♭ A♭ = B♭ E♭ F♭ A♭ = B♭ D♭ E♭ G♭
"""
"""Chords = form A of each = form B of each."""

ALTERED = """
E7alt = G♯ B♯ D F𝄪
B7alt = D♯ F𝄪 A C𝄪
F♯7alt = A♯ C𝄪 E G𝄪
C♯7alt = E♯ G𝄪 B D𝄪
G♯7alt = B♯ D𝄪 F♯ A𝄪
D♯7alt = F𝄪 A𝄪 C♯ E𝄪
A♯7alt = C𝄪 E𝄪 G♯ B𝄪
A7alt = C♯ E♯ G B♯
D7alt = F♯ A♯ C E♯
G7alt = B D♯ F A♯
C7alt = E G♯ B♭ D♯
F7alt = A C♯ E♭ G♯
B♭7alt = D F♯ A♭ C♯
"""
"""The altered dominant of thirteen minor keys, 3 ♯5 ♭7 ♯9, strictly spelled; worked out from the definition."""

DROP_2 = """
Cmaj7: C E G B → G C E B; E G B C → B E G C;
    G B C E → C G B E; B C E G → E B C G
Dm7: D F A C → A D F C; F A C D → C F A D;
    A C D F → D A C F; C D F A → F C D A
G7: G B D F → D G B F; B D F G → F B D G;
    D F G B → G D F B; F G B D → B F G D
Bm7♭5: B D F A → F B D A; D F A B → A D F B;
    F A B D → B F A D; A B D F → D A B F
G♭maj7: G♭ B♭ D♭ F → D♭ G♭ B♭ F; B♭ D♭ F G♭ → F B♭ D♭ G♭;
    D♭ F G♭ B♭ → G♭ D♭ F B♭; F G♭ B♭ D♭ → B♭ F G♭ D♭
E♭m7: E♭ G♭ B♭ D♭ → B♭ E♭ G♭ D♭; G♭ B♭ D♭ E♭ → D♭ G♭ B♭ E♭;
    B♭ D♭ E♭ G♭ → E♭ B♭ D♭ G♭; D♭ E♭ G♭ B♭ → G♭ D♭ E♭ B♭
A♭7: A♭ C E♭ G♭ → E♭ A♭ C G♭; C E♭ G♭ A♭ → G♭ C E♭ A♭;
    E♭ G♭ A♭ C → A♭ E♭ G♭ C; G♭ A♭ C E♭ → C G♭ A♭ E♭
C♯°7: C♯ E G B♭ → G C♯ E B♭; E G B♭ C♯ → B♭ E G C♯;
    G B♭ C♯ E → C♯ G B♭ E; B♭ C♯ E G → E B♭ C♯ G
C6: C E G A → G C E A; E G A C → A E G C;
    G A C E → C G A E; A C E G → E A C G
"""
"""Chord: close position → drop-2 for each inversion."""


def names(pitches: tuple[Pitch, ...]) -> str:
    """The letters of pitches, low to high."""
    return " ".join(str(pitch.name) for pitch in pitches)


@pytest.mark.parametrize("row", TWO_FIVE_ONE.strip().splitlines())
def test_rootless_two_five_one_has_the_shapes_of_the_table(row: str) -> None:
    """Both forms in every key; a pupil learns these shapes by heart."""
    symbols, *shapes = row.split(" = ")
    chords = [Chord.parse(symbol) for symbol in symbols.split()]
    found = [names(rootless(chord, form, FLOOR)) for form in "AB" for chord in chords]
    assert found == shapes


@pytest.mark.parametrize("row", TWO_FIVE_ONE.strip().splitlines())
def test_from_two_to_five_one_note_moves_by_a_semitone(row: str) -> None:
    """This is why the forms are used; the seventh of ii falls to the third of V."""
    two, five = (Chord.parse(symbol) for symbol in row.split()[:2])
    for form in "AB":
        before = {pitch.name for pitch in rootless(two, form, FLOOR)}
        after = {pitch.name for pitch in rootless(five, form, FLOOR)}
        (left,), (entered,) = before - after, after - before
        assert (left.pitch_class - entered.pitch_class) % 12 == 1


@pytest.mark.parametrize("row", ALTERED.strip().splitlines())
def test_the_rootless_altered_dominant_is_the_table(row: str) -> None:
    """Sharp minor keys need double sharps here, and strict spelling keeps them."""
    symbol, shape = row.split(" = ")
    assert names(rootless(Chord.parse(symbol), "B", FLOOR)) == shape


@pytest.mark.parametrize("row", DROP_2.strip().replace("\n    ", " ").splitlines())
def test_drop_2_lowers_the_second_note_from_the_top(row: str) -> None:
    """For each of the four inversions, with the close position beside it."""
    symbol, cells = row.split(": ")
    chord = Chord.parse(symbol)
    for inversion, cell in enumerate(cells.split("; ")):
        close, dropped = cell.split(" → ")
        assert names(close_position(chord, inversion, FLOOR)) == close
        found = drop_2(chord, inversion, FLOOR)
        assert names(found) == dropped
        assert FLOOR.midi <= found[0].midi < FLOOR.midi + 12
        assert list(found) == sorted(found, key=lambda pitch: pitch.midi)


@pytest.mark.parametrize("row", UPPER_NOTES.strip().splitlines())
def test_the_upper_notes_of_ninth_chords_are_the_table(row: str) -> None:
    """3 5 7 9 in the right hand over a root in the left."""
    root, cells = row.split(": ")
    for suffix, notes in zip(("maj9", "9", "m9"), cells.split("; "), strict=True):
        chord = Chord.parse(root + suffix)
        assert " ".join(map(str, chord.tones[1:])) == notes
