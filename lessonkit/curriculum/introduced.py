"""What is used before it is introduced: skills that no words lead to, chords that nothing has named or dwelt on.

A skill is introduced by the first drill of it that has words of its own above it: a note between it and the drill
before. A kind of chord is introduced where a note, a heading or the aims name one (a live word), or by a drill with
words above it that stays on that kind of chord alone. What a lesson says anywhere above a drill counts for it, and so
does everything that earlier lessons introduced.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache

from lessonkit.curriculum.coverage import Coverage, Place, Taught
from lessonkit.curriculum.seen import WORDS, Axis, Skill
from lessonkit.lesson.lesson import Drill, Heading, Note
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.quality import ALL_QUALITIES
from lessonkit.theory.roman import RomanChord
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class TooEarly:
    """Something that comes before it has been introduced; ``what`` in words, ``needs`` what should come first."""

    what: str
    place: Place
    needs: str

    def __str__(self) -> str:
        week = f"week {self.place.week}, " if self.place.week else ""
        return f"{week}{self.place.lesson}: {self.what} is used before {self.needs}"


def too_early(coverage: Coverage, before: Mapping[Skill, Iterable[Skill]] | None = None) -> tuple[TooEarly, ...]:
    """What lessons use before it is introduced, each thing once, at its first place.

    ``before`` tells of each skill those that must have come in an earlier drill, as the levels of a curriculum do.
    """
    skills: set[Skill] = set()
    qualities: set[str] = set()
    told: dict[str, TooEarly] = {}
    for lesson in coverage.lessons:
        for problem in _in_lesson(lesson, skills, qualities, before or {}):
            told.setdefault(problem.what, problem)
    return tuple(told.values())


def _in_lesson(
    lesson: Taught, skills: set[Skill], qualities: set[str], before: Mapping[Skill, Iterable[Skill]]
) -> Iterator[TooEarly]:
    counts = dict(lesson.blocks)
    qualities |= named_in(lesson.lesson.title, lesson.lesson.key) | named_in(lesson.lesson.aims, lesson.lesson.key)
    has_words = False
    for block in lesson.lesson.blocks:
        if isinstance(block, Heading | Note):
            has_words = has_words or isinstance(block, Note)
            qualities |= named_in(block.text, lesson.lesson.key)
        elif isinstance(block, Drill):
            place = Place(lesson.name, lesson.week, lesson.day, block.id)
            seen = counts[block.id].seen
            own = {one.skill for one in seen}
            chords = {one.quality for one in seen if one.quality}
            for skill in sorted(own - skills, key=lambda skill: skill.ascii):
                if not has_words:
                    yield TooEarly(skill.words, place, "any words lead to it; write a note above the drill")
                for first in before.get(skill, ()):
                    if first not in skills and first not in own:
                        yield TooEarly(skill.words, place, f"{first.words}, which should come first")
            if has_words and len(chords) == 1:
                qualities |= chords
            for quality in sorted(chords - qualities):
                needs = "a word names it; name it in a note above, such as {notes …}"
                yield TooEarly(f"the {WORDS[Axis.QUALITY](quality)} chord", place, needs)
            skills |= own
            qualities |= chords
            has_words = False


_WORD = re.compile(r"\{\s*(?:(notes|roman|chord)\s+)?([^{}]{1,60})\}", re.IGNORECASE)


@lru_cache(maxsize=4096)
def named_in(text: str, key: Key) -> frozenset[str]:
    """The kinds of chord that a text names, by live words or by their names in full."""
    found: set[str] = set()
    for _, inside in _WORD.findall(text):
        quality = _quality_of(inside.strip(), key)
        if quality:
            found.add(quality)
    words = " ".join(re.sub(r"[*_{}]", "", text.lower()).replace("-", " ").split())
    found |= {plain for plain, said in _IN_FULL if said in words}
    return frozenset(found)


_ALSO_INTERVALS = ("major", "minor", "diminished", "augmented", "fifth", "suspended")
"""Words that begin the name of a chord and may begin that of an interval or a scale: they count with ``chord``."""


def _said(words: str) -> str:
    plain = words.replace("-", " ")
    if len(plain.split()) == 1:
        return f"{plain} triad"
    return f"{plain} chord" if plain.split()[0] in _ALSO_INTERVALS and plain != "diminished seventh" else plain


_IN_FULL = (*((quality.key, _said(quality.words)) for quality in ALL_QUALITIES), ("m7b5", "half diminished"))


def _quality_of(text: str, key: Key) -> str:
    for read in (RomanChord.parse, Chord.parse):
        try:
            return read(text).quality.key
        except ValueError:
            continue
    return ""


def first_lessons(coverage: Coverage) -> dict[Skill, Place]:
    """Where each skill comes first."""
    return {skill: span.first for (skill, _), span in coverage.spans(Axis.SKILL, Axis.SKILL).items()}
