"""The rows of finger numbers are level where the notes allow it, and close to their notes.

Common practice, no source.
"""

from __future__ import annotations

import pytest

from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.finger_rows import level_row
from lessonkit.engraving.look import Look
from lessonkit.theory.key import Key

UP = -1


def engraved(code: str, key: str, staff: float = 7.0, **settings: Plain) -> tuple[Exercise, tuple[Drawing, ...]]:
    """A drill and its lines."""
    exercise = realise(family(code).from_settings({"fingers_shown": "all", **settings}), Setting(Key.parse(key)))
    return exercise, engrave(exercise, Look(482.0, staff))


def above_staff(exercise: Exercise, drawing: Drawing) -> dict[int, list[float]]:
    """For each group in spaces how far above the staff each digit of its single notes stands."""
    staff = next(mark.box for mark in drawing.marks if mark.kind == "staff")
    space = (staff.bottom - staff.top) / 4
    found: dict[int, list[float]] = {}
    for mark in drawing.marks:
        if mark.kind == "finger":
            group = exercise.events[int(mark.name.split(".")[0])].group
            found.setdefault(group, []).append((staff.top - mark.box.bottom) / space)
    return found


@pytest.mark.parametrize(
    ("groups", "spaces", "expected"),
    [
        ([0, 0, 0, 0], [0.0, 0.0, 0.4, 0.8], [0.8, 0.8, 0.8, 0.8]),
        ([0, 0, 1, 1], [0.0, 0.3, 0.0, 0.9], [0.9, 0.9, 0.9, 0.9]),
        ([0, 0, 0, 0], [0.0, 0.0, 0.5, 2.0], [0.0, 0.0, 1.0, 2.0]),
        ([0, 0, 1, 1], [1.5, 3.0, 0.0, 0.0], [2.0, 3.0, 0.0, 0.0]),
        ([0, 1, 2], [0.0, 0.9, 1.8], [0.9, 0.9, 1.8]),
        ([], [], []),
    ],
    ids=["one group", "two groups", "a climb", "a group is not lifted by its neighbour", "no farther", "nothing"],
)
def test_a_row_is_level_where_the_notes_allow_it(
    groups: list[int], spaces: list[float], expected: list[float]
) -> None:  # fmt: skip
    """Heights in spaces over the staff; only outwards, above as below."""
    up = level_row(groups, [-one * SPACE for one in spaces], UP)
    assert up == pytest.approx([-one * SPACE for one in expected])
    down = level_row(groups, [one * SPACE for one in spaces], 1)
    assert down == pytest.approx([one * SPACE for one in expected])


@pytest.mark.parametrize("staff", [7.0, 12.0])
def test_a_group_under_an_octave_line_has_its_fingers_at_the_staff(staff: float) -> None:
    """The notes before it, high above the staff, do not lift its fingers.

    That of the lowest note stands at most 1.6 spaces over it.
    """
    exercise, drawings = engraved("broken-chords", "Ab", staff, size="seventh", lowest="C4", octaves=2)
    begun = 0
    for drawing in drawings:
        for line in (mark for mark in drawing.marks if mark.kind == "octave line"):
            for group, heights in above_staff(exercise, drawing).items():
                notes = [
                    mark for mark in drawing.marks
                    if mark.kind == "note" and exercise.events[int(mark.name.split(".")[0])].group == group
                ]  # fmt: skip
                if all(line.box.left <= note.box.left <= line.box.right for note in notes):
                    begun += 1
                    lowest = max(range(len(notes)), key=lambda at: notes[at].box.top)
                    assert heights[lowest] < 1.6
    assert begun


def test_the_fingers_of_a_group_within_the_staff_stand_at_one_height() -> None:
    """Sevenths of the ladder: where the notes lie in the staff no thumb hangs above its neighbours."""
    exercise, drawings = engraved("diatonic-ladder", "Eb", octaves=2)
    level = 0
    for drawing in drawings:
        for heights in above_staff(exercise, drawing).values():
            if len(heights) > 1 and max(heights) < 1.5:
                level += 1
                assert max(heights) - min(heights) < 0.01
    assert level > 4


def test_stacks_of_fingers_stand_on_one_base() -> None:
    """Half notes with stems over the staff and whole notes without, in a chain of two-fives."""
    exercise, drawings = engraved("two-five-one-chains", "Bb", hands="right")
    for drawing in drawings:
        lowest: dict[str, float] = {}
        for mark in drawing.marks:
            if mark.kind == "finger":
                event = mark.name.split(".")[0]
                lowest[event] = max(lowest.get(event, 0.0), mark.box.bottom)
        assert len(lowest) > 2
        assert max(lowest.values()) - min(lowest.values()) < 0.01
    assert exercise.events


def test_a_chord_over_its_bass_keeps_its_fingers_near() -> None:
    """In stride the hand leaps from a bass far below: its 5 does not push the chord's stack down."""
    exercise, (first, *_) = engraved("stride", "Bb")
    staff = next(mark.box for mark in first.marks if mark.kind == "staff")
    space = (staff.bottom - staff.top) / 4
    nearest: dict[str, float] = {}
    for mark in first.marks:
        event = mark.name.split(".")[0]
        if mark.kind == "finger" and len(exercise.events[int(event)].pitches) > 1:
            nearest[event] = min(nearest.get(event, 999.0), (mark.box.top - staff.bottom) / space)
    assert len(nearest) > 3
    assert max(nearest.values()) < 1.6
