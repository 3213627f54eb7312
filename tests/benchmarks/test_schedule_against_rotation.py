"""Forty simulated students in forty weeks: the schedule against going round the keys. Figures are printed, not judged.

Run with ``python -m pytest -m bench tests/benchmarks/test_schedule_against_rotation.py -s``.
"""

from __future__ import annotations

from statistics import mean, median

import pytest

from tests.lessonkit.students.simulated import HARSH, MILD, Outcome, by_rotation, by_schedule, goes_by_day

STUDENTS, WEEKS = 40, 40


@pytest.mark.bench
@pytest.mark.parametrize("kept", [HARSH, MILD], ids=["harsh", "mild"])
def test_the_schedule_against_plain_rotation(kept: float) -> None:
    """Every rule is asserted on every day while the figures are gathered."""
    scheduled = [by_schedule(seed, WEEKS, kept) for seed in range(STUDENTS)]
    rotated = [by_rotation(seed, WEEKS, goes_by_day(seed, WEEKS, kept), kept) for seed in range(STUDENTS)]
    print(f"\n{kept:.2f} of an item's strength left after a wrong try")
    print(f"{STUDENTS} students, {WEEKS} weeks, 24 items, {mean(one.goes for one in scheduled):.2f} goes a day")
    for name, outcomes in (("schedule", scheduled), ("rotation", rotated)):
        print(f"{name}: {_words(outcomes)}")
    print(f"the same key twice in a row: {sum(one.clashes for one in scheduled)} times in all sessions")
    assert len(scheduled) == len(rotated) == STUDENTS


def _words(outcomes: list[Outcome]) -> str:
    days = [one.days for one in outcomes if one.days is not None]
    reached = f"all items reached by {len(days)} of {len(outcomes)}"
    reached += f", median after {median(days):.0f} days" if days else ""
    reached += f" ({mean(one.reached for one in outcomes):.1f} of 24 items each)"
    recalls = ", ".join(f"week {week} {mean(one.recall[week] for one in outcomes):.2f}" for week in (5, 10, 20, 40))
    return f"{reached}; recall a week later: {recalls}; four weeks after the end {mean(o.later for o in outcomes):.2f}"
