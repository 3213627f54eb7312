"""The chords of the drill in bars, without notes: what a player meets on a stand."""

from __future__ import annotations

from itertools import pairwise

from lessonkit.drills import fields
from lessonkit.drills.exercise import Blank, Exercise
from lessonkit.drills.realise import realise
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.prose import ChordName, DegreeName, Span, Words
from lessonkit.lesson.shown import SPACED, Cell, Room, Shown, Table, Text
from lessonkit.theory.naming import renamed
from lessonkit.values import dataclass

MOST_BARS = 64


@dataclass(frozen=True)
class ChordsInBars(PageAid):
    """The drill's chord symbols in bars, without a note, to be played from the symbols alone."""

    code = "chords-in-bars"
    title = "Chords in bars"
    words = ("chart", "symbols", "lead sheet", "retrieval")
    heading = "The chords"

    in_row: int = fields.whole(4, least=1, most=6, label="Bars in a row")
    shows_degrees: bool = fields.yes_no(False, label="Degrees instead", help="Roman numerals in the place of symbols.")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        if scene.drill is None:
            return (Text("There is no drill on this page to take chords from."),)
        exercise = realise(scene.drill, scene.setting)
        if not exercise.chords:
            return (Text("This drill names no chords."),)
        count = min(len(exercise.bars), MOST_BARS)
        begun = [number for number in range(count) if number == 0 or exercise.bars[number].label]
        shown: list[Shown] = []
        for first, end in pairwise([*begun, count]):
            label = renamed(exercise.bars[first].label, scene.setting.label_style.notes)
            if label and Blank.KEY not in exercise.blank:
                shown.append(Text(f"**{label}**"))
            bars = [self._bar(exercise, number) for number in range(first, end)]
            bars += [Room.NOTHING] * (-len(bars) % self.in_row)
            rows = tuple(tuple(bars[start : start + self.in_row]) for start in range(0, len(bars), self.in_row))
            shown.append(Table(("",) * self.in_row, rows))
        return tuple(shown)

    def _bar(self, exercise: Exercise, number: int) -> Cell:
        bar = exercise.bars[number]
        marks = [mark for mark in exercise.chords if bar.onset <= mark.onset < bar.onset + bar.length]
        if Blank.CHORD_NAMES in exercise.blank:
            return Room.LINE
        spans: list[Span] = []
        for mark in marks:
            if spans:
                spans.append(Words(SPACED))
            has_degree = self.shows_degrees and mark.degree is not None and Blank.DEGREES not in exercise.blank
            spans.append(DegreeName(mark.degree) if has_degree and mark.degree else ChordName(mark.chord, bold=True))
        return tuple(spans) or (Words("%"),)
