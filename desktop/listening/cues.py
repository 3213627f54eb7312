"""What is played, one drill after another: each with its notes in seconds and, when it is made, its sound. No Qt."""

from __future__ import annotations

from array import array
from bisect import bisect_left, bisect_right
from dataclasses import replace
from fractions import Fraction
from functools import cached_property

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.moments import KeyDown
from lessonkit.drills.times import counted_beat
from lessonkit.sound.performance import NOT_ON_THE_PAGE, Performance, PlayedNote, joined, performance
from lessonkit.sound.playing import Gaps, Playing
from lessonkit.sound.rendering import Sound
from lessonkit.sound.spelling import spelled
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

RINGS = 1.6
"""Seconds for the last notes to ring out before the next drill begins, as long as the sound room lets them."""

FIRST_MADE = 8.0
"""Seconds of a long drill whose sound is made first, so that it can begin soon."""

GLIDE = 4.0
"""Seconds in which the rest comes to its own loudness, too slow to be heard as a change."""


@dataclass(frozen=True, slots=True)
class Sounding:
    """A note that sounds: the drill, and the event and pitch as marks on the page name them.

    ``down`` is its key of the piano, with the finger of the exercise where it has one. ``is_secret`` where the page
    hides it and the student is to find it.
    """

    block_id: str
    event: int
    pitch: int
    down: KeyDown
    is_secret: bool


@dataclass(frozen=True)
class Cue:
    """A drill and how it is played; ``onset`` is the printed moment to begin at.

    One that ``goes_round`` is played without end: its sound holds two rounds, and from the end of the second its
    beginning is taken up again, so that the last notes ring over into it.
    """

    block_id: str
    exercise: Exercise
    playing: Playing
    onset: Fraction | None = None
    goes_round: bool = False

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def performance(self) -> Performance:
        """Its notes in seconds."""
        first = self._first
        if not self.goes_round:
            return first
        again = performance(self.exercise, replace(self.playing, count_in=0))
        return joined([first, again], pause=0.0)

    @cached_property
    def loop(self) -> tuple[float, float] | None:
        """Where the second round begins and ends, in seconds."""
        return (self._first.length, self.performance.length) if self.goes_round else None

    @cached_property
    def beginnings(self) -> tuple[float, ...]:
        """The seconds up to which its sound is made first, each longer than the one before, where it is long."""
        stages, until = [], FIRST_MADE
        while until < self.performance.length / 2:
            stages.append(until)
            until *= 6
        return tuple(stages)

    @property
    def end(self) -> float:
        """When the next drill may begin, in seconds."""
        return self.performance.length + (0.0 if self.goes_round else RINGS)

    def sounding(self, second: float) -> tuple[Sounding, ...]:
        """What sounds at a moment."""
        notes = self.performance.notes
        low = bisect_left(notes, second - self._longest, key=_start)
        high = bisect_right(notes, second, key=_start)
        return tuple(self._sounding(note) for note in notes[low:high] if note.end > second)

    def beat_after(self, second: float) -> int | None:
        """The first place from a moment on at which a beat begins, or any where none does; None where all are over."""
        places = self.performance.places
        first = bisect_left(places, second, key=lambda place: place[0])
        beat = counted_beat(self.exercise.meter)
        onsets = [bar.onset for bar in self.exercise.bars]
        for place in range(first, len(places)):
            printed = places[place][1]
            bar = onsets[bisect_right(onsets, printed) - 1]
            if (printed - bar) % beat == 0:
                return place
        return first if first < len(places) else None

    def place_like(self, other: Cue, place: int) -> int:
        """The place here that plays what another way of playing the same drill plays at a place of its own."""
        places, others = self.performance.places, other.performance.places
        if len(places) == len(others):
            return place
        printed = others[place][1]
        return next((at for at, (_, onset) in enumerate(places) if onset >= printed), 0)

    @cached_property
    def _played(self) -> Exercise:
        """The exercise of which the notes' events are numbered: with a sample answer where one is heard."""
        return self.exercise.answered() if self.playing.gaps is Gaps.SAMPLE else self.exercise

    @cached_property
    def _hash(self) -> int:
        # A cue is looked up many times a second, and the hash of all its notes is long to work out.
        return hash((self.block_id, self.exercise, self.playing, self.onset, self.goes_round))

    @cached_property
    def _first(self) -> Performance:
        whole = performance(self.exercise, self.playing)
        return whole if self.onset is None else whole.from_printed(self.onset)

    @cached_property
    def _longest(self) -> float:
        return max((note.end - note.start for note in self.performance.notes), default=0.0)

    @cached_property
    def _printed(self) -> dict[tuple[Hand, Fraction, tuple[Pitch, ...]], int]:
        """The numbers of the events that are printed, by what they are."""
        return {(event.hand, event.onset, event.pitches): at for at, event in enumerate(self.exercise.events)}

    def _sounding(self, note: PlayedNote) -> Sounding:
        if note.event == NOT_ON_THE_PAGE:
            pitch, finger, printed = spelled(note.midi, self.exercise.key), None, NOT_ON_THE_PAGE
        else:
            event = self._played.events[note.event]
            pitch, finger = event.pitches[note.pitch], event.fingers[note.pitch] if event.fingers else None
            # A sample answer is heard and stands on the answer page only.
            printed = self._printed.get((event.hand, event.onset, event.pitches), NOT_ON_THE_PAGE)
        down = KeyDown(pitch, note.hand, finger, True, printed, note.pitch)
        return Sounding(self.block_id, printed, note.pitch, down, self.exercise.hides(note.hand))


def _start(note: PlayedNote) -> float:
    return note.start


@dataclass(slots=True)
class Roll:
    """The sound of one cue as it is fed to the loudspeaker, and how far that has come, in frames.

    ``until`` is the second up to which its sound holds, where only the beginning is made. What takes over from one that
    was raised by ``gain_before`` begins as loud as that and glides to its own loudness.
    """

    cue: Cue
    sound: Sound
    until: float | None = None
    at: int = 0
    gain_before: float | None = None
    glides_from: int = 0

    @property
    def end(self) -> int:
        """The frame at which it is over, goes round, or waits for the rest to be made."""
        if self.until is not None:
            return self.frame(self.until)
        return self.frame(self.cue.end) if self.cue.goes_round else min(self.frame(self.cue.end), self.frames)

    @property
    def gain(self) -> float:
        """By how much it is raised where it is now."""
        return self.sound.gain * self._factor(self.at)

    def extend(self, sound: Sound, until: float | None) -> None:
        """More of it is made; it goes on as loud as it is."""
        self.gain_before, self.glides_from = self.gain, self.at
        self.sound, self.until = sound, until

    @property
    def frames(self) -> int:
        """How many frames the sound has."""
        return len(self.sound.samples) // self.width

    @property
    def width(self) -> int:
        """Bytes in a frame."""
        return 2 * self.sound.channels

    def frame(self, second: float) -> int:
        """The frame of a moment."""
        return round(second * self.sound.rate)

    def samples(self, start: int, end: int) -> bytes:
        """The frames from one to another; silence beyond the end."""
        width = self.width
        found = self.sound.samples[start * width : end * width]
        factor = self._factor(start)
        if factor != 1:
            found = _louder(found, factor)
        return found + bytes((end - start) * width - len(found))

    def _factor(self, frame: int) -> float:
        """How much louder than it was made it is fed, while it glides to its own loudness."""
        share = (frame - self.glides_from) / (GLIDE * self.sound.rate)
        if self.gain_before is None or not 0 <= share < 1:
            return 1.0
        ratio = self.gain_before / self.sound.gain
        return ratio + (1 - ratio) * share


def _louder(samples: bytes, factor: float) -> bytes:
    return array("h", (max(min(int(one * factor), 32767), -32768) for one in array("h", samples))).tobytes()
