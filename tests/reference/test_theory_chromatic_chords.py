"""Chromatic chords in keys against tables: minor ii–V–i, passing diminished sevenths, tritone substitutes.

Sources: minor ii–V–i worked out from the definition; the passing pattern I ♯I°7 ii is on a jazz-education page seen and
its rows are worked out; the principle of the tritone substitute was seen in a textbook, its rows are worked out.
"""

import pytest

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.progression import Progression
from lessonkit.theory.roman import RomanChord

MINOR_TWO_FIVE_ONE = """
Am = Bm7♭5 = B D F A; E7♭9 = E G♯ B D F; Am(maj7) = A C E G♯; Am6 = A C E F♯
Em = F♯m7♭5 = F♯ A C E; B7♭9 = B D♯ F♯ A C; Em(maj7) = E G B D♯; Em6 = E G B C♯
Bm = C♯m7♭5 = C♯ E G B; F♯7♭9 = F♯ A♯ C♯ E G; Bm(maj7) = B D F♯ A♯; Bm6 = B D F♯ G♯
F♯m = G♯m7♭5 = G♯ B D F♯; C♯7♭9 = C♯ E♯ G♯ B D; F♯m(maj7) = F♯ A C♯ E♯; F♯m6 = F♯ A C♯ D♯
C♯m = D♯m7♭5 = D♯ F♯ A C♯; G♯7♭9 = G♯ B♯ D♯ F♯ A; C♯m(maj7) = C♯ E G♯ B♯; C♯m6 = C♯ E G♯ A♯
G♯m = A♯m7♭5 = A♯ C♯ E G♯; D♯7♭9 = D♯ F𝄪 A♯ C♯ E; G♯m(maj7) = G♯ B D♯ F𝄪; G♯m6 = G♯ B D♯ E♯
D♯m = E♯m7♭5 = E♯ G♯ B D♯; A♯7♭9 = A♯ C𝄪 E♯ G♯ B; D♯m(maj7) = D♯ F♯ A♯ C𝄪; D♯m6 = D♯ F♯ A♯ B♯
Dm = Em7♭5 = E G B♭ D; A7♭9 = A C♯ E G B♭; Dm(maj7) = D F A C♯; Dm6 = D F A B
Gm = Am7♭5 = A C E♭ G; D7♭9 = D F♯ A C E♭; Gm(maj7) = G B♭ D F♯; Gm6 = G B♭ D E
Cm = Dm7♭5 = D F A♭ C; G7♭9 = G B D F A♭; Cm(maj7) = C E♭ G B; Cm6 = C E♭ G A
Fm = Gm7♭5 = G B♭ D♭ F; C7♭9 = C E G B♭ D♭; Fm(maj7) = F A♭ C E; Fm6 = F A♭ C D
B♭m = Cm7♭5 = C E♭ G♭ B♭; F7♭9 = F A C E♭ G♭; B♭m(maj7) = B♭ D♭ F A; B♭m6 = B♭ D♭ F G
E♭m = Fm7♭5 = F A♭ C♭ E♭; B♭7♭9 = B♭ D F A♭ C♭; E♭m(maj7) = E♭ G♭ B♭ D; E♭m6 = E♭ G♭ B♭ C
"""
"""Minor key = iiø7 = notes; V7♭9 = notes; im(maj7) = notes; im6 = notes."""

PASSING_DIMINISHED = """
C = Cmaj7 C♯°7 Dm7 D♯°7 Em7 = C♯ E G B♭ = D♯ F♯ A C
G = Gmaj7 G♯°7 Am7 A♯°7 Bm7 = G♯ B D F = A♯ C♯ E G
D = Dmaj7 D♯°7 Em7 E♯°7 F♯m7 = D♯ F♯ A C = E♯ G♯ B D
A = Amaj7 A♯°7 Bm7 B♯°7 C♯m7 = A♯ C♯ E G = B♯ D♯ F♯ A
E = Emaj7 E♯°7 F♯m7 F𝄪°7 G♯m7 = E♯ G♯ B D = F𝄪 A♯ C♯ E
B = Bmaj7 B♯°7 C♯m7 C𝄪°7 D♯m7 = B♯ D♯ F♯ A = C𝄪 E♯ G♯ B
G♭ = G♭maj7 G°7 A♭m7 A°7 B♭m7 = G B♭ D♭ F♭ = A C E♭ G♭
D♭ = D♭maj7 D°7 E♭m7 E°7 Fm7 = D F A♭ C♭ = E G B♭ D♭
A♭ = A♭maj7 A°7 B♭m7 B°7 Cm7 = A C E♭ G♭ = B D F A♭
E♭ = E♭maj7 E°7 Fm7 F♯°7 Gm7 = E G B♭ D♭ = F♯ A C E♭
B♭ = B♭maj7 B°7 Cm7 C♯°7 Dm7 = B D F A♭ = C♯ E G B♭
F = Fmaj7 F♯°7 Gm7 G♯°7 Am7 = F♯ A C E♭ = G♯ B D F
"""
"""Key = Imaj7 ♯I°7 iim7 ♯II°7 iiim7 = notes of ♯I°7 = notes of ♯II°7, all strictly spelled."""

PASSING_FRIENDLY = """
F𝄪°7 = G B♭ D♭ E
C𝄪°7 = D F A♭ B
E♯°7 = F A♭ B D
B♯°7 = C E♭ G♭ A
"""
"""The same chords as a reader likes them; common practice, no source."""

TRITONE_SUBSTITUTES = """
C = G7 = G B D F = D♭7 = D♭ F A♭ C♭ = D♭7 = Cmaj7
G = D7 = D F♯ A C = A♭7 = A♭ C E♭ G♭ = A♭7 = Gmaj7
D = A7 = A C♯ E G = E♭7 = E♭ G B♭ D♭ = E♭7 = Dmaj7
A = E7 = E G♯ B D = B♭7 = B♭ D F A♭ = B♭7 = Amaj7
E = B7 = B D♯ F♯ A = F7 = F A C E♭ = F7 = Emaj7
B = F♯7 = F♯ A♯ C♯ E = C7 = C E G B♭ = C7 = Bmaj7
G♭ = D♭7 = D♭ F A♭ C♭ = A𝄫7 = A𝄫 C♭ E𝄫 G𝄫 = G7 = G♭maj7
D♭ = A♭7 = A♭ C E♭ G♭ = E𝄫7 = E𝄫 G♭ B𝄫 D𝄫 = D7 = D♭maj7
A♭ = E♭7 = E♭ G B♭ D♭ = B𝄫7 = B𝄫 D♭ F♭ A𝄫 = A7 = A♭maj7
E♭ = B♭7 = B♭ D F A♭ = F♭7 = F♭ A♭ C♭ E𝄫 = E7 = E♭maj7
B♭ = F7 = F A C E♭ = C♭7 = C♭ E♭ G♭ B𝄫 = B7 = B♭maj7
F = C7 = C E G B♭ = G♭7 = G♭ B♭ D♭ F♭ = G♭7 = Fmaj7
"""
"""Key = V7 = notes = ♭II7 strictly spelled = notes = as it is printed = what it leads to."""


def notes(chord: Chord) -> str:
    """The spelled notes of a chord."""
    return " ".join(map(str, chord.tones))


@pytest.mark.parametrize("row", MINOR_TWO_FIVE_ONE.strip().splitlines())
def test_minor_two_five_one_raises_the_leading_note(row: str) -> None:
    """The dominant has the raised seventh, so the sharp minor keys need F𝄪 and C𝄪 and keep them."""
    tonic, cells = row.split(" = ", 1)
    key = Key.parse(tonic)
    for numeral, cell in zip(("iiø7", "V7b9", "im(maj7)", "im6"), cells.split("; "), strict=True):
        name, spelled = cell.split(" = ")
        chord = RomanChord.parse(numeral).in_key(key)
        assert (str(chord), notes(chord)) == (name, spelled)


@pytest.mark.parametrize("row", PASSING_DIMINISHED.strip().splitlines())
def test_passing_diminished_sevenths_rise_strictly(row: str) -> None:
    """A raised degree keeps the letter it is raised from."""
    tonic, chain, first, second = row.split(" = ")
    numerals = [RomanChord.parse(text) for text in ("Imaj7", "#I°7", "iim7", "#II°7", "iiim7")]
    chords = [numeral.strict_in_key(Key.parse(tonic)) for numeral in numerals]
    assert " ".join(map(str, chords)) == chain
    assert (notes(chords[1]), notes(chords[3])) == (first, second)


@pytest.mark.parametrize("row", PASSING_FRIENDLY.strip().splitlines())
def test_a_diminished_seventh_on_an_awkward_root_is_read_from_a_plain_one(row: str) -> None:
    """Nobody reads F𝄪 gladly where G will do."""
    symbol, friendly = row.split(" = ")
    assert " ".join(map(str, Chord.parse(symbol).friendly().tones)) == friendly


@pytest.mark.parametrize("row", TRITONE_SUBSTITUTES.strip().splitlines())
def test_tritone_substitutes_are_strict_in_theory_and_readable_in_print(row: str) -> None:
    """In flat keys the strict root runs to double flats; then the whole chord is named from the enharmonic root."""
    tonic, five, five_notes, strict, strict_notes, printed, tonic_chord = row.split(" = ")
    key = Key.parse(tonic)
    ((v, sub, one),) = Progression.parse("V7 subV7 Imaj7").in_key(key)
    assert (str(v.chord), notes(v.chord), str(one.chord)) == (five, five_notes, tonic_chord)
    exact = sub.roman.strict_in_key(key)
    assert (str(exact), notes(exact), str(sub.chord)) == (strict, strict_notes, printed)
    flat_two = RomanChord.parse("bII7")
    assert (flat_two.strict_in_key(key), flat_two.in_key(key)) == (exact, sub.chord)


@pytest.mark.parametrize("row", TRITONE_SUBSTITUTES.strip().splitlines())
def test_a_tritone_substitute_shares_third_and_seventh_with_the_dominant(row: str) -> None:
    """That is what makes it a substitute."""
    key = Key.parse(row.split(" = ")[0])
    five, sub = RomanChord.parse("V7").in_key(key), RomanChord.parse("subV7").in_key(key)
    guides = [{chord.tone_for(degree).pitch_class for degree in ("3", "7")} for chord in (five, sub)]
    assert guides[0] == guides[1]
