"""How a chord lies on the keyboard. Voicings are pitches low to high, spelled as the chord spells them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from enum import Enum
from functools import lru_cache
from operator import sub

from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.theory.quality import Quality
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Voicing:
    """What the two hands hold, each low to high; a hand may be empty."""

    left: tuple[Pitch, ...]
    right: tuple[Pitch, ...]

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """All the notes, the left hand's first."""
        return self.left + self.right


class Shell(Enum):
    """The few notes that tell a chord."""

    ROOT_THIRD = "root and third"
    ROOT_SEVENTH = "root and seventh"
    ROOT_THIRD_SEVENTH = "root, third and seventh"
    ROOT_SEVENTH_THIRD = "root, seventh and tenth"


_SHELL_SLOTS = {
    Shell.ROOT_THIRD: ("third",),
    Shell.ROOT_SEVENTH: ("seventh",),
    Shell.ROOT_THIRD_SEVENTH: ("third", "seventh"),
    Shell.ROOT_SEVENTH_THIRD: ("seventh", "third"),
}

ROOTLESS_FORMS = ("A", "B")

# The degrees that may stand in each place of a shell or a rootless shape; the first that the chord has is taken.
_THIRD = ("b3", "3", "4", "2", "5")
_SEVENTH = ("7", "b7", "bb7", "6")
_COLOUR = ("13", "b13", "#11", "#5", "b5")


def close_position(chord: Chord, inversion: int, floor: Pitch) -> tuple[Pitch, ...]:
    """The chord's notes one above the other from the tone that the inversion puts lowest, at or above ``floor``.

    The tones keep their order: inversion 1 begins with the third and ends with the root, also in chords of more than
    four notes (C9: E G B♭ D C). A bass after a slash is not counted. Raises ValueError for an inversion that the chord
    does not have.
    """
    tones = chord.tones
    if not 0 <= inversion < len(tones):
        most = len(tones) - 1
        raise ValueError(f"{chord} has no inversion {inversion}; its inversions run from 0 (root position) to {most}")
    return _stacked(tones[inversion:] + tones[:inversion], floor)


def open_position(chord: Chord, inversion: int, floor: Pitch) -> tuple[Pitch, ...]:
    """Close position with every second note from the bottom an octave higher: C E G as C G E, C E G B as C G E B."""
    close = close_position(chord, inversion, floor)
    return _sorted(pitch.octaves_up(place % 2) for place, pitch in enumerate(close))


def drop_2(chord: Chord, inversion: int, floor: Pitch) -> tuple[Pitch, ...]:
    """Close position with the second note from the top an octave lower; the lowest note is at or above ``floor``.

    The inversion is that of the close position: Cmaj7 in root position, C E G B, becomes G C E B.
    """
    return _dropped(chord, inversion, 2, floor)


def drop_3(chord: Chord, inversion: int, floor: Pitch) -> tuple[Pitch, ...]:
    """Close position with the third note from the top an octave lower: C E G B becomes E C G B."""
    return _dropped(chord, inversion, 3, floor)


def shell(chord: Chord, kind: Shell, floor: Pitch) -> tuple[Pitch, ...]:
    """The root at or above ``floor`` with the third, the seventh or both above it.

    A suspended note stands for the third, a sixth for the seventh; a chord with neither gives its fifth instead.
    """
    places = {"third": _own(chord, _THIRD) or chord.root, "seventh": _own(chord, _SEVENTH) or _fifth(chord)}
    names = [chord.root, *(places[slot] for slot in _SHELL_SLOTS[kind])]
    return _stacked(_once(names), floor)


@lru_cache(maxsize=4096)
def rootless(chord: Chord, form: str, floor: Pitch) -> tuple[Pitch, ...]:
    """The rootless left-hand shape of a chord, form A or B, its lowest note at or above ``floor``.

    Form A is 3 5 7 9 and form B is 7 9 3 5, but in dominants A is 7 9 3 13 and B is 3 13 7 9, so that a chain of
    ii, V and I in one form moves by the smallest steps. The chord's own forms of the degrees are used: a flat or sharp
    ninth, and an altered fifth, eleventh or thirteenth in place of the 13 (or of the 5). A sixth stands for a seventh,
    a suspended fourth for the third. Chords with a diminished fifth have the root in place of the ninth, and a triad
    has it in place of the seventh. Raises ValueError for another form.
    """
    if form not in ROOTLESS_FORMS:
        raise ValueError(f"{form!r} is not a rootless form; choose A or B")
    third, seventh = _third_of_rootless(chord), _own(chord, _SEVENTH) or chord.root
    colour = _own(chord, _COLOUR)
    if colour is None and chord.quality.is_minor:
        colour = _own(chord, ("11",))
    is_dominant = _is_dominant(chord.quality)
    fifth = colour or (chord.tone_for("13") if is_dominant else _fifth(chord))
    ninth = chord.root if chord.quality.is_minor and "b5" in chord.quality.degrees else chord.tone_for("9")
    first, second = (third, fifth), (seventh, ninth)
    is_third_first = (form == "A") != is_dominant
    names = (*first, *second) if is_third_first else (*second, *first)
    return _stacked(_once(names), floor)


def root_and_chord(chord: Chord, inversion: int, left_floor: Pitch, right_floor: Pitch) -> Voicing:
    """The bass note (after the slash, or the root) in the left hand, the chord in close position in the right."""
    return Voicing((chord.lowest.nearest_above(left_floor),), close_position(chord, inversion, right_floor))


def smoothest(chords: Sequence[Chord], low: Pitch, high: Pitch) -> tuple[tuple[Pitch, ...], ...]:
    """Each chord in the close position that makes the voices' total movement in semitones least.

    All inversions and octaves from ``low`` to ``high`` (both included) are weighed by dynamic programming. Ties are
    broken the same way each time: of chains that move equally little, the one whose first chord lies nearest to the
    middle of the range (the lower of two equally near), then whose second does, and so on. A bass after a slash is
    left out. Raises ValueError with a sentence that names the chord where none of its positions fits the range.
    """
    return _smoothest(tuple(chords), low, high)


@lru_cache(maxsize=1024)
def _smoothest(chords: tuple[Chord, ...], low: Pitch, high: Pitch) -> tuple[tuple[Pitch, ...], ...]:
    choices = [_choices(chord, low, high) for chord in chords]
    if not choices:
        return ()
    ahead: list[list[int]] = [[0] * len(choices[-1])]
    for here, there in zip(reversed(choices[:-1]), reversed(choices[1:]), strict=True):
        costs = _costs(_sounding(here), _sounding(there))
        following = ahead[-1]
        ahead.append([min(map(int.__add__, row, following)) for row in costs])
    ahead.reverse()
    place = ahead[0].index(min(ahead[0]))
    chain = [choices[0][place]]
    for number in range(1, len(choices)):
        row = _costs(_sounding(choices[number - 1]), _sounding(choices[number]))[place]
        totals = list(map(int.__add__, row, ahead[number]))
        place = totals.index(min(totals))
        chain.append(choices[number][place])
    return tuple(chain)


def movement(before: Sequence[Pitch], after: Sequence[Pitch]) -> int:
    """The least total movement in semitones that leads one chord's voices, low to high, into another's.

    With as many voices on both sides each goes to its counterpart. Otherwise the voices of the fuller chord are shared
    out among those of the other, none left out, at the least total; where voices do not cross this is the least of all.
    """
    return movement_of_keys(tuple([pitch.midi for pitch in before]), tuple([pitch.midi for pitch in after]))


def _third_of_rootless(chord: Chord) -> NoteName:
    # In a dominant eleventh the eleventh takes the third's place, as the fourth does in a suspended chord.
    own = _own(chord, ("11",)) if chord.quality.key == "11" else None
    return own or _own(chord, _THIRD) or chord.root


def _is_dominant(quality: Quality) -> bool:
    return "b7" in quality.degrees and not quality.is_minor


def _fifth(chord: Chord) -> NoteName:
    return _own(chord, ("5", "b5", "#5")) or chord.tone_for("5")


def _own(chord: Chord, degrees: tuple[str, ...]) -> NoteName | None:
    own = dict(zip(chord.quality.degrees, chord.tones, strict=True))
    return next((own[degree] for degree in degrees if degree in own), None)


def _once(names: list[NoteName] | tuple[NoteName, ...]) -> tuple[NoteName, ...]:
    return tuple(dict.fromkeys(names))


def _stacked(names: tuple[NoteName, ...], floor: Pitch) -> tuple[Pitch, ...]:
    pitches = [names[0].nearest_above(floor)]
    for name in names[1:]:
        above = name.nearest_above(pitches[-1])
        pitches.append(above if above.midi > pitches[-1].midi else above.octaves_up(1))
    return tuple(pitches)


def _dropped(chord: Chord, inversion: int, from_top: int, floor: Pitch) -> tuple[Pitch, ...]:
    close = close_position(chord, inversion, floor)
    if len(close) <= from_top:
        raise ValueError(f"{chord} has only {len(close)} notes; drop-{from_top} needs {from_top + 1} at least")
    place = len(close) - from_top
    dropped = _sorted((*close[:place], close[place].octaves_up(-1), *close[place + 1 :]))
    lowest = dropped[0]
    octaves = lowest.name.nearest_above(floor).octave - lowest.octave
    return tuple(pitch.octaves_up(octaves) for pitch in dropped)


def _sorted(pitches: Iterable[Pitch]) -> tuple[Pitch, ...]:
    return tuple(sorted(pitches, key=lambda pitch: pitch.midi))


Keys = tuple[int, ...]


@lru_cache(maxsize=4096)
def _choices(chord: Chord, low: Pitch, high: Pitch) -> tuple[tuple[Pitch, ...], ...]:
    found = []
    for inversion in range(len(chord.tones)):
        position = close_position(chord, inversion, low)
        while position[-1].midi <= high.midi:
            found.append(position)
            position = tuple(pitch.octaves_up(1) for pitch in position)
    if not found:
        raise ValueError(f"{chord} does not fit between {low} and {high} in any inversion; widen the range")
    # Twice the distance of the chord's middle from the range's, so that it stays a whole number.
    middle = low.midi + high.midi
    return tuple(sorted(found, key=lambda one: (abs(one[0].midi + one[-1].midi - middle), one[0].midi)))


@lru_cache(maxsize=4096)
def _sounding(choices: tuple[tuple[Pitch, ...], ...]) -> tuple[Keys, ...]:
    return tuple(tuple(pitch.midi for pitch in position) for position in choices)


@lru_cache(maxsize=4096)
def _costs(here: tuple[Keys, ...], there: tuple[Keys, ...]) -> tuple[tuple[int, ...], ...]:
    if len(here[0]) == len(there[0]):
        return tuple(tuple(sum(map(abs, map(sub, one, other))) for other in there) for one in here)
    return tuple(tuple(movement_of_keys(one, other) for other in there) for one in here)


def movement_of_keys(before: Keys, after: Keys) -> int:
    """``movement`` for shapes given as MIDI numbers, low to high."""
    # Counted from the first note, the same two shapes need to be weighed only once for all keys and octaves.
    base = before[0]
    return _movement(tuple([key - base for key in before]), tuple([key - base for key in after]))


@lru_cache(maxsize=65536)
def _movement(before: Keys, after: Keys) -> int:
    if len(before) == len(after):
        return sum(map(abs, map(sub, before, after)))
    fuller, other = (before, after) if len(before) > len(after) else (after, before)
    # least[place] is the least movement of the voices so far when the last of them goes to that place; a voice goes
    # where the one below it went or one place higher, so that every place is reached.
    unreachable = 10**6
    least = [abs(fuller[0] - other[0])] + [unreachable] * (len(other) - 1)
    for voice in fuller[1:]:
        stepped = [unreachable, *least[:-1]]
        least = [
            abs(voice - goal) + min(stay, step) for goal, stay, step in zip(other, least, stepped, strict=True)
        ]  # fmt: skip
    return least[-1]
