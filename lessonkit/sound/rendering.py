"""A performance as sampled piano: rendered without any library of the system, kept by content, saved as WAV or MP3.

Nothing here is imported before something is to be heard. The renderer keeps Python's lock while it works, so a window
renders in a process of its own: ``RenderingApart``.
"""

from __future__ import annotations

import io
import wave
from collections import OrderedDict
from concurrent.futures import BrokenExecutor, Future
from functools import lru_cache
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path
from threading import Lock
from typing import Any

from lessonkit.sound.midi_file import to_midi
from lessonkit.sound.performance import Performance
from lessonkit.values import dataclass

TAIL = 1.6
"""How long the last notes may ring, in seconds."""

LONGEST = 30 * 60
"""The longest sound that is made, in seconds; a minute of it takes 11 MB."""

MOST_KEPT = 128_000_000
"""How many bytes of sound are kept."""

_LOUDEST = 0.9
"""How near the loudest moment comes to the limit."""

_MOST_GAIN = 12.0
"""How much the renderer's quiet sound is raised at most, so that a soft drill stays softer than a loud one."""


class NoSound(Exception):
    """Sound cannot be made here; the text is the sentence to show."""


@dataclass(frozen=True, slots=True)
class Sound:
    """Sampled sound: ``samples`` are signed 16-bit numbers, low byte first, the channels in turn.

    ``gain`` is by how much the renderer's sound was raised, so that two sounds can be brought to one loudness.
    """

    rate: int
    channels: int
    samples: bytes
    gain: float = 1.0

    @property
    def length(self) -> float:
        """In seconds."""
        return len(self.samples) / (2 * self.channels * self.rate)

    def wav(self) -> bytes:
        """The sound as a WAV file."""
        out = io.BytesIO()
        with wave.open(out, "wb") as file:
            file.setnchannels(self.channels)
            file.setsampwidth(2)
            file.setframerate(self.rate)
            file.writeframes(self.samples)
        return out.getvalue()

    def mp3(self) -> bytes:
        """The sound in one channel as an MP3 file, which every phone plays: a minute takes about half a megabyte."""
        try:
            import numpy
            import soundfile
        except (ImportError, OSError) as error:
            raise NoSound(f"MP3 files cannot be made here ({error}); choose WAV") from None
        both = numpy.frombuffer(self.samples, "<i2").reshape(-1, self.channels)
        one = (both.astype("f4").mean(axis=1) / 32768).astype("f4")
        out = io.BytesIO()
        with soundfile.SoundFile(out, "w", self.rate, 1, format="MP3") as file:
            # In pieces, since the library puts what it is given at once on its stack.
            for start in range(0, len(one), self.rate):
                file.write(one[start : start + self.rate])
        return out.getvalue()


_kept: OrderedDict[bytes, Sound] = OrderedDict()
_lock = Lock()


def sound_of(performance: Performance) -> Sound:
    """The performance as it sounds; the same music is rendered once. Raises NoSound with a sentence."""
    midi = checked_midi(performance)
    key = sha256(midi).digest()
    kept = kept_sound(key)
    return kept if kept is not None else keep(key, rendered(midi))


def checked_midi(performance: Performance) -> bytes:
    """The performance as the renderer is given it, with room to ring out; raises NoSound where it is too long."""
    if performance.length > LONGEST:
        minutes = round(performance.length / 60)
        raise NoSound(f"{minutes} minutes are too long for one sound; take fewer rounds or fewer drills at once")
    return to_midi(performance, tail=TAIL)


def kept_sound(key: bytes) -> Sound | None:
    """What was rendered before, by the content of its MIDI."""
    with _lock:
        sound = _kept.get(key)
        if sound is not None:
            _kept.move_to_end(key)
        return sound


def keep(key: bytes, sound: Sound) -> Sound:
    """Keep a sound; the oldest go when there are too many bytes."""
    with _lock:
        _kept[key] = sound
        while len(_kept) > 1 and sum(len(one.samples) for one in _kept.values()) > MOST_KEPT:
            _kept.popitem(last=False)
    return sound


def forget() -> None:
    """Forget all that was rendered."""
    with _lock:
        _kept.clear()


def rendered(midi: bytes) -> Sound:
    """A MIDI file as sampled piano, at a good loudness."""
    try:
        import midirenderer
        import numpy
    except ImportError as error:
        raise NoSound(f"sound cannot be made here ({error}); set the program up again") from None
    with wave.open(io.BytesIO(midirenderer.render_wave_from(_soundfont(), midi))) as file:
        rate, channels = file.getframerate(), file.getnchannels()
        raw = numpy.frombuffer(file.readframes(file.getnframes()), "<i2")
    peak = int(numpy.abs(raw.astype("i4")).max()) if len(raw) else 0
    gain = min(_MOST_GAIN, _LOUDEST * 32767 / peak) if peak else 1.0
    return Sound(rate, channels, (raw.astype("f4") * gain).astype("<i2").tobytes(), gain)


@lru_cache(maxsize=1)
def _soundfont() -> bytes:
    """The General MIDI soundfont that comes inside pretty_midi, found without importing it."""
    found = find_spec("pretty_midi")
    for folder in (found.submodule_search_locations or ()) if found is not None else ():
        path = Path(folder) / "TimGM6mb.sf2"
        if path.exists():
            return path.read_bytes()
    raise NoSound("the piano's sounds are missing; set the program up again")


class RenderingApart:
    """Renders in another process, one thing after another, so that a window stays free.

    The process starts with the first wish, again should it have died, and is told to stop by ``close``. What was
    rendered before is answered at once.
    """

    def __init__(self) -> None:
        self._pool: Any = None

    def sound_of(self, performance: Performance) -> Future[Sound]:
        """The sound, later; the future raises NoSound with a sentence where there is none. It can be cancelled."""
        answer: Future[Sound] = Future()
        try:
            midi = checked_midi(performance)
        except NoSound as error:
            answer.set_exception(error)
            return answer
        key = sha256(midi).digest()
        kept = kept_sound(key)
        if kept is not None:
            answer.set_result(kept)
            return answer
        work = self._submitted(midi)

        def finish(done: Future[Sound]) -> None:
            error = None if done.cancelled() else done.exception()
            if isinstance(error, BrokenExecutor):
                self._pool = None
            if not answer.set_running_or_notify_cancel():
                return
            if error is not None or done.cancelled():
                known = isinstance(error, NoSound)
                answer.set_exception(error if known else NoSound("making the sound was broken off; try it again"))
            else:
                answer.set_result(keep(key, done.result()))

        answer.add_done_callback(lambda one: work.cancel() if one.cancelled() else None)
        work.add_done_callback(finish)
        return answer

    def close(self) -> None:
        """Stop the other process; what it has not begun is given up."""
        if self._pool is not None:
            self._pool.shutdown(wait=False, cancel_futures=True)
            self._pool = None

    def _submitted(self, midi: bytes) -> Future[Sound]:
        if self._pool is None:
            import multiprocessing
            from concurrent.futures import ProcessPoolExecutor

            # A fresh process and no fork: a fork of a window's process with its threads is not safe.
            self._pool = ProcessPoolExecutor(1, multiprocessing.get_context("spawn"))
        try:
            work: Future[Sound] = self._pool.submit(rendered, midi)
        except BrokenExecutor:
            self._pool = None
            return self._submitted(midi)
        return work
