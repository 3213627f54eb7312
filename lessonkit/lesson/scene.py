"""What surrounds each aid of a lesson: the drill it belongs to and what the lesson says as a whole.

An aid that leads belongs to the next drill below it, any other to the next above, on its own page as the teacher broke
them; where there is none, to the nearest the other way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonkit.drills.exercise import Blank
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.told import chance_told
from lessonkit.lesson.cautions import caution_of
from lessonkit.lesson.lesson import Aid, Block, Drill, Lesson, PageBreak
from lessonkit.lesson.page_aid import Scene
from lessonkit.theory.key import Key
from lessonkit.values import dataclass

MOST_MARKS = 4
"""As many drills are named in the small print of a page."""


@dataclass(slots=True)
class _Known:
    """What was worked out for one lesson; kept until another one is asked about."""

    lesson: Lesson | None = None
    scenes: dict[str, Scene] | None = None


_known = _Known()


def scene_of(lesson: Lesson, aid: Aid) -> Scene:
    """The surroundings of an aid in its lesson; the last lesson's are remembered."""
    scenes = _known.scenes
    if _known.lesson is not lesson or scenes is None:
        scenes = _scenes(lesson)
        _known.lesson, _known.scenes = lesson, scenes
    return scenes[aid.id] if aid.id in scenes else _general(lesson)


def has_own_care(lesson: Lesson) -> bool:
    """Whether an aid of the lesson says the line of care, so that the foot of the page need not."""
    return any(isinstance(block, Aid) and block.shows.code == "cautions" for block in lesson.blocks)


def keys_of(drills: Sequence[DrillFamily], setting: Setting) -> tuple[Key, ...]:
    """The keys that drills go through, each once; a worksheet that asks for its key gives none away."""
    found: dict[Key, None] = {}
    for drill in drills:
        try:
            exercise = realise(drill, setting)
        except ValueError:
            continue
        if Blank.KEY not in exercise.blank:
            own = [bar.key for bar in exercise.bars if bar.key is not None] or [exercise.key]
            found.update(dict.fromkeys(own))
    return tuple(found)


def _scenes(lesson: Lesson) -> dict[str, Scene]:
    if not any(isinstance(block, Aid) for block in lesson.blocks):
        return {}
    above, below = _nearest(lesson.blocks), _nearest(lesson.blocks[::-1])
    general = _general(lesson)
    last = len(general.drills) - 1
    below = {block_id: last - place for block_id, place in below.items()}
    found: dict[str, Scene] = {}
    for block in lesson.blocks:
        if isinstance(block, Aid):
            first, second = (below, above) if block.shows.leads else (above, below)
            place = first.get(block.id, second.get(block.id))
            drill = None if place is None else general.drills[place]
            found[block.id] = replace(general, drill=drill, place=place)
    return found


def _nearest(blocks: Sequence[Block]) -> dict[str, int]:
    """For each aid the place of the last drill that came before it since the last page break."""
    found: dict[str, int] = {}
    count, place = 0, None
    for block in blocks:
        if isinstance(block, Drill):
            count, place = count + 1, count
        elif isinstance(block, PageBreak):
            place = None
        elif isinstance(block, Aid) and place is not None:
            found[block.id] = place
    return found


def _general(lesson: Lesson) -> Scene:
    drills = [block for block in lesson.blocks if isinstance(block, Drill)]
    families = tuple(block.family for block in drills)
    keys = keys_of(families, lesson.setting) or (lesson.key,)
    care, marks = caution_of(lesson), _marks(lesson, drills)
    return Scene(lesson.setting, lesson.title, lesson.author, None, keys, care, marks, families)


def _marks(lesson: Lesson, drills: Sequence[Drill]) -> str:
    """The ids of the drills with the numbers that chance was given, for the small print."""
    named: list[str] = []
    for block in drills[:MOST_MARKS]:
        try:
            chance = chance_told(block.family, realise(block.family, lesson.setting))
        except ValueError:
            chance = ""
        named.append(f"{block.id} ({chance.lower()})" if chance else block.id)
    more = len(drills) - MOST_MARKS
    if not named:
        return ""
    return f"Drill{'s' if len(drills) > 1 else ''} " + ", ".join(named) + (f" and {more} more" if more > 0 else "")
