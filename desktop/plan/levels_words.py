"""Levels and what they ask for in the words of the window."""

from __future__ import annotations

from collections.abc import Sequence

from desktop.words import say
from lessonkit.curriculum.coverage import TWELVE_MAJOR, TWELVE_MINOR
from lessonkit.curriculum.levels import Level, Measure, Need, Requirement
from lessonkit.curriculum.seen import WORDS, Axis, plain_key
from lessonkit.theory.key import Key


def level_words(level: Level, measure: Measure | None) -> str:
    """The name of a level, and below it how much of it is met."""
    if measure is None:
        return f"{level.name}\n"
    count = len(measure.met) + len(measure.unmet)
    if count and measure.is_reached:
        return say("{name}\nreached, all {count} met", name=level.name, count=count)
    return f"{level.name}\n{_count_words(len(measure.met), count)}"


def _count_words(met: int, count: int) -> str:
    if not count:
        return say("nothing asked for yet")
    return (
        say("met")
        if met == count == 1
        else say("not yet")
        if count == 1
        else say("{met} of {count} met", met=met, count=count)
    )


def asked_words(one: Requirement, measure: Measure | None) -> str:
    """The skill, and below it what is asked of it and how much of that is met."""
    words = f"{say(one.skill.words)}\n{told_words(one)}"
    if measure is None:
        return words
    met = {need for need, _ in measure.met}
    return f"{words} · {_count_words(sum(need in met for need in one.needs), len(one.needs))}"


def told_words(one: Requirement) -> str:
    """What is asked of a skill: ``F major, C major; right hand; major chord; at 60``."""
    parts = [
        _keys_words([plain_key(key) for key in one.keys]),
        ", ".join(say(WORDS[Axis.HAND](hand)) for hand in one.hands),
        ", ".join(_chord_words(quality) for quality in one.qualities),
        _tempo_words(one.tempo),
    ]
    return "; ".join(part for part in parts if part)


def need_words(need: Need) -> str:
    """What is asked for, without the skill, which stands above."""
    parts = [
        _chord_words(need.quality) if need.quality is not None else "",
        say("in {key}", key=say(str(need.key))) if need.key is not None else "",
        say(WORDS[Axis.HAND](need.hand)) if need.hand is not None else "",
        _tempo_words(need.tempo),
    ]
    return ", ".join(part for part in parts if part) or say(need.skill.words)


def _keys_words(keys: Sequence[Key]) -> str:
    for all_keys, words in ((TWELVE_MAJOR, say("all major keys")), (TWELVE_MINOR, say("all minor keys"))):
        if set(all_keys) <= set(keys):
            return ", ".join([words, *(say(str(key)) for key in keys if key not in all_keys)])
    return ", ".join(say(str(key)) for key in keys) or say("any key")


def _chord_words(quality: str) -> str:
    return say("{quality} chord", quality=say(WORDS[Axis.QUALITY](quality)))


def _tempo_words(tempo: int) -> str:
    return say("at {tempo}", tempo=tempo) if tempo else ""
