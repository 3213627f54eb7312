"""How soon a pressed key is heard, and what playing costs the window. Times are printed, not judged.

Run with ``python -m pytest -m bench tests/benchmarks -s``.
"""

from __future__ import annotations

import time
from statistics import median

import pytest
from PySide6.QtCore import Qt

from lessonkit.sound.rendering import RenderingApart
from tests.desktop.conftest import BROKEN, LADDER, Driver, driver  # noqa: F401
from tests.desktop.listening import TestSink


class TimedSink(TestSink):
    """Notes when the first sound is written; takes two channels as the real renderer gives them."""

    first = 0.0

    def start(self, rate: int, channels: int) -> None:
        self.first = 0.0
        self.waits.clear()

    def write(self, samples: bytes) -> int:
        if not self.first:
            self.first = time.perf_counter()
        return super().write(samples)


@pytest.mark.bench
def test_from_the_key_to_the_first_sound(driver: Driver) -> None:  # noqa: F811
    """The aim is 60 ms where the sound is made already; the loudspeaker's own delay comes on top."""
    listening, sink = driver.notebook.desk.listening, TimedSink()
    listening.make_sink = lambda: sink
    listening.make_rendering = RenderingApart

    def pressed() -> float:
        driver.notebook.desk.view.setFocus()
        start = time.perf_counter()
        driver.press(Qt.Key.Key_Space)
        driver.qtbot.waitUntil(lambda: sink.first > start, timeout=60_000)
        took = sink.first - start
        driver.press(Qt.Key.Key_Space)
        sink.first = 0.0
        return took

    driver.notebook.desk.selection.select(BROKEN)
    cold = pressed()
    driver.notebook.desk.selection.select(LADDER)
    other = pressed()
    again = [pressed() for _ in range(20)]
    print(f"\nthe first sound of all, with its processes started: {cold * 1000:.0f} ms")
    print(f"another drill, not made yet: {other * 1000:.0f} ms")
    print(f"made already: {median(again) * 1000:.1f} ms, at worst {max(again) * 1000:.1f} ms (aim 60 ms)")


@pytest.mark.bench
def test_what_playing_costs_the_window(driver: Driver) -> None:  # noqa: F811
    """Each look at the loudspeaker, with lights on the page and the keyboard, and a tempo changed on the way."""
    listening, sink = driver.notebook.desk.listening, TimedSink()
    listening.make_sink = lambda: sink
    listening.make_rendering = RenderingApart
    driver.notebook.desk.selection.select(LADDER)
    driver.notebook.desk.view.setFocus()
    driver.press(Qt.Key.Key_Space)
    driver.qtbot.waitUntil(lambda: bool(sink.first), timeout=60_000)
    player = listening._the_player()
    looks = []
    for turn in range(300):
        if turn in (60, 120, 180):
            listening.choose_tempo(80 + turn / 4)
        sink.pass_time(0.05)
        start = time.perf_counter()
        player._keep_going()
        driver.window.repaint()
        looks.append(time.perf_counter() - start)
        driver.qtbot.wait(5)
    print(f"\na look with its painting: {median(looks) * 1000:.1f} ms, at worst {max(looks) * 1000:.1f} ms")
