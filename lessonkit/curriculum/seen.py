"""What a drill really contains, read from its notes and from nothing else: skills, keys, chords, hands, reading.

Counted once for each drill in its surroundings and kept, so that a changed block is the only one that is counted again.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import field, replace
from enum import Enum
from functools import lru_cache
from typing import Any, NamedTuple

from lessonkit.drills.exercise import Blank, Exercise, Hand
from lessonkit.drills.family import DrillFamily, family_if_known
from lessonkit.drills.passages import Kind, passages
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import USUAL_TEMPO, Setting
from lessonkit.theory.enharmonic import printed_key
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.quality import ALL_QUALITIES, Quality
from lessonkit.values import dataclass


class Reading(Enum):
    """What the student reads to play a drill."""

    ONE_STAFF = "one staff"
    GRAND_STAFF = "grand staff"
    SYMBOLS = "chord symbols"
    DEGREES = "degrees"
    EAR = "by ear"


@dataclass(frozen=True, slots=True)
class Skill:
    """A skill is a drill family together with what a hand does in it: broken chords played in one position after
    another are one skill, the bass notes under a progression are another than the chords above them.

    ``family`` is the family's code, ``way`` what the notes of that hand turn out to be.
    """

    family: str
    way: Kind

    @property
    def words(self) -> str:
        """For people: ``Chord jumps: solid chords``."""
        known = family_if_known(self.family)
        return f"{known.title if known else self.family}: {self.way.value.split(',')[0]}"

    @property
    def ascii(self) -> str:
        """The skill as it stands in files: ``chord-jumps:chords``."""
        return f"{self.family}:{self.way.name.lower()}"

    @staticmethod
    def parse(text: str) -> Skill:
        """Read ``chord-jumps:chords``; raises ValueError with a sentence for anything else."""
        family, _, way = text.partition(":")
        ways = {kind.name.lower(): kind for kind in Kind}
        if not family or way not in ways:
            raise ValueError(f"{text[:60]!r} is not a skill; write it like chord-jumps:chords, with {', '.join(ways)}")
        return Skill(family, ways[way])


class Seen(NamedTuple):
    """One thing that a drill contains: a skill in a key, in a hand, on a kind of chord, read in some way.

    ``key`` is the one that is printed for a key that sounds so (D♭ for C♯), ``quality`` the plain name of the chord
    that sounds, empty where none is named.
    """

    skill: Skill
    key: Key
    hand: Hand
    quality: str
    reading: Reading


class Axis(Enum):
    """Along what is counted."""

    SKILL = "skills"
    KEY = "keys"
    QUALITY = "chords"
    HAND = "hands"
    FAMILY = "families"
    READING = "reading"

    # Looked up in every drill of a shelf; there is one of each, so that its identity tells it from the others.
    __hash__ = object.__hash__


OF: dict[Axis, Callable[[Seen], Any]] = {
    Axis.SKILL: lambda seen: seen.skill,
    Axis.KEY: lambda seen: seen.key,
    Axis.QUALITY: lambda seen: seen.quality,
    Axis.HAND: lambda seen: seen.hand,
    Axis.FAMILY: lambda seen: seen.skill.family,
    Axis.READING: lambda seen: seen.reading,
}
"""What of a thing seen counts along each axis."""

_QUALITIES = {quality.key: place for place, quality in enumerate(ALL_QUALITIES)}

WORDS: dict[Axis, Callable[[Any], str]] = {
    Axis.SKILL: lambda skill: skill.words,
    Axis.KEY: str,
    Axis.QUALITY: lambda quality: Quality.named(quality).words if quality else "no chord named",
    Axis.HAND: lambda hand: f"{hand.value} hand",
    Axis.FAMILY: lambda code: known.title if (known := family_if_known(code)) else code,
    Axis.READING: lambda reading: reading.value,
}
"""A value of each axis for people."""

ORDER: dict[Axis, Callable[[Any], Any]] = {
    Axis.SKILL: lambda skill: (skill.words, skill.ascii),
    Axis.KEY: lambda key: (list(Mode).index(key.mode), key.signature),
    Axis.QUALITY: lambda quality: _QUALITIES.get(quality, len(_QUALITIES)),
    Axis.HAND: lambda hand: hand is Hand.LEFT,
    Axis.FAMILY: lambda code: (WORDS[Axis.FAMILY](code), code),
    Axis.READING: lambda reading: list(Reading).index(reading),
}
"""The order in which the values of each axis are shown: keys by fifths, chords as they are taught."""

Cell = tuple[Any, Any]
"""A value of the rows' axis and one of the columns'."""


@dataclass(frozen=True, eq=False)
class BlockCount:
    """What one drill contains. The same drill in the same surroundings always has the same one."""

    seen: frozenset[Seen]
    _cells: dict[tuple[Axis, Axis], frozenset[Cell]] = field(default_factory=dict, repr=False)

    def cells(self, rows: Axis, columns: Axis) -> frozenset[Cell]:
        """The cells of a grid in which the drill counts, each once however often it comes."""
        found = self._cells.get((rows, columns))
        if found is None:
            row, column = OF[rows], OF[columns]
            found = self._cells[rows, columns] = frozenset((row(one), column(one)) for one in self.seen)
        return found


NOTHING = BlockCount(frozenset())
"""What contains nothing: prose, spaces, drills that cannot be written out."""


def counted(drill: DrillFamily, setting: Setting) -> BlockCount:
    """What a drill contains, counted once; nothing where it cannot be written out."""
    return _counted(drill, replace(setting, tempo=USUAL_TEMPO, shows_difficulty=False))


@lru_cache(maxsize=65536)
def _counted(drill: DrillFamily, setting: Setting) -> BlockCount:
    try:
        exercise = realise(drill, setting)
    except ValueError:
        return NOTHING
    return BlockCount(frozenset(_seen(exercise, drill, setting)))


def _seen(exercise: Exercise, drill: DrillFamily, setting: Setting) -> set[Seen]:
    onsets = [mark.onset for mark in exercise.chords]
    qualities = [mark.chord.quality.key for mark in exercise.chords]
    reading = reading_of(exercise)
    found: set[Seen] = set()
    for passage in passages(exercise, drill.texture(), setting.hands):
        skill, key = Skill(drill.code, passage.kind), plain_key(passage.key)
        for event in passage.events:
            place = bisect_right(onsets, event.onset) - 1
            found.add(Seen(skill, key, passage.hand, qualities[place] if place >= 0 else "", reading))
    return found


@lru_cache(maxsize=256)
def plain_key(key: Key) -> Key:
    """The key under which those that sound alike are counted together: the one with fewer accidentals, G♭ for F♯."""
    return printed_key(key)


def reading_of(exercise: Exercise) -> Reading:
    """What is read: notes on one staff or two, and where the notes are left blank, what stands in their place."""
    if Blank.NOTES in exercise.blank:
        shows_names = exercise.shown.chord_names and Blank.CHORD_NAMES not in exercise.blank
        if shows_names:
            return Reading.SYMBOLS
        return Reading.DEGREES if exercise.shown.degrees and Blank.DEGREES not in exercise.blank else Reading.EAR
    return Reading.GRAND_STAFF if len(exercise.hands) > 1 else Reading.ONE_STAFF
