"""Tables that the theory and the drills are both held to; a table stands here once, with its source.

The quality on each degree (I maj7, ii m7, iii m7, IV maj7, V 7, vi m7, vii half-diminished) is that of the open
textbook *Harmony and Musicianship with Solfège*, chapter “Diatonic seventh chords”; the intervals of each quality are
those of the chord kinds of the MusicXML 4.0 specification; the notes follow from them by arithmetic.
"""

from __future__ import annotations

UPPER_NOTES = """
C: E G B D; E G B♭ D; E♭ G B♭ D
D♭: F A♭ C E♭; F A♭ C♭ E♭; F♭ A♭ C♭ E♭
D: F♯ A C♯ E; F♯ A C E; F A C E
E♭: G B♭ D F; G B♭ D♭ F; G♭ B♭ D♭ F
E: G♯ B D♯ F♯; G♯ B D F♯; G B D F♯
F: A C E G; A C E♭ G; A♭ C E♭ G
G♭: B♭ D♭ F A♭; B♭ D♭ F♭ A♭; B𝄫 D♭ F♭ A♭
F♯: A♯ C♯ E♯ G♯; A♯ C♯ E G♯; A C♯ E G♯
G: B D F♯ A; B D F A; B♭ D F A
A♭: C E♭ G B♭; C E♭ G♭ B♭; C♭ E♭ G♭ B♭
A: C♯ E G♯ B; C♯ E G B; C E G B
B♭: D F A C; D F A♭ C; D♭ F A♭ C
B: D♯ F♯ A♯ C♯; D♯ F♯ A C♯; D F♯ A C♯
"""
"""Root: 3 5 7 9 of the major ninth; the dominant ninth; the minor ninth. Worked out from the chords."""

SEVENTHS = """
C: Cmaj7 = C E G B; Dm7 = D F A C; Em7 = E G B D; Fmaj7 = F A C E;
    G7 = G B D F; Am7 = A C E G; Bm7♭5 = B D F A
G: Gmaj7 = G B D F♯; Am7 = A C E G; Bm7 = B D F♯ A; Cmaj7 = C E G B;
    D7 = D F♯ A C; Em7 = E G B D; F♯m7♭5 = F♯ A C E
D: Dmaj7 = D F♯ A C♯; Em7 = E G B D; F♯m7 = F♯ A C♯ E; Gmaj7 = G B D F♯;
    A7 = A C♯ E G; Bm7 = B D F♯ A; C♯m7♭5 = C♯ E G B
A: Amaj7 = A C♯ E G♯; Bm7 = B D F♯ A; C♯m7 = C♯ E G♯ B; Dmaj7 = D F♯ A C♯;
    E7 = E G♯ B D; F♯m7 = F♯ A C♯ E; G♯m7♭5 = G♯ B D F♯
E: Emaj7 = E G♯ B D♯; F♯m7 = F♯ A C♯ E; G♯m7 = G♯ B D♯ F♯; Amaj7 = A C♯ E G♯;
    B7 = B D♯ F♯ A; C♯m7 = C♯ E G♯ B; D♯m7♭5 = D♯ F♯ A C♯
B: Bmaj7 = B D♯ F♯ A♯; C♯m7 = C♯ E G♯ B; D♯m7 = D♯ F♯ A♯ C♯; Emaj7 = E G♯ B D♯;
    F♯7 = F♯ A♯ C♯ E; G♯m7 = G♯ B D♯ F♯; A♯m7♭5 = A♯ C♯ E G♯
F♯: F♯maj7 = F♯ A♯ C♯ E♯; G♯m7 = G♯ B D♯ F♯; A♯m7 = A♯ C♯ E♯ G♯; Bmaj7 = B D♯ F♯ A♯;
    C♯7 = C♯ E♯ G♯ B; D♯m7 = D♯ F♯ A♯ C♯; E♯m7♭5 = E♯ G♯ B D♯
C♯: C♯maj7 = C♯ E♯ G♯ B♯; D♯m7 = D♯ F♯ A♯ C♯; E♯m7 = E♯ G♯ B♯ D♯; F♯maj7 = F♯ A♯ C♯ E♯;
    G♯7 = G♯ B♯ D♯ F♯; A♯m7 = A♯ C♯ E♯ G♯; B♯m7♭5 = B♯ D♯ F♯ A♯
F: Fmaj7 = F A C E; Gm7 = G B♭ D F; Am7 = A C E G; B♭maj7 = B♭ D F A;
    C7 = C E G B♭; Dm7 = D F A C; Em7♭5 = E G B♭ D
B♭: B♭maj7 = B♭ D F A; Cm7 = C E♭ G B♭; Dm7 = D F A C; E♭maj7 = E♭ G B♭ D;
    F7 = F A C E♭; Gm7 = G B♭ D F; Am7♭5 = A C E♭ G
E♭: E♭maj7 = E♭ G B♭ D; Fm7 = F A♭ C E♭; Gm7 = G B♭ D F; A♭maj7 = A♭ C E♭ G;
    B♭7 = B♭ D F A♭; Cm7 = C E♭ G B♭; Dm7♭5 = D F A♭ C
A♭: A♭maj7 = A♭ C E♭ G; B♭m7 = B♭ D♭ F A♭; Cm7 = C E♭ G B♭; D♭maj7 = D♭ F A♭ C;
    E♭7 = E♭ G B♭ D♭; Fm7 = F A♭ C E♭; Gm7♭5 = G B♭ D♭ F
D♭: D♭maj7 = D♭ F A♭ C; E♭m7 = E♭ G♭ B♭ D♭; Fm7 = F A♭ C E♭; G♭maj7 = G♭ B♭ D♭ F;
    A♭7 = A♭ C E♭ G♭; B♭m7 = B♭ D♭ F A♭; Cm7♭5 = C E♭ G♭ B♭
G♭: G♭maj7 = G♭ B♭ D♭ F; A♭m7 = A♭ C♭ E♭ G♭; B♭m7 = B♭ D♭ F A♭; C♭maj7 = C♭ E♭ G♭ B♭;
    D♭7 = D♭ F A♭ C♭; E♭m7 = E♭ G♭ B♭ D♭; Fm7♭5 = F A♭ C♭ E♭
C♭: C♭maj7 = C♭ E♭ G♭ B♭; D♭m7 = D♭ F♭ A♭ C♭; E♭m7 = E♭ G♭ B♭ D♭; F♭maj7 = F♭ A♭ C♭ E♭;
    G♭7 = G♭ B♭ D♭ F♭; A♭m7 = A♭ C♭ E♭ G♭; B♭m7♭5 = B♭ D♭ F♭ A♭
"""
"""Key: chord = notes, degree by degree."""

ONE_SIX_FOUR_FIVE = """
C: Cmaj7 Am7 Fmaj7 G7
G: Gmaj7 Em7 Cmaj7 D7
D: Dmaj7 Bm7 Gmaj7 A7
A: Amaj7 F♯m7 Dmaj7 E7
E: Emaj7 C♯m7 Amaj7 B7
B: Bmaj7 G♯m7 Emaj7 F♯7
F♯: F♯maj7 D♯m7 Bmaj7 C♯7
C♯: C♯maj7 A♯m7 F♯maj7 G♯7
F: Fmaj7 Dm7 B♭maj7 C7
B♭: B♭maj7 Gm7 E♭maj7 F7
E♭: E♭maj7 Cm7 A♭maj7 B♭7
A♭: A♭maj7 Fm7 D♭maj7 E♭7
D♭: D♭maj7 B♭m7 G♭maj7 A♭7
G♭: G♭maj7 E♭m7 C♭maj7 D♭7
C♭: C♭maj7 A♭m7 F♭maj7 G♭7
"""

EVERY_OTHER_DEGREE = """
C: Cmaj7 Em7 G7 Bm7♭5 Dm7 Fmaj7 Am7 Cmaj7
G: Gmaj7 Bm7 D7 F♯m7♭5 Am7 Cmaj7 Em7 Gmaj7
D: Dmaj7 F♯m7 A7 C♯m7♭5 Em7 Gmaj7 Bm7 Dmaj7
A: Amaj7 C♯m7 E7 G♯m7♭5 Bm7 Dmaj7 F♯m7 Amaj7
E: Emaj7 G♯m7 B7 D♯m7♭5 F♯m7 Amaj7 C♯m7 Emaj7
B: Bmaj7 D♯m7 F♯7 A♯m7♭5 C♯m7 Emaj7 G♯m7 Bmaj7
F♯: F♯maj7 A♯m7 C♯7 E♯m7♭5 G♯m7 Bmaj7 D♯m7 F♯maj7
C♯: C♯maj7 E♯m7 G♯7 B♯m7♭5 D♯m7 F♯maj7 A♯m7 C♯maj7
F: Fmaj7 Am7 C7 Em7♭5 Gm7 B♭maj7 Dm7 Fmaj7
B♭: B♭maj7 Dm7 F7 Am7♭5 Cm7 E♭maj7 Gm7 B♭maj7
E♭: E♭maj7 Gm7 B♭7 Dm7♭5 Fm7 A♭maj7 Cm7 E♭maj7
A♭: A♭maj7 Cm7 E♭7 Gm7♭5 B♭m7 D♭maj7 Fm7 A♭maj7
D♭: D♭maj7 Fm7 A♭7 Cm7♭5 E♭m7 G♭maj7 B♭m7 D♭maj7
G♭: G♭maj7 B♭m7 D♭7 Fm7♭5 A♭m7 C♭maj7 E♭m7 G♭maj7
C♭: C♭maj7 E♭m7 G♭7 B♭m7♭5 D♭m7 F♭maj7 A♭m7 C♭maj7
"""
"""Key: the sevenths on 1 3 5 7 2 4 6 1, two octaves up."""


def rows(table: str) -> list[tuple[str, str]]:
    """The rows of a table as key and contents; a row may run over several lines."""
    lines = table.strip().replace("\n    ", " ").splitlines()
    return [(line.split(": ")[0], line.split(": ")[1]) for line in lines]
