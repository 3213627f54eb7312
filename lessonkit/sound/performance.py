"""An exercise as it is played: notes in seconds, each with the hand, the event and the pitch that it comes from.

The door of this room for whoever plays, draws or saves what is heard. Values are frozen and cached by content.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from lessonkit.drills.exercise import Event, Exercise, Hand, Meter, Roll, Sign
from lessonkit.drills.times import counted_beat
from lessonkit.sound.loudness import USUAL, Loudness
from lessonkit.sound.playing import Gaps, Heard, Pedalling, Playing
from lessonkit.sound.timeline import Clock, Pass, beats_played
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

NOT_ON_THE_PAGE = -1
"""The event of a note that is played and not printed, as the bass under chord symbols."""

ROLL_STEP = 0.045
"""Seconds from one note of a rolled chord to the next. Our own, set by ear."""

LONGEST_ROLL = 0.4
"""The share of its length that a chord may take to be rolled."""

_STACCATO, _DETACHED = 0.5, 0.93
"""The share of its length that a note is held: staccato, and without a sign; under a slur and tenuto it is all."""

_SAME = 1e-6
"""Moments so near are one."""

SHORTEST = 0.03
"""How long a note is held at least, in seconds."""

_BASS_NEAR = Pitch.parse("E2").midi
"""The lowest note that a bass under chord symbols is given."""


@dataclass(frozen=True, slots=True)
class PlayedNote:
    """A key struck at ``start`` and let go at ``end``, in seconds from the beginning.

    ``event`` is the place among the events of the exercise that is played and ``pitch`` the place among the event's
    pitches, as marks on the page name them (``7.0``).
    """

    start: float
    end: float
    midi: int
    velocity: int
    hand: Hand
    event: int
    pitch: int

    def later(self, seconds: float) -> PlayedNote:
        """The same note so much later."""
        return replace(self, start=self.start + seconds, end=self.end + seconds)


@dataclass(frozen=True, slots=True)
class Click:
    """A beat of the metronome; the first of a bar sounds higher."""

    time: float
    is_first: bool


@dataclass(frozen=True, slots=True)
class Held:
    """The pedal down from ``start`` to ``end``."""

    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Stretch:
    """From ``start`` on music is counted at so many quarters a minute in a metre (None in free time)."""

    start: float
    quarters_a_minute: float
    meter: Meter | None


@dataclass(frozen=True, slots=True)
class Performance:
    """What is heard, in order of time. ``length`` is when the last bar ends; the last notes may ring beyond it.

    ``begins`` is when the count-in is over; ``stretches`` and ``keys`` (from when each holds) are for files that want
    to know. ``places`` are moments in seconds and, for each, which moment of the printed music it plays, note by note
    and bar by bar, so that a cursor can follow and playing can begin anywhere.
    """

    notes: tuple[PlayedNote, ...]
    clicks: tuple[Click, ...]
    pedals: tuple[Held, ...]
    length: float
    begins: float
    stretches: tuple[Stretch, ...]
    keys: tuple[tuple[float, Key], ...]
    places: tuple[tuple[float, Fraction], ...]

    def second_of(self, onset: Fraction) -> float:
        """When a moment of the printed music is first played; of one at which nothing begins, what begins before it."""
        return max((second for second, printed in self._first_time() if printed <= onset), default=self.begins)

    def printed_at(self, second: float) -> Fraction:
        """The moment of the printed music that is being played, the first one while it is counted in."""
        at = bisect_right(self.places, second + _SAME, key=lambda place: place[0]) - 1
        return self.places[max(at, 0)][1] if self.places else Fraction(0)

    def from_second(self, second: float) -> Performance:
        """The rest of it from a moment on, which becomes its beginning; what sounds there already is left out."""
        from_here = second - _SAME
        return Performance(
            tuple(note.later(-second) for note in self.notes if note.start >= from_here),
            tuple(Click(one.time - second, one.is_first) for one in self.clicks if one.time >= from_here),
            tuple(Held(max(one.start - second, 0.0), one.end - second) for one in self.pedals if one.end > second),
            max(self.length - second, 0.0),
            max(self.begins - second, 0.0),
            tuple(replace(one, start=max(one.start - second, 0.0)) for one in _holding(self.stretches, second)),
            tuple((max(moment - second, 0.0), key) for moment, key in self.keys),
            tuple((moment - second, onset) for moment, onset in self.places if moment >= from_here),
        )

    def up_to(self, second: float) -> Performance:
        """The beginning, with all notes that are struck before a moment: what a player needs first of a long drill."""
        return replace(
            self,
            notes=tuple(note for note in self.notes if note.start < second - _SAME),
            clicks=tuple(click for click in self.clicks if click.time < second - _SAME),
            pedals=tuple(Held(one.start, min(one.end, second)) for one in self.pedals if one.start < second),
            length=min(self.length, second),
            keys=tuple(one for one in self.keys if one[0] < second),
            places=tuple(one for one in self.places if one[0] < second - _SAME),
        )

    def from_printed(self, onset: Fraction) -> Performance:
        """From a moment of the printed music on, counted in as the whole is."""
        rest = self.from_second(self.second_of(onset))
        return replace(
            rest,
            notes=tuple(note.later(self.begins) for note in rest.notes),
            clicks=(
                *(click for click in self.clicks if click.time < self.begins - _SAME),
                *(Click(click.time + self.begins, click.is_first) for click in rest.clicks),
            ),
            pedals=tuple(Held(one.start + self.begins, one.end + self.begins) for one in rest.pedals),
            length=rest.length + self.begins,
            begins=self.begins,
            places=tuple((moment + self.begins, printed) for moment, printed in rest.places),
        )

    def _first_time(self) -> Iterator[tuple[float, Fraction]]:
        """The places of printed moments that were not played before."""
        last = Fraction(-1)
        for second, printed in self.places:
            if printed > last:
                last = printed
                yield second, printed


def _holding(stretches: tuple[Stretch, ...], second: float) -> tuple[Stretch, ...]:
    """The stretches that hold at a moment or later."""
    begun = sum(stretch.start <= second for stretch in stretches)
    return stretches[max(0, begun - 1) :]


@lru_cache(maxsize=128)
def performance(exercise: Exercise, playing: Playing) -> Performance:
    """Play an exercise; equal ones played alike are worked out once.

    Everything sounds, also what a worksheet hides: a drill by ear asks its question so.
    """
    if playing.gaps is Gaps.SAMPLE:
        exercise = exercise.answered()
    clock = Clock(exercise, playing)
    notes = sorted(_notes(exercise, playing, clock), key=lambda note: (note.start, note.midi))
    clicks = [
        Click(second, at % max(1, _beats_in_bar(exercise)) == 0) for at, second in enumerate(clock.count_in_seconds())
    ]
    if playing.has_metronome or playing.heard is Heard.BASS_AND_CLICK:
        clicks += [Click(clock.seconds(moment), is_first) for moment, is_first in beats_played(exercise, clock)]
    places, keys = _places(exercise, clock)
    stretch = Stretch(0.0, clock.quarters_a_minute, exercise.meter)
    return Performance(
        tuple(notes), tuple(clicks), tuple(_pedals(exercise, playing, clock)),
        clock.seconds(clock.length), clock.begins, (stretch,), keys, places,
    )  # fmt: skip


def joined(performances: Sequence[Performance], pause: float = 4.0) -> Performance:
    """Several one after another with a pause of so many quarters between them, as a page is played.

    Raises ValueError where there is none. Notes keep the numbers of their own exercises.
    """
    if not performances:
        raise ValueError("there is nothing to play; choose a drill")
    notes: list[PlayedNote] = []
    clicks: list[Click] = []
    pedals: list[Held] = []
    stretches: list[Stretch] = []
    keys: list[tuple[float, Key]] = []
    places: list[tuple[float, Fraction]] = []
    now = end = 0.0
    for one in performances:
        notes += [note.later(now) for note in one.notes]
        clicks += [Click(click.time + now, click.is_first) for click in one.clicks]
        pedals += [Held(held.start + now, held.end + now) for held in one.pedals]
        stretches += [replace(stretch, start=stretch.start + now) for stretch in one.stretches]
        keys += [(moment + now, key) for moment, key in one.keys]
        places += [(moment + now, printed) for moment, printed in one.places]
        end = now + one.length
        now = end + pause * 60 / one.stretches[-1].quarters_a_minute
    return Performance(
        tuple(notes), tuple(clicks), tuple(pedals), end, performances[0].begins, tuple(stretches), tuple(keys),
        tuple(places),
    )  # fmt: skip


def _beats_in_bar(exercise: Exercise) -> int:
    return int(exercise.meter.bar / counted_beat(exercise.meter)) if exercise.meter is not None else 4


def _places(
    exercise: Exercise, clock: Clock
) -> tuple[tuple[tuple[float, Fraction], ...], tuple[tuple[float, Key], ...]]:
    """Each moment as it is played, and the keys from when they hold."""
    places: list[tuple[float, Fraction]] = []
    keys: list[tuple[float, Key]] = []
    begins = {bar.onset: bar for bar in exercise.bars}
    moments = sorted({*begins, *(event.onset for event in exercise.events)})
    for one in clock.passes:
        for onset in moments[bisect_left(moments, one.start) : bisect_left(moments, one.end)]:
            second = clock.seconds(one.played + onset - one.start)
            places.append((second, onset))
            key = begins[onset].key if onset in begins else None
            if key is not None and (not keys or keys[-1][1] != key):
                keys.append((second, key))
    return tuple(places), tuple(keys)


# Notes


def _notes(exercise: Exercise, playing: Playing, clock: Clock) -> Iterator[PlayedNote]:
    loudness = Loudness(exercise, playing.dynamics, playing.plays_touch)
    slurred = _slurred(exercise) if playing.plays_touch else frozenset()
    heard = _heard(exercise, playing.heard)
    for one in clock.passes:
        for hand in heard:
            yield from _of_hand(exercise, playing, clock, one, hand, loudness, slurred)
    if playing.heard is Heard.BASS_AND_CLICK and Hand.LEFT not in exercise.hands:
        for one in clock.passes:
            yield from _bass(exercise, clock, one)


def _heard(exercise: Exercise, heard: Heard) -> tuple[Hand, ...]:
    wanted = {Heard.RIGHT: {Hand.RIGHT}, Heard.LEFT: {Hand.LEFT}, Heard.BASS_AND_CLICK: {Hand.LEFT}}
    return tuple(hand for hand in exercise.hands if hand in wanted.get(heard, set(Hand)))


def _slurred(exercise: Exercise) -> frozenset[int]:
    """The events that a slur leads on from: they are held up to the next note."""
    found: set[int] = set()
    for slur in exercise.slurs:
        hand = exercise.events[slur.first].hand
        found |= {at for at in range(slur.first, slur.last) if exercise.events[at].hand is hand}
    return frozenset(found)


def _of_hand(
    exercise: Exercise, playing: Playing, clock: Clock, one: Pass, hand: Hand, loudness: Loudness,
    slurred: frozenset[int],
) -> Iterator[PlayedNote]:  # fmt: skip
    """The notes of a hand in one pass; a note that is tied on sounds until its last part ends."""
    places = [
        at for at, event in enumerate(exercise.events) if event.hand is hand and one.start <= event.onset < one.end
    ]
    before: Event | None = None
    for place, at in enumerate(places):
        event = exercise.events[at]
        held_over = {pitch.midi for pitch in before.pitches} if before is not None and before.is_tied else set()
        before = event
        for index, pitch in enumerate(event.pitches):
            if playing.heard is Heard.BASS_AND_CLICK and index:
                break
            if pitch.midi in held_over:
                continue
            last_at = _tied_end(exercise, places, place, pitch)
            last = exercise.events[last_at]
            start = clock.seconds(one.played + event.onset - one.start, event.tuplet > 0)
            until = clock.seconds(one.played + min(last.end, one.end) - one.start, last.tuplet > 0)
            length = until - start
            if playing.plays_rolls:
                start += _rolled(event, index, length)
            let_go = until - length * (1 - _share(last.sign if playing.plays_touch else None, last_at in slurred))
            velocity = loudness.of(event, one)
            yield PlayedNote(start, max(start + SHORTEST, let_go), pitch.midi, velocity, hand, at, index)


def _tied_end(exercise: Exercise, places: list[int], place: int, pitch: Pitch) -> int:
    """The event with which a note that may be tied on stops sounding."""
    while exercise.events[places[place]].is_tied and place + 1 < len(places):
        following = exercise.events[places[place + 1]]
        if pitch.midi not in {other.midi for other in following.pitches}:
            break
        place += 1
    return places[place]


def _rolled(event: Event, index: int, length: float) -> float:
    """How long after the beat a note of a rolled chord comes: the first one on it."""
    if event.roll is Roll.NONE or len(event.pitches) < 2:
        return 0.0
    place = index if event.roll is Roll.UP else len(event.pitches) - 1 - index
    return place * min(ROLL_STEP, LONGEST_ROLL * length / (len(event.pitches) - 1))


def _share(sign: Sign | None, is_slurred: bool) -> float:
    if sign is Sign.STACCATO:
        return _STACCATO
    return 1.0 if is_slurred or sign is Sign.TENUTO else _DETACHED


def _bass(exercise: Exercise, clock: Clock, one: Pass) -> Iterator[PlayedNote]:
    """The lowest note of each chord symbol, for a drill whose left hand has nothing to play."""
    marks = [mark for mark in exercise.chords if one.start <= mark.onset < one.end]
    for place, mark in enumerate(marks):
        end = marks[place + 1].onset if place + 1 < len(marks) else one.end
        start, until = (clock.seconds(one.played + moment - one.start) for moment in (mark.onset, end))
        midi = _BASS_NEAR + (mark.chord.lowest.pitch_class - _BASS_NEAR) % 12
        yield PlayedNote(start, start + (until - start) * _DETACHED, midi, USUAL, Hand.LEFT, NOT_ON_THE_PAGE, 0)


# Pedal


def _pedals(exercise: Exercise, playing: Playing, clock: Clock) -> Iterator[Held]:
    if playing.pedalling is Pedalling.NONE:
        return
    for one in clock.passes:
        for start, end in _held(exercise, playing.pedalling):
            if one.start <= start < one.end:
                until = min(end, one.end)
                yield Held(*(clock.seconds(one.played + moment - one.start) for moment in (start, until)))


def _held(exercise: Exercise, pedalling: Pedalling) -> list[tuple[Fraction, Fraction]]:
    if pedalling is Pedalling.PRINTED:
        return [(pedal.onset, pedal.end) for pedal in exercise.pedals]
    onsets = sorted(
        {mark.onset for mark in exercise.chords} | {bar.onset for bar in exercise.bars if bar.key is not None}
    )
    return list(zip(onsets, [*onsets[1:], exercise.length], strict=True))
