"""A chord laid out for one hand: as a run over octaves or held together, in any inversion and a middle register."""

from __future__ import annotations

from lessonkit.hands.hand import Hand
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import NoteName, Pitch

LEAST_OCTAVES, MOST_OCTAVES = 1, 4

_FLOOR = {Hand.RIGHT: Pitch.parse("C4"), Hand.LEFT: Pitch.parse("C2")}
"""The lowest key where each hand's shapes begin."""


def tones_of(chord: Chord) -> tuple[NoteName, ...]:
    """The chord's notes from its bass up, within one octave; a bass that is no tone of the chord comes first."""
    lowest = chord.lowest
    others = [tone for tone in chord.tones if tone.pitch_class != lowest.pitch_class]
    return (lowest, *sorted(others, key=lambda tone: (tone.pitch_class - lowest.pitch_class) % 12))


def inverted(chord: Chord, inversion: int) -> tuple[NoteName, ...]:
    """The notes within one octave from the note that an inversion begins with; raises ValueError for too high a one."""
    tones = tones_of(chord)
    if not 0 <= inversion < len(tones):
        raise ValueError(f"{chord} has inversions 0 to {len(tones) - 1}; {inversion} is not one of them")
    return (*tones[inversion:], *tones[:inversion])


def run_of(names: tuple[NoteName, ...], octaves: int, hand: Hand) -> tuple[Pitch, ...]:
    """The names rising over so many octaves (1 to 4), closed by the first name; raises ValueError for other numbers."""
    if not LEAST_OCTAVES <= octaves <= MOST_OCTAVES:
        raise ValueError(f"{octaves} octaves is not a run; choose {LEAST_OCTAVES} to {MOST_OCTAVES}")
    cell = held(names, hand)
    return (*(pitch.octaves_up(octave) for octave in range(octaves) for pitch in cell), cell[0].octaves_up(octaves))


def held(names: tuple[NoteName, ...], hand: Hand) -> tuple[Pitch, ...]:
    """The names stacked upwards, each the nearest above the one before."""
    pitches = [names[0].nearest_above(_FLOOR[hand])]
    for name in names[1:]:
        above = name.nearest_above(pitches[-1])
        pitches.append(above if above.midi > pitches[-1].midi else above.octaves_up(1))
    return tuple(pitches)


def shortened(names: tuple[NoteName, ...], chord: Chord) -> tuple[NoteName, ...]:
    """At most five of the names: first the fifth is left out, then what stands highest."""
    fifth = (chord.root.pitch_class + 7) % 12
    if len(names) > 5:
        names = tuple(name for name in names if name.pitch_class != fifth)
    return names[:5]
