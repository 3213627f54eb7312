"""What each family costs: milliseconds for 100 notes, and its first render beside verovio alone on the same MEI.

Printed for a person to read; nothing here asserts the clock. Process time is taken, so that a busy machine counts less.
"""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

import pytest

from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import DrillFamily, families
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.working_out import worked_out
from lessonkit.engraving.engrave import engrave, engraver_text, forget
from lessonkit.engraving.engraver import svg_of
from lessonkit.engraving.look import Look
from lessonkit.theory.key import Key

pytestmark = pytest.mark.bench

LOOK = Look(482.0)
KEYS = tuple(map(Key.parse, ("C", "Eb", "F#", "B")))
ROUNDS, RENDERS = 12, 5


def shortest(work: Callable[[], object], rounds: int) -> float:
    """The shortest of some rounds, in milliseconds."""
    times = []
    for _ in range(rounds):
        start = process_time()
        work()
        times.append(process_time() - start)
    return 1000 * min(times)


def notes_of(exercise: Exercise) -> int:
    """How many notes were worked out, sample answers included."""
    open_bars = [event for event in exercise.samples if event.pitches]
    return sum(len(event.pitches) for event in exercise.events) + sum(len(event.pitches) for event in open_bars)


def cost_of(drill: DrillFamily) -> tuple[float, int]:
    """Milliseconds for 100 notes before fingering, in the key where it takes longest, and the notes of that key."""
    costs = []
    for key in KEYS:
        setting = Setting(key)
        count = notes_of(worked_out(drill, setting))
        costs.append((100 * shortest(lambda: worked_out(drill, setting), ROUNDS) / count, count))  # noqa: B023
    return max(costs)


def rendered(exercise: Exercise) -> float:
    """What engraving anew takes, as a ratio to verovio's load and render of the same MEI."""
    mei, width = engraver_text(exercise, LOOK)

    def anew() -> None:
        forget()
        engrave(exercise, LOOK)

    anew()
    return shortest(anew, RENDERS) / shortest(lambda: svg_of(mei, width), RENDERS)


def test_every_family_beside_its_limits(capsys: pytest.CaptureFixture[str]) -> None:
    """3 ms for 100 notes, 1.8 times verovio alone: families beyond either are marked."""
    with capsys.disabled():
        print("\n  ms/100 notes  first render  notes  family")
        for code, kind in families().items():
            cost, count = cost_of(kind())
            ratio = rendered(realise(kind(), Setting(Key.parse("Eb"))))
            mark = " <- beyond" if cost > 3 or ratio > 1.8 else ""
            print(f"  {cost:12.2f}  {ratio:10.2f} x  {count:5}  {code}{mark}")
