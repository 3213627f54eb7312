"""What is said of fingers, reach and difficulty, in a teacher's words."""

from __future__ import annotations

from collections.abc import Sequence

from desktop.forms.wording import capital
from desktop.words import english, say
from lessonkit.drills.difficulty import DrillDifficulty
from lessonkit.drills.easier_drills import Suggestion
from lessonkit.drills.exercise import Exercise
from lessonkit.drills.finger_remarks import swapped_group
from lessonkit.drills.fingers import RunnerUp
from lessonkit.hands.difficulty import Band

_GAINS = ((2.5, english("much easier")), (1.0, english("easier")), (0.0, english("a little easier")))
"""What is said of a gain from so much on."""

_MOST_NOTES = 8
"""So many fingers are shown in a row; the rest stand for themselves."""


_TOGETHER = "\N{NO-BREAK SPACE}"
"""Fingers of one row stay on one line."""


def sentence(words: str) -> str:
    """Words as a sentence: a capital at the start and a full stop."""
    return capital(words).rstrip(".") + "."


def difficulty_words(found: DrillDifficulty) -> str:
    """The band with its reasons below it, a line each, and where most of it happens."""
    place = f" ({say(found.where)})" if found.where and found.reasons else ""
    return "\n".join([capital(say(found.band.value)) + place, *(sentence(say(reason)) for reason in found.reasons)])


def gain_words(way: Suggestion, now: Band | None) -> str:
    """How much a way gains: ``much easier, moderate instead of hard``."""
    gain = next(say(words) for least, words in _GAINS if way.gain >= least)
    return (
        gain
        if now is None or now is way.band
        else say("{gain}, {then} instead of {now}", gain=gain, then=say(way.band.value), now=say(now.value))
    )


def why_words(way: Suggestion) -> str:
    """Why a way is easier, without what the trouble's own sentence says more about it."""
    said = way.why.split(": ")
    return say(": ".join(said[:2]))


def other_fingers_words(exercise: Exercise, other: RunnerUp) -> str:
    """What the next best fingers are: ``2 1 2 4 instead of 1 2 3 5 on A♭3 C4 E♭4 G4``; empty for none."""
    names, now, then = swapped_group(exercise, other)
    if not names:
        return ""
    changed = [place for place, (old, new) in enumerate(zip(now, then, strict=True)) if old != new]
    if len(names) > _MOST_NOTES:
        start = max(0, min(changed[0] - 1, len(names) - _MOST_NOTES))
        part = slice(start, start + _MOST_NOTES)
        names, now, then = names[part], now[part], then[part]
    more = len(other.changes) - sum(old != new for old, new in zip(now, then, strict=True))
    rest = say(", and {more} more", more=more) if more else ""
    hand = capital(say(f"{other.hand.value} hand"))
    return say(
        "{hand}: {then} instead of {now} on {names}{rest}",
        hand=hand,
        then=_row(then),
        now=_row(now),
        names=" ".join(names),
        rest=rest,
    )


def _row(fingers: Sequence[int | None]) -> str:
    return _TOGETHER.join("–" if finger is None else str(finger) for finger in fingers)
