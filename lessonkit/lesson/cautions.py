"""The lines of care at the foot of a handout: what every drill asks for, and what some drills ask for besides.

They promise nothing, diagnose nothing and say when to stop (common practice of teachers and of musicians' medicine).
The teacher may reword what every handout says; an empty wording is the usual one. What a drill brings by its
stretches, loud leaps, speed or repetition is said whatever the wording, so that it is not lost by accident.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lessonkit.drills.family import DrillFamily
from lessonkit.drills.setting import Setting
from lessonkit.drills.strain import Strain, in_order, strains
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.values import dataclass

STANDARD = (
    "Warm up with easy, quiet playing and rest often. Never force a stretch: roll the chord, break it or leave a note "
    "out. Stop if anything hurts, tingles or goes numb, and tell your teacher; if it comes back or lasts, see a doctor."
)

LINES = {
    Strain.STRETCH: "Where a chord is wide for your hand, roll it, break it or leave a note out.",
    Strain.FORCE: "Loud jumps: no more than six in a row, then let your arms hang and rest.",
    Strain.SPEED: "Come to the fast tempo by small steps; when the hand tightens, go back to the mark before.",
    Strain.REPETITION: "Octaves and wide chords: rest after eight bars, or play single notes for a while.",
}
"""What each strain asks for; the usual wording speaks of stretches already."""


FOR_PARENTS = (
    "Your child should begin with easy, quiet playing and rest often. No stretch should be forced: where the keys lie "
    "too far apart for the hand, one of them may be left out. If anything hurts, tingles or goes numb, your child "
    "should stop and tell the teacher; if it comes back or lasts, see a doctor."
)
"""The usual wording, said to parents."""

LINES_FOR_PARENTS = {
    Strain.STRETCH: "Where the keys lie too far apart for the hand, one of them may be left out.",
    Strain.FORCE: "After six loud jumps in a row the arms should hang and rest.",
    Strain.SPEED: "Speed comes by small steps; when the hand tightens, go back to a slower one.",
    Strain.REPETITION: "After a minute of wide grips the hand should rest for a while.",
}
"""What each strain asks for, said to parents."""


@dataclass(slots=True)
class _Known:
    """What the drills of one lesson ask for, by the drills themselves: finding it by their values takes longer."""

    last: tuple[Setting | None, Sequence[DrillFamily], Sequence[frozenset[Strain]]] = (None, (), ())


_known = _Known()


def caution_of(lesson: Lesson, looks_at_drills: bool = True) -> str:
    """The caution that a lesson's handout carries; empty where it has no drills to be careful with.

    What single drills ask for besides needs every drill worked out; a window leaves it out until that is done.
    """
    return _caution(lesson, looks_at_drills, STANDARD, LINES)


def caution_for_parents(lesson: Lesson) -> str:
    """The same as it is said to parents, unless the teacher has worded it."""
    return _caution(lesson, True, FOR_PARENTS, LINES_FOR_PARENTS)


def _caution(lesson: Lesson, looks_at_drills: bool, usual: str, words: Mapping[Strain, str]) -> str:
    drills = [block.family for block in lesson.blocks if isinstance(block, Drill)]
    if not drills:
        return ""
    own = lesson.house.caution.strip()
    asked = in_order(_strains(drills, lesson.setting)) if looks_at_drills else ()
    lines = [words[strain] for strain in asked if own or strain is not Strain.STRETCH]
    return " ".join([own or usual, *lines])


def _strains(drills: Sequence[DrillFamily], setting: Setting) -> Sequence[frozenset[Strain]]:
    """What each drill asks for; what was found for the last lesson stays for the drills that this one has, too."""
    known_setting, known_drills, known_strains = _known.last
    pairs = zip(known_drills, known_strains, strict=True) if known_setting == setting else ()
    known = {id(drill): asked for drill, asked in pairs}
    asked = tuple(known[id(drill)] if id(drill) in known else strains(drill, setting) for drill in drills)
    _known.last = (setting, drills, asked)
    return asked
