"""The talking score: what is told is what is played, and nothing that is asked for is told."""

from __future__ import annotations

import re

import pytest

from lessonkit.drills.exercise import Blank, Exercise, Hand
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.family import families
from lessonkit.drills.realise import realise
from lessonkit.drills.talking import told_in_words
from lessonkit.drills.worksheet import Worksheet
from lessonkit.lesson.handout_page import page_around
from lessonkit.lesson.lesson import KINDS, Drill, Heading, Lesson, Note
from lessonkit.pages.talking import TELLERS, talking_score
from lessonkit.theory.key import MAJOR_KEYS, Key
from lessonkit.theory.pitch import Pitch

_NOTE = re.compile(r"\b([A-G])( double flat| flat| sharp| double sharp)? (\d)(?: with (\d))?")
_SIGNS = {"": "", " flat": "b", " double flat": "bb", " sharp": "#", " double sharp": "##"}


def read_back(lines: tuple[str, ...]) -> dict[str, list[tuple[Pitch, int | None]]]:
    """The notes that a listener would write down, for each hand."""
    found: dict[str, list[tuple[Pitch, int | None]]] = {}
    hand = ""
    for line in lines:
        if line in ("Right hand.", "Left hand."):
            hand = line.split()[0].lower()
        elif line.startswith("Bar "):
            for letter, sign, octave, finger in _NOTE.findall(line):
                pitch = Pitch.parse(f"{letter}{_SIGNS[sign]}{octave}")
                found.setdefault(hand, []).append((pitch, int(finger) if finger else None))
    return found


def played(exercise: Exercise, hand: Hand) -> list[tuple[Pitch, int | None]]:
    return [
        (pitch, event.fingers[place] if event.fingers else None)
        for event in exercise.of(hand)
        if not event.is_open
        for place, pitch in enumerate(event.pitches)
    ]


def test_every_kind_of_block_is_told() -> None:
    """What is left out is missed by nobody who cannot see it."""
    assert set(TELLERS) == set(KINDS)


@pytest.mark.parametrize("code", sorted(families()))
def test_what_is_told_is_what_is_played(code: str) -> None:
    """Note by note with its finger, read back from the words."""
    keys = MAJOR_KEYS[len(code) % 5 :: 5]
    for key in keys:
        exercise = realise(families()[code](), Lesson(key=key).setting)
        back = read_back(told_in_words(exercise))
        for hand in exercise.hands:
            asked = Blank.NOTES in exercise.blank or (hand is Hand.RIGHT and Blank.RIGHT_HAND in exercise.blank)
            expected = [] if asked else played(exercise, hand)
            if Blank.FINGERS in exercise.blank:
                expected = [(pitch, None) for pitch, _ in expected]
            assert back.get(hand.value, []) == expected, (code, key)


@pytest.mark.parametrize("worksheet", [Worksheet.NOTES, Worksheet.CHORD_NAMES])
def test_a_worksheet_gives_nothing_away(worksheet: Worksheet) -> None:
    """A blind student has the same task as everybody."""
    exercise = realise(BrokenChords(worksheet=worksheet), Lesson(key=Key.parse("Ab")).setting)
    lines = told_in_words(exercise)
    if worksheet is Worksheet.NOTES:
        assert read_back(lines) == {}
        assert "Its notes are left out for you to find." in lines
    else:
        assert not any("chord" in line for line in lines)


def test_a_lesson_is_told_from_its_title_to_its_care() -> None:
    """Words, drills and aids in their order, without the teacher's notes."""
    lesson = Lesson("A lesson", "To hear it.", blocks=(
        Heading("First"), Note("For {key}."), Note("For me.", for_teacher=True), Drill(BrokenChords(), "d"),
    ))  # fmt: skip
    told = talking_score(page_around(lesson, "d"))
    order = [
        "A lesson",
        "To hear it.",
        "FIRST",
        "For C major.",
        "Aim: Play",
        "Drill: ",
        "Bar 1: ",
        "Check: ",
        "Warm up",
    ]
    places = [told.index(words) for words in order]
    assert places == sorted(places)
    assert "For me." not in told
    assert told.endswith("\n")


def test_a_sentence_over_two_lines_is_told_as_one() -> None:
    """A line break on paper is none to the ear."""
    told = talking_score(page_around(Lesson(key=Key.parse("Ab"), blocks=(Drill(BrokenChords(), "d"),)), "d"))
    assert "right hand, two octaves up and down, evenly, at" in told
