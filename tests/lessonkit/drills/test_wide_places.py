"""Where nothing else helps, wide chords are rolled and the hand is lifted in lines; every hand then reaches all."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonkit.drills.exercise import Roll
from lessonkit.drills.families.enclosures import Enclosures
from lessonkit.drills.families.left_hand_tenths import LeftHandTenths, Touch
from lessonkit.drills.family import DrillFamily, Wide, families
from lessonkit.drills.reach_marks import reach_marks
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.key import Key


def small(span: float, key: str = "C") -> Setting:
    return Setting(Key.parse(key), hands=HandProfile().with_span(span))


@pytest.mark.parametrize("drill", [LeftHandTenths(touch=Touch.SOLID), Enclosures()], ids=lambda drill: drill.code)
def test_rolled_or_lifted_everything_is_within_reach(drill: DrillFamily) -> None:
    setting = small(160)
    assert reach_marks(drill, setting)
    eased = replace(drill, wide=Wide.ROLLED)
    assert reach_marks(eased, setting) == ()
    before, after = realise(drill, setting), realise(eased, setting)
    assert [event.pitches for event in before.events] == [event.pitches for event in after.events]


def test_only_what_is_too_wide_is_rolled() -> None:
    """A hand that reaches all plays as it is written."""
    drill = LeftHandTenths(touch=Touch.SOLID)
    large = small(280)
    assert realise(replace(drill, wide=Wide.ROLLED), large).events == realise(drill, large).events
    rolled = [event for event in realise(replace(drill, wide=Wide.ROLLED), small(205)).events if event.pitches]
    assert any(event.roll is Roll.UP for event in rolled)


@pytest.mark.parametrize("code", list(families())[::5])
def test_every_family_can_be_brought_within_a_childs_reach(code: str) -> None:
    """Sampled; the sweep over all families was made when this was written."""
    drill = replace(families()[code](), wide=Wide.ROLLED)
    for key in ("C", "Gb"):
        assert reach_marks(drill, small(140, key)) == ()
