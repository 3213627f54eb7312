"""Plays cues one after another: has their sound made in another process and feeds it to the loudspeaker.

Nothing here knows lessons or pages. A changed way of playing is taken up at a beat while the old one goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future
from functools import partial
from typing import Protocol

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from desktop.listening.cues import Cue, Roll, Sounding
from desktop.listening.sink import NoLoudspeaker, Sink
from desktop.listening.tape import Tape
from desktop.words import english
from lessonkit.sound.performance import Performance
from lessonkit.sound.rendering import NoSound, Sound
from lessonkit.values import dataclass

FED_EVERY = 15
"""Milliseconds between two looks at what the loudspeaker can take and what is heard."""

MOST_KEPT = 6
"""So many sounds of drills that are not played any more are kept, so that they begin at once."""

AHEAD = 0.05
"""Seconds from now at which a changed way of playing can be taken up at the earliest."""

LOST = english("The loudspeaker has gone, so playing has stopped. Play again when it is back.")


@dataclass(frozen=True, slots=True)
class Made:
    """A cue's sound, or its beginning up to a second."""

    sound: Sound
    until: float | None

    def holds(self, until: float | None) -> bool:
        """Whether it is as long as another beginning."""
        return self.until is None or (until is not None and until <= self.until)


class Rendering(Protocol):
    """Who makes sound, later."""

    def sound_of(self, performance: Performance) -> Future[Sound]: ...
    def close(self) -> None: ...


class Player(QObject):
    """Plays, goes over to another way of playing, stops."""

    changed = Signal()
    """It began, ended, or another drill is heard."""

    heard = Signal(object)
    """The notes that sound now, as a tuple of ``Sounding``; told when they change."""

    failed = Signal(str)
    """Why nothing can be heard, in a sentence."""

    _arrived = Signal(object, object, object)

    def __init__(self, make_rendering: Callable[[], Rendering], make_sink: Callable[[], Sink], owner: QObject) -> None:
        super().__init__(owner)
        # What is wanted soon does not wait until the rest of something long is made.
        self._soon, self._rest = make_rendering(), make_rendering()
        self._make_sink = make_sink
        self._sink: Sink | None = None
        self._tape: Tape | None = None
        self._cues: tuple[Cue, ...] = ()
        self._goes_round = False
        self._next = 0
        self._wanted: dict[tuple[Cue, float | None], Future[Sound]] = {}
        self._sounds: dict[Cue, Made] = {}
        self._cue: Cue | None = None
        self._notes: tuple[Sounding, ...] = ()
        self._left = b""
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(FED_EVERY)
        self._timer.timeout.connect(self._keep_going)
        self._arrived.connect(self._take, Qt.ConnectionType.QueuedConnection)

    @property
    def is_playing(self) -> bool:
        """Whether something is heard or on its way."""
        return bool(self._cues)

    @property
    def cue(self) -> Cue | None:
        """What is heard now, or will be first; None when it is silent."""
        return self._cue

    @property
    def cues(self) -> tuple[Cue, ...]:
        """What is played, in order; empty when it is silent."""
        return self._cues

    @property
    def is_waiting(self) -> bool:
        """Whether the first sound is still being made."""
        return self.is_playing and self._tape is None

    def prepare(self, cue: Cue) -> None:
        """Have a cue's sound made that may soon be wanted."""
        self._want(cue)

    def play(self, cues: Sequence[Cue], goes_round: bool = False) -> None:
        """Play these one after another, and from the first again where it goes round."""
        self._silence()
        self._cues, self._goes_round, self._next = tuple(cues), goes_round, 0
        self._cue = self._cues[0]
        self._forget_all_but(self._cues)
        self._want(self._cue)
        self.changed.emit()
        self._keep_going()

    def stop(self) -> None:
        """Be silent."""
        if self.is_playing:
            self._silence()
            self.changed.emit()

    def change(self, cues: Sequence[Cue], goes_round: bool = False) -> None:
        """Play the same drills in another way: from the next beat on where one is heard, else when its turn comes."""
        if not self.is_playing or [cue.block_id for cue in cues] != [cue.block_id for cue in self._cues]:
            return
        place = max(self._next - 1, 0)
        self._cues, self._goes_round = tuple(cues), goes_round
        self._forget_all_but(self._cues)
        if self._tape is None:
            self._cue = self._cues[place]
        self._want(self._cues[place])
        self.changed.emit()
        self._keep_going()

    def close(self) -> None:
        """End for good."""
        self._silence()
        self._soon.close()
        self._rest.close()

    # What is made

    def _want(self, cue: Cue) -> None:
        """Have the beginning of a cue made, and more and more of it; what is made already is made at once."""
        if cue in self._sounds and self._sounds[cue].until is None:
            return
        for place, until in enumerate((*cue.beginnings, None)):
            if (cue, until) in self._wanted or (cue in self._sounds and self._sounds[cue].holds(until)):
                continue
            rendering = self._rest if place else self._soon
            future = rendering.sound_of(cue.performance if until is None else cue.performance.up_to(until))
            if future.done():
                self._settle(cue, until, future)
            else:
                self._wanted[cue, until] = future
                future.add_done_callback(partial(self._tell_of, cue, until))

    def _tell_of(self, cue: Cue, until: float | None, future: Future[Sound]) -> None:
        try:
            self._arrived.emit(cue, until, future)
        except RuntimeError:
            # The window was closed meanwhile.
            return

    def _take(self, cue: Cue, until: float | None, future: Future[Sound]) -> None:
        if self._wanted.get((cue, until)) is future and not future.cancelled():
            del self._wanted[cue, until]
            self._settle(cue, until, future)
            if self.is_playing:
                self._keep_going()

    def _settle(self, cue: Cue, until: float | None, future: Future[Sound]) -> None:
        error = future.exception()
        if error is None:
            made = self._sounds.get(cue)
            if made is None or not made.holds(until):
                self._sounds[cue] = Made(future.result(), until)
                if self._tape is not None:
                    self._tape.extend(cue, future.result(), until)
        elif cue in self._cues:
            self._silence()
            self.changed.emit()
            self.failed.emit(_sentence(str(error)) if isinstance(error, NoSound) else NOT_MADE)

    def _forget_all_but(self, cues: Sequence[Cue]) -> None:
        """Give up what is not wanted any more; the sounds that were made last stay for a while."""
        for cue, until in [one for one in self._wanted if one[0] not in cues]:
            self._wanted.pop((cue, until)).cancel()
        others = [cue for cue in self._sounds if cue not in cues]
        for cue in others[: max(len(others) - MOST_KEPT, 0)]:
            del self._sounds[cue]

    # What is fed

    def _keep_going(self) -> None:
        if not self.is_playing:
            return
        if self._tape is None and not self._begin():
            return
        sink, tape = self._sink, self._tape
        assert sink is not None
        assert tape is not None
        if sink.is_lost():
            self._silence()
            self.changed.emit()
            self.failed.emit(LOST)
            return
        self._go_over(tape, sink)
        self._feed(tape, sink)
        self._follow(tape, sink)

    def _begin(self) -> bool:
        """Open the loudspeaker when the first sound is there; says whether it plays."""
        made = self._sounds.get(self._cues[0])
        if made is None:
            return False
        sound = made.sound
        try:
            if self._sink is None:
                self._sink = self._make_sink()
            self._sink.start(sound.rate, sound.channels)
        except NoLoudspeaker as error:
            self._sink = None
            self._silence()
            self.changed.emit()
            self.failed.emit(str(error))
            return False
        self._tape = Tape(sound.rate, sound.channels)
        self._timer.start()
        self._turn(self._tape)
        self.changed.emit()
        return True

    def _turn(self, tape: Tape) -> None:
        """Take the next cue's roll when its sound is there, and have the one after it made."""
        if self._next >= len(self._cues):
            if not self._goes_round:
                return
            self._next = 0
        cue = self._cues[self._next]
        made = self._sounds.get(cue)
        if made is None:
            self._want(cue)
            return
        tape.take(Roll(cue, made.sound, made.until))
        self._next += 1
        following = self._next % len(self._cues)
        if self._next < len(self._cues) or self._goes_round:
            self._want(self._cues[following])

    def _go_over(self, tape: Tape, sink: Sink) -> None:
        """Where the drill that is fed is wanted in another way whose sound is there: splice it in at a beat."""
        roll = tape.roll
        if roll is None or not self._next:
            return
        wanted = self._cues[self._next - 1]
        coming = tape.coming
        if (coming.cue if coming is not None else roll.cue) == wanted or wanted not in self._sounds:
            return
        made = self._sounds[wanted]
        new = Roll(wanted, made.sound, made.until)
        heard = tape.heard(sink.waiting() // (2 * tape.channels))
        if heard is not None and heard.cue == roll.cue and heard.second < roll.cue.performance.begins:
            # It is still being counted in, so it begins again as it is wanted now.
            self._start_over(new)
            return
        place = roll.cue.beat_after(roll.at / tape.rate + AHEAD)
        if place is not None:
            at = roll.frame(roll.cue.performance.places[place][0])
            start = new.frame(wanted.performance.places[wanted.place_like(roll.cue, place)][0])
            if start >= new.end:
                # What would take over is not made yet.
                return
            tape.splice(at, new, start)
        elif wanted.loop is not None and new.until is None:
            tape.splice(roll.end, new, new.frame(wanted.loop[0]))

    def _start_over(self, roll: Roll) -> None:
        assert self._sink is not None
        assert self._tape is not None
        self._sink.stop()
        self._left = b""
        self._sink.start(roll.sound.rate, roll.sound.channels)
        self._tape = Tape(roll.sound.rate, roll.sound.channels)
        self._tape.take(roll)

    def _feed(self, tape: Tape, sink: Sink) -> None:
        width = 2 * tape.channels
        while (frames := sink.free() // width) > 0:
            if not self._left:
                if tape.roll is None:
                    self._turn(tape)
                self._left = tape.feed(frames)
            taken = sink.write(self._left[: frames * width])
            self._left = self._left[taken:]
            if self._left or taken <= 0:
                break

    def _follow(self, tape: Tape, sink: Sink) -> None:
        waiting = (sink.waiting() + len(self._left)) // (2 * tape.channels)
        heard = tape.heard(waiting)
        if heard is not None:
            if heard.cue != self._cue:
                self._cue = heard.cue
                self.changed.emit()
            self._show(heard.cue.sounding(heard.second))
        else:
            self._show(())
        is_over = tape.roll is None and self._next >= len(self._cues) and not self._goes_round
        if is_over and tape.is_heard_out(waiting):
            self.stop()

    def _show(self, notes: tuple[Sounding, ...]) -> None:
        if notes != self._notes:
            self._notes = notes
            self.heard.emit(notes)

    def _silence(self) -> None:
        self._timer.stop()
        if self._sink is not None:
            self._sink.stop()
        self._tape, self._cue, self._cues, self._left = None, None, (), b""
        self._show(())


NOT_MADE = english("The sound could not be made; play it again.")


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:].rstrip(".") + "."
