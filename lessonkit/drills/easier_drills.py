"""Easier instead: the forms of a drill that are easier for the player, best first, each with its gain and why.

What a family offers is worked out and scored as the drill itself is, so that a gain is what the margin will show.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from lessonkit.drills.difficulty import DrillDifficulty, difficulty, speed_of_run
from lessonkit.drills.family import DrillFamily, Hands
from lessonkit.drills.setting import Setting
from lessonkit.hands.difficulty import BAND_LIMITS, LEAST_TEMPO, MOST_TEMPO, TROUBLE, Band
from lessonkit.hands.easier import LEAST_GAIN, PRICE_OF_CHANGE, As, Way, easier_ways
from lessonkit.hands.hand import Hand
from lessonkit.values import dataclass

SLOWEST_SAID = 40
"""A slower tempo than this is no help to a player."""

_SPEAK_FOR_THEMSELVES = frozenset({Way.CELL, Way.SPLIT, Way.ROLL})
"""Ways whose own reason says more than which troubles go away."""


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One way to make a drill easier and the drill that comes of it.

    ``what`` and ``why`` are words, ``gain`` is how far the drill's score falls and ``band`` what remains.
    """

    way: Way
    what: str
    why: str
    gain: float
    band: Band
    drill: DrillFamily


@lru_cache(maxsize=256)
def easier_drills(drill: DrillFamily, setting: Setting) -> tuple[Suggestion, ...]:
    """The easier forms of a drill, best first; none where it is easy, its family has none or none gains enough.

    Forms that cannot be written out are left out. Raises ValueError as ``realise`` does.
    """
    now = difficulty(drill, setting)
    if now.band is Band.EASY:
        return ()
    found: dict[DrillFamily, Suggestion] = {}
    for way, what, why, easier in _forms(drill, setting):
        if easier == drill or easier in found:
            continue
        try:
            then = difficulty(easier, setting)
        except ValueError:
            # A form that cannot be written out is no way.
            continue
        gain = round(now.score - then.score, 3)
        if gain >= LEAST_GAIN:
            found[easier] = Suggestion(way, what, why or _why(now, then), gain, then.band, easier)
    return tuple(sorted(found.values(), key=lambda one: PRICE_OF_CHANGE[one.way] - one.gain))


def why_nothing_easier(drill: DrillFamily, setting: Setting) -> str:
    """One sentence for a drill without easier forms: why it has none, and what tempo helps where one does."""
    now = difficulty(drill, setting)
    if now.band is Band.EASY:
        return "This drill is easy for these hands as it is."
    tempo = _tempo_of_next_band(now, setting.tempo)
    slower = f"; at {tempo} quarters a minute it is {_band_below(now.band).value}" if tempo else ""
    return f"{drill.nothing_easier}{slower}."


def _forms(drill: DrillFamily, setting: Setting) -> Iterator[tuple[Way, str, str, DrillFamily]]:
    """Everything worth trying: the ways round a chord's troubles, then what the family says of its settings."""
    played = drill.played_chord(setting)
    if played is not None:
        hand = Hand.LEFT if drill.hands is Hands.LEFT else Hand.RIGHT
        beats = _beats(drill, setting, len(played.chord.tones) if played.played is As.RUN else 1)
        chord, inversion = played.chord, played.inversion
        for way in easier_ways(chord, inversion, played.played, hand, setting.hands, drill.octaves, beats):
            easier = drill.eased(way, setting)
            if easier is not None:
                yield way.way, way.what, way.why if way.way in _SPEAK_FOR_THEMSELVES else "", easier
    for way_of, what, easier in drill.easier_forms(setting):
        yield way_of, what, "", easier


def _beats(drill: DrillFamily, setting: Setting, notes: int) -> int:
    """The tempo at which the hands count: an octave of the run, or a landing, to the beat."""
    return max(LEAST_TEMPO, min(MOST_TEMPO, round(speed_of_run(drill.note_length, notes, setting.tempo))))


def _why(now: DrillDifficulty, then: DrillDifficulty) -> str:
    gone = [reason for reason in now.reasons if reason not in then.reasons]
    return f"no longer: {gone[0]}" if gone else "the same troubles, but lighter"


def _band_below(band: Band) -> Band:
    bands = list(Band)
    return bands[bands.index(band) - 1]


def _tempo_of_next_band(now: DrillDifficulty, tempo: int) -> int:
    """The tempo at which a drill falls into the next easier band, 0 where that is slower than anybody practises."""
    limit = next(limit for limit, band in BAND_LIMITS if band is _band_below(now.band))
    slower = int(tempo * (0.999 * limit / now.score) ** (1 / TROUBLE.speed))
    return slower if slower >= SLOWEST_SAID else 0
