"""A performance as a MIDI file of type 1: a track for the tempo, one for each hand, one for the clicks."""

from __future__ import annotations

import io
from bisect import bisect_right
from collections.abc import Iterable, Iterator
from typing import Any

from lessonkit.drills.exercise import Hand
from lessonkit.sound.performance import Performance, PlayedNote
from lessonkit.theory.key import MAJOR_KEYS, Key, Mode

TICKS = 960
"""Parts of a quarter note; at 60 a minute one is about a millisecond."""

PIANO = 0
"""The acoustic grand piano of General MIDI."""

CLICK_CHANNEL = 9
FIRST_CLICK, OTHER_CLICK = 76, 77
"""The high and the low wood block of General MIDI."""

_CLICK_LENGTH = 0.05
_CLICK_LOUD, _CLICK_SOFT = 52, 40
"""The wood block of the soundfont is far louder than its piano: at these it lies just above a single note."""
_SUSTAIN = 64
_CHANNELS = {Hand.RIGHT: 0, Hand.LEFT: 1}
_NAMES = {Hand.RIGHT: "Right hand", Hand.LEFT: "Left hand"}
_PEDAL_GAP = 0.02
"""How long before its end a pedal is lifted where it is taken anew at once."""

_ORDER = {"program_change": 0, "note_off": 1, "control_change": 2, "note_on": 3}
_Timed = tuple[int, Any]


def to_midi(performance: Performance, title: str = "", tail: float = 0.0) -> bytes:
    """The performance as the bytes of a MIDI file, which lasts ``tail`` seconds longer than the music."""
    import mido

    ticks = _Ticks(performance)
    file = mido.MidiFile(type=1, ticks_per_beat=TICKS)
    end = ticks.at(max([performance.length, *(note.end for note in performance.notes)]) + tail)
    file.tracks.append(_track(title or "Piano", _conductor(performance, ticks), end))
    for hand in Hand:
        notes = [note for note in performance.notes if note.hand is hand]
        if notes:
            file.tracks.append(_track(_NAMES[hand], _hand(performance, hand, notes, ticks), end))
    if performance.clicks:
        file.tracks.append(_track("Click", _clicks(performance, ticks), end))
    out = io.BytesIO()
    file.save(file=out)
    return out.getvalue()


class _Ticks:
    """Seconds as ticks, through changes of tempo."""

    def __init__(self, performance: Performance) -> None:
        self._starts: list[float] = []
        self._begun: list[float] = []
        self._rates: list[float] = []
        for stretch in performance.stretches:
            begun = self._exactly(stretch.start) if self._starts else 0.0
            self._starts.append(stretch.start)
            self._begun.append(begun)
            self._rates.append(stretch.quarters_a_minute / 60 * TICKS)

    def at(self, second: float) -> int:
        """The nearest tick."""
        return round(self._exactly(second))

    def _exactly(self, second: float) -> float:
        place = max(bisect_right(self._starts, second) - 1, 0)
        return self._begun[place] + (second - self._starts[place]) * self._rates[place]


def _track(name: str, timed: Iterable[_Timed], end: int) -> Any:
    import mido

    track = mido.MidiTrack()
    # The standard asks for plain letters; readers differ in all others.
    track.append(mido.MetaMessage("track_name", name=name.encode("ascii", "replace").decode(), time=0))
    now = 0
    for moment, message in sorted(timed, key=lambda one: (one[0], _ORDER.get(one[1].type, 0))):
        track.append(message.copy(time=max(0, moment - now)))
        now = max(now, moment)
    track.append(mido.MetaMessage("end_of_track", time=max(0, end - now)))
    return track


def _conductor(performance: Performance, ticks: _Ticks) -> Iterator[_Timed]:
    import mido

    for stretch in performance.stretches:
        start, meter = ticks.at(stretch.start), stretch.meter
        yield start, mido.MetaMessage("set_tempo", tempo=round(60_000_000 / stretch.quarters_a_minute))
        if meter is not None:
            yield start, mido.MetaMessage("time_signature", numerator=meter.beats, denominator=meter.unit)
    for moment, key in performance.keys:
        yield ticks.at(moment), mido.MetaMessage("key_signature", key=_key_name(key))


def _key_name(key: Key) -> str:
    """A key as files know it: major and minor; a mode by the major key of its signature."""
    if key.mode in (Mode.MAJOR, Mode.MINOR):
        return key.ascii
    return next(one.ascii for one in MAJOR_KEYS if one.signature == key.signature)


def _hand(performance: Performance, hand: Hand, notes: list[PlayedNote], ticks: _Ticks) -> Iterator[_Timed]:
    import mido

    channel = _CHANNELS[hand]
    yield 0, mido.Message("program_change", channel=channel, program=PIANO)
    following: dict[int, float] = {}
    for note in reversed(notes):
        # A key that is struck again has been let go before.
        end = min(note.end, following.get(note.midi, note.end))
        following[note.midi] = note.start
        start = ticks.at(note.start)
        yield start, mido.Message("note_on", channel=channel, note=note.midi, velocity=note.velocity)
        yield max(start + 1, ticks.at(end)), mido.Message("note_off", channel=channel, note=note.midi, velocity=0)
    for place, held in enumerate(performance.pedals):
        is_taken_anew = place + 1 < len(performance.pedals) and performance.pedals[place + 1].start <= held.end
        # The pedal goes down just after the notes and up just before the next ones.
        up = held.end - (_PEDAL_GAP if is_taken_anew else 0.0)
        yield (
            ticks.at(held.start + _PEDAL_GAP),
            mido.Message("control_change", channel=channel, control=_SUSTAIN, value=127),
        )
        yield ticks.at(up), mido.Message("control_change", channel=channel, control=_SUSTAIN, value=0)


def _clicks(performance: Performance, ticks: _Ticks) -> Iterator[_Timed]:
    import mido

    for click in performance.clicks:
        note = FIRST_CLICK if click.is_first else OTHER_CLICK
        velocity = _CLICK_LOUD if click.is_first else _CLICK_SOFT
        start = ticks.at(click.time)
        yield start, mido.Message("note_on", channel=CLICK_CHANNEL, note=note, velocity=velocity)
        yield (
            ticks.at(click.time + _CLICK_LENGTH),
            mido.Message("note_off", channel=CLICK_CHANNEL, note=note, velocity=0),
        )
