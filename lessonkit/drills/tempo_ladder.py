"""The row of metronome marks on which a drill climbs from a start to a goal.

The marks are the 39 that mechanical metronomes carry, 40 to 208; common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lessonkit.drills.params import METRONOME_MARKS
from lessonkit.drills.setting import Setting

if TYPE_CHECKING:
    from lessonkit.drills.family import DrillFamily

MOST_STEPS = 8
"""As many boxes as stand on a line."""

_USUAL_CLIMB = 2
"""How many marks of the metronome a step climbs where no goal is set: 60 66 72 80."""


def tempo_ladder(drill: DrillFamily, setting: Setting) -> tuple[int, ...]:
    """The marks in order, none where no ladder is wanted.

    Without a start of its own the ladder begins at the mark nearest the lesson's tempo, and without a goal each step
    climbs two marks. On the way to a goal each step is faster by the same share, as near as the marks allow; a goal too
    near for so many steps makes fewer of them.
    """
    steps = drill.ladder_steps
    if not steps:
        return ()
    start = drill.ladder_start or nearest_mark(setting.tempo * (2 / 3 if is_dotted(drill) else 1))
    first = METRONOME_MARKS.index(start)
    if drill.ladder_goal is None:
        last = min(first + _USUAL_CLIMB * (steps - 1), len(METRONOME_MARKS) - 1)
    else:
        last = METRONOME_MARKS.index(drill.ladder_goal)
    if steps == 1:
        return (METRONOME_MARKS[last if drill.ladder_goal else first],)
    if drill.ladder_goal is None:
        places = [first + round((last - first) * step / (steps - 1)) for step in range(steps)]
        return tuple(METRONOME_MARKS[place] for place in dict.fromkeys(places))
    share = drill.ladder_goal / start
    return tuple(dict.fromkeys(nearest_mark(start * share ** (step / (steps - 1))) for step in range(steps)))


def is_dotted(drill: DrillFamily) -> bool:
    """Whether the drill is counted in dotted quarters."""
    meter = drill.metre.meter
    return meter is not None and meter.unit == 8


def nearest_mark(tempo: float) -> int:
    """The metronome mark nearest a tempo; of two that are as near, the slower."""
    nearest: int = min(METRONOME_MARKS, key=lambda mark: abs(mark - tempo))
    return nearest
