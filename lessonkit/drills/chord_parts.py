"""The notes of a chord by the part they play: what stands for its third, seventh or ninth. Names, not places."""

from __future__ import annotations

from lessonkit.drills.chains import Shape
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import OCTAVE, NoteName, Pitch
from lessonkit.theory.quality import ALL_QUALITIES
from lessonkit.theory.voicing import Shell, shell
from lessonkit.values import dataclass

_ANYWHERE = Pitch.parse("C3")


@dataclass(frozen=True, slots=True)
class ChordParts:
    """A chord's notes by their parts, in the chord's own forms (♭9, ♯5) where it has them.

    Where it has none, the ninth is the major one, or the root above a diminished fifth; ``colour`` is the thirteenth
    in dominants and the fifth elsewhere. ``third`` and ``seventh`` are as in shells: a suspended fourth or a sixth
    stands for them.
    """

    root: NoteName
    third: NoteName
    fifth: NoteName
    seventh: NoteName
    ninth: NoteName
    colour: NoteName
    is_dominant: bool


def parts_of(chord: Chord) -> ChordParts:
    """The parts of a chord."""
    told = shell(chord, Shell.ROOT_THIRD_SEVENTH, _ANYWHERE)[1:]
    degrees = chord.quality.degrees
    is_dominant = "b7" in degrees and not chord.quality.is_minor
    fifth = chord.tone_for("5")
    is_diminished = chord.quality.is_minor and "b5" in degrees
    has_altered_fifth = "#5" in degrees or "b5" in degrees
    return ChordParts(
        root=chord.root,
        third=told[0].name,
        fifth=fifth,
        seventh=told[-1].name,
        ninth=chord.root if is_diminished and not any("9" in degree for degree in degrees) else chord.tone_for("9"),
        colour=chord.tone_for("13") if is_dominant and not has_altered_fifth else fifth,
        is_dominant=is_dominant,
    )


def with_ninth(chord: Chord) -> Chord:
    """A seventh chord named by its third, fifth, seventh and ninth as they sound together: A♭maj9 for A♭maj7.

    A chord that says its ninth or more, and one of which there is no such name, keeps its own.
    """
    if any(tone.steps > OCTAVE.steps for tone in chord.quality.tones):
        return chord
    sounding = {chord.tone_for(degree) for degree in ("1", "3", "5", "7", "9")}
    for quality in ALL_QUALITIES:
        if len(quality.tones) == len(sounding) and {chord.root + tone for tone in quality.tones} == sounding:
            return Chord(chord.root, quality, chord.bass)
    return chord


def stacked(names: tuple[NoteName, ...], floor: Pitch) -> Shape:
    """Notes one above the other, each less than an octave over the one before, the first at or above ``floor``.

    A note that is there already is left out.
    """
    first, *rest = dict.fromkeys(names)
    shape = [first.nearest_above(floor)]
    for name in rest:
        above = name.nearest_above(shape[-1])
        shape.append(above if above.midi > shape[-1].midi else above.octaves_up(1))
    return tuple(shape)
