"""Which of the two hands plays. The left hand is fingered as the right one on keys mirrored about D."""

from __future__ import annotations

from enum import Enum


class Hand(Enum):
    """Which hand plays."""

    RIGHT = "right"
    LEFT = "left"

    # There is one value of each, so that it need not be told by its name, which costs three times as much.
    __hash__ = object.__hash__

    @staticmethod
    def parse(text: str) -> Hand:
        """Read ``right`` or ``left``; raises ValueError for anything else."""
        try:
            return Hand(text.strip().lower())
        except ValueError:
            raise ValueError(f"{text!r} is not a hand; write right or left") from None
