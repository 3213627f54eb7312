"""Awkward chords, strictly spelled and as a reader likes them, against a table.

Sources: the strict notes are worked out from the quality's definition (letters and semitones above the root); the
diminished sevenths on B and C stand so on a reference page seen; the reading-friendly forms are common practice, no
source. Where two forms are common (B♭°7 as B♭ D♭ E G or as A♯°7; E♭m7♭5 as D♯m7♭5 or with B𝄫) the first is ours.
"""

import pytest

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.roman import RomanChord

CHORDS = """
D♭m7: D♭ F♭ A♭ C♭ = C♯m7: C♯ E G♯ B
B°7: B D F A♭ = B°7: B D F A♭
C7♯9: C E G B♭ D♯ = C7♯9: C E G B♭ E♭
A♭7♭9: A♭ C E♭ G♭ B𝄫 = A♭7♭9: A♭ C E♭ G♭ A
C°7: C E♭ G♭ B𝄫 = C°7: C E♭ G♭ A
E♭°7: E♭ G♭ B𝄫 D𝄫 = E♭°7: E♭ G♭ A C
G♭°7: G♭ B𝄫 D𝄫 F𝄫 = F♯°7: F♯ A C E♭
A♭°7: A♭ C♭ E𝄫 G𝄫 = G♯°7: G♯ B D F
D♭°7: D♭ F♭ A𝄫 C𝄫 = C♯°7: C♯ E G B♭
B♭°7: B♭ D♭ F♭ A𝄫 = B♭°7: B♭ D♭ E G
D♯°7: D♯ F♯ A C = D♯°7: D♯ F♯ A C
E♭m7♭5: E♭ G♭ B𝄫 D♭ = D♯m7♭5: D♯ F♯ A C♯
A♭m7♭5: A♭ C♭ E𝄫 G♭ = G♯m7♭5: G♯ B D F♯
D♭m7♭5: D♭ F♭ A𝄫 C♭ = C♯m7♭5: C♯ E G B
B♭m7♭5: B♭ D♭ F♭ A♭ = B♭m7♭5: B♭ D♭ F♭ A♭
A♯m7♭5: A♯ C♯ E G♯ = A♯m7♭5: A♯ C♯ E G♯
G♭7: G♭ B♭ D♭ F♭ = G♭7: G♭ B♭ D♭ F♭
C♭7: C♭ E♭ G♭ B𝄫 = B7: B D♯ F♯ A
F♭7: F♭ A♭ C♭ E𝄫 = E7: E G♯ B D
D♯7: D♯ F𝄪 A♯ C♯ = E♭7: E♭ G B♭ D♭
A♯7: A♯ C𝄪 E♯ G♯ = B♭7: B♭ D F A♭
B7♯5: B D♯ F𝄪 A = B7♯5: B D♯ G A
F♯7♯5: F♯ A♯ C𝄪 E = F♯7♯5: F♯ A♯ D E
B7♯9: B D♯ F♯ A C𝄪 = B7♯9: B D♯ F♯ A D
E7♯9: E G♯ B D F𝄪 = E7♯9: E G♯ B D G
A♭7♯9: A♭ C E♭ G♭ B = A♭7♯9: A♭ C E♭ G♭ B
D♭7♭9: D♭ F A♭ C♭ E𝄫 = D♭7♭9: D♭ F A♭ C♭ D
E♭7♭9: E♭ G B♭ D♭ F♭ = E♭7♭9: E♭ G B♭ D♭ F♭
G♭7♭9: G♭ B♭ D♭ F♭ A𝄫 = G♭7♭9: G♭ B♭ D♭ F♭ G
D♭7♯11: D♭ F A♭ C♭ G = D♭7♯11: D♭ F A♭ C♭ G
B7♯11: B D♯ F♯ A E♯ = B7♯11: B D♯ F♯ A E♯
D♭maj7♯5: D♭ F A C = D♭maj7♯5: D♭ F A C
E♭m(maj7): E♭ G♭ B♭ D = E♭m(maj7): E♭ G♭ B♭ D
D♭6/9: D♭ F A♭ B♭ E♭ = D♭6/9: D♭ F A♭ B♭ E♭
B6/9: B D♯ F♯ G♯ C♯ = B6/9: B D♯ F♯ G♯ C♯
E♭7sus4: E♭ A♭ B♭ D♭ = E♭7sus4: E♭ A♭ B♭ D♭
A♭9sus4: A♭ D♭ E♭ G♭ B♭ = A♭9sus4: A♭ D♭ E♭ G♭ B♭
G♭13: G♭ B♭ D♭ F♭ A♭ E♭ = G♭13: G♭ B♭ D♭ F♭ A♭ E♭
D♭m6: D♭ F♭ A♭ B♭ = C♯m6: C♯ E G♯ A♯
G7♯5: G B D♯ F = G7♯5: G B D♯ F
C7♭13: C E G B♭ A♭ = C7♭13: C E G B♭ A♭
D♭m9: D♭ F♭ A♭ C♭ E♭ = C♯m9: C♯ E G♯ B D♯
Bmaj9: B D♯ F♯ A♯ C♯ = Bmaj9: B D♯ F♯ A♯ C♯
Emaj9: E G♯ B D♯ F♯ = Emaj9: E G♯ B D♯ F♯
Fm11: F A♭ C E♭ G B♭ = Fm11: F A♭ C E♭ G B♭
G9sus4: G C D F A = G9sus4: G C D F A
"""
"""Chord: strictly spelled = the chord it is read as: its notes."""

IN_KEY = """
Gb IVmaj7: C♭maj7: C♭ E♭ G♭ B♭
F# viiø7: E♯m7♭5: E♯ G♯ B D♯
Cb Imaj7: C♭maj7: C♭ E♭ G♭ B♭
Cb iim7: D♭m7: D♭ F♭ A♭ C♭
Cb IVmaj7: F♭maj7: F♭ A♭ C♭ E♭
Cb V7: G♭7: G♭ B♭ D♭ F♭
Cb viiø7: B♭m7♭5: B♭ D♭ F♭ A♭
C# iiim7: E♯m7: E♯ G♯ B♯ D♯
C# viiø7: B♯m7♭5: B♯ D♯ F♯ A♯
C# V7: G♯7: G♯ B♯ D♯ F♯
F# Imaj7: F♯maj7: F♯ A♯ C♯ E♯
B viiø7: A♯m7♭5: A♯ C♯ E G♯
G#m V7: D♯7: D♯ F𝄪 A♯ C♯
D#m V7: A♯7: A♯ C𝄪 E♯ G♯
E V7/iii: D♯7: D♯ F𝄪 A♯ C♯
F# V7/vi: A♯7: A♯ C𝄪 E♯ G♯
"""
"""Key and degree: chord: notes, which the key itself demands."""


def spelled(names: object) -> str:
    """Notes as one text."""
    return " ".join(map(str, names))  # type: ignore[call-overload]


@pytest.mark.parametrize("row", CHORDS.strip().splitlines())
def test_awkward_chords_are_spelled_strictly_and_can_be_read_gladly(row: str) -> None:
    """Strict spelling is the truth of theory; the friendly one is what many readers want on the page."""
    strict, friendly = row.split(" = ")
    symbol, notes = strict.split(": ")
    chord = Chord.parse(symbol)
    assert spelled(chord.tones) == notes
    read_as, friendly_notes = friendly.split(": ")
    found = chord.friendly()
    assert (str(found.chord), spelled(found.tones)) == (read_as, friendly_notes)


@pytest.mark.parametrize("row", CHORDS.strip().splitlines())
def test_a_friendly_chord_sounds_the_same_and_tells_what_it_changed(row: str) -> None:
    """Respelling never changes a key of the piano, and the list of changes is complete."""
    chord = Chord.parse(row.split(": ")[0])
    found = chord.friendly()
    assert [tone.pitch_class for tone in found.tones] == [tone.pitch_class for tone in chord.tones]
    changed = [(strict, new) for strict, new in zip(chord.tones, found.tones, strict=True) if strict != new]
    assert [(one.strict, one.printed) for one in found.respelled] == changed


@pytest.mark.parametrize("row", IN_KEY.strip().splitlines())
def test_what_the_key_demands_is_never_respelled(row: str) -> None:
    """C♭ in G♭ and F𝄪 in G♯ minor are right; a B or a G there would be the classic mistake."""
    place, symbol, notes = row.split(": ")
    tonic, numeral = place.split()
    chord = RomanChord.parse(numeral).in_key(Key.parse(tonic))
    assert (str(chord), spelled(chord.tones)) == (symbol, notes)
    if not chord.root.is_double and "/" not in numeral:
        assert chord.friendly(Key.parse(tonic)).tones == chord.tones


def test_ninth_over_the_fifth_is_the_suspended_ninth() -> None:
    """G9sus4 and Dm7/G sound the same notes (rootless-voicing slide set seen)."""
    over = Chord.parse("Dm7/G")
    assert {*over.tones, over.lowest} == set(Chord.parse("G9sus4").tones)


def test_sharp_five_and_flat_thirteen_have_letters_of_their_own() -> None:
    """They sound alike and are two different notes on the page."""
    assert str(Chord.parse("C7#5").tone_for("5")) == "G♯"
    assert str(Chord.parse("C7b13").tone_for("13")) == "A♭"
