"""Why the new chords of a reharmonised progression fit: the notes that they share, and where their roots go."""

from __future__ import annotations

from collections.abc import Iterator

from lessonkit.drills.formula_family import printed_in
from lessonkit.drills.reharmonising import Bars
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName

_FALLS = {7: "falls a fifth", 1: "falls a semitone", 11: "rises a semitone", 10: "rises a tone", 2: "falls a tone"}
"""How a root goes on, by the semitones that it falls (a fifth down and a fourth up are one)."""


def explained(before: Bars, after: Bars, key: Key) -> Iterator[str]:
    """For each chord that is new, in order, a piece of a sentence."""
    chords = [[printed_in(roman, key) for roman in bar] for bar in after]
    flat = [chord for bar in chords for chord in bar]
    place = -1
    for number, (old_bar, bar) in enumerate(zip(before, chords, strict=True), start=1):
        old = [printed_in(roman, key) for roman in old_bar]
        for position, chord in enumerate(bar):
            place += 1
            if chord in old:
                continue
            following = flat[place + 1] if place + 1 < len(flat) else None
            taken = old[position] if len(old) == len(bar) else None
            yield f"bar\N{NO-BREAK SPACE}{number}, {_why(chord, taken, following)}"


def _sounds_as(tone: NoteName, other: NoteName) -> bool:
    return tone.pitch_class == other.pitch_class


def _named(tone: NoteName, other: NoteName) -> str:
    """A shared note, with the name that it had before where that is another one."""
    return str(tone) if tone == other else f"{tone} (before: {other})"


def _why(chord: Chord, taken: Chord | None, following: Chord | None) -> str:
    words = str(chord)
    if taken is not None:
        common = [_named(tone, other) for tone in chord.tones for other in taken.tones if _sounds_as(tone, other)]
        together = " and ".join(filter(None, (", ".join(common[:-1]), *common[-1:])))
        shared = f", with {together} in common" if common else ""
        words += f" for {taken}{shared}"
    falls = _FALLS.get((chord.root.pitch_class - following.root.pitch_class) % 12) if following else None
    return f"{words}: its root {falls} to {following}" if falls else words
