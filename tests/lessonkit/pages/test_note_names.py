"""A whole page takes the lesson's names of notes, and no name is turned twice."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonkit.drawing.shapes import Text
from lessonkit.drills.family import family
from lessonkit.lesson.aids.fifths_strip import FifthsStrip
from lessonkit.lesson.aids.keyboard_picture import KeyboardPicture
from lessonkit.lesson.aids.letter_names import LetterNames
from lessonkit.lesson.aids.scale_table import ScaleTable
from lessonkit.lesson.lesson import Aid, Drill, House, Lesson, Note
from lessonkit.pages.flow import pages_of
from lessonkit.pages.talking import talking_score
from lessonkit.storage.lesson_file import lesson_from_bytes, lesson_to_bytes
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.naming import NoteNames


def lesson_with(names: NoteNames, key: str = "Bb") -> Lesson:
    return Lesson(
        title="{tonic} and its seventh",
        key=Key.parse(key),
        house=House(label_style=LabelStyle(notes=names)),
        blocks=(
            Note("It is {IVmaj7} in {key}; {notes I} are its notes.", id="note"),
            Drill(family("broken-chords")().with_text("quality", "maj7"), id="drill"),
            Aid(KeyboardPicture(what="Bb3 D4"), id="keys"),
            Aid(ScaleTable(), id="scales"),
            Aid(FifthsStrip(), id="fifths"),
            Aid(LetterNames(), id="letters"),
        ),
    )


def words_of(lesson: Lesson) -> str:
    """All that is written on the pages."""
    drawings = (part.placed.drawing for page in pages_of(lesson) for part in page.parts)
    return " ".join("".join(shape.text for shape in one.shapes if isinstance(shape, Text)) for one in drawings)


@pytest.mark.parametrize(
    ("names", "key", "told"),
    [
        (NoteNames.GERMAN, "Bb", ["B major", "Bmaj7 broken", "B D F", "B3", "H"]),
        (NoteNames.GERMAN, "B", ["H major", "Hmaj7 broken", "H D♯ F♯", "H3"]),
        (NoteNames.SYLLABLES, "Bb", ["si♭ major", "si♭maj7 broken", "si♭ re fa"]),
        (NoteNames.ENGLISH, "Bb", ["B♭ major", "B♭maj7 broken", "B♭ D F"]),
    ],
)
def test_the_page_says_the_names(names: NoteNames, key: str, told: list[str]) -> None:
    """German B7 is the chord that English calls B♭7: a name turned twice would be a wrong chord."""
    words = words_of(lesson_with(names, key))
    for one in told:
        assert one in words, words


def test_german_pages_have_no_flat_b() -> None:
    """B♭ would be called B there."""
    assert "B♭" not in words_of(lesson_with(NoteNames.GERMAN))


def test_the_talking_text_says_the_names() -> None:
    """What is read aloud has the names of the page."""
    german = talking_score(lesson_with(NoteNames.GERMAN))
    assert "B major" in german
    assert "B flat" not in german
    assert "H" in talking_score(lesson_with(NoteNames.GERMAN, "B"))


@pytest.mark.parametrize("names", list(NoteNames))
def test_files_keep_the_choice_and_english_names(names: NoteNames) -> None:
    """A file opened anywhere means the same notes."""
    lesson = lesson_with(names)
    written = lesson_to_bytes(lesson)
    assert lesson_from_bytes(written, "here") == lesson
    assert b'"Bb"' in written


def test_a_lesson_that_leaves_the_names_alone_has_the_file_it_had() -> None:
    """Older programs open it."""
    assert b'"notes": "' not in lesson_to_bytes(lesson_with(NoteNames.ENGLISH))


def test_the_drills_are_the_same() -> None:
    """Names are words, and no note depends on them."""
    english, german = lesson_with(NoteNames.ENGLISH), lesson_with(NoteNames.GERMAN)
    assert replace(german, house=english.house) == english
