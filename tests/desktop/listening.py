"""A loudspeaker and a renderer for tests: sound is heard as fast as the test says, and made at once."""

from __future__ import annotations

from array import array
from concurrent.futures import Future
from dataclasses import dataclass, field

from desktop.listening.sink import NoLoudspeaker
from lessonkit.sound.performance import Performance
from lessonkit.sound.rendering import TAIL, NoSound, Sound

RATE = 8000
"""Frames in a second of the sound of tests, which has one channel."""

ROOM = RATE // 4
"""As many frames wait for the loudspeaker of tests as for a real one: about a quarter of a second."""


@dataclass
class TestSink:
    """A loudspeaker without a sound: ``pass_time`` lets it play what waits."""

    __test__ = False

    is_there: bool = True
    has_gone: bool = False
    starts: int = 0
    heard: bytearray = field(default_factory=bytearray)
    waits: bytearray = field(default_factory=bytearray)

    def start(self, rate: int, channels: int) -> None:
        if not self.is_there:
            raise NoLoudspeaker("There is no loudspeaker.")
        assert (rate, channels) == (RATE, 1)
        self.starts += 1
        self.waits.clear()

    def free(self) -> int:
        return 2 * ROOM - len(self.waits)

    def waiting(self) -> int:
        return len(self.waits)

    def write(self, samples: bytes) -> int:
        taken = samples[: self.free()]
        self.waits += taken
        return len(taken)

    def is_lost(self) -> bool:
        return self.has_gone

    def stop(self) -> None:
        self.waits.clear()

    def pass_time(self, seconds: float) -> None:
        """Play so much of what waits."""
        count = 2 * round(seconds * RATE)
        self.heard += self.waits[:count]
        del self.waits[:count]


@dataclass
class TestRendering:
    """Makes sound whose samples say which note was struck last, so that a test can read what is heard."""

    __test__ = False

    is_held_back: bool = False
    refusal: str = ""
    asked: list[Performance] = field(default_factory=list)
    held: list[tuple[Performance, Future[Sound]]] = field(default_factory=list)

    def sound_of(self, performance: Performance) -> Future[Sound]:
        self.asked.append(performance)
        answer: Future[Sound] = Future()
        if self.is_held_back:
            self.held.append((performance, answer))
        elif self.refusal:
            answer.set_exception(NoSound(self.refusal))
        else:
            answer.set_result(told_by_numbers(performance))
        return answer

    def let_go(self) -> None:
        """Hand out what was held back."""
        for performance, answer in self.held:
            if answer.set_running_or_notify_cancel():
                answer.set_result(told_by_numbers(performance))
        self.held.clear()

    def close(self) -> None:
        return


def told_by_numbers(performance: Performance) -> Sound:
    """A sound whose every sample is a hundred times the number of the key that was struck last."""
    samples = array("h", bytes(2 * round((performance.length + TAIL) * RATE)))
    for note in performance.notes:
        start, end = round(note.start * RATE), min(round(note.end * RATE), len(samples))
        samples[start:end] = array("h", [100 * note.midi]) * (end - start)
    return Sound(RATE, 1, samples.tobytes())
