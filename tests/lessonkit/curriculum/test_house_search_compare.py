"""House style, finding drills by words, comparing two lessons."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as some

from lessonkit.curriculum.comparing import compared
from lessonkit.curriculum.house import POINTS, Binding, HouseStyle, deviations, house_of, mended
from lessonkit.curriculum.search import by_difficulty, read_query, search
from lessonkit.curriculum.seen import Reading
from lessonkit.drills.choices import Faces
from lessonkit.drills.exercise import FingersShown, Hand
from lessonkit.drills.family import families, family
from lessonkit.hands.difficulty import Band
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson import edits
from lessonkit.lesson.lesson import Drill, House, Lesson, Note, Paper
from lessonkit.lesson.letterhead import Letterhead
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.quality import ALL_QUALITIES
from tests.lessonkit.curriculum.course import course
from tests.lessonkit.lesson.test_letterhead import picture

OTHER = Lesson(
    "Another",
    author="Somebody",
    paper=Paper.LETTER,
    house=House(
        LabelStyle(half_diminished="ø7"), False, True, HandProfile(keep_thumb_off_black=3), True,
        caution="Mind your back.", fingers=FingersShown.NONE, staff_tenths=90,
        letterhead=Letterhead(picture("PNG")),
    ),
    blocks=(Drill(replace(family("broken-chords")(), faces=Faces.SIGNS), "d"), Note("Words.", "n")),
)  # fmt: skip
MODEL = Lesson(author="Lantern Street Piano Room")


def test_every_point_of_the_house_style_is_found_and_mended_in_one_edit() -> None:
    """One step back undoes it, and nothing else is touched."""
    style = house_of(MODEL)
    assert {one.point for one in deviations(OTHER, style)} == set(POINTS)
    after = mended(OTHER, style)
    assert deviations(after, style) == ()
    assert (after.title, after.key, len(after.blocks)) == (OTHER.title, OTHER.key, len(OTHER.blocks))
    assert after.house.shows_difficulty == OTHER.house.shows_difficulty
    assert mended(after, style) == after


def test_what_is_locked_comes_first_and_can_be_mended_alone() -> None:
    """A studio locks chord names and only advises paper."""
    style = house_of(MODEL).bound("label_style", Binding.LOCKED).bound("paper", Binding.FREE)
    found = deviations(OTHER, style)
    assert found[0].point == "label_style"
    assert "has to be" in str(found[0])
    assert "paper" not in {one.point for one in found}
    after = mended(OTHER, style, only_locked=True)
    assert after.house.label_style == MODEL.house.label_style
    assert after.author == OTHER.author


def test_the_hands_of_the_player_are_not_the_studios() -> None:
    """Strengths are agreed on, spans are the student's."""
    small = replace(OTHER, house=replace(OTHER.house, hands=HandProfile(180, 180, 3)))
    assert mended(small, house_of(MODEL)).house.hands.right_span == 180


def test_a_point_that_is_none_is_refused() -> None:
    """With those there are."""
    with pytest.raises(ValueError, match="no point of a house style"):
        HouseStyle(bindings=(("colour", Binding.LOCKED),))


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("all drills on m7♭5 in the left hand", "chords: m7b5; hands: left"),
        ("half-diminished, left", "chords: m7b5; hands: left"),
        ("Cm7b5", "chords: m7b5"),
        ("ø7", "chords: m7b5"),
        ("hard stride in Db", "keys: D♭ major; drills: Stride; difficulty: hard"),
        ("broken chords in E♭ major or F# minor", "keys: E♭ major, F♯ minor; drills: Broken chords"),
        ("a broken chord in C#m", "keys: C♯ minor; drills: Broken chords"),
        ("very hard", "difficulty: very hard"),
        ("minor triads, chord symbols", "chords: m; reading: chord symbols"),
        ("sleeping cat", "words: “sleeping”, “cat”"),
        ("", "everything"),
    ],
)
def test_plain_words_are_understood(words: str, told: str) -> None:
    """What was understood is said back."""
    assert read_query(words).told == told


@pytest.mark.parametrize("quality", ALL_QUALITIES, ids=lambda one: one.key)
def test_every_kind_of_chord_can_be_asked_for_by_its_name(quality: object) -> None:
    """In full, with ``chord`` behind it."""
    assert read_query(f"{quality.words} chord").qualities == {quality.key}  # type: ignore[attr-defined]


def test_every_family_can_be_asked_for_by_its_title() -> None:
    """As it stands in the list of drills."""
    for code, one in families().items():
        assert read_query(one.title).families == {code}, one.title


@given(some.text(max_size=80))
def test_any_text_is_a_query(text: str) -> None:
    """Whoever types gets an answer, never a sentence about syntax."""
    assert read_query(text).told


def test_what_is_found_is_what_the_drills_contain() -> None:
    """Every drill that has a half-diminished chord in the left hand, and no other."""
    _, _, coverage = course()
    found = {(one.place.lesson, one.place.block_id) for one in search(coverage, read_query("m7b5 left hand"))}
    expected = {
        (taught.name, block_id)
        for taught in coverage.lessons
        for block_id, count in taught.blocks
        if any(seen.hand is Hand.LEFT and seen.quality == "m7b5" for seen in count.seen)
    }
    assert found == expected != set()


def test_what_is_found_can_be_sorted_and_narrowed_by_difficulty() -> None:
    """From easy to hard."""
    _, _, coverage = course()
    found = by_difficulty(search(coverage, read_query("")))
    assert [one.score for one in found] == sorted(one.score for one in found)
    assert {one.band for one in search(coverage, read_query("easy"))} == {Band.EASY}


def test_words_are_looked_for_in_the_lesson_and_what_is_read_in_the_notes() -> None:
    """A teacher remembers a sleeping cat."""
    _, _, coverage = course()
    assert {one.place.lesson for one in search(coverage, read_query("sleeping cat"))} == {"twelve_bars.lesson"}
    for one in search(coverage, read_query("chord symbols")):
        [taught] = [lesson for lesson in coverage.lessons if lesson.name == one.place.lesson]
        assert {seen.reading for seen in dict(taught.blocks)[one.place.block_id].seen} == {Reading.SYMBOLS}


def test_equal_lessons_compare_alike_whatever_their_ids() -> None:
    """A copy is the same lesson."""
    _, lessons, _ = course()
    lesson = lessons["twelve_bars.lesson"]
    copy = replace(lesson, blocks=edits.with_new_ids(lesson.blocks))
    assert not compared(lesson, copy)


def test_what_differs_between_two_lessons_is_told_in_words() -> None:
    """Head, blocks, what is covered, how hard."""
    drill = Drill(family("broken-chords").from_settings({"quality": "maj7"}), "d")
    first = Lesson("One", blocks=(Note("Play {Imaj7}.", "n"), drill))
    quick = Drill(drill.family.with_value("note_length", Fraction(1, 16)).with_text("hands", "left"), "d")
    second = replace(first, title="Two", key=Key.parse("B"), blocks=(quick, Note("New.", "x")))
    found = compared(first, second)
    assert found.head[0] == "title: “Two”, and was “One”"
    assert any(line.startswith("put in: the note “New.”") for line in found.blocks)
    assert "keys only in the second: B major" in found.covered
    assert "hands only in the first: right hand" in found.covered
    assert any(line.startswith("for the left hand the second is harder") for line in found.hardness)
