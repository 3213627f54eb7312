"""How much faster than it plays a lesson's sound is made. Ratios are printed, not judged.

Run with ``python -m pytest -m bench tests/benchmarks -s``.
"""

from __future__ import annotations

import time

import pytest

from lessonkit.drills.family import families, family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.exchange.musicxml import Movement, to_musicxml
from lessonkit.sound import rendering
from lessonkit.sound.midi_file import to_midi
from lessonkit.sound.performance import performance
from lessonkit.sound.playing import Playing
from lessonkit.theory.key import Key

TEN = (
    "broken-chords", "arpeggio-run", "chord-jumps", "diatonic-ladder", "twelve-bar-blues", "stride", "walking-bass",
    "two-five-one-chains", "shell-voicings", "by-ear",
)  # fmt: skip
"""A lesson's worth of drills, lines and chords, one hand and two."""


@pytest.mark.bench
def test_ten_drills_are_rendered_many_times_faster_than_they_play() -> None:
    """The aim is 20 times, from the exercise to the samples; the second time costs next to nothing."""
    exercises = [realise(family(code)(), Setting(Key.parse("Eb"))) for code in TEN]
    rendering.forget()
    performance.cache_clear()
    start = time.perf_counter()
    sounds = [rendering.sound_of(performance(exercise, Playing(72, count_in=1))) for exercise in exercises]
    first = time.perf_counter() - start
    start = time.perf_counter()
    again = [rendering.sound_of(performance(exercise, Playing(72, count_in=1))) for exercise in exercises]
    second = time.perf_counter() - start
    assert all(one is other for one, other in zip(sounds, again, strict=True))
    plays = sum(sound.length for sound in sounds)
    start = time.perf_counter()
    size = sum(len(sound.mp3()) for sound in sounds)
    pressed = time.perf_counter() - start
    print(
        f"\n{plays:.0f} s of sound: rendered {plays / first:.0f} times faster than it plays, kept {plays / second:.0f}"
    )
    print(f"MP3: {plays / pressed:.0f} times faster than it plays, {size * 8 / plays / 1000:.0f} kbit/s")
    print(f"rendered and pressed: {plays / (first + pressed):.0f} times faster than it plays")


@pytest.mark.bench
def test_notes_and_files_of_all_families_cost_little() -> None:
    """What happens before the renderer: to be waited for at a key press."""
    exercises = [realise(kind(), Setting(Key.parse("Eb"))) for kind in families().values()]
    for name, work in (
        ("performance", lambda exercise: performance(exercise, Playing(97))),
        ("MIDI", lambda exercise: to_midi(performance(exercise, Playing(97)))),
        ("MusicXML", lambda exercise: to_musicxml([Movement(exercise)], "One")),
    ):
        performance.cache_clear()
        times = []
        for exercise in exercises:
            start = time.perf_counter()
            work(exercise)
            times.append(1000 * (time.perf_counter() - start))
        print(f"\n{name}: {sum(times) / len(times):.1f} ms a drill, at most {max(times):.1f}")
