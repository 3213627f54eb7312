"""Days, numbers and given drills in the words of the window."""

from __future__ import annotations

from datetime import date

from lessonkit.students.student import GivenBlock
from lessonkit.theory.quality import Quality

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def day_words(day: date) -> str:
    """``4 March 2026``, whatever language the computer speaks."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def counted(number: int, word: str) -> str:
    """``1 block``, ``2 blocks``."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def detail_words(block: GivenBlock) -> str:
    """What tells one given drill from another of its family: ``major seventh, right hand``."""
    qualities = {item.quality for item in block.items}
    hands = {item.hands for item in block.items}
    parts = []
    if len(qualities) == 1 and (quality := qualities.pop()):
        parts.append(Quality.named(quality).words)
    if len(hands) == 1:
        hand = hands.pop().value
        parts.append("both hands" if hand == "both" else f"{hand} hand")
    return ", ".join(parts)
