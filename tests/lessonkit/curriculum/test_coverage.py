"""Coverage is what a slow count over the notes finds, whatever is edited, and counts again only what has changed."""

from __future__ import annotations

import random
from collections import Counter
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from lessonkit.curriculum import seen
from lessonkit.curriculum.coverage import (
    TWELVE_MAJOR,
    Coverage,
    coverage_of,
    coverage_of_term,
    taught,
    unwritten,
    with_lesson,
)
from lessonkit.curriculum.issue import issued
from lessonkit.curriculum.seen import OF, ORDER, WORDS, Axis, Reading, Skill, counted
from lessonkit.drills.exercise import Blank, Event, Exercise, Hand
from lessonkit.drills.family import DrillFamily, family
from lessonkit.drills.passages import passages
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.lesson import edits
from lessonkit.lesson.lesson import Drill, Lesson, Note, Space
from lessonkit.theory.key import Key
from tests.lessonkit.curriculum.shelf import random_drill, random_lesson, random_term


def slowly_read(exercise: Exercise) -> Reading:
    """What the student reads, said once more in other words."""
    if Blank.NOTES not in exercise.blank:
        return Reading.ONE_STAFF if len({event.hand for event in exercise.events}) == 1 else Reading.GRAND_STAFF
    if exercise.shown.chord_names and Blank.CHORD_NAMES not in exercise.blank:
        return Reading.SYMBOLS
    if exercise.shown.degrees and Blank.DEGREES not in exercise.blank:
        return Reading.DEGREES
    return Reading.EAR


def slowly_cells(drill: DrillFamily, setting: Setting, rows: Axis, columns: Axis) -> set[tuple[object, object]]:
    """The cells of one drill by going through its events one by one, looking everything up from the beginning."""
    try:
        exercise = realise(drill, setting)
    except ValueError:
        return set()
    ways = {place: one.kind for one in passages(exercise, drill.texture(), setting.hands) for place in one.places}
    found = set()
    for place, event in enumerate(exercise.events):
        if not event.pitches:
            continue
        key = next(bar.key for bar in reversed(exercise.bars) if bar.key is not None and bar.onset <= event.onset)
        chords = [mark.chord.quality.key for mark in exercise.chords if mark.onset <= event.onset]
        what = {
            Axis.SKILL: Skill(drill.code, ways[place]),
            Axis.KEY: sounding(key),
            Axis.QUALITY: chords[-1] if chords else "",
            Axis.HAND: event.hand,
            Axis.FAMILY: drill.code,
            Axis.READING: slowly_read(exercise),
        }
        found.add((what[rows], what[columns]))
    return found


def sounding(key: Key) -> Key:
    """The key under which an enharmonic one is counted: six accidentals at most, flats where six tie."""
    same = [one for one in map(Key.parse, PRINTED) if one.mode is key.mode]
    return next((one for one in same if one.tonic.pitch_class == key.tonic.pitch_class), key)


PRINTED = ["Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B",
           "Ebm", "Bbm", "Fm", "Cm", "Gm", "Dm", "Am", "Em", "Bm", "F#m", "C#m", "G#m"]  # fmt: skip
"""Twenty-four keys as common practice prints them, no source."""

PAIRS = tuple(product((Axis.SKILL, Axis.KEY, Axis.FAMILY), Axis))


def slowly(coverage: Coverage, rows: Axis, columns: Axis) -> Counter[tuple[object, object]]:
    """The whole grid by brute force."""
    found: Counter[tuple[object, object]] = Counter()
    for one in coverage.lessons:
        for block in one.lesson.blocks:
            if isinstance(block, Drill):
                found.update(slowly_cells(block.family, one.lesson.setting, rows, columns))
    return found


@settings(deadline=None, max_examples=15)
@given(some.integers(0, 10_000), some.sampled_from(PAIRS))
def test_the_coverage_of_a_term_is_a_brute_force_count(number: int, axes: tuple[Axis, Axis]) -> None:
    """A grid that showed one drill too few would send a teacher looking for a gap that is none."""
    term, lessons = random_term(number)
    coverage = coverage_of_term(term, lessons)
    assert dict(coverage.counts(*axes)) == dict(slowly(coverage, *axes))
    placed = [one for _, one in term.placements]
    assert [one.lesson for one in coverage.lessons] == [issued(lessons[one.lesson], one) for one in placed]


@pytest.mark.whole
@settings(deadline=None, max_examples=40)
@given(some.integers(0, 1_000_000))
def test_every_grid_of_a_term_is_a_brute_force_count(number: int) -> None:
    """As above, every grid of many terms."""
    term, lessons = random_term(number)
    coverage = coverage_of_term(term, lessons)
    for axes in PAIRS:
        assert dict(coverage.counts(*axes)) == dict(slowly(coverage, *axes))


@settings(deadline=None, max_examples=15)
@given(some.integers(0, 10_000))
def test_an_edited_lesson_is_counted_as_if_it_had_always_been_so(number: int) -> None:
    """Counts that are carried over an edit must not drift from those made anew."""
    chance = random.Random(number)
    coverage = coverage_of((f"{place}.lesson", random_lesson(number + place)) for place in range(4))
    for axes in PAIRS:
        coverage.counts(*axes)
    for _ in range(4):
        at = chance.randrange(4)
        lesson = coverage.lessons[at].lesson
        change = chance.randrange(4)
        if change == 0:
            lesson = edits.insert_block(lesson, 0, Drill(random_drill(chance)))
        elif change == 1 and lesson.blocks:
            lesson = edits.delete_blocks(lesson, (chance.choice(lesson.blocks).id,))
        elif change == 2:
            lesson = edits.set_key(lesson, Key.parse(chance.choice(PRINTED)))
        else:
            lesson = edits.set_title(lesson, "Another title")
        coverage = with_lesson(coverage, at, lesson)
    fresh = coverage_of((one.name, one.lesson) for one in coverage.lessons)
    for axes in PAIRS:
        assert dict(coverage.counts(*axes)) == dict(fresh.counts(*axes))


def test_an_edit_counts_one_block_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A shelf of a thousand lessons has to show an edit at once."""
    lessons = [(f"{number}.lesson", random_lesson(number)) for number in range(20)]
    coverage = coverage_of(lessons)
    asked: list[DrillFamily] = []

    def watched(drill: DrillFamily, setting: Setting) -> seen.BlockCount:
        asked.append(drill)
        return counted(drill, setting)

    monkeypatch.setattr("lessonkit.curriculum.coverage.counted", watched)
    new = Drill(family("broken-chords")(), "new")
    with_lesson(coverage, 7, edits.insert_block(coverage.lessons[7].lesson, 0, new))
    assert asked == [new.family]


def test_the_first_and_the_last_place_of_a_cell_are_those_in_the_order_of_teaching() -> None:
    """First seen and last seen are what a teacher reads off the grid before anything else."""
    drill = family("broken-chords").from_settings({"key": "Db"})
    lessons = [Lesson(blocks=(Drill(drill, "a"),)), Lesson(), Lesson(blocks=(Drill(drill, "b"), Drill(drill, "c")))]
    coverage = Coverage(tuple(taught(f"{place}", lesson, place + 1) for place, lesson in enumerate(lessons)))
    cell = (Skill.parse("broken-chords:positions"), Key.parse("Db"))
    span = coverage.spans(Axis.SKILL, Axis.KEY)[cell]
    assert (span.drills, span.first.week, span.first.block_id, span.last.block_id) == (3, 1, "a", "c")
    assert [place.block_id for place in coverage.places(Axis.SKILL, Axis.KEY, cell)] == ["a", "b", "c"]


def test_what_is_missing_is_what_no_drill_has() -> None:
    """A teacher who never wrote a drill in G♭ has to be told."""
    drill = Drill(family("broken-chords").from_settings({"key_count": 11}), "a")
    coverage = coverage_of([("a", Lesson(key=Key.parse("C"), blocks=(drill,)))])
    assert coverage.missing(Axis.KEY, TWELVE_MAJOR) == (Key.parse("F"),)
    skill = Skill.parse("broken-chords:positions")
    assert coverage.gaps(Axis.SKILL, Axis.KEY, TWELVE_MAJOR) == ((skill, Key.parse("F")),)


def test_keys_that_sound_alike_are_one_key() -> None:
    """A drill in C♯ major fills the cell of D♭ major: the keyboard knows no difference."""
    setting = Setting(Key.parse("C#"))
    assert {one.key for one in counted(family("broken-chords")(), setting).seen} == {Key.parse("Db")}


def test_a_drill_that_cannot_be_written_covers_nothing_and_is_told() -> None:
    """It must not count, and not be lost from sight."""
    drill = family("broken-chords").from_settings({"lowest": "C8", "octaves": 4})
    coverage = coverage_of([("a", Lesson(blocks=(Drill(drill, "high"),)))])
    assert not coverage.counts(Axis.SKILL, Axis.KEY)
    assert [place.block_id for place in unwritten(coverage)] == ["high"]


def test_every_axis_can_be_counted_named_and_ordered() -> None:
    """Three tables that have to be whole."""
    assert set(OF) == set(WORDS) == set(ORDER) == set(Axis)
    coverage = coverage_of([("a", random_lesson(3)), ("b", random_lesson(4))])
    for axis in Axis:
        assert all(WORDS[axis](value) for value in coverage.values(axis))


@pytest.mark.parametrize("text", ["broken-chords", "broken-chords:singing", ":line", ""])
def test_what_is_no_skill_is_refused(text: str) -> None:
    """Skills stand in curriculum files that people edit."""
    with pytest.raises(ValueError, match="is not a skill"):
        Skill.parse(text)


def test_rests_and_prose_cover_nothing() -> None:
    """Only what sounds is counted."""
    lesson = Lesson(blocks=(Note("In {key}.", "n"), Space(20, "s")))
    assert not coverage_of([("a", lesson)]).counts(Axis.SKILL, Axis.KEY)
    rest = Event(Hand.LEFT, Fraction(0), Fraction(1), ())
    assert not rest.pitches
