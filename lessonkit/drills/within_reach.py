"""What to change in a drill so that these hands reach it. Each way is worked out, and fewer places are too wide."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

from lessonkit.drills.family import DrillFamily
from lessonkit.drills.params import Choice, Whole
from lessonkit.drills.reach_marks import reach_marks
from lessonkit.drills.setting import Setting
from lessonkit.drills.voicing_plan import Plan
from lessonkit.drills.wording import counted
from lessonkit.values import dataclass

INVERSION, FIFTH = "inversion", "has_fifth"
"""What families call the inversion that is chosen and the fifth that may be left out."""

ROLLS = "wide"
"""What every family calls the choice of rolling what is too wide."""

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


def ways_within_reach(drill: DrillFamily, setting: Setting) -> Iterator[ReachWay | None]:
    """The ways that leave fewer places too wide, the least change first; nothing where nothing is too wide.

    Each answer costs about as much as the drill itself; None stands for a change that was tried and does not help, so
    that whoever asks can do something else in between.
    """
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
        yield ReachWay(what, left, name, value, changed) if left < now else None


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
    # To roll what is too wide is possible everywhere and comes last.
    for name, param in sorted(declared.items(), key=lambda item: item[0] == ROLLS):
        if param.applies is not None and not param.applies(drill):
            continue
        value = getattr(drill, name)
        if isinstance(param, Choice):
            for option in param.options:
                if option is not value and option.name in TOUCHES:
                    yield TOUCHES[option.name], name, option
                elif option is not value and isinstance(option, Plan):
                    yield f"lay the chords out otherwise: {option.value}", name, option
        elif name == FIFTH and value:
            yield "leave out the fifth", name, False


def _inversion_words(inversion: int) -> str:
    ordinals = ("root position", "the first inversion", "the second inversion", "the third inversion")
    return ordinals[inversion]
