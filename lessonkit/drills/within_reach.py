"""What to change in a drill so that these hands reach it. Each way is worked out, and fewer places are too wide."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass

from lessonkit.drills.family import DrillFamily
from lessonkit.drills.params import Choice, Whole
from lessonkit.drills.reach_marks import reach_marks
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import counted

INVERSION = "inversion"
"""The setting that families with a chosen inversion share."""

TOUCHES = {"ROLLED": "roll it", "BROKEN": "play it broken", "SHARED": "share it between the hands"}
"""Options that widen no hand, by what families call them in their choices, in the words of the advice."""


@dataclass(frozen=True, slots=True)
class ReachWay:
    """One way to bring a drill within reach: what is done, how many places stay too wide, the drill that comes of it.

    ``setting`` and ``value`` are what changes.
    """

    what: str
    left: int
    setting: str
    value: object
    drill: DrillFamily


def ways_within_reach(drill: DrillFamily, setting: Setting) -> Iterator[ReachWay]:
    """The ways that leave fewer places too wide, one after the other as they are found; none where nothing is."""
    now = len(reach_marks(drill, setting))
    if not now:
        return
    for what, name, value in _changes(drill):
        try:
            changed = dataclasses.replace(drill, **{name: value})  # type: ignore[arg-type]
            left = len(reach_marks(changed, setting))
        except ValueError:
            # A change that cannot be written out is no way.
            continue
        if left < now:
            yield ReachWay(what, left, name, value, changed)


def left_in_words(way: ReachWay) -> str:
    """What stays too wide, if anything does."""
    return f"{counted(way.left, 'place')} {'stays' if way.left == 1 else 'stay'} too wide" if way.left else ""


def _changes(drill: DrillFamily) -> Iterator[tuple[str, str, object]]:
    """What could be changed: in words, the setting, its value; the least change first."""
    declared = drill.declared()
    inversion = declared.get(INVERSION)
    if isinstance(inversion, Whole):
        now = getattr(drill, INVERSION)
        for value in range(inversion.least, min(inversion.most, 3) + 1):
            if value != now:
                yield f"take {_inversion_words(value)}", INVERSION, value
    for name, param in declared.items():
        if isinstance(param, Choice) and (param.applies is None or param.applies(drill)):
            for option in param.options:
                if option.name in TOUCHES and option is not getattr(drill, name):
                    yield TOUCHES[option.name], name, option


def _inversion_words(inversion: int) -> str:
    ordinals = ("root position", "the first inversion", "the second inversion", "the third inversion")
    return ordinals[inversion]
