"""A drill with one of its settings changed: the forms in which the same matter may be easier to play."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from lessonkit.drills.params import Choice, Whole, YesNo
from lessonkit.hands.easier import Way, inversion_name

if TYPE_CHECKING:
    from lessonkit.drills.family import DrillFamily

INVERSION = "inversion"
"""The setting that families with a chosen inversion share."""

MOST_INVERSION = 4
"""Inversions beyond this one are not tried."""

_NO_OPTION = frozenset({"TYPED", "CHOSEN"})
"""Options that ask for more than themselves."""


def other_settings(drill: DrillFamily, names: Sequence[str]) -> Iterator[tuple[Way, str, DrillFamily]]:
    """The drill with each other value of some of its settings, one changed at a time, and what is changed in words."""
    declared = drill.declared()
    for name in names:
        param, now = declared[name], getattr(drill, name)
        if param.applies is not None and not param.applies(drill):
            continue
        label = param.label[:1].lower() + param.label[1:]
        if name == INVERSION and isinstance(param, Whole):
            for inversion in range(param.least, min(param.most, MOST_INVERSION) + 1):
                if inversion != now:
                    yield Way.INVERSION, f"take {inversion_name(inversion)}", replace(drill, inversion=inversion)  # type: ignore[call-arg]
        elif isinstance(param, Choice):
            for option in param.options:
                if option is not now and option.name not in _NO_OPTION:
                    way = Way.ROLL if option.name == "ROLLED" else Way.SETTING
                    yield way, f"{label}: {option.value}", replace(drill, **{name: option})  # type: ignore[arg-type]
        elif isinstance(param, YesNo):
            words = f"without {label}" if now else f"with {label}"
            yield Way.SETTING, words, replace(drill, **{name: not now})  # type: ignore[arg-type]
