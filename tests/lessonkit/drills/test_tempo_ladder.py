"""The tempo ladder climbs on the marks of the metronome."""

from __future__ import annotations

from itertools import pairwise

import pytest

from lessonkit.drills.family import family
from lessonkit.drills.params import METRONOME_MARKS, Plain
from lessonkit.drills.setting import Setting
from lessonkit.drills.tempo_ladder import nearest_mark, tempo_ladder
from lessonkit.theory.key import Key


def ladder(tempo: int = 72, **settings: Plain) -> tuple[int, ...]:
    """The ladder of a drill in a lesson of a tempo."""
    return tempo_ladder(family("broken-chords").from_settings(settings), Setting(Key.parse("C"), tempo=tempo))


def test_the_marks_are_those_of_a_mechanical_metronome() -> None:
    """By 2 to 60, by 3 to 72, by 4 to 120, by 6 to 144, then by 8: 39 marks (common practice, no source)."""
    assert len(METRONOME_MARKS) == 39
    assert METRONOME_MARKS[0] == 40
    assert METRONOME_MARKS[-1] == 208
    steps = {(60, 2), (72, 3), (120, 4), (144, 6), (208, 8)}
    for before, after in pairwise(METRONOME_MARKS):
        assert after - before == min(step for until, step in steps if after <= until)


@pytest.mark.parametrize(
    ("tempo", "settings", "marks"),
    [
        (72, {}, ()),
        (72, {"ladder_steps": 5}, (72, 80, 88, 96, 104)),
        (60, {"ladder_steps": 4}, (60, 66, 72, 80)),
        (71, {"ladder_steps": 2}, (72, 80)),
        (72, {"ladder_steps": 6, "ladder_start": 60, "ladder_goal": 120}, (60, 69, 80, 92, 104, 120)),
        (72, {"ladder_steps": 8, "ladder_start": 60, "ladder_goal": 66}, (60, 63, 66)),
        (72, {"ladder_steps": 1, "ladder_goal": 100}, (100,)),
        (300, {"ladder_steps": 3}, (208,)),
        # Dotted quarters: 90 quarters a minute are 60 of them.
        (90, {"ladder_steps": 2, "metre": "6/8"}, (60, 66)),
        (72, {"ladder_steps": 3, "ladder_start": 120, "ladder_goal": 100}, (120, 108, 100)),
    ],
)
def test_a_ladder_climbs_evenly_over_the_marks(tempo: int, settings: dict[str, Plain], marks: tuple[int, ...]) -> None:
    """From the lesson's tempo unless a start is chosen, by even shares to a goal; one too near makes fewer steps."""
    assert ladder(tempo, **settings) == marks


def test_between_two_marks_the_slower_is_taken() -> None:
    """A student begins on the safe side."""
    assert nearest_mark(70.5) == 69
    assert nearest_mark(10) == 40


def test_only_marks_can_be_chosen() -> None:
    """The sentence shows what a mark is."""
    with pytest.raises(ValueError, match="ladder_goal: 75 is no mark of the metronome; take one such as 40, 42"):
        ladder(ladder_goal=75)
