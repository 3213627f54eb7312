"""Days, numbers and given drills in the words of the window."""

from __future__ import annotations

from datetime import date

from desktop.words import english, say
from lessonkit.students.student import GivenBlock
from lessonkit.theory.quality import Quality

_MONTHS = (
    english("January"), english("February"), english("March"), english("April"), english("May"), english("June"),
    english("July"), english("August"), english("September"), english("October"), english("November"),
    english("December"),
)  # fmt: skip


def day_words(day: date) -> str:
    """``4 March 2026``, whatever language the computer speaks."""
    return say("{day} {month} {year}", day=day.day, month=say(_MONTHS[day.month - 1]), year=day.year)


def counted(number: int, word: str) -> str:
    """``1 block``, ``2 blocks``."""
    return say(f"{{n}} {word}" if number == 1 else f"{{n}} {word}s", n=number)


def detail_words(block: GivenBlock) -> str:
    """What tells one given drill from another of its family: ``major seventh, right hand``."""
    qualities = {item.quality for item in block.items}
    hands = {item.hands for item in block.items}
    parts = []
    if len(qualities) == 1 and (quality := qualities.pop()):
        parts.append(say(Quality.named(quality).words))
    if len(hands) == 1:
        hand = hands.pop().value
        parts.append(say("both hands") if hand == "both" else say(f"{hand} hand"))
    return ", ".join(parts)
