"""The schedule against worked traces. The rules and figures are our own proposal, worked out by hand from the rules."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.students.item import Item
from lessonkit.students.marks import Attempt, Mark, Source
from lessonkit.students.schedule import (
    INTERVALS,
    Rhythm,
    Standing,
    capacity,
    load,
    standings,
    too_much,
)
from lessonkit.students.session import due_items
from lessonkit.students.student import Student, with_mark, without_last_mark
from lessonkit.students.weakness import Step, chart, step_of, tally

START = date(2026, 1, 5)
ITEM = Item.parse("broken-chords/Eb/right/maj7")


def day(number: int) -> date:
    return START + timedelta(number)


def tries(*said: str, item: Item = ITEM) -> list[Attempt]:
    """``"14:3T"`` is a 3 by the teacher on day 14."""
    found = []
    for one in said:
        number, rest = one.split(":")
        source = Source.TEACHER if rest[1] == "T" else Source.STUDENT
        found.append(Attempt(day(int(number)), item, int(rest[0]), source))
    return found


def standing(*said: str) -> Standing:
    return standings(tries(*said), Rhythm())[ITEM]


TRACE = [
    ("0:1T", 1, 1), ("1:2S", 1, 2), ("2:3S", 2, 5), ("5:3S", 3, 12), ("7:2T", 3, 14), ("14:3T", 4, 28),
    ("28:3S", 4, 42), ("35:1T", 3, 42),
]  # fmt: skip
"""A new item: the try, then the box it stands in and the day it is due. Worked out by hand from the rules."""


@pytest.mark.parametrize("count", range(1, len(TRACE) + 1))
def test_the_worked_trace_comes_out(count: int) -> None:
    now = standing(*(said for said, _, _ in TRACE[:count]))
    _, box, due = TRACE[count - 1]
    assert (now.box, (now.due - START).days) == (box, due)
    assert len(now.trace) == count


@pytest.mark.parametrize(
    ("said", "weakness"),
    [
        ((), 0.500), (("0:0T",), 0.667), (("0:0T", "0:0T"), 0.750), (("0:3T",), 0.333), (("0:0S",), 0.600),
        (("0:0T", "0:3T"), 0.500),
    ],
)  # fmt: skip
def test_weakness_of_todays_marks(said: tuple[str, ...], weakness: float) -> None:
    """Worked out by hand from the printed rule, with even odds beforehand."""
    assert round(tally(tries(*said)).weakness(START), 3) == weakness


def test_a_miss_of_a_fortnight_ago_counts_half() -> None:
    """(½·1 + 2·½) / (½ + 2) = 0.6, worked out by hand."""
    assert round(tally(tries("0:0T")).weakness(day(14)), 3) == 0.600


@pytest.mark.parametrize(
    ("count", "box", "expected"), [(60, 4, 4.3), (60, 3, 8.6), (96, 3, 13.7), (24, 2, 8.0), (144, 4, 10.3)]
)
def test_loads(count: int, box: int, expected: float) -> None:
    """Worked out by hand: so many items, each one part in its interval a day."""
    one = Standing(ITEM, box, START, START, START)
    assert round(load([one] * count), 1) == expected


def test_a_goal_caps_the_interval() -> None:
    """A term of ten weeks allows 14 days, a year of it 36; worked out by hand from the rule."""
    assert Rhythm(goal=day(70)).interval(6, START) == 14
    assert Rhythm(goal=day(365)).interval(6, START) == 36
    assert Rhythm(goal=day(3)).interval(6, START) == 1
    assert Rhythm(goal=START).interval(6, START) == 56


def test_due_days_fall_on_practice_days() -> None:
    """What is due on a day without practice would be late; it comes on the last practice day before."""
    weekdays = Rhythm(days=frozenset({0, 2, 4}))
    assert weekdays.due(START, 7) == day(7)
    assert weekdays.due(START, 3) == day(2)
    assert weekdays.due(START, 1) == day(2), "no practice day lies between, so the next one is taken"


def test_a_students_own_mark_never_lifts_above_box_three() -> None:
    """Students judge themselves too well after playing one thing many times over."""
    assert standing("0:3S", "5:3S", "15:3S", "40:3S", "90:3S").box == 3
    assert standing("0:3T", "5:3T", "15:3T", "40:3T", "100:3T").box == 6


def test_three_tries_of_one_day_lift_an_item_once() -> None:
    """What is played again at once is no cold try."""
    assert standing("0:3T", "0:3T", "0:3T").box == 2


def test_the_planner_refuses_politely() -> None:
    """At two minutes an item a quarter of an hour holds seven."""
    assert capacity(15) == 7
    fresh = {Item.parse(f"skill-{number}/C"): Standing(ITEM, 2, START, START, START) for number in range(24)}
    assert "let some of them settle" in too_much(fresh, 15)
    settled = {item: Standing(ITEM, 4, START, START, START) for item in fresh}
    assert too_much(settled, 15) == ""


def test_the_priority_is_told_with_its_sum() -> None:
    now = standings(tries("0:3T"), Rhythm())
    due = due_items(now, {}, day(6))
    assert [one.priority for one in due] == [2.0]
    assert due[0].why(day(6)) == "last tried 6 days ago, box 2 waits 3 days: 6 ÷ 3 × (0.5 + 0.50) = 2.00"


def test_what_was_typed_last_is_taken_back_by_one_step() -> None:
    student = Student("A. B.")
    marked = with_mark(student, Mark(START, (ITEM,), 2))
    assert without_last_mark(marked) == student
    assert without_last_mark(student) == student


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 3), st.booleans()), max_size=40))
def test_boxes_stay_within_their_bounds(steps: list[tuple[int, int, bool]]) -> None:
    """Whatever is typed, an item is in one of the boxes and due after it was tried."""
    now, said = 0, []
    for wait, rating, is_teacher in steps:
        now += wait
        said.append(f"{now}:{rating}{'T' if is_teacher else 'S'}")
    for one in standings(tries(*said), Rhythm()).values():
        assert 1 <= one.box <= len(INTERVALS)
        assert all(step.due > step.day for step in one.trace)
        assert one.due > one.last
        for before, after in zip(one.trace, one.trace[1:], strict=False):
            lifted = after.box > before.box
            assert not (lifted and after.source is Source.STUDENT and before.box >= 3)


def test_a_chart_says_what_it_rests_on() -> None:
    """A number without its evidence invites false trust."""
    found = chart(tries("0:0T", "3:0T") + tries("3:3T", item=Item.parse("broken-chords/C/right/maj7")), day(5))
    weak, strong = found.keys
    assert (weak.label, weak.step, weak.rests_on) == ("E♭ major", Step.WEAK, "2 marks, the newest 2 days old")
    assert (strong.label, strong.marks) == ("C major", 1)
    assert [row.label for row in found.shapes] == ["black white black white", "all white"]
    assert found.qualities[0].label == "major seventh"
    assert step_of(0.29) is Step.SECURE
    assert step_of(0.5) is Step.SHAKY


@pytest.mark.parametrize("text", ["broken-chords/Eb", "a/Eb/right", "block-chords/F#m/both/m6/9/B", "x/C/left"])
def test_an_item_is_one_text_both_ways(text: str) -> None:
    item = Item.parse(text)
    assert Item.parse(item.ascii) == item


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("a/Eb/right/maj7", "a/Ab/right/maj7", True), ("a/C/right/maj7", "a/Db/right/maj7", True),
        ("a/C/right/maj7", "a/D/right/maj7", False), ("a/C/right/maj7", "b/F/right/maj7", False),
        ("a/C/both/9/A", "a/C/both/9/B", True), ("a/C/right/maj7", "a/C/left/maj7", False),
    ],
)  # fmt: skip
def test_look_alikes(one: str, other: str, alike: bool) -> None:
    """E♭maj7 and A♭maj7 are BWBW, C and D♭ a semitone apart, A and B two forms of one chord (by our rule)."""
    assert Item.parse(one).looks_like(Item.parse(other)) is alike
    assert Item.parse(other).looks_like(Item.parse(one)) is alike
