"""What hangs on moments of a bar in MusicXML: loudness, swells, pedal, degrees, labels, the tempo, chord symbols.

Each is made for an offset from the place where it comes to stand in the file, since not every moment has a note.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import NamedTuple
from xml.etree.ElementTree import Element

from lessonkit.drills.exercise import Blank, Exercise
from lessonkit.drills.times import DOTTED_QUARTER, counted_beat
from lessonkit.engraving.score import Score
from lessonkit.exchange.harmony import harmony
from lessonkit.exchange.xml_parts import add
from lessonkit.theory.label_style import LabelStyle

Make = Callable[[int], Element]


class Hanging(NamedTuple):
    """Something at a moment, in ticks; ``rank`` orders what stands at the same moment."""

    moment: int
    rank: int
    make: Make


_LOUDNESS = {"pp": 40, "p": 53, "mp": 67, "mf": 80, "f": 98, "ff": 116}
"""How loud each mark is, in percent of what MusicXML takes for a forte; our own, as they are played."""


def hanging(
    score: Score, style: LabelStyle, staves: int, shows_answers: bool, are_notes_hidden: bool
) -> list[list[Hanging]]:
    """What hangs on each bar, in order."""
    exercise = score.exercise
    found: list[list[Hanging]] = [[] for _ in exercise.bars]
    blank = frozenset[Blank]() if shows_answers else exercise.blank
    for one in _harmonies(exercise, score, style, staves, blank):
        found[_bar_of(score, one.moment)].append(one)
    if not are_notes_hidden:
        for one in _begun(exercise, score, staves):
            found[_bar_of(score, one.moment)].append(one)
        for one in _ended(exercise, score, staves):
            # What ends on a bar line ends the bar before it.
            found[max(0, bisect_left(score.starts, one.moment) - 1)].append(one)
    return [sorted(bar, key=lambda one: one[:2]) for bar in found]


def words(text: str, offset: int = 0, staff: int = 1, placement: str = "above", weight: str | None = None) -> Element:
    """Words at a staff."""
    element, kind = _direction(placement)
    add(kind, "words", text, font_weight=weight)
    return _ended_with(element, offset, staff)


def tempo_mark(exercise: Exercise, tempo: float) -> Element:
    """The metronome mark, ``tempo`` in beats of the metre."""
    beat = counted_beat(exercise.meter)
    element, kind = _direction("above")
    mark = add(kind, "metronome", parentheses="no")
    add(mark, "beat-unit", {2: "half", 4: "quarter", 8: "eighth", 16: "16th"}.get(beat.denominator, "quarter"))
    if beat == DOTTED_QUARTER:
        mark[0].text = "quarter"
        add(mark, "beat-unit-dot")
    add(mark, "per-minute", f"{tempo:g}")
    add(element, "staff", 1)
    add(element, "sound", tempo=f"{tempo * float(beat) * 4:g}")
    return element


def octave_line(octaves: int, size: int, staff: int) -> Element:
    """The beginning of an octave line for notes that sound ``octaves`` higher than written; 0 ends one."""
    element, kind = _direction("above" if octaves >= 0 else "below")
    which = "stop" if octaves == 0 else "down" if octaves > 0 else "up"
    add(kind, "octave-shift", type=which, size=7 * abs(size) + 1, number=staff)
    return _ended_with(element, 0, staff)


def _bar_of(score: Score, moment: int) -> int:
    return max(0, bisect_right(score.starts, moment) - 1)


def _direction(placement: str | None) -> tuple[Element, Element]:
    element = Element("direction", {"placement": placement} if placement else {})
    return element, add(element, "direction-type")


def _ended_with(element: Element, offset: int, staff: int) -> Element:
    if offset:
        add(element, "offset", offset)
    add(element, "staff", staff)
    return element


def _harmonies(
    exercise: Exercise, score: Score, style: LabelStyle, staves: int, blank: frozenset[Blank]
) -> Iterator[Hanging]:
    has_names = Blank.CHORD_NAMES not in blank and (Blank.CHORD_NAMES in exercise.blank or exercise.shown.chord_names)
    has_degrees = Blank.DEGREES not in blank and (Blank.DEGREES in exercise.blank or exercise.shown.degrees)
    for mark in exercise.chords:
        moment = score.clock.ticks(mark.onset)
        if has_names:
            yield Hanging(moment, 2, lambda offset, chord=mark.chord: harmony(chord, style, offset))  # type: ignore[misc]
        text = mark.degree.text(style) if mark.degree is not None and has_degrees else ""
        if mark.verdict:
            text = "" if Blank.VERDICTS in blank else mark.verdict
        if text:
            yield Hanging(moment, 3, lambda offset, text=text: words(text, offset, staves, "below"))  # type: ignore[misc]


def _begun(exercise: Exercise, score: Score, staves: int) -> Iterator[Hanging]:
    ticks = score.clock.ticks
    for dynamic in exercise.dynamics:
        yield Hanging(ticks(dynamic.onset), 4, lambda offset, mark=dynamic.mark: _dynamic(mark, offset))  # type: ignore[misc]
    for swell in exercise.swells:
        kind = "crescendo" if swell.grows else "diminuendo"
        yield Hanging(ticks(swell.onset), 5, lambda offset, kind=kind: _wedge(kind, offset))  # type: ignore[misc]
    changed: set[Fraction] = {pedal.end for pedal in exercise.pedals if pedal.changes}
    for pedal in exercise.pedals:
        kind = "change" if pedal.onset in changed else "start"
        yield Hanging(ticks(pedal.onset), 1, lambda offset, kind=kind: _pedal(kind, offset, staves))  # type: ignore[misc]


def _ended(exercise: Exercise, score: Score, staves: int) -> Iterator[Hanging]:
    ticks = score.clock.ticks
    for swell in exercise.swells:
        yield Hanging(ticks(swell.end), 0, lambda offset: _wedge("stop", offset))
    begun = {pedal.onset for pedal in exercise.pedals}
    for pedal in exercise.pedals:
        if not (pedal.changes and pedal.end in begun):
            yield Hanging(ticks(pedal.end), 0, lambda offset: _pedal("stop", offset, staves))


def _dynamic(mark: str, offset: int) -> Element:
    element, kind = _direction("below")
    add(add(kind, "dynamics"), mark)
    _ended_with(element, offset, 1)
    add(element, "sound", dynamics=_LOUDNESS[mark])
    return element


def _wedge(kind: str, offset: int) -> Element:
    element, inner = _direction("below")
    add(inner, "wedge", type=kind)
    return _ended_with(element, offset, 1)


def _pedal(kind: str, offset: int, staff: int) -> Element:
    element, inner = _direction("below")
    add(inner, "pedal", type=kind, line="yes", sign="no")
    return _ended_with(element, offset, staff)
