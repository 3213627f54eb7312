"""Where sound goes: the computer's loudspeaker through Qt, fetched only when something is to be heard."""

from __future__ import annotations

from typing import Protocol

from desktop.words import english, say

BUFFER = 0.4
"""Seconds of sound that wait for the loudspeaker, so that a busy window does not stutter."""

NO_LOUDSPEAKER = english(
    "There is no loudspeaker and there are no headphones here, so nothing can be heard. "
    "Lesson, Save sound files … makes the sound all the same."
)


class NoLoudspeaker(Exception):
    """Nothing can be heard here; the text is the sentence to show."""


class Sink(Protocol):
    """Takes sound in signed 16-bit numbers, low byte first, the channels in turn."""

    def start(self, rate: int, channels: int) -> None:
        """Be ready; raises NoLoudspeaker."""

    def free(self) -> int:
        """How many bytes can be taken now."""

    def waiting(self) -> int:
        """How many bytes were taken and not heard yet."""

    def write(self, samples: bytes) -> int:
        """Take sound; says how many bytes were taken. The first ones begin to sound at once."""

    def is_lost(self) -> bool:
        """Whether the loudspeaker has gone."""

    def stop(self) -> None:
        """Be silent at once and forget what waits."""


class QtSink:
    """The loudspeaker that the computer uses."""

    def __init__(self) -> None:
        try:
            # Without the system's sound library the import itself fails.
            from PySide6 import QtMultimedia
        except ImportError as error:
            raise NoLoudspeaker(
                say(
                    "Nothing can be heard here, because a library of the system is missing ({error}). "
                    "Lesson, Save sound files … makes the sound all the same.",
                    error=error,
                )
            ) from None
        self._qt = QtMultimedia
        self._sink: QtMultimedia.QAudioSink | None = None
        self._shape = (0, 0)

    def start(self, rate: int, channels: int) -> None:
        device = self._qt.QMediaDevices.defaultAudioOutput()
        if device.isNull():
            raise NoLoudspeaker(NO_LOUDSPEAKER)
        shape = (rate, channels)
        if self._sink is None or self._shape != shape:
            format = self._qt.QAudioFormat()
            format.setSampleRate(rate)
            format.setChannelCount(channels)
            format.setSampleFormat(self._qt.QAudioFormat.SampleFormat.Int16)
            self._sink = self._qt.QAudioSink(device, format)
            self._sink.setBufferSize(round(BUFFER * rate) * channels * 2)
            self._shape = shape
        self._into = self._sink.start()
        if self._into is None or self._sink.error() == self._qt.QtAudio.Error.OpenError:
            self._sink = None
            raise NoLoudspeaker(NO_LOUDSPEAKER)

    def free(self) -> int:
        return self._sink.bytesFree() if self._sink is not None else 0

    def waiting(self) -> int:
        return self._sink.bufferSize() - self._sink.bytesFree() if self._sink is not None else 0

    def write(self, samples: bytes) -> int:
        return int(self._into.write(samples)) if self._sink is not None else 0

    def is_lost(self) -> bool:
        if self._sink is None:
            return True
        error = self._sink.error()
        return error in (self._qt.QtAudio.Error.FatalError, self._qt.QtAudio.Error.IOError)

    def stop(self) -> None:
        if self._sink is not None:
            self._sink.reset()
