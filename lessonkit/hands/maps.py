"""Where a chord lies well: a map of difficulties, inversions by keys or qualities by keys, for one hand and tempo.

A map holds values and words only; how its four bands are drawn so that they read in black and white is the page's.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonkit.hands.chord_shapes import tones_of
from lessonkit.hands.difficulty import USUAL_TEMPO, Difficulty
from lessonkit.hands.easier import As, rate_chord
from lessonkit.hands.fingering import MEDIUM
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import NoteName
from lessonkit.theory.quality import Quality
from lessonkit.values import dataclass

TWELVE_KEYS = tuple(NoteName.parse(name) for name in ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"))
"""The keys of a map in chromatic order."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One place of a map: a chord in an inversion and how hard it is."""

    chord: Chord
    inversion: int
    difficulty: Difficulty


@dataclass(frozen=True, slots=True)
class DifficultyMap:
    """Rows of cells under their keys. ``rows`` and ``columns`` are labels; ``cells[row][column]`` belongs to them."""

    played: As
    hand: Hand
    tempo: int
    rows: tuple[str, ...]
    columns: tuple[str, ...]
    cells: tuple[tuple[Cell, ...], ...]

    @property
    def easiest(self) -> tuple[Cell, ...]:
        """For each key the cell that lies best."""
        return tuple(min(column, key=lambda cell: cell.difficulty.score) for column in zip(*self.cells, strict=True))


def map_of_inversions(
    quality: Quality,
    played: As,
    hand: Hand,
    profile: HandProfile = MEDIUM,
    octaves: int = 2,
    tempo: int = USUAL_TEMPO,
    keys: Sequence[NoteName] = TWELVE_KEYS,
) -> DifficultyMap:
    """The inversions of one chord quality down the side, the keys along the top."""
    chords = [Chord(key, quality) for key in keys]
    inversions = range(len(tones_of(chords[0])))
    cells = tuple(
        tuple(_cell(chord, inversion, played, hand, profile, octaves, tempo) for chord in chords)
        for inversion in inversions
    )
    names = ("root position", "1st inversion", "2nd inversion", "3rd inversion")
    rows = tuple(names[number] if number < 4 else f"{number}th inversion" for number in inversions)
    return DifficultyMap(played, hand, tempo, rows, tuple(map(str, keys)), cells)


def map_of_qualities(
    qualities: Sequence[Quality],
    played: As,
    hand: Hand,
    profile: HandProfile = MEDIUM,
    octaves: int = 2,
    tempo: int = USUAL_TEMPO,
    keys: Sequence[NoteName] = TWELVE_KEYS,
) -> DifficultyMap:
    """Chord qualities in root position down the side, the keys along the top."""
    cells = tuple(
        tuple(_cell(Chord(key, quality), 0, played, hand, profile, octaves, tempo) for key in keys)
        for quality in qualities
    )
    rows = tuple(quality.words for quality in qualities)
    return DifficultyMap(played, hand, tempo, rows, tuple(map(str, keys)), cells)


def _cell(chord: Chord, inversion: int, played: As, hand: Hand, profile: HandProfile, octaves: int, tempo: int) -> Cell:
    return Cell(chord, inversion, rate_chord(chord, inversion, played, hand, profile, octaves, tempo))
