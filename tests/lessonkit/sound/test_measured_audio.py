"""What comes out of the renderer, measured: which pitch sounds when, found in the samples by spectra alone.

The method knows nothing of the performance: onsets are where the spectrum's energy rises, pitches the comb of
harmonics that holds most energy (common practice in signal processing, no source).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy
import pytest
from numpy.typing import NDArray

from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.sound.performance import Held, performance
from lessonkit.sound.playing import Playing
from lessonkit.sound.rendering import Sound, sound_of
from lessonkit.theory.key import Key

TWELVE = [Key.parse(text) for text in ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]]
NEAR = 0.010
"""How near a measured onset must be, in seconds."""

HARMONICS = 8
LOWEST, HIGHEST = 28, 104


def mono(sound: Sound) -> NDArray[numpy.float64]:
    """The samples as one channel between -1 and 1."""
    samples = numpy.frombuffer(sound.samples, "<i2").reshape(-1, sound.channels)
    return samples.mean(axis=1) / 32768


def onsets_in(samples: NDArray[numpy.float64], rate: int, least: float = 0.4) -> list[float]:
    """Moments at which a note begins: peaks in the rise of the spectrum's energy, ``least`` of the highest or more."""
    size, hop = 1024, 96
    window = numpy.hanning(size)
    silence = 4 * size
    padded = numpy.concatenate([numpy.zeros(silence), samples])
    frames = numpy.lib.stride_tricks.sliding_window_view(padded, size)[::hop] * window
    spectrum = numpy.log1p(200 * numpy.abs(numpy.fft.rfft(frames, axis=1)))
    lag = 4
    rise = numpy.maximum(spectrum[lag:] - spectrum[:-lag], 0).sum(axis=1)
    peaks = [
        at
        for at in range(12, len(rise) - 12)
        if rise[at] == rise[at - 12 : at + 13].max() and rise[at] > least * rise.max()
    ]
    # A frame ends at its last sample; the rise is steepest when the attack reaches the window's middle.
    return [((at + lag / 2) * hop + size / 2 - silence) / rate for at in peaks]


def pitch_from(samples: NDArray[numpy.float64], rate: int, onset: float) -> int:
    """The key that sounds from an onset on: the one whose comb of harmonics holds most energy."""
    start = int((onset + 0.03) * rate)
    part = samples[start : start + int(0.25 * rate)]
    size = 1 << 17
    spectrum = numpy.abs(numpy.fft.rfft(part * numpy.hanning(len(part)), size))
    spectrum = numpy.sqrt(spectrum / spectrum.max())

    def energy(midi: float) -> float:
        base = 440 * 2 ** ((midi - 69) / 12)
        total = 0.0
        for number in range(1, HARMONICS + 1):
            middle = base * number * size / rate
            near = spectrum[int(middle * 0.985) : int(middle * 1.015) + 2]
            total += float(near.max(initial=0.0)) / number**0.7
        return total

    # Half the comb of a lower octave fits as well, so gaps between harmonics count against a key.
    def score(midi: int) -> float:
        base = 440 * 2 ** ((midi - 69) / 12) * size / rate
        gaps = [
            spectrum[int(base * (number + 0.5) * 0.985) : int(base * (number + 0.5) * 1.015) + 2].max()
            for number in range(4)
        ]
        return energy(midi) - 0.8 * float(sum(gaps))

    return max(range(LOWEST, HIGHEST), key=score)


def check_line(code: str, key: Key) -> None:
    """Hold each note of a line to its pitch and its moment."""
    exercise = realise(family(code)(), Setting(key))
    played = performance(exercise, Playing(60, plays_touch=False))
    sound = sound_of(played)
    samples = mono(sound)
    found = onsets_in(samples, sound.rate)
    assert len(found) == len(played.notes)
    for note, onset in zip(played.notes, found, strict=True):
        assert abs(onset - note.start) <= NEAR, (note, onset)
        assert pitch_from(samples, sound.rate, onset) == note.midi, note
    written = [(float(event.onset) * 4, event.pitches[0].midi) for event in exercise.events if event.pitches]
    joined = [one for place, one in enumerate(written) if not _is_held(exercise, place)]
    assert [(note.start, note.midi) for note in played.notes] == joined


def _is_held(exercise: Exercise, place: int) -> bool:
    """Whether a note is the tied part of the one before it."""
    sounding = [event for event in exercise.events if event.pitches]
    return place > 0 and sounding[place - 1].is_tied


@pytest.mark.parametrize("key", TWELVE, ids=lambda key: key.ascii)
@pytest.mark.parametrize("code", ["broken-chords", "own-lick"])
def test_single_lines_sound_as_they_are_written(code: str, key: Key) -> None:
    """Each note of a single line in each of the twelve keys: the right pitch within ten milliseconds."""
    check_line(code, key)


@pytest.mark.whole
@pytest.mark.parametrize("key", TWELVE, ids=lambda key: key.ascii)
@pytest.mark.parametrize(
    "code", ["arpeggio-run", "call-and-response", "diatonic-ladder", "displacement", "enclosures", "sequences"]
)
def test_all_single_lines_sound_as_they_are_written(code: str, key: Key) -> None:
    """All families that play one line in the right hand."""
    check_line(code, key)


@pytest.mark.whole
@pytest.mark.parametrize("key", TWELVE, ids=lambda key: key.ascii)
@pytest.mark.parametrize("code", ["walking-bass", "left-hand-arpeggios"])
def test_low_lines_sound_as_they_are_written(code: str, key: Key) -> None:
    """Low strings beat, which looks like more onsets; every note's own is among them, with its pitch."""
    played = performance(realise(family(code)(), Setting(key)), Playing(60, plays_touch=False))
    sound = sound_of(played)
    samples = mono(sound)
    found = onsets_in(samples, sound.rate, 0.1)
    for note in played.notes:
        assert min(abs(onset - note.start) for onset in found) <= NEAR, note
        assert pitch_from(samples, sound.rate, note.start) == note.midi, note


def loudness(sound: Sound, second: float) -> float:
    """How loud it is in the tenth of a second from a moment on."""
    samples = mono(sound)[int(second * sound.rate) : int((second + 0.1) * sound.rate)]
    return float(numpy.sqrt((samples**2).mean()))


def test_the_pedal_lets_notes_ring_on_and_stops_them() -> None:
    """A key that is let go at once rings on while the pedal is down, and only then."""
    exercise = realise(family("block-chords")(), Setting(Key.parse("C")))
    played = performance(exercise, Playing(60))
    short = replace(played, notes=(replace(played.notes[0], start=0.0, end=0.3),), length=3.0)
    dry, wet = sound_of(short), sound_of(replace(short, pedals=(Held(0.0, 2.0),)))
    assert loudness(dry, 1.0) < 0.01 * loudness(dry, 0.1)
    assert loudness(wet, 1.0) > 0.1 * loudness(wet, 0.1)
    assert loudness(wet, 2.8) < 0.02 * loudness(wet, 0.1)


def test_louder_marks_sound_louder() -> None:
    """Half as loud again at each mark or more, from pp to ff."""
    levels = []
    for mark in ("pp", "p", "mp", "mf", "f", "ff"):
        drill = family("own-lick").from_settings({"loudness": mark})
        levels.append(loudness(sound_of(performance(realise(drill, Setting(Key.parse("C"))), Playing(60))), 0.1))
    assert all(louder > 1.2 * softer for softer, louder in pairwise(levels))


@pytest.mark.parametrize("code", ["broken-chords", "twelve-bar-blues"])
def test_clicks_are_heard_beside_the_notes_and_do_not_drown_them(code: str) -> None:
    """The count-in is in nearly every file; the piano must not shrink beside it."""
    exercise = realise(family(code)(), Setting(Key.parse("F")))
    played = performance(exercise, Playing(60, count_in=1))
    sound = sound_of(played)
    samples = abs(mono(sound))
    begins = int(played.begins * sound.rate)
    click, notes = samples[: begins - 100].max(), samples[begins:].max()
    assert 0.2 * notes < click < 1.6 * notes
