"""What somebody plays on a keyboard with MIDI: its messages as keys struck and let go. Backends are fetched late."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from lessonkit.values import dataclass

NOTE_OFF, NOTE_ON = 0x80, 0x90
"""The first bytes of the two messages that count here, without their channel (MIDI 1.0)."""

NO_LIBRARY = (
    "playing in needs the library python-rtmidi, which is not set up here; everything else works without it "
    "(python -m pip install python-rtmidi)"
)
NO_KEYBOARD = "no keyboard with MIDI is connected; connect one, switch it on and try again"


class NoKeyboard(Exception):
    """Nobody can play in here; the text is the sentence to show."""


@dataclass(frozen=True, slots=True)
class Struck:
    """A key struck at ``start`` and let go at ``end``, in seconds."""

    start: float
    end: float
    midi: int
    velocity: int


def struck(messages: Iterable[tuple[float, Sequence[int]]], until: float | None = None) -> tuple[Struck, ...]:
    """The keys of timed messages in order; those still down end with the last message, or ``until``.

    >>> struck([(0.0, (0x90, 60, 80)), (0.5, (0x90, 60, 0))])
    (Struck(start=0.0, end=0.5, midi=60, velocity=80),)
    """
    down: dict[int, tuple[float, int]] = {}
    found: list[Struck] = []
    last = 0.0

    def let_go(midi: int, moment: float) -> None:
        if midi in down:
            start, velocity = down.pop(midi)
            found.append(Struck(start, max(moment, start), midi, velocity))

    for moment, message in messages:
        last = moment
        if len(message) < 3:
            continue
        kind, midi, velocity = message[0] & 0xF0, message[1] & 0x7F, message[2] & 0x7F
        if kind == NOTE_ON and velocity:
            let_go(midi, moment)
            down[midi] = (moment, velocity)
        elif kind in (NOTE_ON, NOTE_OFF):
            let_go(midi, moment)
    for midi in list(down):
        let_go(midi, last if until is None else until)
    return tuple(sorted(found, key=lambda one: (one.start, one.midi)))


class Keyboard:
    """An open keyboard; ``received`` is called with each message's bytes, from a thread of the library's own."""

    def __init__(self, received: Callable[[Sequence[int]], None]) -> None:
        try:
            import rtmidi
        except ImportError:
            raise NoKeyboard(NO_LIBRARY) from None
        try:
            self._port: Any = rtmidi.MidiIn()
            names = self._port.get_ports()
        except Exception as error:
            # The library raises errors of several kinds where the system has no MIDI at all.
            raise NoKeyboard(f"MIDI cannot be used here ({error}); everything else works without it") from None
        place = next((at for at, name in enumerate(names) if "through" not in name.lower()), None)
        if place is None:
            raise NoKeyboard(NO_KEYBOARD)
        self.name: str = names[place]
        self._port.set_callback(lambda event, data: received(event[0]))
        try:
            self._port.open_port(place)
        except Exception as error:
            raise NoKeyboard(f"{self.name} cannot be used ({error}); another program may be using it") from None

    def close(self) -> None:
        """Let the keyboard go."""
        self._port.cancel_callback()
        self._port.close_port()
