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

_BORROWED = {
    (4, "maj7"): "ivm6", (4, "maj"): "iv", (4, "6"): "ivm6", (4, "maj9"): "ivm6",
    (2, "m7"): "iim7b5", (2, "m9"): "iim7b5",
}  # fmt: skip
"""What the key of the same tonic in minor has on the fourth and second degrees."""


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


def backdoor(bars: Bars, key: Key) -> Bars:
    """The dominant before the last tonic of a major key comes from the minor fourth degree and the lowered seventh."""
    found = list(bars)
    for place in range(len(bars) - 1, 0, -1):
        is_home = bars[place][0].degree == 1 and bars[place][0].alteration == 0 and bars[place][0].bass is None
        before = bars[place - 1]
        leads = _is_dominant(before[-1]) and before[-1].applied_to is None
        if is_home and leads and not key.is_minor:
            found[place - 1] = (RomanChord.parse("ivm7"), RomanChord.parse("bVII7"))
            break
    return tuple(found)


def modal_interchange(bars: Bars, key: Key) -> Bars:
    """A fourth or second degree of a major key that has a bar for itself turns to its form in minor halfway."""
    found: list[tuple[RomanChord, ...]] = []
    for bar in bars:
        borrowed = _BORROWED.get((bar[0].degree, bar[0].quality.key))
        is_plain = len(bar) == 1 and bar[0].alteration == 0 and bar[0].applied_to is None and bar[0].bass is None
        if is_plain and borrowed is not None and not key.is_minor:
            found.append((bar[0], RomanChord.parse(borrowed)))
        else:
            found.append(bar)
    return tuple(found)


def passing_diminished(bars: Bars, key: Key) -> Bars:
    """Between two chords whose roots are a tone apart, the first gives its second half to a diminished seventh."""
    found = list(bars)
    for place, (bar, after) in enumerate(pairwise(bars)):
        (here, *more), goal = bar, after[0]
        is_plain = not more and all(one.applied_to is None and one.bass is None for one in (here, goal))
        rises = (goal.strict_root(key).pitch_class - here.strict_root(key).pitch_class) % 12 == 2
        if is_plain and rises and "b5" not in goal.quality.degrees and not goal.is_tritone_substitute:
            raised = RomanChord(here.degree, Quality.named("dim7"), here.alteration + 1)
            if (raised.strict_root(key).pitch_class - here.strict_root(key).pitch_class) % 12 == 1:
                found[place] = (here, raised)
    return tuple(found)


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
