"""How a drill is heard: everything a player decides that the notes leave open, as one frozen value."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills.listening_names import FASTEST, SLOWEST
from lessonkit.values import dataclass

MOST_COUNT_IN = 4
MOST_ROUNDS = 99
STRAIGHT, HARDEST_SWING = 50, 75
"""How much of a beat the first of two swung notes takes, in percent: even, and as a dotted one."""


class Heard(Enum):
    """Who is heard; the student plays the rest."""

    BOTH = "both hands"
    RIGHT = "right hand"
    LEFT = "left hand"
    BASS_AND_CLICK = "bass and click"


class Gaps(Enum):
    """What is heard in the bars that are left open for the student's answer."""

    EMPTY = "nothing"
    SAMPLE = "one of many answers"


class Pedalling(Enum):
    """Where the pedal is held."""

    PRINTED = "as printed"
    CHORDS = "changed with each chord"
    NONE = "not at all"


class Dynamics(Enum):
    """How loud it is."""

    PRINTED = "as printed"
    TERRACES = "soft and loud in turn"
    EVEN = "even"


@dataclass(frozen=True, slots=True)
class Playing:
    """The choices of one playing.

    ``tempo`` is in beats of the drill's metre a minute: dotted quarters where it is counted in eighths, quarters in
    free time. ``count_in`` is in bars, ``rounds`` how often the whole is played. ``swing`` says how many percent of a
    beat the first of two eighths takes (50 is even, 67 as in triplets). ``breathing`` is the number from which the
    small delays of free time are drawn, None plays in strict time; the same number always breathes alike. In ``gaps``
    nothing sounds unless a sample answer is asked for. ``plays_touch`` keeps to the staccato, accents and slurs that
    are printed, ``plays_rolls`` to rolled chords, which begin on the beat; ``plays_repeats`` to repeat signs.
    """

    tempo: float = 72
    count_in: int = 0
    has_metronome: bool = False
    rounds: int = 1
    heard: Heard = Heard.BOTH
    gaps: Gaps = Gaps.EMPTY
    swing: int = STRAIGHT
    pedalling: Pedalling = Pedalling.PRINTED
    dynamics: Dynamics = Dynamics.PRINTED
    breathing: int | None = None
    plays_touch: bool = True
    plays_rolls: bool = True
    plays_repeats: bool = True

    def __post_init__(self) -> None:
        if not SLOWEST <= self.tempo <= FASTEST:
            raise ValueError(f"a tempo of {self.tempo:g} is not between {SLOWEST} and {FASTEST} beats a minute")
        if not 0 <= self.count_in <= MOST_COUNT_IN:
            raise ValueError(f"a count-in of {self.count_in} bars is not between 0 and {MOST_COUNT_IN}")
        if not 1 <= self.rounds <= MOST_ROUNDS:
            raise ValueError(f"{self.rounds} rounds are not between 1 and {MOST_ROUNDS}")
        if not STRAIGHT <= self.swing <= HARDEST_SWING:
            raise ValueError(f"a swing of {self.swing} % is not between {STRAIGHT} (even) and {HARDEST_SWING}")
