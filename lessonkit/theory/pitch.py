"""Spelled notes and the distances between them. A note is a letter with an alteration; its sound follows from that."""

from __future__ import annotations

import re
from functools import cache, lru_cache

from lessonkit.values import dataclass

LETTERS = "CDEFGAB"
NATURAL_SEMITONES = (0, 2, 4, 5, 7, 9, 11)
"""Semitones of the seven letters above C."""

MOST_ALTERATION = 4
"""Alterations run from -4 to 4 semitones; theory stays exact where print would respell."""

LOWEST_MIDI, HIGHEST_MIDI = 21, 108
"""The ends of the piano: A0 and C8 (middle C, C4, is 60)."""

_SIGNS = {
    "": 0, "♮": 0, "n": 0,
    "#": 1, "♯": 1, "##": 2, "x": 2, "𝄪": 2, "♯♯": 2, "###": 3, "♯♯♯": 3, "♯𝄪": 3, "####": 4,
    "b": -1, "♭": -1, "bb": -2, "♭♭": -2, "𝄫": -2, "bbb": -3, "♭♭♭": -3, "♭𝄫": -3, "bbbb": -4,
}  # fmt: skip
_PRINTED = {-4: "𝄫𝄫", -3: "♭𝄫", -2: "𝄫", -1: "♭", 0: "", 1: "♯", 2: "𝄪", 3: "♯𝄪", 4: "𝄪𝄪"}
_SIGN = "(?P<sign>[#♯x𝄪]{1,4}|[b♭𝄫]{1,4}|[♮n]|)"
_NAME = re.compile(rf"(?P<letter>[A-Ga-g]){_SIGN}")
_PITCH = re.compile(rf"(?P<letter>[A-Ga-g]){_SIGN}(?P<octave>-?\d+)")


def alteration_of(sign: str) -> int:
    """The alteration in semitones of a written sign such as ``b``, ``♯`` or ``𝄪``; raises ValueError for others."""
    if sign in _SIGNS:
        return _SIGNS[sign]
    raise ValueError(f"{sign!r} is not an accidental; write #, b, ## or bb")


@dataclass(frozen=True, slots=True)
class NoteName:
    """A note without its octave: C♯ and D♭ are two names for one key of the piano.

    ``letter`` counts from C (0) to B (6); ``alteration`` is in semitones, sharps positive.

    >>> NoteName.parse("Ab") + Interval.parse("M3")
    NoteName.parse('C')
    """

    letter: int
    alteration: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.letter <= 6:
            raise ValueError(f"{self.letter} is not a letter; letters count from 0 (C) to 6 (B)")
        if abs(self.alteration) > MOST_ALTERATION:
            raise ValueError(f"{self.alteration} semitones is more than an accidental can say")

    @staticmethod
    @cache
    def parse(text: str) -> NoteName:
        """Read ``Ab``, ``A♭``, ``F##`` or ``Fx``; raises ValueError with a sentence for anything else."""
        match = _NAME.fullmatch(text.strip())
        if match is None:
            raise ValueError(f"{text!r} is not a note; write it like C, F# or Ab")
        return NoteName(LETTERS.index(match["letter"].upper()), alteration_of(match["sign"]))

    @property
    def pitch_class(self) -> int:
        """The key of the piano within the octave, 0 (C) to 11 (B)."""
        return (NATURAL_SEMITONES[self.letter] + self.alteration) % 12

    @property
    def ascii(self) -> str:
        """The name in plain letters: ``Ab``, ``F##``."""
        return LETTERS[self.letter] + ("#" * self.alteration if self.alteration > 0 else "b" * -self.alteration)

    @property
    def is_black(self) -> bool:
        """Whether the note lies on a black key."""
        return self.pitch_class in (1, 3, 6, 8, 10)

    @property
    def is_double(self) -> bool:
        """Whether the note needs a double accidental or more."""
        return abs(self.alteration) > 1

    @property
    def is_white_accidental(self) -> bool:
        """Whether a single accidental leads to a white key: C♭, F♭, E♯ or B♯."""
        return abs(self.alteration) == 1 and not self.is_black

    @property
    def fifths(self) -> int:
        """Where the note stands in the line of fifths: C is 0, G is 1, F is -1, C♯ is 7."""
        return (0, 2, 4, -1, 1, 3, 5)[self.letter] + 7 * self.alteration

    @property
    def enharmonics(self) -> tuple[NoteName, ...]:
        """The other names of the same key of the piano that need a double accidental at most, the plainest first.

        Of two that are equally plain, the one with the same kind of accidental comes first.
        """
        return _enharmonics(self)

    @property
    def simplest(self) -> NoteName:
        """The plainest other name of the same key of the piano: A for B𝄫, B for C♭, D♭ for C♯."""
        return self.enharmonics[0]

    def in_octave(self, octave: int) -> Pitch:
        """The pitch of this name in a numbered octave (C4 is middle C; B♯3 sounds as C4)."""
        return Pitch(self.letter, self.alteration, octave)

    def nearest_above(self, floor: Pitch) -> Pitch:
        """The lowest pitch of this name that sounds at or above ``floor``."""
        above_c = NATURAL_SEMITONES[self.letter] + self.alteration
        return Pitch(self.letter, self.alteration, -((above_c - floor.midi) // 12) - 1)

    def __add__(self, interval: Interval) -> NoteName:
        return (Pitch(self.letter, self.alteration, 4) + interval).name

    def __sub__(self, interval: Interval) -> NoteName:
        return (Pitch(self.letter, self.alteration, 4) - interval).name

    def __str__(self) -> str:
        return LETTERS[self.letter] + _PRINTED[self.alteration]

    def __repr__(self) -> str:
        return f"NoteName.parse({self.ascii!r})"


@cache
def _enharmonics(name: NoteName) -> tuple[NoteName, ...]:
    names = (NoteName(letter, alteration) for letter in range(7) for alteration in range(-2, 3))
    same = [other for other in names if other.pitch_class == name.pitch_class and other != name]

    def plainness(other: NoteName) -> tuple[int, bool, int]:
        return abs(other.alteration), other.alteration * name.alteration < 0, other.letter

    return tuple(sorted(same, key=plainness))


@dataclass(frozen=True, slots=True)
class Pitch:
    """A spelled note in an octave: C#4 and Db4 sound alike but are two different pitches.

    >>> Pitch.parse("F#3") + Interval.parse("m3")
    Pitch.parse('A3')
    """

    letter: int
    alteration: int
    octave: int

    @staticmethod
    @cache
    def parse(text: str) -> Pitch:
        """Read ``F#3`` or ``A♭4`` (C4 is middle C); raises ValueError with a sentence for anything else."""
        match = _PITCH.fullmatch(text.strip())
        if match is None:
            raise ValueError(f"{text!r} is not a pitch; write it like F#3")
        return Pitch(LETTERS.index(match["letter"].upper()), alteration_of(match["sign"]), int(match["octave"]))

    @property
    def name(self) -> NoteName:
        """The pitch without its octave."""
        return NoteName(self.letter, self.alteration)

    @property
    def midi(self) -> int:
        """The MIDI key number: C4 is 60."""
        return 12 * (self.octave + 1) + NATURAL_SEMITONES[self.letter] + self.alteration

    @property
    def staff_step(self) -> int:
        """Letters counted from C0 upward; two pitches on one staff line share it."""
        return 7 * self.octave + self.letter

    @property
    def is_black(self) -> bool:
        """Whether the pitch lies on a black key."""
        return self.name.is_black

    @property
    def is_on_keyboard(self) -> bool:
        """Whether the piano has this pitch (A0 to C8)."""
        return LOWEST_MIDI <= self.midi <= HIGHEST_MIDI

    @property
    def ascii(self) -> str:
        """The pitch in plain letters: ``Ab3``."""
        return f"{self.name.ascii}{self.octave}"

    def octaves_up(self, octaves: int) -> Pitch:
        """The same name so many octaves higher (lower when negative)."""
        return Pitch(self.letter, self.alteration, self.octave + octaves)

    def interval_to(self, other: Pitch) -> Interval:
        """The spelled distance from here to ``other``; negative steps when it lies lower."""
        return Interval(other.staff_step - self.staff_step, other.midi - self.midi)

    def __add__(self, interval: Interval) -> Pitch:
        return _transposed(self, interval.steps, interval.semitones)

    def __sub__(self, interval: Interval) -> Pitch:
        return _transposed(self, -interval.steps, -interval.semitones)

    def __str__(self) -> str:
        return f"{self.name}{self.octave}"

    def __repr__(self) -> str:
        return f"Pitch.parse({self.ascii!r})"


@lru_cache(maxsize=65536)
def _transposed(pitch: Pitch, steps: int, semitones: int) -> Pitch:
    octave, letter = divmod(pitch.staff_step + steps, 7)
    alteration = pitch.midi + semitones - (12 * (octave + 1) + NATURAL_SEMITONES[letter])
    if abs(alteration) > MOST_ALTERATION:
        raise ValueError(f"{pitch} moved by {semitones} semitones and {steps} letters has no spelling")
    return Pitch(letter, alteration, octave)


_QUALITIES = {0: "P", 1: "M", 2: "M", 3: "P", 4: "P", 5: "M", 6: "M"}
_INTERVAL = re.compile(r"(?P<down>-?)(?P<quality>P|M|m|A{1,4}|d{1,4})(?P<number>[1-9]\d*)")


@dataclass(frozen=True, slots=True)
class Interval:
    """A spelled distance: ``steps`` letters and ``semitones`` keys, both signed (up is positive).

    Names are the trade's: P1 m2 M2 m3 M3 P4 A4 d5 P5 … M9 A11 m13, with ``-`` before them for downward.
    """

    steps: int
    semitones: int

    @staticmethod
    @cache
    def parse(text: str) -> Interval:
        """Read ``m3``, ``A4`` or ``-P8``; raises ValueError with a sentence for anything else."""
        match = _INTERVAL.fullmatch(text.strip())
        if match is None:
            raise ValueError(f"{text!r} is not an interval; write it like m3, P5 or A4")
        steps = int(match["number"]) - 1
        octaves, within = divmod(steps, 7)
        base = 12 * octaves + NATURAL_SEMITONES[within]
        is_perfect = _QUALITIES[within] == "P"
        quality = match["quality"]
        if (quality in ("M", "m") and is_perfect) or (quality == "P" and not is_perfect):
            kind = "perfect" if is_perfect else "major or minor"
            raise ValueError(f"{text!r} is not an interval; the {within + 1}. letter up is {kind}")
        if quality[0] == "A":
            base += len(quality)
        elif quality[0] == "d":
            base -= len(quality) + (0 if is_perfect else 1)
        elif quality == "m":
            base -= 1
        return Interval(-steps, -base) if match["down"] else Interval(steps, base)

    @property
    def name(self) -> str:
        """The trade's name, such as ``m3`` or ``-P5``; raises ValueError where no name reaches."""
        down = self.steps < 0 or (self.steps == 0 and self.semitones < 0)
        steps, semitones = (-self.steps, -self.semitones) if down else (self.steps, self.semitones)
        octaves, within = divmod(steps, 7)
        off = semitones - (12 * octaves + NATURAL_SEMITONES[within])
        if _QUALITIES[within] == "P":
            quality = "P" if off == 0 else "A" * off if off > 0 else "d" * -off
        else:
            quality = "M" if off == 0 else "m" if off == -1 else "A" * off if off > 0 else "d" * (-off - 1)
        if len(quality) > 4:
            raise ValueError(f"{self.semitones} semitones over {self.steps} letters has no name")
        return f"{'-' if down else ''}{quality}{steps + 1}"

    def __neg__(self) -> Interval:
        return Interval(-self.steps, -self.semitones)

    def __add__(self, other: Interval) -> Interval:
        return Interval(self.steps + other.steps, self.semitones + other.semitones)

    def __str__(self) -> str:
        return self.name

    def __repr__(self) -> str:
        return f"Interval.parse({self.name!r})"


OCTAVE = Interval(7, 12)
