"""What a search says of a drill's settings: “broken left” means broken chords for the left hand. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache
from typing import Any

from desktop.editing.insertable import Insertable, is_begun
from desktop.words import say, within
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.params import Choice, QualityChoice, QualityOrKey
from lessonkit.lesson.lesson import Drill
from lessonkit.theory.quality import QUALITIES

_SAID_OF_EVERY_DRILL = frozenset({"hands"})
"""The settings common to all drills that a search may say; the others are too many, and their words too usual."""


def fitted(entry: Insertable, search: str) -> Insertable | None:
    """The entry with the settings that a search names; None where the search is not of this entry."""
    if entry.family is None:
        return entry if entry.answers(search) else None
    words = tuple(search.lower().replace("-", " ").split())
    settings, rest, told = _settings_named(entry.family, words)
    if not settings:
        return entry if entry.answers(search) else None
    if not is_begun(" ".join(rest), entry.text):
        return entry if entry.answers(search) else None
    drill = _with(entry.family(), settings)
    if drill == entry.family():
        return replace(entry, is_fitted=True)
    return replace(
        entry, about=f"{_capital(', '.join(told))}. {entry.shown_about}", make=lambda: Drill(drill), is_fitted=True
    )


def found(entries: tuple[Insertable, ...], search: str) -> tuple[Insertable, ...]:
    """The entries that answer a search: those called so first, then those that it fits by a setting, then the rest."""
    if not search.strip():
        return entries
    answering = [fit for entry in entries if (fit := fitted(entry, search)) is not None]
    return tuple(sorted(answering, key=lambda one: (not one.is_called(search), not one.is_fitted)))


def _settings_named(
    family: type[DrillFamily], words: tuple[str, ...]
) -> tuple[dict[str, Any], tuple[str, ...], list[str]]:
    """The settings whose options stand in the words, the words that are left, and what was understood."""
    settings: dict[str, Any] = {}
    told: list[str] = []
    left = list(words)
    for name, label, option_words, option in _options(family):
        at = _place_of(option_words, left)
        if name not in settings and at is not None:
            settings[name] = option
            told.append(f"{within(say(label))}: {say(' '.join(option_words))}")
            del left[at : at + len(option_words)]
    return settings, tuple(left), told


@lru_cache(maxsize=128)
def _options(family: type[DrillFamily]) -> tuple[tuple[str, str, tuple[str, ...], Any], ...]:
    """Every option that a search may name, those of more words first."""
    return tuple(sorted(_all_options(family), key=lambda one: -len(one[2])))


def _all_options(family: type[DrillFamily]) -> Iterator[tuple[str, str, tuple[str, ...], Any]]:
    common = DrillFamily.declared()
    for name, param in family.declared().items():
        if name in common and name not in _SAID_OF_EVERY_DRILL:
            continue
        if isinstance(param, Choice):
            for option in param.offered:
                for words in dict.fromkeys((str(option.value), say(str(option.value)))):
                    yield name, param.label, _words(words), option
        elif isinstance(param, QualityChoice | QualityOrKey):
            for quality in QUALITIES:
                for words in dict.fromkeys((quality.words, say(quality.words))):
                    yield name, param.label, _words(words), quality


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.lower().replace("-", " ").split())


def _place_of(option: tuple[str, ...], words: list[str]) -> int | None:
    count = len(option)
    if not count:
        return None
    return next((at for at in range(len(words) - count + 1) if tuple(words[at : at + count]) == option), None)


def _with(drill: DrillFamily, settings: dict[str, Any]) -> DrillFamily:
    for name, value in settings.items():
        with suppress(ValueError):
            drill = drill.with_value(name, value)
    return drill


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
