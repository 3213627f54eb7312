"""What is wrong in a lesson, in sentences that name the place. A lesson with problems still opens and prints."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from functools import singledispatch
from itertools import pairwise

from lessonkit.drills.chord_map import worked_out
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.told import remarks_told
from lessonkit.lesson import prose
from lessonkit.lesson.lesson import Aid, Block, DifficultyMap, Drill, Heading, Lesson, Note, UnknownAid, UnknownDrill
from lessonkit.lesson.page_aid import Scene
from lessonkit.theory.pitch import NoteName


def problems(lesson: Lesson) -> tuple[str, ...]:
    """A sentence for each problem: drills that cannot be built, live words that are not understood, strange drills."""
    setting = lesson.setting
    lines = {"title": lesson.title, "aims": lesson.aims}
    found = [f"{part}: {problem}" for part, text in lines.items() for problem in _in_line(text, setting)]
    for place, block in enumerate(lesson.blocks):
        found += [f"blocks[{place}]: {problem}" for problem in _problems(block, setting)]
    return tuple(found)


def remarks(lesson: Lesson) -> tuple[str, ...]:
    """What is worth knowing of the lesson's drills, a sentence each; nothing of it is wrong."""
    setting = lesson.setting
    found: list[str] = []
    for place, block in enumerate(lesson.blocks):
        if isinstance(block, Drill):
            with suppress(ValueError):
                told = [*remarks_told(realise(block.family, setting)), *_other_faces(block, setting)]
                found += [f"blocks[{place}]: {block.family.title}: {remark}" for remark in told]
    for place, (block, after) in enumerate(pairwise(lesson.blocks)):
        if isinstance(block, Heading | Note) and isinstance(after, Drill):
            found += [f"blocks[{place}]: {remark}" for remark in _other_keys(block.text, after, setting)]
    return tuple(found)


_KEY = re.compile(
    r"\b([A-G](?:[♭♯b#]|)) (major|minor)\b(?! (?:seventh|sixth|ninth|triad|chord|third|pentatonic|blues|scale))"
)


def _other_keys(text: str, drill: Drill, setting: Setting) -> Iterator[str]:
    """Keys that are named above a drill which is in none of them."""
    with suppress(ValueError):
        exercise = realise(drill.family, setting)
        own = {str(key) for key in (exercise.key, *(bar.key for bar in exercise.bars)) if key is not None}
        for paragraph in prose.read(text, setting):
            found = _KEY.findall(_plain(paragraph, setting))
            for name in dict.fromkeys(f"{NoteName.parse(tonic)} {mode}" for tonic, mode in found):
                if name not in own:
                    yield f"{name} is named above a drill in {' and '.join(sorted(own)[:2])}; {{key}} follows the key"


def _plain(paragraph: prose.Paragraph, setting: Setting) -> str:
    return prose.plain_line(paragraph.spans, setting.label_style).replace("\N{NO-BREAK SPACE}", " ")


def _other_faces(drill: Drill, setting: Setting) -> Iterator[str]:
    """Chord names in other faces than the lesson's, which would stand on one page with them."""
    if drill.family.faces.of(setting.label_style) != setting.label_style:
        yield "its chord names are written in other signs than the rest of the lesson; one page reads best in one"


def _in_line(text: str, setting: Setting) -> Iterator[str]:
    for span in prose.read_line(text, setting):
        if isinstance(span, prose.Words) and span.problem:
            yield f"{span.text} is printed as typed: {span.problem}"


@singledispatch
def _problems(block: Block, setting: Setting) -> Iterator[str]:
    yield from ()


@_problems.register
def _(block: Heading, setting: Setting) -> Iterator[str]:
    yield from _in_line(block.text, setting)


@_problems.register
def _(block: Note, setting: Setting) -> Iterator[str]:
    for words in prose.problems(prose.read(block.text, setting)):
        yield f"{words.text} is printed as typed: {words.problem}"


@_problems.register
def _(block: Drill, setting: Setting) -> Iterator[str]:
    try:
        realise(block.family, setting)
    except ValueError as error:
        yield f"{block.family.title} cannot be written out: {error}"


@_problems.register
def _(block: DifficultyMap, setting: Setting) -> Iterator[str]:
    try:
        worked_out(block.map, setting)
    except ValueError as error:
        yield f"{block.map.title} cannot be worked out: {error}"


@_problems.register
def _(block: Aid, setting: Setting) -> Iterator[str]:
    for name in block.shows.declared():
        value = getattr(block.shows, name)
        if isinstance(value, str):
            for words in prose.problems(prose.read(value, setting)):
                yield f"{block.shows.title}: {words.text} is printed as typed: {words.problem}"
    try:
        block.shows.shown(Scene(setting))
    except ValueError as error:
        yield f"{block.shows.title} cannot be shown: {error}"


@_problems.register
def _(block: UnknownDrill, setting: Setting) -> Iterator[str]:
    yield f"{block.code!r} is a drill that this version of lessonkit does not know; it is kept as it is"


@_problems.register
def _(block: UnknownAid, setting: Setting) -> Iterator[str]:
    yield f"{block.code!r} is an aid that this version of lessonkit does not know; it is kept as it is"
