"""Terms: dates follow from the start, the holidays and the order of the weeks; every edit makes a new term."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as some

from lessonkit.curriculum import term_edits
from lessonkit.curriculum.issue import dealt, improved_since, issued, mark_of
from lessonkit.curriculum.term import Group, Holiday, Placement, Term, Week
from lessonkit.curriculum.term_edits import TEMPLATES, blank_term, from_template, re_issued
from lessonkit.drills.family import family
from lessonkit.drills.realise import realise
from lessonkit.lesson import edits
from lessonkit.lesson.lesson import Drill, Lesson, Note
from lessonkit.theory.key import Key
from tests.lessonkit.curriculum.shelf import random_lesson, random_term

WEDNESDAY = date(2026, 9, 9)
HALF_TERM = Holiday("Half term", date(2026, 9, 14), date(2026, 9, 18))


def days(term: Term) -> list[date]:
    return [dated.day for dated in term.dated]


def test_a_holiday_moves_every_week_behind_it() -> None:
    """Half-term must not be forgotten, and whoever enters it must not have to date the rest anew."""
    term = blank_term("Autumn", WEDNESDAY, 3)
    assert days(term) == [date(2026, 9, 9), date(2026, 9, 16), date(2026, 9, 23)]
    term = term_edits.add_holiday(term, HALF_TERM)
    assert days(term) == [date(2026, 9, 9), date(2026, 9, 23), date(2026, 9, 30)]
    assert days(term_edits.remove_holiday(term, HALF_TERM)) == [date(2026, 9, 9), date(2026, 9, 16), date(2026, 9, 23)]


def test_a_week_that_moves_takes_its_lessons_and_leaves_the_dates() -> None:
    """Moving a week re-dates the handouts of every week between."""
    weeks = tuple(Week((Placement(f"{name}.lesson", id=name),), id=f"w-{name}") for name in "abc")
    term = term_edits.move_week(Term(starts=WEDNESDAY, weekday=2, weeks=weeks), "w-c", 0)
    told = {placed.lesson: dated.day for dated in term.dated for placed in dated.week.lessons}
    assert told == {
        "c.lesson": date(2026, 9, 9),
        "a.lesson": date(2026, 9, 16),
        "b.lesson": date(2026, 9, 23),
    }


@given(
    some.dates(date(2020, 1, 1), date(2030, 1, 1)),
    some.integers(0, 6),
    some.integers(1, 15),
    some.lists(some.tuples(some.integers(0, 120), some.integers(0, 20)), max_size=5),
)
def test_weeks_are_in_order_on_their_day_and_never_in_a_holiday(
    starts: date, weekday: int, count: int, free: list[tuple[int, int]]
) -> None:
    """Whatever the calendar: one lesson day a week, later each time, none on a free day, none left out that is free."""
    holidays = tuple(
        Holiday(f"h{place}", starts + timedelta(first), starts + timedelta(first + length))
        for place, (first, length) in enumerate(free)
    )
    term = Term(starts=starts, weekday=weekday, holidays=holidays, weeks=tuple(Week() for _ in range(count)))
    found = days(term)
    assert len(found) == count
    assert all(day.weekday() == weekday for day in found)
    assert not any(holiday.holds(day) for holiday in holidays for day in found)
    monday = starts - timedelta(starts.weekday())
    expected, day = [], monday + timedelta(weekday)
    while len(expected) < count:
        if not any(holiday.holds(day) for holiday in holidays):
            expected.append(day)
        day += timedelta(7)
    assert found == expected


def test_a_group_can_come_on_another_day() -> None:
    """Children on Saturday, adults in the week."""
    term = Term(starts=WEDNESDAY, weekday=2, weeks=(Week(),), groups=(Group("Lanterns", ("A", "B"), 5),))
    [dated] = term.dated
    assert term.day_for(dated, "Lanterns") == date(2026, 9, 12)
    assert term.day_for(dated) == date(2026, 9, 9)


def test_who_gets_a_lesson() -> None:
    """Everybody unless somebody is named; each once."""
    term = Term(groups=(Group("Duo", ("A", "B")),), students=("B", "C"))
    assert term.codes_of(Placement("a.lesson")) == ("A", "B", "C")
    assert term.codes_of(Placement("a.lesson", ("Duo",), ("C",))) == ("A", "B", "C")
    assert term.codes_of(Placement("a.lesson", (), ("C",))) == ("C",)


def test_last_years_term_gets_new_dates_new_ids_and_new_deals() -> None:
    """Nothing of last year may stay on a handout but what was taught."""
    old, _ = random_term(5)
    new = re_issued(old, "Next year", date(2027, 9, 6))
    assert [[placed.lesson for placed in week.lessons] for week in new.weeks] == [
        [placed.lesson for placed in week.lessons] for week in old.weeks
    ]
    assert new.came_from == old.title
    assert days(new)[0] == date(2027, 9, 6)
    ids = {placed.id for _, placed in old.placements}
    assert not ids & {placed.id for _, placed in new.placements}
    highest = max(placed.seed for _, placed in old.placements)
    assert {placed.seed for _, placed in new.placements} == {highest + 1}


def test_a_lesson_dealt_by_the_same_number_is_the_same_and_by_another_is_not() -> None:
    """Re-issue with the same number is identical; with another, chance deals other keys."""
    drill = family("progression-through-keys").from_settings({"order": "shuffled", "count": 6, "seed": 3})
    lesson = Lesson(blocks=(Drill(drill, "a"), Note("In {key}.", "n"), Drill(family("broken-chords")(), "b")))
    assert dealt(lesson, 0) is lesson
    assert dealt(lesson, 2) == dealt(lesson, 2)
    first, second = dealt(lesson, 1).blocks[0], dealt(lesson, 2).blocks[0]
    assert isinstance(first, Drill)
    assert isinstance(second, Drill)
    keys = [[bar.key for bar in realise(one.family, lesson.setting).bars if bar.key] for one in (first, second)]
    assert keys[0] != keys[1]
    assert dealt(lesson, 1).blocks[1] == lesson.blocks[1]


def test_a_week_can_hand_a_lesson_out_in_another_key() -> None:
    """The file stays as it is."""
    lesson = random_lesson(1)
    assert issued(lesson, Placement("a.lesson", key=Key.parse("B"))).key == Key.parse("B")
    assert issued(lesson, Placement("a.lesson")) == lesson


def test_what_was_improved_since_it_was_given_is_told() -> None:
    """A file that was copied last year has lost the improvements; a mark finds them."""
    lesson = random_lesson(2)
    placed = Placement("a.lesson", given=mark_of(lesson), id="p")
    term = re_issued(Term(weeks=(Week((placed,)),)), "Next", date(2027, 9, 6))
    assert improved_since(term, {"a.lesson": lesson}) == ()
    assert improved_since(term, {"a.lesson": edits.set_author(lesson, "Somebody else")}) == ()
    better = edits.insert_block(lesson, 0, Note("New words."))
    assert "changed" in str(improved_since(term, {"a.lesson": better})[0])


def test_a_mark_is_the_same_for_the_same_lesson_and_not_for_another() -> None:
    """Ids and authors do not count, everything that a student sees does."""
    lesson = random_lesson(4)
    renamed = edits.insert_blocks(Lesson(key=lesson.key, title=lesson.title), 0, edits.with_new_ids(lesson.blocks))
    assert mark_of(renamed) == mark_of(lesson)
    assert mark_of(edits.set_tempo(lesson, lesson.tempo + 1)) != mark_of(lesson)


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda one: one.name)
def test_a_template_places_every_lesson_once_in_order(template: term_edits.Template) -> None:
    """However the weeks are spread."""
    names = [f"{number}.lesson" for number in range(7)]
    term = from_template(template, "Autumn", WEDNESDAY, names)
    assert [placed.lesson for _, placed in term.placements] == names


def test_a_lesson_dragged_to_a_week_is_there_once() -> None:
    """The calendar's drag and drop."""
    weeks = tuple(Week((Placement(f"{name}.lesson", id=name),), id=f"w-{name}") for name in "abc")
    term = term_edits.move_lesson(Term(weeks=weeks), "a", "w-c", 0)
    assert [[placed.id for placed in week.lessons] for week in term.weeks] == [[], ["b"], ["a", "c"]]
    assert term_edits.move_lesson(term, "a", "w-c") == term_edits.move_lesson(term, "a", "w-c", 1)


@pytest.mark.parametrize(
    "name", ["../a.lesson", "/a.lesson", "a.pdf", "", "a//b.lesson", "a\\b.lesson", "C:/a.lesson", "a\n.lesson"]
)
def test_a_term_names_only_lessons_beside_it(name: str) -> None:
    """A term from somebody else must not reach into other folders."""
    with pytest.raises(ValueError, match="is not a lesson beside the term"):
        Placement(name)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: Holiday("H", date(2026, 2, 2), date(2026, 2, 1)), "before it begins"),
        (lambda: Group("", ()), "a group's name"),
        (lambda: Group("A", ("x", "x")), "twice"),
        (lambda: Term(weekday=7), "day of the week"),
        (lambda: Term(weeks=(Week(id="a"), Week(id="a"))), "share one id"),
        (lambda: Term(starts=date(1066, 1, 1)), "not between"),
        (lambda: term_edits.attach(Term(weeks=(Week((Placement("a.lesson", id="a"),)),)), "a", ["Duo"]), "no group"),
        (lambda: term_edits.remove_group(Term(groups=(Group("Duo"),),
                 weeks=(Week((Placement("a.lesson", ("Duo",)),)),)), "Duo"), "give it to others"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_with_a_sentence(wrong: object, said: str) -> None:
    """A wrong value cannot be built."""
    with pytest.raises(ValueError, match=said):
        wrong()  # type: ignore[operator]
