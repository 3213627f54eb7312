"""Fill this gap: a drill that the teacher already uses, changed as little as makes it fill an empty cell of the grid.

What is proposed is counted before it is offered: it does contain what was missing. Its week is the first in which the
skill is known, everything has come that the levels of a curriculum put before it, and something as hard has been played
by that hand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from enum import Enum
from typing import Any

from lessonkit.curriculum.coverage import Coverage
from lessonkit.curriculum.hardness import hardest_of
from lessonkit.curriculum.levels import Curriculum
from lessonkit.curriculum.seen import NOTHING, OF, WORDS, Axis, Cell, Skill, counted
from lessonkit.drills.difficulty import by_hand
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import DrillFamily, Hands, family_if_known
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.lesson.edits import insert_block
from lessonkit.lesson.lesson import Drill, Lesson, Space
from lessonkit.theory.key import Key
from lessonkit.values import dataclass

_ALONE = {"key_count": 1, "key_order": "round the fifths", "count": 1, "order": "round the fifths"}
"""One key only, in the settings that carry a drill through keys; what a family lacks is passed over."""

DEGREES = ("1", "2", "3", "4", "5", "6", "7")


class Fits(Enum):
    """Why a drill is proposed for its week."""

    FIRST = "the first in which the skill is known and nothing in it is harder than what came before"
    HARDEST = "the last, since it is harder than anything before"
    TOO_EARLY = "the last, since not everything has come that should come first"


@dataclass(frozen=True, slots=True)
class Proposal:
    """A drill for a lesson: which of the coverage's lessons (0 first), at which place among its blocks, and why.

    ``like`` is the lesson of which the drill was taken, empty for a drill as it comes; ``level`` is the first that asks
    for the skill. ``fits`` is why it is this lesson.
    """

    at: int
    lesson: str
    week: int
    place: int
    drill: DrillFamily
    missing: str
    like: str
    level: str
    fits: Fits

    @property
    def why(self) -> str:
        """In words, with the files of lessons."""
        asked = f", which {self.level} asks for" if self.level else ""
        source = f"like the one in {self.like}" if self.like else "as it comes"
        week = f"week {self.week}" if self.week else self.lesson
        return f"for {self.missing}{asked}: a drill {source}; {week}, {self.fits.value}"

    def applied(self, lesson: Lesson) -> Lesson:
        """The lesson with the drill in it."""
        return insert_block(lesson, min(self.place, len(lesson.blocks)), Drill(self.drill))


def fill(
    coverage: Coverage, rows: Axis, columns: Axis, cell: Cell, curriculum: Curriculum | None = None
) -> Proposal | None:
    """A drill that fills a cell, in the right week; None where no drill at hand can be changed to do so."""
    levels = curriculum or Curriculum()
    wanted = {rows: cell[0], columns: cell[1]}
    for model, setting, source in _models(coverage, wanted):
        for drill in _changed(model, wanted):
            if not _contains(drill, setting, rows, columns, cell):
                continue
            # A drill that follows its lesson's key may be another one elsewhere; then it keeps the key it comes from.
            for one in (drill, _with(drill, {"key": setting.key.ascii})):
                proposal = _placed(coverage, one, wanted, source, levels)
                if _contains(one, coverage.lessons[proposal.at].lesson.setting, rows, columns, cell):
                    return proposal
    return None


def model_in(coverage: Coverage, skill: Skill, key: Key) -> DrillFamily | None:
    """A drill for one skill in one key alone, made of one that is taught; None where no drill at hand can do it."""
    wanted: dict[Axis, Any] = {Axis.SKILL: skill, Axis.KEY: key}
    for model, setting, _ in _models(coverage, wanted):
        plain = _with(model, {"worksheet": "nothing"})
        for drill in _changed(plain, wanted):
            count = counted(drill, setting)
            if count is NOTHING or realise(drill, setting).has_answers:
                # What is to be filled in or answered freely cannot be played for a mark.
                continue
            if (skill, key) in count.cells(Axis.SKILL, Axis.KEY) and len(count.cells(Axis.KEY, Axis.KEY)) == 1:
                return drill
    return None


def _contains(drill: DrillFamily, setting: Setting, rows: Axis, columns: Axis, cell: Cell) -> bool:
    return cell in counted(drill, setting).cells(rows, columns)


def _models(coverage: Coverage, wanted: dict[Axis, Any]) -> Iterator[tuple[DrillFamily, Setting, str]]:
    """Drills to begin from: those that have the most of what is wanted, the last taught first; then the family's."""
    found: list[tuple[int, int, DrillFamily, Setting, str]] = []
    for number, taught in enumerate(coverage.lessons):
        counts = dict(taught.blocks)
        for block in taught.lesson.blocks:
            if isinstance(block, Drill):
                seen = counts[block.id].seen
                fits = sum(any(OF[axis](one) == value for one in seen) for axis, value in wanted.items())
                if fits:
                    found.append((fits, number, block.family, taught.lesson.setting, taught.name))
    for _, _, drill, setting, name in sorted(found, key=lambda one: one[:2], reverse=True):
        yield drill, setting, name
    code = wanted.get(Axis.FAMILY) or (wanted[Axis.SKILL].family if Axis.SKILL in wanted else "")
    family = family_if_known(code) if code else None
    if family is not None and coverage.lessons:
        yield family(), coverage.lessons[-1].lesson.setting, ""


def _changed(drill: DrillFamily, wanted: dict[Axis, Any]) -> Iterator[DrillFamily]:
    """The drill changed in ways that may bring what is wanted; whether they do is counted afterwards."""
    ways = [drill]
    for axis, value in wanted.items():
        ways = [after for way in ways for after in CHANGES.get(axis, _unchanged)(way, value)]
    yield from dict.fromkeys(ways)


def _unchanged(drill: DrillFamily, value: Any) -> list[DrillFamily]:
    return [drill]


def in_one_key(drill: DrillFamily) -> DrillFamily:
    """The drill in the first of its keys alone."""
    return _with(drill, _ALONE)


def _in_key(drill: DrillFamily, key: Key) -> list[DrillFamily]:
    return [_with(in_one_key(drill), {"key": key.ascii})]


def _on_quality(drill: DrillFamily, quality: str) -> list[DrillFamily]:
    found = [_with(drill, {"quality": quality})] if quality else []
    return [drill, *found, *(_with(drill, {"degree": degree, "quality": quality}) for degree in DEGREES)]


def _for_hand(drill: DrillFamily, hand: Hand) -> list[DrillFamily]:
    return [drill, _with(drill, {"hands": Hands(hand.value).value}), _with(drill, {"hands": Hands.BOTH.value})]


CHANGES: dict[Axis, Callable[[DrillFamily, Any], list[DrillFamily]]] = {
    Axis.KEY: _in_key,
    Axis.QUALITY: _on_quality,
    Axis.HAND: _for_hand,
}
"""How a drill is changed towards something wanted along an axis; along the others it is taken as it is."""


def _with(drill: DrillFamily, settings: Mapping[str, object]) -> DrillFamily:
    for name, text in settings.items():
        if name in drill.declared():
            try:
                drill = drill.with_text(name, str(text))
            except ValueError:
                continue
    return drill


def _placed(
    coverage: Coverage, drill: DrillFamily, wanted: dict[Axis, Any], source: str, levels: Curriculum
) -> Proposal:
    at, fits = _lesson_for(coverage, drill, wanted, levels.needed_before)
    taught = coverage.lessons[at]
    blocks = taught.lesson.blocks
    same = [place for place, block in enumerate(blocks)
            if isinstance(block, Drill) and block.family.code == drill.code]  # fmt: skip
    place = same[-1] + 1 if same else len(blocks) - (1 if blocks and isinstance(blocks[-1], Space) else 0)
    missing = " and ".join(WORDS[axis](value) for axis, value in wanted.items())
    skill = wanted.get(Axis.SKILL)
    level = levels.level_of(skill) if skill is not None else ""
    return Proposal(at, taught.name, taught.week, place, drill, missing, source, level, fits)


def _lesson_for(
    coverage: Coverage, drill: DrillFamily, wanted: dict[Axis, Any], before: Mapping[Skill, tuple[Skill, ...]]
) -> tuple[int, Fits]:
    """The first lesson in which the skill is known and as much has been asked of the hands; else the last."""
    skill = wanted.get(Axis.SKILL)
    known = not isinstance(skill, Skill) or not any(
        one.skill == skill for taught in coverage.lessons for one in taught.seen
    )
    highest: dict[Hand, float] = {}
    at_least = 0
    own = {one.skill for one in counted(drill, coverage.lessons[0].lesson.setting).seen}
    waiting = {first for one in own for first in before.get(one, ())} - own
    for at, taught in enumerate(coverage.lessons):
        waiting -= {one.skill for one in taught.seen}
        if not known and any(one.skill == skill for one in taught.seen):
            known, at_least = True, at
        for hand, hardest in hardest_of(coverage, at).items():
            highest[hand] = max(highest.get(hand, 0.0), hardest.score)
        if known and not waiting and all(score.score <= highest.get(hand, 0.0) for hand, score in
                         by_hand(drill, taught.lesson.setting).items()):  # fmt: skip
            return at, Fits.FIRST
    last = len(coverage.lessons) - 1
    return max(last, at_least), Fits.TOO_EARLY if waiting else Fits.HARDEST
