"""Each block in one line of plain words: what a screen reader says, and what lists and labels of edits show."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from desktop.words import say
from lessonkit.drills.setting import Setting
from lessonkit.lesson import prose
from lessonkit.lesson.lesson import (
    Aid,
    Block,
    DifficultyMap,
    Drill,
    Heading,
    Note,
    PageBreak,
    Space,
    UnknownAid,
    UnknownDrill,
)
from lessonkit.theory.naming import renamed

_LONGEST = 120


def spoken(block: Block, setting: Setting) -> str:
    """The block in a line of words, such as ``Broken chords, A♭ major seventh, right hand, two octaves``."""
    return SENTENCES[type(block)](block, setting)


def name_of(block: Block) -> str:
    """What kind of block it is, in the words of the shelf."""
    return NAMES[type(block)](block)


def _heading(block: Heading, setting: Setting) -> str:
    words = prose.plain_line(prose.read_line(block.text, setting), setting.label_style)
    return say("Heading: {words}", words=words or say("empty"))


def _note(block: Note, setting: Setting) -> str:
    words = " ".join(prose.plain_text(prose.read(block.text, setting), setting.label_style).split())
    return say("Note: {shortened}", shortened=_shortened(words) or say("empty"))


def _drill(block: Drill, setting: Setting) -> str:
    told = renamed(block.family.in_one_line(setting), setting.label_style.notes)
    summary, title = say(told), say(block.family.title)
    return summary if summary.startswith(title) else f"{title}: {summary}"


def _unknown(block: UnknownDrill, setting: Setting) -> str:
    return say("A drill that this version does not know: {code}", code=block.code)


def _unknown_aid(block: UnknownAid, setting: Setting) -> str:
    return say("An aid that this version does not know: {code}", code=block.code)


def _map(block: DifficultyMap, setting: Setting) -> str:
    return f"{say(block.map.title)}: {say(renamed(block.map.summary(setting.in_english), setting.label_style.notes))}"


def _aid(block: Aid, setting: Setting) -> str:
    return f"{say(block.shows.title)}: {say(block.shows.about())}"


def _space(block: Space, setting: Setting) -> str:
    return say("Space of {height} millimetres", height=block.height)


def _page_break(block: PageBreak, setting: Setting) -> str:
    return say("New page")


SENTENCES: dict[type[Any], Callable[[Any, Setting], str]] = {
    Heading: _heading,
    Note: _note,
    Drill: _drill,
    UnknownDrill: _unknown,
    DifficultyMap: _map,
    Aid: _aid,
    UnknownAid: _unknown_aid,
    Space: _space,
    PageBreak: _page_break,
}
"""Every kind of block and the words for it; a test holds that none is missing."""

NAMES: dict[type[Any], Callable[[Any], str]] = {
    Heading: lambda block: say("Heading") if block.level == 1 else say("Small heading"),
    Note: lambda block: say("Note"),
    Drill: lambda block: say(block.family.title),
    UnknownDrill: lambda block: say("Unknown drill"),
    DifficultyMap: lambda block: say(block.map.title),
    Aid: lambda block: say(block.shows.title),
    UnknownAid: lambda block: say("Unknown aid"),
    Space: lambda block: say("Space"),
    PageBreak: lambda block: say("New page"),
}
"""Every kind of block and what it is called; a test holds that none is missing."""


def _shortened(words: str) -> str:
    return words if len(words) <= _LONGEST else words[: _LONGEST - 1].rstrip() + "…"
