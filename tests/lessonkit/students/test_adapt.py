"""Adapting: only what has a reason, once and for all, within reach of the hand; random students and random lessons."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from lessonkit.drills.choices import ShownAs
from lessonkit.drills.exercise import Roll
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.left_hand_tenths import LeftHandTenths, Touch
from lessonkit.drills.families.progression_through_keys import ProgressionThroughKeys
from lessonkit.drills.families.reharmonisation_steps import ReharmonisationSteps
from lessonkit.drills.family import DrillFamily, Hands, families
from lessonkit.drills.in_letters import in_letters
from lessonkit.drills.key_deck import Order
from lessonkit.drills.params import Choice
from lessonkit.drills.reach_marks import reach_marks
from lessonkit.drills.realise import realise
from lessonkit.hands.profile import HandProfile
from lessonkit.hands.reach import Ease, reach_of_chord
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note, Paper
from lessonkit.students.adapt import adapt, with_choice
from lessonkit.students.adapted import Kind
from lessonkit.students.item import Item
from lessonkit.students.items_played import given_blocks
from lessonkit.students.marks import Cause, Mark
from lessonkit.students.student import AgeBand, ReadingLevel, Student
from lessonkit.theory.key import Key
from lessonkit.theory.quality import QUALITIES

DAY = date(2026, 3, 2)
EVERY_CHORD = frozenset(quality.key for quality in QUALITIES)
PLAIN = Student("A. B.", vocabulary=EVERY_CHORD)


def mark(item: str, rating: int, ago: int = 1, **more: Any) -> Mark:
    return Mark(DAY - timedelta(ago), (Item.parse(item),), rating, **more)


WEAK_IN_FLATS = replace(
    PLAIN,
    marks=(
        mark("broken-chords/Ab/right/maj7", 0), mark("broken-chords/Ab/right/maj7", 0, 3),
        mark("broken-chords/Db/right/maj7", 1), mark("broken-chords/Db/right/maj7", 0, 2),
        mark("broken-chords/C/right/maj7", 3), mark("broken-chords/C/right/maj7", 3, 5),
    ),
)  # fmt: skip


def lesson(*drills: Any, **more: Any) -> Lesson:
    blocks = [Drill(drill, f"d{number}") for number, drill in enumerate(drills)]
    return Lesson("A lesson", blocks=(Heading("One", id="h"), *blocks, Note("Words.", id="n")), **more)


def test_a_lesson_that_fits_is_left_alone() -> None:
    """No reason, no change."""
    one = lesson(BrokenChords(), ProgressionThroughKeys())
    found = adapt(one, PLAIN, DAY)
    assert found.changes == ()
    assert found.lesson == one


def test_keys_are_dealt_towards_the_weak_ones_with_a_strong_one_first() -> None:
    """Four keys, half of them weak; what was not asked for stays."""
    drill = ProgressionThroughKeys(count=4)
    found = adapt(lesson(drill), WEAK_IN_FLATS, DAY)
    changed = found.lesson.block("d0")
    assert isinstance(changed, Drill)
    assert [key.ascii for key in changed.family.keys] == ["C", "Ab", "Db", "G"]  # type: ignore[attr-defined]
    assert replace(changed.family, order=drill.order, keys=()) == drill  # type: ignore[call-arg]
    assert [change.kind for change in found.changes] == [Kind.KEYS]
    assert "A♭ major (2 marks, the newest 1 day old)" in found.changes[0].reason


def test_a_drill_through_all_keys_loses_none() -> None:
    """Weak keys come again in a half deck; no key is played three times as often as another."""
    found = adapt(lesson(ProgressionThroughKeys(count=12)), WEAK_IN_FLATS, DAY).lesson.block("d0")
    assert isinstance(found, Drill)
    keys = found.family.keys  # type: ignore[attr-defined]
    assert len(set(keys)) == 12
    assert [key.ascii for key in keys[12:]] == ["Ab", "Db"]
    assert keys[0] == Key.parse("C")


def test_solid_tenths_are_rolled_for_a_hand_of_201_mm() -> None:
    """A hand of 20.1 cm holds no tenth: 212 mm between the keys' middles (from the stated keyboard)."""
    student = replace(PLAIN, hands=HandProfile().with_span(201))
    found = adapt(lesson(LeftHandTenths(touch=Touch.SOLID)), student, DAY)
    reach = next(change for change in found.changes if change.kind is Kind.REACH)
    assert "this hand has 201" in reach.reason
    drill = found.lesson.block("d0")
    assert isinstance(drill, Drill)
    assert drill.family.touch is not Touch.SOLID  # type: ignore[attr-defined]
    kept = with_choice(found, student, reach.key, False)
    assert kept.lesson.block("d0") == found.original.block("d0")
    assert not kept.change(reach.key).is_applied


def test_a_ladder_begins_where_the_last_mark_says() -> None:
    """Stopped at 80: one mark of the metronome lower, 76."""
    student = replace(PLAIN, marks=(mark("broken-chords/C/right/maj7", 1, tempo=80, cause=Cause.TIME),))
    found = adapt(lesson(BrokenChords(), tempo=96), student, DAY).lesson.block("d0")
    assert isinstance(found, Drill)
    assert (found.family.ladder_steps, found.family.ladder_start, found.family.ladder_goal) == (5, 76, 96)


def test_unknown_chords_are_told_and_asked_about() -> None:
    """Nothing is replaced before the teacher says so; until then a line below says what is new."""
    student = replace(PLAIN, vocabulary=frozenset({"maj", "m", "maj7", "m7", "7", "dim"}))
    drill = ProgressionThroughKeys(count=1, progression=ProgressionThroughKeys().with_text(
        "progression", "Imaj7 | viim7b5 | Imaj7").progression)  # fmt: skip
    found = adapt(lesson(drill), student, DAY)
    asked = next(change for change in found.changes if change.is_question)
    assert not asked.is_applied
    assert "Bm7♭5" in asked.reason
    note = found.lesson.block("new-d0")
    assert isinstance(note, Note)
    assert "half-diminished" in note.text
    answered = with_choice(found, student, asked.key, True).lesson
    changed = answered.block("d0")
    assert isinstance(changed, Drill)
    assert "dim" in {mark.chord.quality.key for mark in realise(changed.family, answered.setting).chords}
    assert not any(block.id == "new-d0" for block in answered.blocks)


SHOWN_AS = {
    ReadingLevel.KEYBOARD: ShownAs.PICTURES, ReadingLevel.LETTERS: ShownAs.LETTERS,
    ReadingLevel.ONE_STAFF: ShownAs.LEFT_IN_LETTERS, ReadingLevel.EAR: ShownAs.EAR,
}  # fmt: skip


@pytest.mark.parametrize("level", ReadingLevel)
def test_every_reading_level_keeps_the_drill_and_its_notes(level: ReadingLevel) -> None:
    """Only what it is read from is another, so that it is heard, marked and brought to other keys as before."""
    one = lesson(ProgressionThroughKeys(count=1))
    found = adapt(one, replace(PLAIN, reading=level), DAY).lesson
    before = realise(ProgressionThroughKeys(count=1), one.setting)
    block = found.block("d0")
    assert isinstance(block, Drill)
    after = realise(block.family, found.setting)
    assert [event.pitches for event in after.events] == [event.pitches for event in before.events]
    assert block.family.shown_as is SHOWN_AS.get(level, ShownAs.STAVES)
    assert given_blocks(found) == given_blocks(one)


def test_letters_name_the_very_notes() -> None:
    """Every note of every hand, and no other."""
    exercise = realise(ProgressionThroughKeys(count=1), lesson().setting)
    listed = in_letters(exercise, exercise.hands)
    words = {word for line in listed.split("\n") for word in line.split(": ")[-1].replace("+", " ").replace(
        ",", " ").replace("|", " ").split()}  # fmt: skip
    assert words == {str(pitch.name) for event in exercise.events for pitch in event.pitches}


def test_pain_gives_stretches_a_rest_until_it_is_cleared() -> None:
    """A tick for pain overrides the plan."""
    hurt = replace(PLAIN, marks=(mark("left-hand-tenths/C/left", 1, cause=Cause.PAIN),))
    one = lesson(LeftHandTenths(touch=Touch.SOLID), BrokenChords())
    found = adapt(one, hurt, DAY)
    assert isinstance(found.lesson.block("d0"), Note)
    assert found.lesson.block("d1") == one.block("d1")
    assert Kind.PAIN not in {change.kind for change in adapt(one, replace(hurt, pain_cleared=DAY), DAY).changes}


def test_a_drill_that_stays_in_one_key_for_several_sections_is_not_dealt() -> None:
    """Its sections are no keys of their own."""
    steps = ReharmonisationSteps.from_settings({"progression": "Imaj7 | Imaj7 | V7 | Imaj7"})
    keys = {change.kind for change in adapt(lesson(steps), WEAK_IN_FLATS, DAY).changes}
    assert Kind.KEYS not in keys


def test_a_drill_that_comes_to_strain_by_its_keys_rests_at_once() -> None:
    """Adapting twice changes nothing more, after a tick for pain neither."""
    hurt = replace(WEAK_IN_FLATS, marks=(*WEAK_IN_FLATS.marks, mark("broken-chords/F", 0, 0, cause=Cause.PAIN)))
    for kind in families().values():
        found = adapt(lesson(drill_through_keys(kind)), hurt, DAY)
        assert adapt(found.lesson, hurt, DAY).lesson == found.lesson


def drill_through_keys(kind: Any) -> Any:
    """A drill carried through four keys, where its family can be."""
    return kind.from_settings({name: 4 for name in ("key_count", "count") if name in kind.declared()})


def test_what_was_the_trouble_steers_the_next_sheet() -> None:
    """Reading brings letters, the hand and the ear a question to the teacher; nothing else is touched."""

    def changes(cause: Cause, hands: Hands = Hands.RIGHT) -> dict[Kind, bool]:
        one = lesson(BrokenChords(hands=hands, key=Key.parse("Ab")))
        student = replace(PLAIN, marks=(mark("broken-chords/Ab/right/maj7", 1, cause=cause),))
        return {change.kind: change.is_question for change in adapt(one, student, DAY).changes}

    assert changes(Cause.READING, Hands.BOTH) == {Kind.READING: False}
    assert changes(Cause.HAND) == {Kind.EASIER: True}
    assert changes(Cause.EAR) == {Kind.EASIER: True}
    assert changes(Cause.TIME) == {Kind.TEMPO: False}


def test_children_hold_no_octaves_whatever_their_hands() -> None:
    """Under twelve octaves are rolled or broken (by our own proposal of care)."""
    child = replace(PLAIN, age=AgeBand.NINE_TO_ELEVEN, hands=HandProfile().with_span(205))
    found = adapt(lesson(LeftHandTenths(touch=Touch.ROLLED), BrokenChords()), child, DAY)
    assert found.lesson.house.hands.right_span == 184
    assert "under twelve, no octaves are held" in found.changes[0].reason
    assert adapt(found.lesson, child, DAY).changes == ()


ITEMS = some.builds(
    Item, some.sampled_from(["broken-chords", "chord-jumps", "progression-through-keys"]),
    some.sampled_from([Key.parse(key) for key in ("C", "G", "D", "Ab", "Db", "F#", "B", "Am", "Ebm")]),
)  # fmt: skip
MARKS = some.builds(
    Mark, some.integers(0, 60).map(lambda ago: DAY - timedelta(ago)), some.tuples(ITEMS), some.integers(0, 3),
    cause=some.none() | some.sampled_from(Cause), tempo=some.none() | some.sampled_from((60, 80, 120)),
)  # fmt: skip
STUDENTS = some.builds(
    Student, some.just("A. B."), some.integers(125, 280).map(lambda span: HandProfile().with_span(span)),
    is_growing=some.booleans(), reading=some.sampled_from(ReadingLevel), paper=some.sampled_from(Paper),
    vocabulary=some.sampled_from([EVERY_CHORD, frozenset({"maj", "m"}), frozenset({"maj", "m", "7", "maj7", "m7"})]),
    staff_tenths=some.sampled_from((70, 80)), marks=some.lists(MARKS, max_size=6).map(tuple),
    weak_share=some.integers(0, 100),
)  # fmt: skip


@some.composite
def drills(draw: some.DrawFn) -> DrillFamily:
    """A drill of any family with up to two settings at an end of what is allowed; it may not go together."""
    drill = families()[draw(some.sampled_from(sorted(families())))]()
    for name in draw(some.lists(some.sampled_from(sorted(drill.declared())), max_size=2)):
        ends = drill.declared()[name].extremes()
        if ends:
            drill = drill.with_value(name, draw(some.sampled_from(ends)))
    return drill


LESSONS = some.builds(
    lambda drills, key, tempo: lesson(*drills, key=key, tempo=tempo),
    some.lists(drills() | some.builds(ProgressionThroughKeys, count=some.integers(1, 5)), min_size=1, max_size=2),
    some.sampled_from([Key.parse(key) for key in ("C", "Eb", "F#", "B")]), some.integers(50, 140),
)  # fmt: skip


MAY_CHANGE = {
    Kind.KEYS: {"key_order", "key_list", "order", "keys"},
    Kind.TEMPO: {"ladder_steps", "ladder_start", "ladder_goal"},
    Kind.READING: {"worksheet", "shows_chord_names", "shows_degrees", "fingers_shown", "shown_as"},
}
"""Which settings a change of a kind may touch; for reach these are inversion, fifth and the choices of how."""


def assert_only_that_changed(before: Block, after: Block, kinds: set[Kind]) -> None:
    """A reason for one thing is no reason for another."""
    if not isinstance(before, Drill) or not isinstance(after, Drill):
        return
    old, new = before.family.settings(), after.family.settings()
    changed = {name for name, value in new.items() if value != old[name]}
    allowed = set().union(*(MAY_CHANGE.get(kind, set()) for kind in kinds))
    if Kind.REACH in kinds:
        declared = after.family.declared()
        allowed |= {name for name, param in declared.items() if isinstance(param, Choice)} - {"hands", "key_order"}
        allowed |= {"inversion", "has_fifth"}
    assert changed <= allowed


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(LESSONS, STUDENTS)
def test_any_lesson_for_any_student(one: Lesson, student: Student) -> None:
    """What has no change is untouched, twice is once, and the hand reaches everything."""
    found = adapt(one, student, DAY)
    touched = {change.block_id for change in found.changes if change.is_applied}
    for block in one.blocks:
        if block.id not in touched:
            assert found.lesson.block(block.id) is block
        else:
            kinds = {change.kind for change in found.changes if change.block_id == block.id and change.is_applied}
            assert_only_that_changed(block, found.lesson.block(block.id), kinds)
    new = {block.id for block in found.lesson.blocks} - {block.id for block in one.blocks}
    assert all(name == "care" or name.split("-", 1)[1] in touched for name in new)
    again = adapt(found.lesson, student, DAY)
    assert again.lesson == found.lesson
    assert [change for change in again.changes if change.is_applied] == []
    for block in found.lesson.blocks:
        if isinstance(block, Drill):
            try:
                exercise = realise(block.family, found.lesson.setting)
            except ValueError:
                continue
            assert reach_marks(block.family, found.lesson.setting) == ()
            for event in exercise.events:
                if len(event.pitches) > 1 and event.roll is Roll.NONE:
                    reach = reach_of_chord(event.pitches, event.hand, found.lesson.house.hands)
                    assert reach.ease in (Ease.COMFORTABLE, Ease.PLAYABLE)
    assert found.original is one
    assert (one.key, one.tempo, one.title) == (found.lesson.key, found.lesson.tempo, found.lesson.title)


def test_keys_listed_in_a_family_with_a_deck_of_its_own() -> None:
    """Families that are carried through keys list them under another name."""
    found = adapt(lesson(BrokenChords(key_count=4)), WEAK_IN_FLATS, DAY).lesson.block("d0")
    assert isinstance(found, Drill)
    assert found.family.key_order is Order.CHOSEN
    assert [key.ascii for key in found.family.key_list] == ["C", "Ab", "Db", "G"]
