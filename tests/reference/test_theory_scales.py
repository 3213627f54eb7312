"""Scales against tables.

Source: worked out from the definitions (pentatonics 1 2 3 5 6 and 1 ♭3 4 5 ♭7, blues with ♭5, altered as the seventh
mode of the melodic minor); the reading-friendly forms are common practice, no source.
"""

import pytest

from lessonkit.theory.scale import Scale

SCALES = """
C: C D E G A; C E♭ F G B♭; C E♭ F G♭ G B♭; C D♭ E♭ F♭ G♭ A♭ B♭
F: F G A C D; F A♭ B♭ C E♭; F A♭ B♭ C♭ C E♭; F G♭ A♭ B𝄫 C♭ D♭ E♭
B♭: B♭ C D F G; B♭ D♭ E♭ F A♭; B♭ D♭ E♭ F♭ F A♭; B♭ C♭ D♭ E𝄫 F♭ G♭ A♭
E♭: E♭ F G B♭ C; E♭ G♭ A♭ B♭ D♭; E♭ G♭ A♭ B𝄫 B♭ D♭; E♭ F♭ G♭ A𝄫 B𝄫 C♭ D♭
A♭: A♭ B♭ C E♭ F; A♭ C♭ D♭ E♭ G♭; A♭ C♭ D♭ E𝄫 E♭ G♭; A♭ B𝄫 C♭ D𝄫 E𝄫 F♭ G♭
D♭: D♭ E♭ F A♭ B♭; D♭ F♭ G♭ A♭ C♭; D♭ F♭ G♭ A𝄫 A♭ C♭; D♭ E𝄫 F♭ G𝄫 A𝄫 B𝄫 C♭
F♯: F♯ G♯ A♯ C♯ D♯; F♯ A B C♯ E; F♯ A B C C♯ E; F♯ G A B♭ C D E
B: B C♯ D♯ F♯ G♯; B D E F♯ A; B D E F F♯ A; B C D E♭ F G A
E: E F♯ G♯ B C♯; E G A B D; E G A B♭ B D; E F G A♭ B♭ C D
A: A B C♯ E F♯; A C D E G; A C D E♭ E G; A B♭ C D♭ E♭ F G
D: D E F♯ A B; D F G A C; D F G A♭ A C; D E♭ F G♭ A♭ B♭ C
G: G A B D E; G B♭ C D F; G B♭ C D♭ D F; G A♭ B♭ C♭ D♭ E♭ F
"""
"""Tonic: major pentatonic; minor pentatonic; blues; altered, all strictly spelled."""

OTHERS = """
B locrian: B C D E F G A
D dorian: D E F G A B C
D♭ lydian dominant: D♭ E♭ F G A♭ B♭ C♭
G octatonic half-whole: G A♭ B♭ B C♯ D E F
"""

FRIENDLY = """
E♭ blues: E♭ G♭ A♭ A B♭ D♭ = A for B𝄫
B♭ blues: B♭ D♭ E♭ E F A♭ = E for F♭
A♭ blues: A♭ C♭ D♭ D E♭ G♭ = D for E𝄫
D♭ minor pentatonic: C♯ E F♯ G♯ B = C♯ for D♭, E for F♭, F♯ for G♭, G♯ for A♭, B for C♭
D♭ blues: C♯ E F♯ G G♯ B = C♯ for D♭, E for F♭, F♯ for G♭, G for A𝄫, G♯ for A♭, B for C♭
C altered: C D♭ E♭ E G♭ A♭ B♭ = E for F♭
"""
"""Scale: as a reader likes it = what was respelled."""


def scale(text: str) -> Scale:
    """The scale of a tonic and a name."""
    return Scale.named(*text.split(" ", 1))


@pytest.mark.parametrize("row", SCALES.strip().splitlines())
def test_pentatonics_blues_and_altered_are_the_table(row: str) -> None:
    """Twelve tonics, strictly spelled."""
    tonic, cells = row.split(": ")
    kinds = ("major pentatonic", "minor pentatonic", "blues", "altered")
    for kind, names in zip(kinds, cells.split("; "), strict=True):
        assert " ".join(map(str, Scale.named(tonic, kind).names)) == names


@pytest.mark.parametrize("row", OTHERS.strip().splitlines())
def test_modes_and_eight_note_scales_are_the_table(row: str) -> None:
    """A few that are easily got wrong."""
    name, names = row.split(": ")
    assert " ".join(map(str, scale(name).names)) == names


@pytest.mark.parametrize("row", FRIENDLY.strip().splitlines())
def test_a_scale_can_be_written_as_a_reader_likes_it(row: str) -> None:
    """And every change is listed, so that the teacher knows."""
    name, rest = row.split(": ")
    names, changes = rest.split(" = ")
    friendly = scale(name).friendly()
    assert " ".join(map(str, friendly.names)) == names
    assert ", ".join(map(str, friendly.respelled)) == changes
