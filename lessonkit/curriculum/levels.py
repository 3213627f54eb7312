"""Levels: what each asks for, which skill comes before which, and how a lesson, a term or a student measures up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import product
from weakref import WeakKeyDictionary

from lessonkit.curriculum.coverage import Coverage, Place, Taught
from lessonkit.curriculum.pictures import order_picture
from lessonkit.curriculum.seen import WORDS, Axis, Seen, Skill, plain_key
from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.exercise import Hand
from lessonkit.lesson.lesson import FASTEST, SLOWEST, check_line
from lessonkit.theory.key import Key
from lessonkit.theory.quality import Quality
from lessonkit.values import dataclass

MOST_LEVELS, MOST_REQUIREMENTS, MOST_ARROWS = 40, 300, 600


@dataclass(frozen=True, slots=True)
class Need:
    """One thing to be able to do. What is None may be anything; ``tempo`` 0 asks for none."""

    skill: Skill
    key: Key | None = None
    hand: Hand | None = None
    quality: str | None = None
    tempo: int = 0

    @property
    def words(self) -> str:
        """For people: ``Chord jumps: solid chords, major seventh chord, in E♭ major, left hand, at 72``."""
        parts = [self.skill.words]
        if self.quality is not None:
            parts.append(f"{WORDS[Axis.QUALITY](self.quality)} chord")
        if self.key is not None:
            parts.append(f"in {self.key}")
        if self.hand is not None:
            parts.append(WORDS[Axis.HAND](self.hand))
        return ", ".join([*parts, *([f"at {self.tempo}"] if self.tempo else [])])

    def is_met_by(self, seen: Seen, tempo: int) -> bool:
        """Whether something that a drill contains, at a lesson's tempo, is what is asked for."""
        return (
            seen.skill == self.skill
            and self.key in (None, seen.key)
            and self.hand in (None, seen.hand)
            and self.quality in (None, seen.quality)
            and tempo >= self.tempo
        )


@dataclass(frozen=True, slots=True)
class Requirement:
    """A skill that a level asks for, in each of the keys, hands and kinds of chord named; none named: any will do."""

    skill: Skill
    keys: tuple[Key, ...] = ()
    hands: tuple[Hand, ...] = ()
    qualities: tuple[str, ...] = ()
    tempo: int = 0

    def __post_init__(self) -> None:
        for quality in self.qualities:
            Quality.named(quality)
        if self.tempo and not SLOWEST <= self.tempo <= FASTEST:
            raise ValueError(f"a tempo of {self.tempo} is not between {SLOWEST} and {FASTEST} beats a minute")

    @property
    def needs(self) -> tuple[Need, ...]:
        """Everything that it asks for, one by one."""
        across: tuple[Sequence[Key | None], Sequence[Hand | None], Sequence[str | None]] = (
            [plain_key(key) for key in self.keys] or [None],
            self.hands or [None],
            self.qualities or [None],
        )
        return tuple(Need(self.skill, *one, self.tempo) for one in product(*across))


@dataclass(frozen=True, slots=True)
class Level:
    """A level by its name, with what it requires."""

    name: str
    requirements: tuple[Requirement, ...] = ()

    def __post_init__(self) -> None:
        check_line(self.name, "the name of a level")
        if len(self.requirements) > MOST_REQUIREMENTS:
            raise ValueError(f"{len(self.requirements)} requirements of one level are more than {MOST_REQUIREMENTS}")

    @property
    def needs(self) -> tuple[Need, ...]:
        """Everything that it asks for, one by one, each once."""
        return tuple(dict.fromkeys(need for one in self.requirements for need in one.needs))


@dataclass(frozen=True, slots=True)
class Curriculum:
    """Levels in order, and which skill comes before which (``before`` holds pairs: first, then).

    Raises ValueError where skills wait for each other in a loop, since nobody could ever begin.
    """

    title: str = "New curriculum"
    levels: tuple[Level, ...] = ()
    before: tuple[tuple[Skill, Skill], ...] = ()

    def __post_init__(self) -> None:
        check_line(self.title, "a title")
        if len(self.levels) > MOST_LEVELS:
            raise ValueError(f"{len(self.levels)} levels are more than {MOST_LEVELS}")
        if len(self.before) > MOST_ARROWS:
            raise ValueError(f"{len(self.before)} prerequisites are more than {MOST_ARROWS}")
        names = [level.name for level in self.levels]
        if len(set(names)) != len(names):
            raise ValueError("two levels share one name")
        loop = loop_in(self.before)
        if loop:
            told = ", before ".join(skill.words for skill in (*loop, loop[0]))
            raise ValueError(f"these wait for each other in a loop: {told}; take one of these arrows out")

    @property
    def needed_before(self) -> dict[Skill, tuple[Skill, ...]]:
        """For each skill those that come just before it."""
        found: dict[Skill, tuple[Skill, ...]] = {}
        for first, then in self.before:
            found[then] = (*found.get(then, ()), first)
        return found

    def level_of(self, skill: Skill) -> str:
        """The name of the first level that asks for a skill; empty where none does."""
        for level in self.levels:
            if any(one.skill == skill for one in level.requirements):
                return level.name
        return ""

    def picture(self, width: float = 493.0, said: Callable[[str], str] = str) -> Drawing:
        """What comes before what, with the level of each skill; ``said`` says the trade's words in some language."""
        skills = dict.fromkeys(
            [*(skill for pair in self.before for skill in pair),
             *(one.skill for level in self.levels for one in level.requirements)]
        )  # fmt: skip
        names = {skill.ascii: said(WORDS[Axis.FAMILY](skill.family)) for skill in skills}
        told = {
            skill.ascii: " · ".join(part for part in (said(skill.way.name.lower()), self.level_of(skill)) if part)
            for skill in skills
        }
        return order_picture(names, [(first.ascii, then.ascii) for first, then in self.before], width, told)


def loop_in(before: Sequence[tuple[Skill, Skill]]) -> tuple[Skill, ...]:
    """Skills that wait for each other, in the order of the arrows; none where there is no loop."""
    after: dict[Skill, list[Skill]] = {}
    for first, then in before:
        after.setdefault(first, []).append(then)
    done: set[Skill] = set()
    for start in after:
        path: list[Skill] = []
        on_path: set[Skill] = set()
        waiting: list[Iterator[Skill]] = [iter((start,))]
        while waiting:
            skill = next(waiting[-1], None)
            if skill is None:
                waiting.pop()
                if path:
                    done.add(path[-1])
                    on_path.discard(path.pop())
            elif skill in on_path:
                return tuple(path[path.index(skill) :])
            elif skill not in done:
                path.append(skill)
                on_path.add(skill)
                waiting.append(iter(after.get(skill, ())))
    return ()


@dataclass(frozen=True, slots=True)
class Measure:
    """What of a level is there, each with the place where it comes first (None for a student), and what is missing."""

    level: Level
    met: tuple[tuple[Need, Place | None], ...]
    unmet: tuple[Need, ...]

    @property
    def is_reached(self) -> bool:
        """Whether nothing is missing."""
        return not self.unmet

    def __str__(self) -> str:
        return f"{self.level.name}: {len(self.met)} of {len(self.met) + len(self.unmet)}"


def measured(level: Level, coverage: Coverage) -> Measure:
    """How far lessons cover a level: a lesson, a term or a shelf, as a coverage of one or of many."""
    return measured_all((level,), coverage)[0]


def measured_all(levels: Iterable[Level], coverage: Coverage) -> tuple[Measure, ...]:
    """How far lessons cover each of several levels."""
    found: dict[Need, Place | None] = {}
    by_skill = _index_of(coverage)

    def first(need: Need) -> Place | None:
        if need not in found:
            found[need] = next(_places(need, by_skill), None)
        return found[need]

    measures = []
    for level in levels:
        needs = level.needs
        met = tuple((need, first(need)) for need in needs if first(need) is not None)
        measures.append(Measure(level, met, tuple(need for need in needs if first(need) is None)))
    return tuple(measures)


def places_of(need: Need, coverage: Coverage) -> tuple[Place, ...]:
    """Every drill that meets a need, in the order of teaching."""
    return tuple(_places(need, _index_of(coverage)))


def measured_by(level: Level, holds: Callable[[Need], bool]) -> Measure:
    """How far somebody reaches a level of whom ``holds`` tells whether they can do a thing."""
    told = [(need, holds(need)) for need in level.needs]
    return Measure(
        level, tuple((need, None) for need, can in told if can), tuple(need for need, can in told if not can)
    )  # fmt: skip


_Found = dict[Skill, list[tuple[Taught, str, list[Seen]]]]
"""For each skill the drills that have it, with what they contain of it."""


_indexes: WeakKeyDictionary[Coverage, _Found] = WeakKeyDictionary()


def _index_of(coverage: Coverage) -> _Found:
    """Worked out once for each coverage, since needs are looked up one by one."""
    found = _indexes.get(coverage)
    if found is None:
        found = _indexes[coverage] = _by_skill(coverage)
    return found


def _by_skill(coverage: Coverage) -> _Found:
    found: _Found = {}
    for taught in coverage.lessons:
        for block_id, count in taught.blocks:
            own: dict[Skill, list[Seen]] = {}
            for seen in count.seen:
                own.setdefault(seen.skill, []).append(seen)
            for skill, seens in own.items():
                found.setdefault(skill, []).append((taught, block_id, seens))
    return found


def _places(need: Need, by_skill: _Found) -> Iterator[Place]:
    for taught, block_id, seens in by_skill.get(need.skill, ()):
        # The tempo comes last: for it alone a lesson that nobody has read yet must be read.
        if any(need.is_met_by(seen, FASTEST) for seen in seens) and (
            not need.tempo or taught.lesson.tempo >= need.tempo
        ):
            yield from taught.places((block_id,))
