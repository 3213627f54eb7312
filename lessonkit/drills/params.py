"""The kinds of setting a drill can have.

Each turns plain file values into musical ones and back, with a sentence for what is wrong. The kinds have no slots:
those would make each class twice, and ``Param.__subclasses__()`` lists the kinds for tables that must be whole.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from enum import Enum
from fractions import Fraction
from typing import Any, ClassVar

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.quality import QUALITIES, Quality
from lessonkit.values import dataclass

Plain = str | int | bool | None | list[str] | list[int]
"""What a setting is in a file: text, a whole number, yes or no, nothing, or a list of texts or numbers."""

_WHOLE = re.compile(r"-?[0-9]{1,9}")

METRONOME_MARKS = (
    *range(40, 60, 2), *range(60, 72, 3), *range(72, 120, 4), *range(120, 144, 6), *range(144, 209, 8),
)  # fmt: skip
"""The 39 marks that mechanical metronomes carry, in beats a minute (common practice)."""

MOST_TEXT = 2000
"""The longest text a setting may hold, in characters."""


@dataclass(frozen=True)
class Param:
    """What every kind of setting says of itself: the words beside it, its help, its group and when it applies.

    ``applies`` is asked with the whole drill; where it says no, the form leaves the setting out.
    """

    kind: ClassVar[str] = "setting"

    label: str
    help: str = ""
    group: str = "This drill"
    unit: str = ""
    applies: Callable[[Any], bool] | None = None

    def plain(self, value: Any) -> Plain:
        """The value as it stands in a file."""
        raise TypeError(f"{type(self).__name__} does not say how it is written")

    def value(self, plain: Plain) -> Any:
        """The musical value of a plain one; raises ValueError with a sentence that does not name the setting."""
        raise TypeError(f"{type(self).__name__} does not say how it is read")

    def from_text(self, text: str) -> Any:
        """The value of what was typed on a command line."""
        return self.value(text)

    def describe(self) -> dict[str, Any]:
        """What may be chosen, for lists of settings made for machines."""
        return {}

    def extremes(self) -> tuple[Any, ...]:
        """Values at the ends of what is allowed; the contract tests build a drill at each."""
        return ()


@dataclass(frozen=True)
class Whole(Param):
    """A whole number between two ends."""

    kind: ClassVar[str] = "whole number"
    least: int = 0
    most: int = 100

    def plain(self, value: int) -> int:
        return value

    def value(self, plain: Plain) -> int:
        if isinstance(plain, bool) or not isinstance(plain, int):
            raise ValueError(f"{_short(plain)} is not a whole number; write one from {self.least} to {self.most}")
        if plain < self.least:
            raise ValueError(f"{_short(plain)} is less than {self.least}")
        if plain > self.most:
            raise ValueError(f"{_short(plain)} is more than {self.most}")
        return plain

    def from_text(self, text: str) -> int:
        if _WHOLE.fullmatch(text.strip()) is None:
            raise ValueError(f"{_short(text)} is not a whole number; write one from {self.least} to {self.most}")
        return self.value(int(text))

    def describe(self) -> dict[str, Any]:
        return {"least": self.least, "most": self.most}

    def extremes(self) -> tuple[Any, ...]:
        return (self.least, self.most)


@dataclass(frozen=True)
class YesNo(Param):
    """Yes or no."""

    kind: ClassVar[str] = "yes or no"

    def plain(self, value: bool) -> bool:
        return value

    def value(self, plain: Plain) -> bool:
        if not isinstance(plain, bool):
            raise ValueError(f"{_short(plain)} is neither true nor false")
        return plain

    def from_text(self, text: str) -> bool:
        answer = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}.get(text.lower())
        if answer is None:
            raise ValueError(f"{_short(text)} is neither yes nor no")
        return answer

    def describe(self) -> dict[str, Any]:
        return {"allowed": [True, False]}

    def extremes(self) -> tuple[Any, ...]:
        return (True, False)


@dataclass(frozen=True)
class Choice(Param):
    """One of a few named values; the name is the value of an enumeration's member."""

    kind: ClassVar[str] = "choice"
    options: type[Enum] = Enum
    only: tuple[Enum, ...] = ()
    """Those that make sense for one family, where not all of them do."""

    @property
    def offered(self) -> tuple[Enum, ...]:
        """What can be chosen."""
        return self.only or tuple(self.options)

    def plain(self, value: Enum) -> str:
        return str(value.value)

    def value(self, plain: Plain) -> Enum:
        for option in self.offered:
            if option.value == plain:
                return option
        raise ValueError(f"{_short(plain)} is not one of: {', '.join(str(option.value) for option in self.offered)}")

    def describe(self) -> dict[str, Any]:
        return {"allowed": [option.value for option in self.offered]}

    def extremes(self) -> tuple[Any, ...]:
        return self.offered


@dataclass(frozen=True)
class QualityChoice(Param):
    """A chord quality."""

    kind: ClassVar[str] = "chord quality"

    def plain(self, value: Quality) -> str:
        return value.key

    def value(self, plain: Plain) -> Quality:
        return _quality(plain, "write it like maj7 or m7b5")

    def describe(self) -> dict[str, Any]:
        return {"allowed": [quality.key for quality in QUALITIES]}

    def extremes(self) -> tuple[Any, ...]:
        return QUALITIES


@dataclass(frozen=True)
class QualityOrKey(Param):
    """A chord quality, or nothing: the chord is then the one that the key has on its degree."""

    kind: ClassVar[str] = "chord quality, or the key's own"

    def plain(self, value: Quality | None) -> str | None:
        return None if value is None else value.key

    def value(self, plain: Plain) -> Quality | None:
        if plain is None or plain == "key":
            return None
        return _quality(plain, "write it like maj7 or m7b5, or key for the key's own chord")

    def describe(self) -> dict[str, Any]:
        return {"allowed": [None, *(quality.key for quality in QUALITIES)]}

    def extremes(self) -> tuple[Any, ...]:
        return (None, *QUALITIES)


@dataclass(frozen=True)
class KeyChoice(Param):
    """A key, or nothing: the drill then follows the lesson.

    ``moves`` says that the key goes along when a whole lesson is transposed.
    """

    kind: ClassVar[str] = "key"
    moves: bool = True

    def plain(self, value: Key | None) -> str | None:
        return None if value is None else value.ascii

    def value(self, plain: Plain) -> Key | None:
        if plain is None or plain == "lesson":
            return None
        if not isinstance(plain, str):
            raise ValueError(f"{_short(plain)} is not a key; write it like Eb or F#m")
        return Key.parse(plain[:40])

    def describe(self) -> dict[str, Any]:
        return {"allowed": "a key such as Eb or F#m, or nothing to follow the lesson"}


@dataclass(frozen=True)
class KeyList(Param):
    """Some keys in an order; none means that the drill's own order of keys counts."""

    kind: ClassVar[str] = "keys"
    most: int = 30

    def plain(self, value: tuple[Key, ...]) -> list[str]:
        return [key.ascii for key in value]

    def value(self, plain: Plain) -> tuple[Key, ...]:
        if not isinstance(plain, list) or not all(isinstance(item, str) for item in plain):
            raise ValueError(f"{_short(plain)} is not a list of keys; write it like C, F, Bb")
        if len(plain) > self.most:
            raise ValueError(f"{len(plain)} keys are more than {self.most}")
        return tuple(Key.parse(str(item)[:40]) for item in plain)

    def from_text(self, text: str) -> tuple[Key, ...]:
        return self.value([part for part in text.replace(",", " ").split() if part])

    def describe(self) -> dict[str, Any]:
        return {"allowed": f"up to {self.most} keys such as C, F, Bb"}


@dataclass(frozen=True)
class NoteValue(Param):
    """The written length of a note: 1/8, 1/4 and so on; 1/12 is an eighth of a triplet."""

    kind: ClassVar[str] = "note length"
    allowed: tuple[Fraction, ...] = (
        Fraction(1), Fraction(1, 2), Fraction(1, 4), Fraction(1, 8), Fraction(1, 12), Fraction(1, 16), Fraction(1, 24),
    )  # fmt: skip

    def plain(self, value: Fraction) -> str:
        return str(value)

    def value(self, plain: Plain) -> Fraction:
        for length in self.allowed:
            if plain == str(length):
                return length
        raise ValueError(f"{_short(plain)} is not one of: {', '.join(str(length) for length in self.allowed)}")

    def describe(self) -> dict[str, Any]:
        return {"allowed": [str(length) for length in self.allowed]}

    def extremes(self) -> tuple[Any, ...]:
        return self.allowed


@dataclass(frozen=True)
class TempoMark(Param):
    """A mark of the metronome, or nothing, which stands for ``unset``."""

    kind: ClassVar[str] = "metronome mark"
    unset: str = "as the lesson"

    def plain(self, value: int | None) -> int | None:
        return value

    def value(self, plain: Plain) -> int | None:
        if plain is None or (type(plain) is int and plain in METRONOME_MARKS):
            return plain
        marks = ", ".join(map(str, METRONOME_MARKS[:5]))
        raise ValueError(f"{_short(plain)} is no mark of the metronome; take one such as {marks} … 208")

    def from_text(self, text: str) -> int | None:
        if text.strip() == self.unset:
            return None
        return self.value(int(text) if _WHOLE.fullmatch(text.strip()) else text)

    def describe(self) -> dict[str, Any]:
        return {"allowed": [None, *METRONOME_MARKS]}

    def extremes(self) -> tuple[Any, ...]:
        return (None, METRONOME_MARKS[0], METRONOME_MARKS[-1])


@dataclass(frozen=True)
class PitchChoice(Param):
    """A pitch of the keyboard, such as C4 (middle C)."""

    kind: ClassVar[str] = "pitch"

    def plain(self, value: Pitch) -> str:
        return value.ascii

    def value(self, plain: Plain) -> Pitch:
        if not isinstance(plain, str):
            raise ValueError(f"{_short(plain)} is not a pitch; write it like F#3")
        pitch = Pitch.parse(plain[:40])
        if not pitch.is_on_keyboard:
            raise ValueError(f"{pitch} is not on the keyboard, which runs from A0 to C8")
        return pitch

    def describe(self) -> dict[str, Any]:
        return {"allowed": "a pitch from A0 to C8 such as F#3"}


@dataclass(frozen=True)
class ProgressionText(Param):
    """Bars of degrees such as ``Imaj7 | vim7 | IVmaj7 | V7``, or of chord symbols in one key."""

    kind: ClassVar[str] = "progression"

    def plain(self, value: Progression) -> str:
        return value.ascii

    def value(self, plain: Plain) -> Progression:
        if not isinstance(plain, str):
            raise ValueError(f"{_short(plain)} is not a progression; write it like Imaj7 | vim7 | IVmaj7 | V7")
        if len(plain) > MOST_TEXT:
            raise ValueError(f"a progression of {len(plain)} characters is longer than {MOST_TEXT}")
        return Progression.parse(plain)

    def describe(self) -> dict[str, Any]:
        return {"allowed": "bars of degrees such as Imaj7 | vim7 | IVmaj7 | V7"}


@dataclass(frozen=True)
class Words(Param):
    """A line of words."""

    kind: ClassVar[str] = "words"
    most: int = 200

    def plain(self, value: str) -> str:
        return value

    def value(self, plain: Plain) -> str:
        if not isinstance(plain, str):
            raise ValueError(f"{_short(plain)} is not text")
        if len(plain) > self.most:
            raise ValueError(f"a text of {len(plain)} characters is longer than {self.most}")
        return plain

    def describe(self) -> dict[str, Any]:
        return {"allowed": f"up to {self.most} characters"}


@dataclass(frozen=True)
class Lines(Param):
    """Words over several lines."""

    kind: ClassVar[str] = "lines of words"
    most: int = MOST_TEXT

    def plain(self, value: str) -> str:
        return value

    def value(self, plain: Plain) -> str:
        if not isinstance(plain, str):
            raise ValueError(f"{_short(plain)} is not text")
        if len(plain) > self.most:
            raise ValueError(f"a text of {len(plain)} characters is longer than {self.most}")
        if any(ord(sign) < 32 and sign != "\n" for sign in plain):
            raise ValueError("the text holds a character that cannot be printed; take it out")
        return plain

    def describe(self) -> dict[str, Any]:
        return {"allowed": f"up to {self.most} characters, line breaks among them"}


@dataclass(frozen=True)
class Numbers(Param):
    """A short list of whole numbers, such as fingers 1 2 4 5 or inversions 0 1 2."""

    kind: ClassVar[str] = "numbers"
    least: int = 0
    most: int = 9
    longest: int = 64

    def plain(self, value: tuple[int, ...]) -> list[int]:
        return list(value)

    def value(self, plain: Plain) -> tuple[int, ...]:
        if not isinstance(plain, list) or not all(type(item) is int for item in plain):
            raise ValueError(f"{_short(plain)} is not a list of numbers from {self.least} to {self.most}")
        if len(plain) > self.longest:
            raise ValueError(f"{len(plain)} numbers are more than {self.longest}")
        for item in plain:
            if not self.least <= int(item) <= self.most:
                raise ValueError(f"{_short(item)} is not between {self.least} and {self.most}")
        return tuple(int(item) for item in plain)

    def from_text(self, text: str) -> tuple[int, ...]:
        parts = text.replace(",", " ").replace("-", " ").split()
        if not all(_WHOLE.fullmatch(part) for part in parts):
            raise ValueError(f"{_short(text)} is not a list of numbers from {self.least} to {self.most}")
        return self.value([int(part) for part in parts])

    def describe(self) -> dict[str, Any]:
        return {"least": self.least, "most": self.most, "longest": self.longest}


def _quality(plain: Plain, what_to_do: str) -> Quality:
    if isinstance(plain, str):
        for quality in QUALITIES:
            if quality.key == plain:
                return quality
        try:
            return Chord.parse(f"C{plain[:40]}").quality
        except ValueError:
            pass
    raise ValueError(f"{_short(plain)} is not a chord quality; {what_to_do}")


def _short(plain: object) -> str:
    text = repr(plain)
    return text if len(text) <= 40 else text[:37] + "…"
