"""What a hand cannot span in an exercise, each with its reason and what to do instead. Nobody is told to stretch."""

from __future__ import annotations

from lessonkit.drills.family import DrillFamily
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.wide_places import ReachMark as ReachMark
from lessonkit.drills.wide_places import bar_at as bar_at
from lessonkit.drills.wide_places import wide_places
from lessonkit.drills.wording import counted
from lessonkit.hands.hand import Hand


def reach_marks(drill: DrillFamily, setting: Setting) -> tuple[ReachMark, ...]:
    """Everything that the player's hands cannot span in a drill, in order; raises ValueError as ``realise`` does.

    Rolled chords are not held together and may be as wide as they like.
    """
    return wide_places(realise(drill, setting), drill, setting.hands)


def reach_sentences(marks: tuple[ReachMark, ...]) -> tuple[str, ...]:
    """One sentence a hand for the page: the first thing that it cannot span, how many more there are, what to do."""
    sentences = []
    for hand in Hand:
        own = {mark.sentence: mark for mark in marks if mark.hand is hand}
        if own:
            first, more = next(iter(own.values())), len(own) - 1
            others = f", and {counted(more, 'other place')} {'is' if more == 1 else 'are'} too wide" if more else ""
            what = _one_of(first.advice)
            start = first.sentence[:1].upper() + first.sentence[1:]
            sentences.append(f"{start}{others}. {what[:1].upper()}{what[1:]}.")
    return tuple(sentences)


def _one_of(advice: tuple[str, ...]) -> str:
    return advice[0] if len(advice) == 1 else ", ".join(advice[:-1]) + f" or {advice[-1]}" if advice else ""
