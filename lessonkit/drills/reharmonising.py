"""Moves that make a plain progression richer, one kind at a time. Where a move does not fit, a bar stays as it is.

All are common practice, no source. Degrees only: a move holds for every key of the mode.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise

from lessonkit.theory.key import Key
from lessonkit.theory.quality import Quality
from lessonkit.theory.roman import RomanChord

Bars = tuple[tuple[RomanChord, ...], ...]
Move = Callable[[Bars, Key], Bars]

SEVENTH = Quality.named("7")
_DOMINANTS = ("7", "9", "13", "7b9", "7#9", "7#11", "7b13", "7#5", "7b5", "7alt", "7b9b13")
_TONICS = {"maj7": "vim7", "6": "vim7", "maj9": "vim7", "maj": "vi", "m7": "VImaj7", "m6": "VImaj7", "m": "VI"}
"""The chord on the sixth degree that stands for each kind of tonic."""


def relative_for_tonic(bars: Bars, key: Key) -> Bars:
    """The second of two bars of the tonic becomes the chord on the sixth degree; the last bar stays."""
    found = list(bars)
    for place in range(1, len(bars) - 1):
        (tonic, *more) = bars[place]
        is_held = not more and found[place] == found[place - 1]
        if is_held and (tonic.degree, tonic.alteration) == (1, 0) and tonic.quality.key in _TONICS:
            found[place] = (RomanChord.parse(_TONICS[tonic.quality.key]),)
    return tuple(found)


def two_before_five(bars: Bars, key: Key) -> Bars:
    """A dominant that has a bar for itself is prepared by the second degree of its goal."""
    found = []
    for place, bar in enumerate(bars):
        goal_is_minor = key.is_minor if bar[0].applied_to is None else bar[0].applied_to.is_small
        two = RomanChord(2, Quality.named("m7b5" if goal_is_minor else "m7"), applied_to=bar[0].applied_to)
        is_prepared = place > 0 and bars[place - 1][-1] == two
        found.append((two, bar[0]) if len(bar) == 1 and _is_dominant(bar[0]) and not is_prepared else bar)
    return tuple(found)


def secondary_dominants(bars: Bars, key: Key) -> Bars:
    """The second half of a bar leads to the next bar's chord by its own dominant, unless that is the tonic."""
    found = list(bars)
    for place, (bar, after) in enumerate(pairwise(bars)):
        goal = after[0]
        is_goal = goal.applied_to is None and goal.alteration == 0 and goal.degree != 1 and goal.bass is None
        is_goal = is_goal and not goal.is_tritone_substitute and "b5" not in goal.quality.degrees
        if len(bar) == 1 and bar[0] != goal and is_goal:
            triad = replace(goal, quality=Quality.named("m" if goal.is_small else "maj"))
            found[place] = (bar[0], RomanChord(5, SEVENTH, applied_to=triad))
    return tuple(found)


def tritone_substitutes(bars: Bars, key: Key) -> Bars:
    """A dominant that falls a fifth to what follows gives way to the one a tritone off, which falls a semitone."""
    chords = [roman for bar in bars for roman in bar]
    replaced = iter(_substituted(chords, key))
    return tuple(tuple(next(replaced) for _ in bar) for bar in bars)


def _substituted(chords: list[RomanChord], key: Key) -> Iterator[RomanChord]:
    for place, roman in enumerate(chords):
        after = chords[place + 1] if place + 1 < len(chords) else None
        falls = after is not None and _falls_a_fifth(roman, after, key)
        yield replace(roman, quality=SEVENTH, is_tritone_substitute=True) if falls and _is_dominant(roman) else roman


def _falls_a_fifth(roman: RomanChord, after: RomanChord, key: Key) -> bool:
    return (roman.strict_root(key).pitch_class - after.strict_root(key).pitch_class) % 12 == 7


def _is_dominant(roman: RomanChord) -> bool:
    is_five = roman.degree == 5 and roman.alteration == 0 and roman.bass is None
    return is_five and not roman.is_tritone_substitute and roman.quality.key in _DOMINANTS
