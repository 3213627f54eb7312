"""With what each point of a house style is edited: a table by point, whole against the points there are."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, NamedTuple

from desktop.forms.editor import Editor
from desktop.forms.editors import ListEditor, SideBySideEditor, YesNoEditor
from desktop.forms.lesson_options import (
    FINGERS_PRINTED,
    NOTE_NAMES,
    PAPERS,
    SIXES,
    SPELLINGS,
    STRENGTHS,
    STYLE_WORDS,
    Options,
    face_shown,
    said,
    staves_said,
)
from desktop.forms.long_text import LongTextEditor
from desktop.forms.picture_editor import PictureEditor
from desktop.forms.text_editors import TextEditor
from desktop.words import english, say
from lessonkit.lesson.lesson import Lesson, clean_line
from lessonkit.theory.label_style import CHOICES


class Piece(NamedTuple):
    """One editor of a point: its words (none where the point has but one), the editor, and the value in a lesson."""

    words: str
    make: Callable[[], Editor]
    of: Callable[[Lesson], Any]
    to: Callable[[Lesson, Any], Lesson]


def _house(name: str, make: Callable[[], Editor], words: str = "") -> Piece:
    def to(lesson: Lesson, value: Any) -> Lesson:
        return replace(lesson, house=replace(lesson.house, **{name: value}))

    return Piece(words, make, lambda lesson: getattr(lesson.house, name), to)


def _hands(name: str, make: Callable[[], Editor], words: str) -> Piece:
    def to(lesson: Lesson, value: Any) -> Lesson:
        hands = replace(lesson.house.hands, **{name: value})
        return replace(lesson, house=replace(lesson.house, hands=hands))

    return Piece(words, make, lambda lesson: getattr(lesson.house.hands, name), to)


def _face(name: str, faces: tuple[str, ...]) -> Piece:
    def to(lesson: Lesson, value: Any) -> Lesson:
        style = replace(lesson.house.label_style, **{name: value})
        return replace(lesson, house=replace(lesson.house, label_style=style))

    def make() -> Editor:
        return SideBySideEditor([(face_shown(name, face), face) for face in faces])

    return Piece(STYLE_WORDS[name], make, lambda lesson: getattr(lesson.house.label_style, name), to)


def _one_of(options: Options) -> Callable[[], Editor]:
    return lambda: ListEditor(said(options))


_NOTES = Piece(
    english("Note names"), _one_of(NOTE_NAMES), lambda lesson: lesson.house.label_style.notes,
    lambda lesson, value: replace(
        lesson, house=replace(lesson.house, label_style=replace(lesson.house.label_style, notes=value))
    ),
)  # fmt: skip

PIECES: Mapping[str, tuple[str, tuple[Piece, ...]]] = {
    "letterhead": (english("Name at the head"), (
        Piece("", lambda: TextEditor(clean_line, str, say("Name on the handout")), lambda lesson: lesson.author,
              lambda lesson, value: replace(lesson, author=value)),
    )),
    "letterhead_picture": (english("Picture at the head"), (_house("letterhead", PictureEditor),)),
    "paper": (english("Paper"), (
        Piece("", _one_of(PAPERS), lambda lesson: lesson.paper, lambda lesson, value: replace(lesson, paper=value)),
    )),
    "label_style": (english("Chord names"), (*(_face(name, faces) for name, faces in CHOICES.items()), _NOTES)),
    "drill_faces": (english("Drills that write chord names in their own way: none"), ()),
    "prefers_flats_at_six": (english("Six signs"), (_house("prefers_flats_at_six", _one_of(SIXES)),)),
    "is_friendly": (english("Spelling of notes"), (_house("is_friendly", _one_of(SPELLINGS)),)),
    "strengths": (english("What fingers avoid"), (
        _hands("keep_thumb_off_black", _one_of(STRENGTHS), english("Thumb off black keys")),
        _hands("keep_little_finger_off_black", _one_of(STRENGTHS), english("Little finger off black keys")),
        _hands("avoid_stretches", YesNoEditor, english("Spare wide stretches")),
    )),
    "fingers": (english("Fingers printed"), (_house("fingers", _one_of(FINGERS_PRINTED)),)),
    "starts_black_with_second": (english("2 on a low black key"), (_house("starts_black_with_second", YesNoEditor),)),
    "staff_tenths": (english("Height of the staff"), (
        _house("staff_tenths", lambda: ListEditor(staves_said())),
    )),
    "caution": (english("Line of care at the foot"), (
        Piece("", LongTextEditor, lambda lesson: lesson.house.caution,
              lambda lesson, value: replace(lesson, house=replace(lesson.house, caution=clean_line(value)))),
    )),
}  # fmt: skip
"""For each point its words and its editors; one without editors says itself what is wanted."""
