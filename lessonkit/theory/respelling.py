"""What was printed otherwise than it is strictly spelled. Chords and scales share it."""

from __future__ import annotations

from lessonkit.theory.pitch import NoteName
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Respelling:
    """One note that is printed otherwise than it is strictly spelled."""

    strict: NoteName
    printed: NoteName

    def __str__(self) -> str:
        return f"{self.printed} for {self.strict}"
