"""Call and response: a short phrase that asks, and empty bars in which the student answers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from typing import TypeVar

from lessonkit.drills import fields
from lessonkit.drills.exercise import ChordMark, Exercise, Hand
from lessonkit.drills.family import Direction, DrillFamily, Texture
from lessonkit.drills.progression_family import LARGEST_SEED
from lessonkit.drills.scale_choice import ScaleChoice, as_it_moves, resting_rungs
from lessonkit.drills.setting import Setting
from lessonkit.drills.times import total
from lessonkit.drills.wording import counted, hands_words
from lessonkit.drills.worksheet import LINE_BLANKS
from lessonkit.drills.writing import Section, Step, write
from lessonkit.theory.enharmonic import shuffled
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.roman import recognise
from lessonkit.theory.scale import Scale
from lessonkit.values import dataclass

_Item = TypeVar("_Item")

MOVES = (-2, -1, -1, 1, 1, 2)
"""Steps of the scale from one note of a call to the next; small ones come more often."""

MOST_DRAWN = 24
"""How many rhythms are drawn for a free answer until one is new."""

START = 3
"""How many steps above the tonic a call may begin."""


class Density(Enum):
    """How many notes a call has."""

    FEW = "few"
    SOME = "some"
    MANY = "many"


class Answer(Enum):
    """What the student is asked to do."""

    REPEAT = "the same again"
    RHYTHM = "the same rhythm, other notes"
    NOTES = "the same notes, another rhythm"
    FREE = "free, ending on the tonic"


@dataclass(frozen=True)
class CallAndResponse(DrillFamily):
    """A short phrase asks and stops away from home; empty bars follow, in which the student answers at the piano.

    The calls are drawn by a number that is printed, so that the same number always gives the same calls. An answer is
    never wrong if it fits the rule that is set; many are right. The answer page shows one for each call.
    """

    code = "call-and-response"
    title = "Call and response"
    words = ("improvisation", "question and answer", "empty bars", "trading", "phrases", "ear")
    has_passing_notes = True
    left_out = frozenset({"turning", "rest_between", "shaping"})
    blanks = LINE_BLANKS

    scale: ScaleChoice = fields.choice(ScaleChoice.MAJOR_PENTATONIC, label="Scale", group="Call")
    density: Density = fields.choice(Density.SOME, label="Notes of a call", group="Call")
    calls: int = fields.whole(4, least=1, most=12, label="How many calls", group="Call")
    bars: int = fields.whole(1, least=1, most=2, label="Each call lasts", unit="bars", group="Call")
    answer: Answer = fields.choice(Answer.RHYTHM, label="The answer is", group="Answer")
    answer_bars: int = fields.whole(1, least=1, most=4, label="Empty bars after it", unit="bars", group="Answer")
    seed: int = fields.whole(
        1, least=0, most=LARGEST_SEED, label="Sheet number", group="Call",
        help="The same number always gives the same calls.",
    )  # fmt: skip
    lowest: Pitch = fields.pitch(
        "C4", label="Begin near", group="Hands and range",
        help="The right hand's tonic is the nearest one from here up; the left hand's an octave or more below.",
    )  # fmt: skip
    octaves: int = fields.whole(
        1, least=1, most=4, label="Octaves", group="Hands and range", help="The range of the calls, from the tonic up."
    )
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range", applies=fields.never)
    note_length: Fraction = fields.note_value("1/8", label="Note length", group="Time", applies=fields.never)

    def texture(self) -> Texture:
        return Texture.LINE

    def key_in(self, setting: Setting) -> Key:
        """The key of the scale: E dorian in E has two sharps."""
        return self.scale.key_on(super().key_in(setting), setting.prefers_flats_at_six)

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        rhythms = [self._rhythm(number) for number in range(self.calls)]
        chord = self.scale.chord_on(key)
        bars = (self._bar,) * (self.calls * (self.bars + self.answer_bars))
        marks = (ChordMark(Fraction(0), chord, recognise(chord, key)),)
        asked: dict[Hand, Sequence[Step]] = {}
        answered: dict[Hand, Sequence[Step]] = {}
        for hand in self.playing_hands:
            tonic = key.tonic.nearest_above(self.lowest.octaves_up(-1 if hand is Hand.LEFT else 0))
            if hand is Hand.LEFT and len(self.playing_hands) == 2:
                asked[hand] = answered[hand] = self._held(tonic)
            else:
                asked[hand], answered[hand] = self._lines(tonic, rhythms, setting)
        label, summary = f"Answer: {self.answer.value}", self.summary(setting)
        written = [
            write(self, [Section(key, parts, marks, label=label, bars=bars)], summary=summary, seed=self.seed)
            for parts in (asked, answered)
        ]
        return replace(written[0], samples=written[1].events)

    def summary(self, setting: Setting) -> str:
        key = self.key_in(setting)
        scale = str(key) if self.scale is ScaleChoice.KEY else f"{key.tonic} {self.scale.value}"
        calls = counted(self.calls, "call")
        return f"{calls.capitalize()} from {scale}, answered: {self.answer.value}, {hands_words(self)}"

    def reasons(self, setting: Setting) -> tuple[str, ...]:
        tonic = self.key_in(setting).tonic
        asks = "A call stops on another note than the tonic, so it asks"
        return (f"{asks}; {_ANSWERED[self.answer].format(tonic=tonic)}.",)

    @property
    def _bar(self) -> Fraction:
        meter = self.metre.meter
        return Fraction(1) if meter is None else meter.bar

    def _rhythm(self, number: int, bars: int = 0) -> list[Fraction]:
        """The lengths of a call's notes: its beats, drawn whole or divided, the last one held; for so many bars."""
        meter = self.metre.meter
        is_dotted = meter is not None and meter.unit == 8
        beat = Fraction(3, 8) if is_dotted else Fraction(1, 4)
        eighth = Fraction(1, 8)
        whole = (beat,)
        divided = ((eighth * 2, eighth), (eighth, eighth, eighth)) if is_dotted else ((eighth, eighth),)
        choices = {
            Density.FEW: (whole, whole, *divided), Density.SOME: (whole, *divided),
            Density.MANY: (*divided, *divided, whole),
        }[self.density]  # fmt: skip
        beats = int(self._bar * (bars or self.bars) / beat)
        held = 1 if beats < 4 else 2
        lengths: list[Fraction] = []
        for place in range(beats - held):
            lengths += self._drawn(choices, number, place)
        return [*lengths, beat * held]

    def _lines(
        self, tonic: Pitch, rhythms: Sequence[Sequence[Fraction]], setting: Setting
    ) -> tuple[list[Step], list[Step]]:
        """The calls with bars left open after each, and the same calls with a sample answer after each."""
        scale = self.scale.on(self.key_in(setting))
        ladder = scale.ladder(tonic, len(scale.kind.tones) * self.octaves + 1)
        asked: list[Step] = []
        answered: list[Step] = []
        free = self._free_rhythms(rhythms)
        group = 0
        for number, rhythm in enumerate(rhythms):
            rungs = self._line(number, len(rhythm), scale)
            call = list(_phrase(rungs, rhythm, ladder, scale, group))
            group = call[-1].group + 1
            asked += call
            asked += (Step((), self._bar, group + place, is_open=True) for place in range(self.answer_bars))
            answered += call
            answered += self._sampled(number, rungs, free[number] or rhythm, ladder, scale, group)
            group = 1 + max(asked[-1].group, answered[-1].group)
        return asked, answered

    def _sampled(
        self, number: int, rungs: Sequence[int], rhythm: Sequence[Fraction], ladder: Sequence[Pitch], scale: Scale,
        group: int,
    ) -> Iterator[Step]:  # fmt: skip
        """One of many answers that follow the rule, and rests to the end of the bars."""
        room = self._bar * self.answer_bars
        if self.answer is Answer.NOTES:
            rhythm = _another_way(rhythm)
        rhythm = _within(rhythm, room)
        if self.answer in (Answer.RHYTHM, Answer.FREE):
            rungs = self._homeward(number, len(rhythm), scale, rungs)
        yield from _phrase(rungs[: len(rhythm)], rhythm, ladder, scale, group)
        left = room - total(rhythm)
        group += int((room - left) * 2) + 1
        while left > 0:
            rest = left % self._bar or self._bar
            yield Step((), rest, group)
            left -= rest

    def _free_rhythms(self, calls: Sequence[Sequence[Fraction]]) -> list[list[Fraction]]:
        """For each call the rhythm of a free answer, which fills its bars; none where the answer has another rule.

        As long as there are others, it is neither its call's nor that of an answer before.
        """
        if self.answer is not Answer.FREE:
            return [[] for _ in calls]
        found: list[list[Fraction]] = []
        for number, call in enumerate(calls):
            drawn = [self._rhythm(number + again * self.calls, self.answer_bars) for again in range(1, MOST_DRAWN)]
            found.append(min(drawn, key=lambda rhythm: 2 * (rhythm == call) + (rhythm in found)))
        return found

    def _homeward(self, number: int, count: int, scale: Scale, call: Sequence[int]) -> list[int]:
        """Rungs that come home to a tonic, worked out from there backwards, by a step at the end where that can be.

        As long as there are others, no note is the one that the call has in its place.
        """
        top = len(scale.kind.tones) * self.octaves
        line = [self._drawn((0, 0, top), number, 300)]
        while len(line) < count:
            place = count - 1 - len(line)
            asked = call[place] if place < len(call) else None
            froms = [line[-1] + move for move in MOVES if 0 <= line[-1] + move <= top]
            others = [rung for rung in froms if rung != asked] or froms
            near = [rung for rung in others if abs(rung - line[-1]) == 1] if len(line) == 1 else []
            line.append(self._drawn(near or others, number, 400 + len(line)))
        return line[::-1]

    def _line(self, number: int, count: int, scale: Scale) -> list[int]:
        """Rungs of the scale, from the tonic or a note near it by small steps to one on which a question can stop."""
        size, rests = len(scale.kind.tones), resting_rungs(scale)
        top = size * self.octaves
        rung = self._drawn((0, *(rest for rest in rests if rest <= START)), number, 100)
        line = [rung]
        while len(line) < count:
            goals = [rung + move for move in MOVES if 0 <= rung + move <= top]
            if len(line) + 1 == count:
                goals = [goal for goal in goals if goal % size in rests]
            rung = self._drawn(goals, number, 200 + len(line))
            line.append(rung)
        return line

    def _drawn(self, choices: Sequence[_Item], number: int, place: int) -> _Item:
        """One of some choices, the same for the same seed, call and place."""
        return choices[_drawn_place(len(choices), (self.seed * 1009 + number) * 1009 + place)]

    def _held(self, tonic: Pitch) -> list[Step]:
        """The tonic and its fifth for each bar, also while the right hand answers."""
        bars = self.calls * (self.bars + self.answer_bars)
        return [Step((tonic, tonic + Interval(4, 7)), self._bar, bar) for bar in range(bars)]


_ANSWERED = {
    Answer.REPEAT: "each sample is its call again",
    Answer.RHYTHM: "each sample keeps the rhythm of its call, on other notes, and comes home to {tonic}",
    Answer.NOTES: "each sample has the notes of its call in another rhythm",
    Answer.FREE: "each sample has a rhythm of its own and comes home to {tonic}",
}
"""What a sample answer does with its call."""


@lru_cache(maxsize=4096)
def _drawn_place(count: int, seed: int) -> int:
    """Which of so many things a seed draws."""
    return shuffled(range(count), seed)[0]


def _phrase(
    rungs: Sequence[int], rhythm: Sequence[Fraction], ladder: Sequence[Pitch], scale: Scale, group: int
) -> Iterator[Step]:
    """Notes in a rhythm, grouped by half notes."""
    # Counted in 96ths of a whole note, since fractions add up slowly.
    now = 0
    for pitch, length in zip(as_it_moves([ladder[place] for place in rungs], scale), rhythm, strict=True):
        yield Step((pitch,), length, group + now // 48)
        now += 96 * length.numerator // length.denominator


def _another_way(rhythm: Sequence[Fraction]) -> list[Fraction]:
    """As many notes in as much time, but in another rhythm: the held one first."""
    turned = list(rhythm)[::-1]
    if turned == list(rhythm) and len(turned) > 1:
        half = turned[0] / 2
        turned[0], turned[1] = turned[0] - half, turned[1] + half
    return turned


def _within(rhythm: Sequence[Fraction], room: Fraction) -> list[Fraction]:
    """The rhythm as far as there is time for it; what would go beyond is cut."""
    found: list[Fraction] = []
    for length in rhythm:
        left = room - sum(found)
        if left > 0:
            found.append(min(length, left))
    return found
