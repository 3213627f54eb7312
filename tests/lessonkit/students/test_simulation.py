"""The rules of the schedule hold on every day of simulated students; how they fare is measured, not judged."""

from __future__ import annotations

import pytest

from tests.lessonkit.students.simulated import by_rotation, by_schedule, goes_by_day, items_to_learn


@pytest.mark.parametrize("seed", range(4))
def test_the_rules_hold_on_every_day_of_forty_weeks(seed: int) -> None:
    """``by_schedule`` asserts them as it goes; the same seed lives the same year."""
    outcome = by_schedule(seed, 40)
    assert outcome == by_schedule(seed, 40)
    assert outcome.goes > 3


def test_rotation_gives_as_many_goes_as_the_schedule() -> None:
    """Otherwise one of the two would be compared at more practice."""
    goes = goes_by_day(1, 10)
    rotation = by_rotation(1, 10, goes)
    assert rotation.goes == by_schedule(1, 10).goes == sum(goes) / len(goes)
    assert len(items_to_learn()) == 24
