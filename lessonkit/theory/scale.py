"""Scales: a tonic and intervals above it. Strict spelling comes first; the reading-friendly form lists its changes."""

from __future__ import annotations

from functools import lru_cache

from lessonkit.theory.authority import worked_out
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.pitch import Interval, NoteName, Pitch
from lessonkit.theory.quality import interval_of_degree
from lessonkit.theory.respelling import Respelling
from lessonkit.values import dataclass

KEPT = ""
"""Stands in the table for degrees that music21 has worked out (``worked_out.json``)."""


@dataclass(frozen=True, slots=True)
class ScaleKind:
    """The intervals of a scale, rising from its tonic, octave left out.

    ``key`` is the plain name that stands in files; ``mode`` is the mode whose signature the scale is written in, None
    where it belongs to no signature.
    """

    key: str
    tones: tuple[Interval, ...]
    mode: Mode | None = None

    @staticmethod
    def named(key: str) -> ScaleKind:
        """The scale of a plain name; raises ValueError with the names there are."""
        if key not in SCALES:
            raise ValueError(f"{key[:40]!r} is not a scale; the scales are {', '.join(SCALES)}")
        return SCALES[key]

    def __repr__(self) -> str:
        return f"ScaleKind.named({self.key!r})"


# The entries that music21 has not are worked out from their usual definitions; common practice, no source.
_TABLE = (
    ("major", KEPT, Mode.MAJOR),
    ("natural minor", KEPT, Mode.MINOR),
    ("harmonic minor", KEPT, Mode.MINOR),
    ("melodic minor", KEPT, Mode.MINOR),
    ("ionian", KEPT, Mode.MAJOR),
    ("dorian", KEPT, Mode.DORIAN),
    ("phrygian", KEPT, Mode.PHRYGIAN),
    ("lydian", KEPT, Mode.LYDIAN),
    ("mixolydian", KEPT, Mode.MIXOLYDIAN),
    ("aeolian", KEPT, Mode.MINOR),
    ("locrian", KEPT, Mode.LOCRIAN),
    ("major pentatonic", "1 2 3 5 6", Mode.MAJOR),
    ("minor pentatonic", "1 b3 4 5 b7", Mode.MINOR),
    ("blues", "1 b3 4 b5 5 b7", Mode.MINOR),
    ("whole-tone", "1 2 3 #4 #5 b7", None),
    ("octatonic half-whole", "1 b2 b3 3 #4 5 6 b7", None),
    ("octatonic whole-half", KEPT, None),
    ("altered", "1 b2 b3 b4 b5 b6 b7", None),
    ("lydian dominant", "1 2 3 #4 5 6 b7", Mode.MIXOLYDIAN),
    ("bebop dominant", "1 2 3 4 5 6 b7 7", Mode.MIXOLYDIAN),
    ("bebop major", "1 2 3 4 5 b6 6 7", Mode.MAJOR),
)


def _tones(key: str, degrees: str) -> tuple[Interval, ...]:
    if degrees == KEPT:
        return tuple(Interval.parse(name) for name in worked_out()["scales"][key])
    return tuple(interval_of_degree(degree) for degree in degrees.split())


SCALES: dict[str, ScaleKind] = {key: ScaleKind(key, _tones(key, degrees), mode) for key, degrees, mode in _TABLE}
"""Every kind of scale by its plain name, in the order in which they are taught."""

_OF_MODE = {
    Mode.MAJOR: "major", Mode.MINOR: "natural minor", Mode.DORIAN: "dorian", Mode.PHRYGIAN: "phrygian",
    Mode.LYDIAN: "lydian", Mode.MIXOLYDIAN: "mixolydian", Mode.LOCRIAN: "locrian",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class FriendlyScale:
    """A scale as a reader likes it: perhaps from the enharmonic tonic, its notes, and what was respelled."""

    scale: Scale
    names: tuple[NoteName, ...]
    respelled: tuple[Respelling, ...]


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale on a tonic.

    >>> [str(name) for name in Scale.named("Eb", "blues").names]
    ['E♭', 'G♭', 'A♭', 'B𝄫', 'B♭', 'D♭']
    """

    tonic: NoteName
    kind: ScaleKind

    @staticmethod
    def named(tonic: str, kind: str) -> Scale:
        """The scale of a tonic and a kind given as text; raises ValueError with a sentence."""
        return Scale(NoteName.parse(tonic), ScaleKind.named(kind))

    @staticmethod
    def of_key(key: Key) -> Scale:
        """The scale that a key's signature makes; in minor the natural one."""
        return Scale(key.tonic, SCALES[_OF_MODE[key.mode]])

    @property
    def names(self) -> tuple[NoteName, ...]:
        """The strictly spelled notes from the tonic up, octave left out."""
        return _names(self)

    def degree(self, number: int) -> NoteName:
        """The note on a degree, 1 the tonic; degrees beyond the last start again. Raises ValueError below 1."""
        if number < 1:
            raise ValueError(f"{number} is not a degree of a scale; degrees count from 1")
        names = self.names
        return names[(number - 1) % len(names)]

    def ladder(self, start: Pitch, count: int) -> tuple[Pitch, ...]:
        """So many notes of the scale rising one by one from the lowest that sounds at or above ``start``."""
        size = len(self.kind.tones)
        tonic = self.tonic.in_octave(start.octave - 2)
        rising = [
            (tonic + tone).octaves_up(octave)
            for octave in range(3 + count // size + 2)
            for tone in self.kind.tones
        ]  # fmt: skip
        first = next(place for place, pitch in enumerate(rising) if pitch.midi >= start.midi)
        return tuple(rising[first : first + count])

    def friendly(self) -> FriendlyScale:
        """The scale as a reader likes it; as commonly practised:

        - a scale with a signature of seven accidentals or more is named from the enharmonic tonic that has fewer
          (D♭ blues from C♯), a scale without one where its tonic is C♭, F♭, E♯ or B♯;
        - seven-note scales keep one letter a note; in the others what would be double takes its plain name, and so
          does a C♭, F♭, E♯ or B♯ that is foreign to the signature (E♭ blues has A for B𝄫, B♭ blues E for F♭);
        - the altered scale writes the major third as a third (C altered: C D♭ E♭ E G♭ A♭ B♭).
        """
        return _friendly(self)

    def __str__(self) -> str:
        return f"{self.tonic} {self.kind.key}"

    def __repr__(self) -> str:
        return f"Scale.named({self.tonic.ascii!r}, {self.kind.key!r})"


@lru_cache(maxsize=1024)
def _names(scale: Scale) -> tuple[NoteName, ...]:
    return tuple(scale.tonic + tone for tone in scale.kind.tones)


@lru_cache(maxsize=1024)
def _friendly(scale: Scale) -> FriendlyScale:
    kind = scale.kind
    tonic = min((scale.tonic, *scale.tonic.enharmonics), key=lambda one: _heaviness(scale.tonic, one, kind))
    moved = Scale(tonic, kind)
    names = tuple(_friendly_name(moved, tone, name) for tone, name in zip(kind.tones, moved.names, strict=True))
    pairs = zip(scale.names, names, strict=True)
    return FriendlyScale(moved, names, tuple(Respelling(strict, name) for strict, name in pairs if strict != name))


def _heaviness(own: NoteName, tonic: NoteName, kind: ScaleKind) -> tuple[int, bool, int, bool]:
    """What speaks against a tonic: too large a signature, an awkward name, double accidentals, being another one."""
    most = 6 if len(kind.tones) == 7 else 7
    over = max(0, abs(tonic.fifths + kind.mode.fifths) - most) if kind.mode is not None else 0
    reads_badly = tonic.is_double or (kind.mode is None and tonic.is_white_accidental)
    # In harmonic and melodic minor a double sharp is the leading note and stays.
    keeps_letters = len(kind.tones) == 7 and kind.mode not in (None, Mode.MINOR)
    doubles = sum(name.is_double for name in _names(Scale(tonic, kind))) if keeps_letters else 0
    return over, reads_badly, doubles, tonic != own


def _friendly_name(scale: Scale, tone: Interval, name: NoteName) -> NoteName:
    if scale.kind.key == "altered":
        if tone.semitones == 4:
            name = scale.tonic + Interval.parse("M3")
        return name.simplest if name.is_double or (name.is_white_accidental and tone.steps) else name
    if len(scale.kind.tones) == 7:
        return name
    mode = scale.kind.mode
    is_foreign = mode is None or tone not in SCALES[_OF_MODE[mode]].tones
    return name.simplest if name.is_double or (is_foreign and name.is_white_accidental) else name
