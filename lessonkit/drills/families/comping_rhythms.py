"""Comping rhythms: chords placed on chosen eighths of the bar over held basses, some of them ahead of the bar line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.accompaniment import in_bars
from lessonkit.drills.exercise import FingersShown, Hand
from lessonkit.drills.progression_family import ChordSpan, ProgressionFamily, bars_of_degrees
from lessonkit.drills.voicing_plan import Plan, voiced
from lessonkit.drills.writing import Step
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import Progression
from lessonkit.values import dataclass

EIGHTH = Fraction(1, 8)
BEAMED = Fraction(1, 2)
"""Eighths are beamed within half bars."""


class Rhythm(Enum):
    """On which eighths the chords come, counted from 1; the beats of a bar of four quarters are 1, 3, 5 and 7."""

    ONE_AND_TWO_AND = "1 and the and of 2"
    BACKBEAT = "2 and 4"
    ANDS = "the and of 2 and the and of 4"
    TWO_BARS = "1 and the and of 2, then the and of 1 and 3"
    TYPED = "as typed"

    @property
    def words(self) -> str:
        """For a summary, where the counted “and” must not be taken for the word."""
        return {
            Rhythm.ONE_AND_TWO_AND: "1 and on the “and” of 2",
            Rhythm.ANDS: "the “and” of 2 and of 4",
            Rhythm.TWO_BARS: "1 and on the “and” of 2, then on the “and” of 1 and on 3",
        }.get(self, self.value)

    @property
    def eighths(self) -> tuple[int, ...]:
        """The eighths in a bar of four quarters; beyond 8 they lie in the second bar."""
        return {
            Rhythm.ONE_AND_TWO_AND: (1, 4), Rhythm.BACKBEAT: (3, 7), Rhythm.ANDS: (4, 8),
            Rhythm.TWO_BARS: (1, 4, 10, 13),
        }.get(self, ())  # fmt: skip


class Touch(Enum):
    """How long a chord sounds."""

    HELD = "held until the next"
    SHORT = "short"


@dataclass(frozen=True)
class CompingRhythms(ProgressionFamily):
    """The right hand places its chords in a rhythm over held basses, as a pianist accompanies a singer or a soloist.

    The same rhythm comes in every bar, or in every two. A chord on the last eighth of a bar may come ahead of its time:
    it is then the next bar's chord and is tied over. A chord that no stroke would fall on is struck where it begins.
    """

    code = "comping-rhythms"
    title = "Comping rhythms"
    words = ("accompaniment", "anticipation", "syncopation", "charts", "swing", "pushes")
    usual_fingers = FingersShown.CHANGES
    has_passing_notes = True

    progression: Progression = bars_of_degrees("iim7 | V7 | Imaj7 | V7/ii")
    rhythm: Rhythm = fields.choice(Rhythm.ONE_AND_TWO_AND, label="Chords come on", group="Rhythm")
    typed: tuple[int, ...] = fields.numbers(
        label="Rhythm typed", group="Rhythm", least=0, most=24, longest=24,
        help="Eighths counted from 1 at the bar line, such as 1 4; those beyond the bar lie in the second of two bars.",
        applies=lambda drill: drill.rhythm is Rhythm.TYPED,
    )  # fmt: skip
    anticipates: bool = fields.yes_no(
        True, label="The last eighth is ahead of the bar", group="Rhythm",
        help="A chord on the last eighth of a bar is the next bar's, tied over.",
    )  # fmt: skip
    touch: Touch = fields.choice(Touch.HELD, label="Chords are", group="Rhythm")
    is_swung: bool = fields.yes_no(
        True, label="Swung", group="Rhythm",
        help="Written even, with the word swing; the first of two eighths is played longer.",
    )  # fmt: skip
    plan: Plan = fields.choice(Plan.ROOT_LEFT, label="Voicing", group="Voicing")
    count: int = fields.whole(1, least=1, most=15, label="How many keys", group="Keys")
    note_length: Fraction = fields.note_value("1/8", label="Note length", group="Time", applies=fields.never)

    def parts(self, spans: Sequence[ChordSpan], key: Key) -> dict[Hand, Sequence[Step]]:
        voicings = voiced([span.chord for span in spans], self.plan, self.lowest)
        rights = [voicing.right for voicing in voicings]
        parts: dict[Hand, Sequence[Step]] = {}
        for hand in self.playing_hands:
            if hand is Hand.RIGHT:
                parts[hand] = list(self._comped(spans, rights))
            elif any(voicing.left for voicing in voicings):
                parts[hand] = list(self._held(spans, [voicing.left for voicing in voicings]))
            else:
                octaves = 1 + max((shape[-1].midi - shape[0].midi) // 12 for shape in rights)
                below = [tuple(pitch.octaves_up(-octaves) for pitch in shape) for shape in rights]
                parts[hand] = list(self._comped(spans, below))
        return parts

    def label_in(self, key: Key) -> str:
        return f"{key}, swing" if self.is_swung else str(key)

    def voiced_words(self) -> str:
        eighths = self._eighths()
        named = f"eighths {' '.join(map(str, eighths))}" if self.rhythm is Rhythm.TYPED else self.rhythm.words
        return f"comping on {named}"

    def _eighths(self) -> tuple[int, ...]:
        if self.rhythm is not Rhythm.TYPED:
            return self.rhythm.eighths
        if not self.typed:
            raise ValueError("no rhythm is typed; type the eighths on which chords come, such as 1 4")
        if 0 in self.typed:
            raise ValueError("0 is not an eighth of the bar; the first one is 1")
        return tuple(sorted(set(self.typed)))

    def _held(self, spans: Sequence[ChordSpan], shapes: Sequence[tuple[Pitch, ...]]) -> Iterator[Step]:
        """The left hand's part, struck with each chord and at each bar line."""
        of_span = {span.onset: shape for span, shape in zip(spans, shapes, strict=True)}
        shape = shapes[0]
        for number, cell in enumerate(in_bars(spans, self.bar)):
            shape = of_span.get(cell.onset, shape)
            yield Step(shape, cell.length, number)

    def _comped(self, spans: Sequence[ChordSpan], shapes: Sequence[tuple[Pitch, ...]]) -> Iterator[Step]:
        """The right hand's part: strokes, and the rests between them."""
        strokes = self._strokes(spans)
        now = Fraction(0)
        for number, (onset, place) in enumerate(strokes):
            following = strokes[number + 1][0] if number + 1 < len(strokes) else spans[-1].end
            last = spans[place].end if self.touch is Touch.HELD else max(onset, spans[place].onset) + EIGHTH
            end = min(following, last)
            if onset > now:
                yield from _rests(now, onset, self.bar)
            yield Step(shapes[place], end - onset, int(onset // BEAMED))
            now = end
        yield from _rests(now, spans[-1].end, self.bar)

    def _strokes(self, spans: Sequence[ChordSpan]) -> list[tuple[Fraction, int]]:
        """When chords are struck and which: the one that sounds then, or the one that begins an eighth later."""
        begins = {span.onset: place for place, span in enumerate(spans)}
        struck: dict[Fraction, int] = {}
        for onset in self._onsets(spans[-1].end):
            ahead = onset + EIGHTH
            is_ahead = self.anticipates and ahead % self.bar == 0 and ahead < spans[-1].end
            moment = ahead if is_ahead else onset
            is_tied_over = self.anticipates and onset % self.bar == 0 and onset - EIGHTH in struck
            if not is_tied_over:
                struck[onset] = max(place for begin, place in begins.items() if begin <= moment)
        for begin, place in begins.items():
            if place not in struck.values():
                struck[begin] = place
        return sorted(struck.items())

    def _onsets(self, end: Fraction) -> Iterator[Fraction]:
        """The eighths of the rhythm, bar after bar or two bars after two."""
        eighths = [(number - 1) * EIGHTH for number in self._eighths()]
        period = self.bar * (1 if eighths[-1] < self.bar else 2)
        now = Fraction(0)
        while now < end:
            yield from (now + eighth for eighth in eighths if eighth < period and now + eighth < end)
            now += period


def _rests(start: Fraction, end: Fraction, bar: Fraction) -> Iterator[Step]:
    """Rests up to a moment, cut at the bar lines."""
    while start < end:
        until = min(end, (start // bar + 1) * bar)
        yield Step((), until - start, -1)
        start = until
