"""A lesson as plain text to be read aloud: every word of its pages, and each drill told note by note."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from lessonkit.drills.talking import told_in_words
from lessonkit.drills.tempo_ladder import tempo_ladder
from lessonkit.lesson import prose
from lessonkit.lesson.cautions import caution_of
from lessonkit.lesson.edits import without_teacher_notes
from lessonkit.lesson.lesson import (
    Aid,
    DifficultyMap,
    Drill,
    Heading,
    Lesson,
    Note,
    PageBreak,
    Space,
    UnknownAid,
    UnknownDrill,
)
from lessonkit.lesson.scene import has_own_care
from lessonkit.pages.blocks import built, draw_block, look_of
from lessonkit.theory.naming import renamed

LEGEND = (
    "Notes are told with their octave, middle C being C 4, and with the finger that plays them, 1 the thumb. "
    "A length holds until another one is said."
)


def talking_score(lesson: Lesson) -> str:
    """The lesson as a student gets it, in lines of plain words."""
    lesson = without_teacher_notes(lesson)
    labels, setting = lesson.house.label_style, lesson.setting
    lines = [prose.plain_line(prose.read_line(lesson.title, setting), labels)]
    facts = f"{labels.key(setting.key)}, {setting.tempo} quarter notes a minute"
    lines.append(f"{facts}, {lesson.author}" if lesson.author else facts)
    if lesson.aims:
        lines.append(prose.plain_text(prose.read(lesson.aims, setting), labels))
    if any(isinstance(block, Drill) for block in lesson.blocks):
        lines += ["", LEGEND]
    for block in lesson.blocks:
        lines += TELLERS[type(block)](block, lesson)
    care = "" if has_own_care(lesson) else caution_of(lesson)
    if care:
        lines += ["", care]
    return "\n".join(lines).strip() + "\n"


def _heading(block: Heading, lesson: Lesson) -> Iterator[str]:
    words = prose.plain_line(prose.read_line(block.text, lesson.setting), lesson.house.label_style)
    yield ""
    yield words.upper() if block.level == 1 else words


def _note(block: Note, lesson: Lesson) -> Iterator[str]:
    yield ""
    yield prose.plain_text(prose.read(block.text, lesson.setting), lesson.house.label_style)


def _drill(block: Drill, lesson: Lesson) -> Iterator[str]:
    exercise = built(block.family, lesson.setting)
    yield ""
    if isinstance(exercise, str):
        yield f"{block.family.title}: {exercise}"
        return
    told = renamed(exercise.summary, lesson.house.label_style.notes)
    yield f"Drill: {told or block.family.title}."
    marks = tempo_ladder(block.family, lesson.setting)
    if marks:
        yield f"Tempo ladder: {', '.join(map(str, marks))}."
    yield from told_in_words(exercise, lesson.house.label_style)


def _spoken(block: Any, lesson: Lesson) -> Iterator[str]:
    """What has no words of its own is told as its drawing is."""
    parts = draw_block(block, lesson, look_of(lesson)).parts
    yield ""
    yield "\n".join(part.drawing.spoken for part in parts if part.drawing.spoken)


def _nothing(block: Any, lesson: Lesson) -> Iterator[str]:
    yield from ()


TELLERS: dict[type[Any], Callable[[Any, Lesson], Iterator[str]]] = {
    Heading: _heading,
    Note: _note,
    Drill: _drill,
    UnknownDrill: _spoken,
    DifficultyMap: _spoken,
    Aid: _spoken,
    UnknownAid: _spoken,
    Space: _nothing,
    PageBreak: _nothing,
}
"""Every kind of block and how it is told; a test holds that none is missing."""
