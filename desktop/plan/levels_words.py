"""Levels and what they ask for in the words of the window."""

from __future__ import annotations

from desktop.words import say
from lessonkit.curriculum.levels import Level, Measure, Need, Requirement


def level_words(level: Level, measure: Measure | None) -> str:
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
    words = f"{say(one.skill.words)}\n{say(one.told)}"
    if measure is None:
        return words
    met = {need for need, _ in measure.met}
    return f"{words} · {_count_words(sum(need in met for need in one.needs), len(one.needs))}"


def need_words(need: Need) -> str:
    """What is asked for, without the skill, which stands above."""
    return say(need.words.partition(", ")[2] or need.words)
