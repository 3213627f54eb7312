"""Fingers typed for one key only, and the setting for them: ``Eb right 0 0 4`` leaves two notes to the program."""

from __future__ import annotations

import re
from typing import Any, ClassVar

from lessonkit.drills.params import Param, Plain
from lessonkit.hands.hand import Hand
from lessonkit.theory.key import Key
from lessonkit.values import dataclass

MOST_TYPED = 512
"""The most fingers that can be typed for one hand in one key."""

_WRITTEN = re.compile(r"(\S+(?: [a-z]+)?) (right|left) ([0-5](?: [0-5])*)")
_EXAMPLE = "Eb right 1 2 0 4"


@dataclass(frozen=True, slots=True)
class KeyFingers:
    """The fingers typed for a hand in one key, counted from the key's first note; 0 leaves a note to the program.

    >>> KeyFingers.parse("Eb right 0 0 4")
    KeyFingers.parse('Eb right 0 0 4')
    """

    key: Key
    hand: Hand
    fingers: tuple[int, ...]

    def __post_init__(self) -> None:
        if not any(self.fingers) or not all(0 <= finger <= 5 for finger in self.fingers):
            raise ValueError(f"{self.fingers} are not fingers; write 1 to 5, and 0 where the program finds one")
        if len(self.fingers) > MOST_TYPED:
            raise ValueError(f"{len(self.fingers)} fingers are more than {MOST_TYPED}; make two drills of it")

    @staticmethod
    def parse(text: str) -> KeyFingers:
        """Read a key, a hand and its fingers; raises ValueError with a sentence for anything else."""
        found = _WRITTEN.fullmatch(" ".join(text.split()))
        if found is None:
            raise ValueError(f"{text[:40]!r} are not fingers of a key; write them like {_EXAMPLE}")
        key, hand, fingers = found.groups()
        return KeyFingers(Key.parse(key), Hand(hand), tuple(int(finger) for finger in fingers.split()))

    def __str__(self) -> str:
        return f"{self.key.ascii} {self.hand.value} {' '.join(map(str, self.fingers))}"

    def __repr__(self) -> str:
        return f"KeyFingers.parse({str(self)!r})"


@dataclass(frozen=True)
class FingersInKeys(Param):
    """Fingers that hold in one key each, none at first."""

    kind: ClassVar[str] = "fingers by key"
    most: int = 60

    def plain(self, value: tuple[KeyFingers, ...]) -> list[str]:
        return [str(one) for one in value]

    def value(self, plain: Plain) -> tuple[KeyFingers, ...]:
        if not isinstance(plain, list) or not all(isinstance(item, str) for item in plain):
            raise ValueError(f"{str(plain)[:40]} is not a list of fingers by key; write it like {_EXAMPLE}")
        if len(plain) > self.most:
            raise ValueError(f"fingers for {len(plain)} keys and hands are more than {self.most}")
        found = tuple(KeyFingers.parse(str(item)) for item in plain)
        if len({(one.key, one.hand) for one in found}) < len(found):
            raise ValueError("one hand has two lists of fingers in one key; make one list of them")
        return found

    def from_text(self, text: str) -> tuple[KeyFingers, ...]:
        said = " ".join(text.replace(";", " ").replace(",", " ").split())
        found = [match[0] for match in _WRITTEN.finditer(said)]
        return self.value(found if " ".join(found) == said else [said])

    def describe(self) -> dict[str, Any]:
        return {"allowed": f"up to {self.most} texts such as {_EXAMPLE}, a key and a hand each"}
