"""The notes of the drill in letters, bar by bar, for those who do not read staves yet."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from lessonkit.drills import fields
from lessonkit.drills.exercise import Bar, Blank, ChordMark, Event, Exercise, Hand
from lessonkit.drills.realise import realise
from lessonkit.drills.told import LINE_TO_WRITE_ON, label_told, labels_told_once
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.prose import ChordName, Span, Words
from lessonkit.lesson.shown import Shown, Spelled, SpelledBar, SpelledHand, SpelledNote, Text
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass

MOST_BARS = 48
IN_PIECE = 4
"""So many bars are not parted by the end of a page."""

ASKED = LINE_TO_WRITE_ON
"""Stands for notes that a worksheet asks for."""

NAME_ASKED, DEGREE_ASKED = "_" * 7, "_" * 4
"""For the name of a chord, and for its degree behind that."""


@dataclass(frozen=True)
class LetterNames(PageAid):
    """The drill's notes in letters with their octaves, bar by bar, each over its finger."""

    code = "letter-names"
    title = "Notes in letters"
    words = ("beginner", "reading", "letters")
    heading = "In letters"
    may_part = True

    shows_fingers: bool = fields.yes_no(True, label="Fingers")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        if scene.drill is None:
            return (Text("There is no drill on this page to spell."),)
        exercise = labels_told_once(realise(scene.drill, scene.setting))
        style = scene.setting.label_style
        bars = tuple(self._bar(exercise, bar, number, style) for number, bar in enumerate(exercise.bars[:MOST_BARS], 1))
        more = len(exercise.bars) - MOST_BARS
        told = (Text(f"And {more} bars more.", is_quiet=True),) if more > 0 else ()
        return (*(Spelled(piece, bars) for piece in _pieces(bars)), *told)

    def _bar(self, exercise: Exercise, bar: Bar, number: int, style: LabelStyle) -> SpelledBar:
        inside = [event for event in exercise.events if bar.onset <= event.onset < bar.onset + bar.length]
        columns = {onset: column for column, onset in enumerate(sorted({event.onset for event in inside}))}
        hands = tuple(
            SpelledHand(
                hand.value if len(exercise.hands) > 1 else "",
                tuple(self._notes(exercise, bar, hand, columns, style, names_chords=place == 0)),
            )
            for place, hand in enumerate(exercise.hands)
        )
        heading = label_told(bar, Blank.KEY in exercise.blank, style)
        return SpelledBar(f"{number}.", hands, heading, _groups(inside, columns))

    def _notes(
        self, exercise: Exercise, bar: Bar, hand: Hand, columns: dict[Fraction, int], style: LabelStyle,
        names_chords: bool,
    ) -> Iterator[SpelledNote]:  # fmt: skip
        """What a hand strikes in a bar; the chords are named over the upper hand, where they begin."""
        if Blank.NOTES in exercise.blank or (hand is Hand.RIGHT and Blank.RIGHT_HAND in exercise.blank):
            marks = [mark for mark in exercise.chords if bar.onset <= mark.onset < bar.onset + bar.length]
            for place, mark in enumerate(marks):
                yield SpelledNote(ASKED, "", _named(exercise, mark, names_chords), columns.get(mark.onset, place))
            if not marks:
                yield SpelledNote(ASKED)
            return
        inside = [event for event in exercise.of(hand) if bar.onset <= event.onset < bar.onset + bar.length]
        onset = bar.onset
        for place, event in enumerate(inside):
            end = inside[place + 1].onset if place + 1 < len(inside) else bar.onset + bar.length
            begun = next((mark for mark in exercise.chords if onset <= mark.onset < end), None)
            yield SpelledNote(
                ASKED if event.is_open else "+".join(map(style.pitch, event.pitches)) or "rest",
                self._fingers(event, exercise),
                _named(exercise, begun, names_chords) if begun else (),
                columns[event.onset],
            )
            onset = end
        if not inside:
            is_held = any(event.onset < bar.onset < event.end for event in exercise.of(hand) if event.pitches)
            yield SpelledNote("held" if is_held else "rest")

    def _fingers(self, event: Event, exercise: Exercise) -> str:
        if not self.shows_fingers or Blank.FINGERS in exercise.blank:
            return ""
        return "+".join(str(finger) for finger in event.fingers if finger)


def _named(exercise: Exercise, mark: ChordMark, names_chords: bool) -> tuple[Span, ...]:
    """The chord above a note, or a line to write it on with another for its degree where these are asked for."""
    if not names_chords:
        return ()
    if Blank.CHORD_NAMES in exercise.blank:
        is_degree_asked = Blank.DEGREES in exercise.blank
        return (Words(f"{NAME_ASKED}  {DEGREE_ASKED}" if is_degree_asked else NAME_ASKED),)
    return (ChordName(mark.chord, bold=True),)


def _groups(inside: list[Event], columns: dict[Fraction, int]) -> frozenset[int]:
    """Where the groups of the hand that strikes most begin, if it strikes single notes."""
    busiest = max(Hand, key=lambda hand: sum(event.hand is hand for event in inside))
    mine = [event for event in inside if event.hand is busiest]
    if any(len(event.pitches) > 1 for event in mine):
        return frozenset()
    return frozenset(columns[after.onset] for before, after in pairwise(mine) if before.group != after.group)


def _pieces(bars: tuple[SpelledBar, ...]) -> Iterator[tuple[SpelledBar, ...]]:
    """The bars in pieces that stay together; one that has a heading begins a piece."""
    start = 0
    for place in range(1, len(bars) + 1):
        if place == len(bars) or bars[place].heading or place - start == IN_PIECE:
            yield bars[start:place]
            start = place
