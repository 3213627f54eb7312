"""How drills are played in this window, remembered from one start to the next. Nothing of it stands in a lesson.

Only plain values live here, so that a window that plays nothing need not know how music sounds.
"""

from __future__ import annotations

import json
from dataclasses import asdict, fields, replace
from typing import Any, Protocol

from lessonkit.values import dataclass

MOST_TEMPOS = 200
"""So many drills keep a tempo of their own; the oldest choice goes first."""


@dataclass(frozen=True, slots=True)
class Choices:
    """What the teacher chose for listening; a drill to which a choice does not apply leaves it out.

    ``heard``, ``pedalling`` and ``dynamics`` are the words of the sound room's choices.
    """

    loops: bool = False
    counts_in: bool = True
    clicks: bool = False
    heard: str = "both hands"
    swing: int = 50
    pedalling: str = "as printed"
    dynamics: str = "as printed"
    plays_samples: bool = False
    breathes: bool = True


class Kept(Protocol):
    """Where words are kept between two starts."""

    def words(self, name: str) -> str: ...
    def keep_words(self, name: str, words: str) -> None: ...


class KeptChoices:
    """The choices of this window and the tempo chosen for each drill."""

    def __init__(self, kept: Kept) -> None:
        self._kept = kept
        self._choices = _choices(_read(kept.words("listening")))
        tempos = _read(kept.words("tempos"))
        self._tempos = {name: tempo for name, tempo in tempos.items() if isinstance(tempo, int | float)}

    @property
    def choices(self) -> Choices:
        """The choices as they are now."""
        return self._choices

    def change(self, **chosen: Any) -> None:
        """Choose something else."""
        self._choices = replace(self._choices, **chosen)
        self._kept.keep_words("listening", json.dumps(asdict(self._choices)))

    def tempo(self, block_id: str) -> float | None:
        """The tempo that was chosen for a drill."""
        return self._tempos.get(block_id)

    def choose_tempo(self, block_id: str, tempo: float) -> None:
        """Choose a tempo for a drill."""
        self._tempos.pop(block_id, None)
        self._tempos[block_id] = tempo
        while len(self._tempos) > MOST_TEMPOS:
            del self._tempos[next(iter(self._tempos))]
        self._kept.keep_words("tempos", json.dumps(self._tempos))


def _read(words: str) -> dict[str, Any]:
    try:
        found = json.loads(words or "{}")
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _choices(found: dict[str, Any]) -> Choices:
    """What was kept, where it is of the right kind; a file of settings may have been changed by hand."""
    usual = Choices()
    known = {one.name: found.get(one.name) for one in fields(Choices)}
    return replace(usual, **{name: value for name, value in known.items() if type(value) is type(getattr(usual, name))})
