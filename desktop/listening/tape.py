"""The unbroken sound that is fed to the loudspeaker: rolls one after another, spliced at a beat without a click. No Qt.

It remembers what was fed when, so that it can be told what is heard now.
"""

from __future__ import annotations

from array import array
from collections import deque

from desktop.listening.cues import Cue, Roll
from lessonkit.sound.rendering import Sound
from lessonkit.values import dataclass

FADE = 0.012
"""Seconds in which one sound goes over into another where they are spliced."""


@dataclass(frozen=True, slots=True)
class Heard:
    """What is heard: the cue and the moment in it, in seconds."""

    cue: Cue
    second: float


@dataclass(frozen=True, slots=True)
class _Fed:
    """From a frame of the tape on, so many frames of a cue from a moment of it were fed; none of silence."""

    frame: int
    count: int
    cue: Cue | None
    start: int


@dataclass(frozen=True, slots=True)
class _Splice:
    """When the roll comes to a frame, another one goes on from a frame of its own."""

    at: int
    roll: Roll
    start: int


class Tape:
    """Sound that is fed in pieces. Give it a roll; ask for frames; while it has none it is silent."""

    def __init__(self, rate: int, channels: int) -> None:
        self.rate = rate
        self.channels = channels
        self._width = 2 * channels
        self._roll: Roll | None = None
        self._splice: _Splice | None = None
        self._fed: deque[_Fed] = deque()
        self._written = 0

    @property
    def roll(self) -> Roll | None:
        """What is being fed; None after its end."""
        return self._roll

    @property
    def coming(self) -> Roll | None:
        """What takes over at a splice that is still ahead."""
        return self._splice.roll if self._splice is not None else None

    @property
    def written(self) -> int:
        """How many frames were fed."""
        return self._written

    def take(self, roll: Roll) -> None:
        """Feed this from now on."""
        self._roll, self._splice = roll, None

    def splice(self, at: int, roll: Roll, start: int) -> None:
        """Go over to another roll when this one comes to a frame."""
        self._splice = _Splice(at, roll, start)

    def extend(self, cue: Cue, sound: Sound, until: float | None) -> None:
        """More of a cue's sound is made than is being fed, or is about to be."""
        for roll in (self._roll, self.coming):
            if roll is not None and roll.cue == cue and roll.until is not None:
                roll.extend(sound, until)

    def feed(self, count: int) -> bytes:
        """So many frames; silence where there is nothing to feed."""
        out = []
        while count > 0:
            piece = self._piece(count)
            if not piece:
                out.append(bytes(count * self._width))
                self._note(count, None, 0)
                break
            out.append(piece)
            count -= len(piece) // self._width
        return b"".join(out)

    def heard(self, waiting: int) -> Heard | None:
        """What is heard while so many frames wait; None for silence."""
        frame = self._written - waiting
        while len(self._fed) > 1 and self._fed[1].frame <= frame:
            self._fed.popleft()
        for one in self._fed:
            if one.frame <= frame < one.frame + one.count and one.cue is not None:
                return Heard(one.cue, (one.start + frame - one.frame) / self.rate)
        return None

    def is_heard_out(self, waiting: int) -> bool:
        """Whether everything that was fed has been heard."""
        last = next((one for one in reversed(self._fed) if one.cue is not None), None)
        return last is None or self._written - waiting >= last.frame + last.count

    def _piece(self, most: int) -> bytes:
        roll, splice = self._roll, self._splice
        if roll is None:
            return b""
        until = roll.end if splice is None or splice.at < roll.at else min(splice.at, roll.end)
        count = min(most, until - roll.at)
        if count > 0:
            start = roll.at
            roll.at += count
            self._note(count, roll.cue, start)
            return roll.samples(start, roll.at)
        if splice is not None and roll.at == splice.at:
            self._splice = None
            return self._go_over(roll, roll.at, splice.roll, splice.start)
        if roll.until is not None:
            # The rest is still being made.
            return b""
        loop = roll.cue.loop
        if loop is not None:
            return self._go_over(roll, roll.at, roll, roll.frame(loop[0]))
        self._roll = None
        return b""

    def _go_over(self, old: Roll, old_at: int, new: Roll, new_at: int) -> bytes:
        """The first frames of the new sound, the old one fading under them."""
        count = round(FADE * self.rate)
        if new is not old and new.cue.block_id == old.cue.block_id:
            new.gain_before, new.glides_from = old.gain, new_at
        self._roll = new
        new.at = new_at + count
        self._note(count, new.cue, new_at)
        fading, rising = array("h", old.samples(old_at, old_at + count)), array("h", new.samples(new_at, new.at))
        total = len(rising)
        mixed = (
            (one * (total - place) + other * place) // total
            for place, (one, other) in enumerate(zip(fading, rising, strict=True))
        )
        return array("h", mixed).tobytes()

    def _note(self, count: int, cue: Cue | None, start: int) -> None:
        self._fed.append(_Fed(self._written, count, cue, start))
        self._written += count
