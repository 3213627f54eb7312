"""Keys: a tonic and a mode. A key knows its signature; which of two enharmonic keys to print is decided here."""

from __future__ import annotations

import re
from enum import Enum
from functools import cache

from lessonkit.theory.pitch import Interval, NoteName
from lessonkit.values import dataclass

SHARP_ORDER = "FCGDAEB"
"""The order in which sharps enter a signature; flats enter in the reverse order."""


class Mode(Enum):
    """The modes a key can have; ``fifths`` is where the mode's signature lies from the major key of the same tonic."""

    MAJOR = ("major", 0)
    MINOR = ("minor", -3)
    DORIAN = ("dorian", -2)
    PHRYGIAN = ("phrygian", -4)
    LYDIAN = ("lydian", 1)
    MIXOLYDIAN = ("mixolydian", -1)
    LOCRIAN = ("locrian", -5)

    def __init__(self, word: str, fifths: int) -> None:
        self.word = word
        self.fifths = fifths


_KEY = re.compile(r"(?P<tonic>[A-Ga-g](?:[#♯b♭])?)\s*(?P<mode>[A-Za-z]*)")


@dataclass(frozen=True, slots=True)
class Key:
    """A tonic and a mode whose signature has seven accidentals at most: 15 major and 15 minor keys, and the modes.

    >>> Key.parse("Eb").signature
    -3
    """

    tonic: NoteName
    mode: Mode = Mode.MAJOR

    def __post_init__(self) -> None:
        if abs(self.signature) > 7:
            raise ValueError(f"{self.tonic} {self.mode.word} would need more than seven accidentals in its signature")

    @staticmethod
    @cache
    def parse(text: str) -> Key:
        """Read ``Eb``, ``E♭ major``, ``F#m``, ``c minor`` or ``D dorian``; raises ValueError with a sentence.

        A capital or small tonic alone means major; minor is said by ``m`` or ``minor``.
        """
        match = _KEY.fullmatch(text.strip())
        if match is None:
            raise ValueError(f"{text!r} is not a key; write it like Eb, F# minor or D dorian")
        word = match["mode"]
        named = {"": Mode.MAJOR, "m": Mode.MINOR, "M": Mode.MAJOR, "min": Mode.MINOR, "maj": Mode.MAJOR}
        named |= {mode.word: mode for mode in Mode} | {"ionian": Mode.MAJOR, "aeolian": Mode.MINOR}
        mode = named.get(word) or named.get(word.lower())
        if mode is None:
            modes = ", ".join(mode.word for mode in Mode)
            raise ValueError(f"{text!r} is not a key: {word!r} is no mode; the modes are {modes}")
        return Key(NoteName.parse(match["tonic"]), mode)

    @property
    def signature(self) -> int:
        """Sharps in the signature; flats count negative, -7 to 7."""
        return self.tonic.fifths + self.mode.fifths

    @property
    def signature_names(self) -> tuple[NoteName, ...]:
        """The altered notes of the signature in the order they are written."""
        order = SHARP_ORDER if self.signature > 0 else SHARP_ORDER[::-1]
        sign = "#" if self.signature > 0 else "b"
        return tuple(NoteName.parse(letter + sign) for letter in order[: abs(self.signature)])

    @property
    def is_minor(self) -> bool:
        """Whether the third degree is minor."""
        return self.mode in (Mode.MINOR, Mode.DORIAN, Mode.PHRYGIAN, Mode.LOCRIAN)

    def alteration_in_signature(self, letter: int) -> int:
        """What the signature says of a letter (0 is C): -1, 0 or 1."""
        for name in self.signature_names:
            if name.letter == letter:
                return name.alteration
        return 0

    def degree(self, number: int) -> NoteName:
        """The note on a degree of the key (1 is the tonic), as its signature spells it."""
        letter = (self.tonic.letter + number - 1) % 7
        return NoteName(letter, self.alteration_in_signature(letter))

    @property
    def notes(self) -> frozenset[NoteName]:
        """The notes that belong to the key; in minor the raised sixth and seventh of the tonic's scales as well."""
        return _notes_of(self)

    def transposed(self, interval: Interval) -> Key:
        """The key an interval higher; raises ValueError where its signature would need more than seven accidentals."""
        return Key(self.tonic + interval, self.mode)

    @property
    def ascii(self) -> str:
        """The key in plain letters: ``Eb``, ``F#m``, ``D dorian``."""
        tail = {Mode.MAJOR: "", Mode.MINOR: "m"}.get(self.mode, f" {self.mode.word}")
        return self.tonic.ascii + tail

    def __str__(self) -> str:
        return f"{self.tonic} {self.mode.word}"

    def __repr__(self) -> str:
        return f"Key.parse({self.ascii!r})"


@cache
def _notes_of(key: Key) -> frozenset[NoteName]:
    notes = {key.degree(number) for number in range(1, 8)}
    if key.mode is Mode.MINOR:
        notes |= {key.tonic + Interval.parse("M6"), key.tonic + Interval.parse("M7")}
    return frozenset(notes)


MAJOR_KEYS = tuple(
    Key.parse(text) for text in ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"]
)
"""The fifteen major keys in the order of fifths."""

MINOR_KEYS = tuple(
    Key.parse(text + "m")
    for text in ["Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#", "D#", "A#"]
)
"""The fifteen minor keys in the order of fifths."""
