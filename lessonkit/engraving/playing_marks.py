"""How a drill is to be played, as the engraver is told: touch at the notes, slurs, swells; and what is placed later.

The engraver places what must keep clear of stems and beams. Pedal lines and the words at repeats go around its ink.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import NamedTuple

from lessonkit.drills.exercise import BarEnd, Blank, Exercise, Hand, Sign
from lessonkit.engraving.score import Score

_ARTICULATIONS = {Sign.STACCATO: "stacc", Sign.TENUTO: "ten", Sign.ACCENT: "acc"}


class PlayedWords(NamedTuple):
    """What is placed around the ink of a system; moments in ticks."""

    onsets: dict[int, int]
    """When each event begins; empty where there is no pedal."""
    spans: list[tuple[int, int]]
    """Each bar's start and end."""
    pedals: list[tuple[int, int, bool]]
    """From when to when the pedal is held, and whether it is taken anew at once."""
    times: dict[str, int]
    """For bars that end in a repeat, by the name of the bar line: how often it is played."""


def articulation(sign: Sign | None) -> str:
    """The attribute of a note or chord that is struck in its own way."""
    return f' artic="{_ARTICULATIONS[sign]}"' if sign is not None else ""


def hanging_marks(score: Score, hidden: frozenset[Hand]) -> dict[int, list[str]]:
    """The slurs and swells by the bar in which they begin."""
    exercise, clock = score.exercise, score.clock
    found: dict[int, list[str]] = {}
    if not exercise.slurs and not exercise.swells:
        return found
    hands = tuple(score.bars)
    for slur in exercise.slurs:
        event = exercise.events[slur.first]
        if event.hand not in hidden:
            first, last = _name(exercise, slur.first), _name(exercise, slur.last)
            bar = bisect_right(score.starts, clock.ticks(event.onset)) - 1
            staff = hands.index(event.hand) + 1
            found.setdefault(bar, []).append(f'<slur staff="{staff}" startid="#{first}" endid="#{last}"/>')
    shown = next((hand for hand in hands if hand not in hidden), None)
    places = {event.onset: at for at, event in enumerate(exercise.events) if event.hand is shown and event.pitches}
    for swell in exercise.swells:
        if swell.onset in places and swell.end in places:
            form = "cres" if swell.grows else "dim"
            ids = f'startid="#{_name(exercise, places[swell.onset])}" endid="#{_name(exercise, places[swell.end])}"'
            bar = bisect_right(score.starts, clock.ticks(swell.onset)) - 1
            where = loudness_place(hands)
            found.setdefault(bar, []).append(f'<hairpin form="{form}" staff="1" {ids} place="{where}"/>')
    return found


def loudness_place(hands: tuple[Hand, ...]) -> str:
    """Where loudness stands: between staves, below the right hand's, above the left's with its fingers below."""
    if len(hands) == 2:
        return "between"
    return "above" if hands == (Hand.LEFT,) else "below"


def played_words(exercise: Exercise, score: Score, hidden: frozenset[Hand]) -> PlayedWords | None:
    """What is placed later, None where there is nothing."""
    clock = score.clock
    are_notes_there = Blank.NOTES not in exercise.blank or not hidden
    pedals = [(clock.ticks(one.onset), clock.ticks(one.end), one.changes) for one in exercise.pedals]
    times = {str(at): bar.times for at, bar in enumerate(exercise.bars) if bar.end is BarEnd.REPEAT and bar.times > 2}
    if not times and not (pedals and are_notes_there):
        return None
    onsets = {at: clock.ticks(event.onset) for at, event in enumerate(exercise.events)} if pedals else {}
    spans = [(start, start + length) for start, length in zip(score.starts, score.lengths, strict=True)]
    return PlayedWords(onsets, spans, pedals if are_notes_there else [], times)


def _name(exercise: Exercise, place: int) -> str:
    """The element of an event, as it is called in the MEI."""
    return f"c{place}" if len(exercise.events[place].pitches) > 1 else f"e{place}.0"
