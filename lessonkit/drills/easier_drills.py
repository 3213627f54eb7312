"""Easier instead: the ways to make a drill easier that its family can say, best first, each with its gain and why."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from lessonkit.drills.difficulty import speed_of_run
from lessonkit.drills.family import DrillFamily, Hands
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.hands.difficulty import LEAST_TEMPO, MOST_TEMPO, Band
from lessonkit.hands.easier import As, Way, easier_ways
from lessonkit.hands.hand import Hand


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One way to make a drill easier and the drill that comes of it.

    ``what`` and ``why`` are words, ``gain`` is how far the score falls and ``band`` what remains.
    """

    way: Way
    what: str
    why: str
    gain: float
    band: Band
    drill: DrillFamily


@lru_cache(maxsize=256)
def easier_drills(drill: DrillFamily, setting: Setting) -> tuple[Suggestion, ...]:
    """The easier ways to play a drill, best first; none where its family plays more than one chord.

    Ways that this drill cannot be written out in are left out. Raises ValueError as ``build`` does.
    """
    played = drill.played_chord(setting)
    if played is None:
        return ()
    hand = Hand.LEFT if drill.hands is Hands.LEFT else Hand.RIGHT
    ways = easier_ways(
        played.chord, played.inversion, played.played, hand, setting.hands, drill.octaves, _beats(drill, setting)
    )
    found = []
    for way in ways:
        easier = drill.eased(way, setting)
        if easier is not None and easier != drill and _can_be_written(easier, setting):
            found.append(Suggestion(way.way, way.what, way.why, way.gain, way.band, easier))
    return tuple(found)


def _beats(drill: DrillFamily, setting: Setting) -> int:
    """The tempo at which the hands count: an octave of the run, or a landing, to the beat."""
    played = drill.played_chord(setting)
    notes = len(played.chord.tones) if played is not None and played.played is As.RUN else 1
    return max(LEAST_TEMPO, min(MOST_TEMPO, round(speed_of_run(drill.note_length, notes, setting.tempo))))


def _can_be_written(drill: DrillFamily, setting: Setting) -> bool:
    try:
        realise(drill, setting)
    except ValueError:
        return False
    return True
