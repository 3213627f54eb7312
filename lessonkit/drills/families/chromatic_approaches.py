"""Chromatic approach chords: before a chord comes its like a semitone above or below, all voices in parallel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.formula_family import FormulaFamily, PlacedBars, printed_in
from lessonkit.drills.progression_family import Order, ProgressionFamily, how_many_keys, order_of_keys
from lessonkit.drills.wording import begun, chords_words
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import Interval, NoteName, Pitch
from lessonkit.theory.progression import PlacedChord, Progression
from lessonkit.theory.roman import recognise
from lessonkit.theory.voicing import Voicing
from lessonkit.values import dataclass

_STEP = Interval.parse("m2")


class Side(Enum):
    """From where a chord is approached."""

    ABOVE = "from above"
    BELOW = "from below"
    BOTH = "from above and from below"

    @property
    def steps(self) -> tuple[Interval, ...]:
        """Where the approaches lie from their goal, in the order in which they come."""
        return {Side.ABOVE: (_STEP,), Side.BELOW: (-_STEP,), Side.BOTH: (_STEP, -_STEP)}[self]


@dataclass(frozen=True)
class ChromaticApproaches(FormulaFamily):
    """A chord slides in from a semitone away: the same chord, the same shape, every finger moving one key.

    The approach takes the end of the bar before, and the goal falls on the first beat. From above it is spelled with
    the next letter, lowered; from below with the letter before, raised; where that would need double signs the whole
    chord is named from the plain root.
    """

    code = "chromatic-approaches"
    title = "Chromatic approach chords"
    words = ("side-slip", "parallel chords", "sliding", "semitone above", "neighbour chords", "planing")

    progression: Progression = fields.progression(
        "iim7 | V7 | Imaj7 | Imaj7", label="Progression approached", group="Progression",
        help="Every chord but the first is approached, unless it only goes on.",
    )  # fmt: skip
    side: Side = fields.choice(Side.ABOVE, label="Approached", group="Progression")
    order: Order = order_of_keys(Order.FOURTHS)
    count: int = how_many_keys(4)

    def progression_in(self, key: Key) -> Progression:
        return ProgressionFamily.progression_in(self, key)

    def placed_in(self, key: Key) -> PlacedBars:
        bars = self.progression_in(key).in_key(key)
        goals = [placed for bar in bars for placed in bar]
        found, number = [], 0
        for bar in bars:
            row: list[PlacedChord] = []
            for here in bar:
                number += 1
                row += [here, *(self._approaches(here, goals[number], key) if number < len(goals) else ())]
            found.append(tuple(row))
        return tuple(found)

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        goals = [placed for bar in self.progression_in(key).in_key(key) for placed in bar]
        lying = super().voicings([placed.chord for placed in goals], key)
        found = [lying[0]]
        for here, goal, voicing in zip(goals, goals[1:], lying[1:], strict=False):
            for approach in self._approaches(here, goal, key):
                step = _step(goal.chord.root, approach.chord.root)
                found.append(Voicing(_moved(voicing.left, step), _moved(voicing.right, step)))
            found.append(voicing)
        return found

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return f"{begun(chords_words(self.progression_in(key), style))}, each chord approached {self.side.value},"

    def _approaches(self, here: PlacedChord, goal: PlacedChord, key: Key) -> Iterator[PlacedChord]:
        """The chords that lead from one chord to the next; none where it is the same."""
        if here.chord == goal.chord:
            return
        for step in self.side.steps:
            roman = recognise(Chord(goal.chord.root + step, goal.chord.quality), key)
            yield PlacedChord(printed_in(roman, key), roman)


def _step(root: NoteName, to: NoteName) -> Interval:
    """The interval, a semitone wide however it is spelled, from one root to another."""
    letters = (to.letter - root.letter + 3) % 7 - 3
    semitones = (to.pitch_class - root.pitch_class + 6) % 12 - 6
    return Interval(letters, semitones)


def _moved(shape: tuple[Pitch, ...], step: Interval) -> tuple[Pitch, ...]:
    return tuple(pitch + step for pitch in shape)
