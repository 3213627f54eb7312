"""Words found and replaced in what a teacher wrote: the title, the aims, headings and notes. Pure."""

from __future__ import annotations

import re
from dataclasses import replace

from lessonkit.lesson.edits import replace_block, set_aims, set_title
from lessonkit.lesson.lesson import Heading, Lesson, Note
from lessonkit.values import dataclass

TITLE, AIMS = "head:title", "head:aims"
"""What stands for a block's id where words are the lesson's title or aims; the pages call them so too."""


@dataclass(frozen=True, slots=True)
class FoundWords:
    """Where words stand: the block (or ``TITLE``, ``AIMS``) and the characters from one place up to another."""

    place: str
    start: int
    end: int


def find_words(lesson: Lesson, words: str, minds_case: bool = False) -> tuple[FoundWords, ...]:
    """Every place of some words, in the order of the pages; none for no words."""
    if not words:
        return ()
    pattern = re.compile(re.escape(words), 0 if minds_case else re.IGNORECASE)
    return tuple(
        FoundWords(place, match.start(), match.end())
        for place, text in _texts(lesson)
        for match in pattern.finditer(text)
    )


def replace_words(lesson: Lesson, found: tuple[FoundWords, ...], by: str) -> Lesson:
    """The lesson with other words in all of these places; raises ValueError where a text would grow too long."""
    for place, text in _texts(lesson):
        changed = text
        # From the end, so that the places before keep their count.
        for one in sorted((one for one in found if one.place == place), key=lambda one: -one.start):
            changed = changed[: one.start] + by + changed[one.end :]
        if changed != text:
            lesson = _with_text(lesson, place, changed)
    return lesson


def around(lesson: Lesson, found: FoundWords, reach: int = 24) -> str:
    """The words with a little of what stands around them, on one line."""
    text = dict(_texts(lesson)).get(found.place, "")
    before = ("…" if found.start > reach else "") + text[max(0, found.start - reach) : found.start]
    after = text[found.end : found.end + reach] + ("…" if found.end + reach < len(text) else "")
    return " ".join(f"{before}{text[found.start : found.end]}{after}".split())


def _texts(lesson: Lesson) -> list[tuple[str, str]]:
    words = [(block.id, block.text) for block in lesson.blocks if isinstance(block, Note | Heading)]
    return [(TITLE, lesson.title), (AIMS, lesson.aims), *words]


def _with_text(lesson: Lesson, place: str, text: str) -> Lesson:
    if place == TITLE:
        return set_title(lesson, text)
    if place == AIMS:
        return set_aims(lesson, text)
    block = lesson.block(place)
    assert isinstance(block, Note | Heading)
    return replace_block(lesson, replace(block, text=text))
