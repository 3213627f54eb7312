"""What a plan is judged by: what comes too early, where it jumps, what would fill a gap, what a level asks for."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from lessonkit.curriculum.assessment import assessment, drawn_tasks
from lessonkit.curriculum.coverage import TWELVE_MAJOR, Coverage, coverage_of, taught, with_lesson
from lessonkit.curriculum.hardness import JUMP, hardest_by_week, height, jumps, step
from lessonkit.curriculum.introduced import named_in, too_early
from lessonkit.curriculum.levels import Curriculum, Level, Requirement, loop_in, measured
from lessonkit.curriculum.pictures import hardness_chart, order_picture
from lessonkit.curriculum.proposals import Fits, fill
from lessonkit.curriculum.seen import Axis, Skill, counted
from lessonkit.drills.difficulty import by_hand, difficulty
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import DrillFamily, family
from lessonkit.drills.passages import Kind
from lessonkit.drills.setting import Setting
from lessonkit.hands.difficulty import BAND_LIMITS
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note
from lessonkit.theory.key import Key
from tests.lessonkit.curriculum.course import course
from tests.lessonkit.curriculum.shelf import random_lesson

POSITIONS = Skill.parse("broken-chords:positions")
JUMPS = Skill.parse("chord-jumps:chords")


def made(code: str, **settings: object) -> DrillFamily:
    return family(code).from_settings(settings)  # type: ignore[arg-type]


def in_weeks(*lessons: tuple[Block, ...]) -> Coverage:
    return Coverage(tuple(taught(f"{n}.lesson", Lesson(blocks=one), n) for n, one in enumerate(lessons, 1)))


NAMED = Note("Take {Imaj7}.", "n")
ON_MAJOR_SEVENTH = Drill(made("broken-chords", quality="maj7"), "d")


def test_a_skill_without_a_word_above_it_is_told() -> None:
    """A drill that nobody has explained is the commonest hole in a lesson."""
    assert too_early(in_weeks((NAMED, ON_MAJOR_SEVENTH))) == ()
    [problem] = [
        one for one in too_early(in_weeks((Heading("Shapes", 1, "h"), ON_MAJOR_SEVENTH))) if "words" in one.needs
    ]
    assert problem.what.startswith("Broken chords")
    assert (problem.place.week, problem.place.block_id) == (1, "d")
    later = Drill(made("broken-chords", key="Eb"), "e")
    assert not [one for one in too_early(in_weeks((NAMED, ON_MAJOR_SEVENTH, later))) if "words" in one.needs]


def test_a_chord_that_nothing_has_named_is_told_until_something_does() -> None:
    """A half-diminished chord in a progression before anybody has heard of one."""
    progression = Drill(made("progression-through-keys", progression="iim7b5 | V7 | Imaj7", count=1), "p")
    plain = Note("Now in a row.", "w")
    found = [one.what for one in too_early(in_weeks((plain, progression)))]
    assert "the half-diminished seventh chord" in found
    for naming in ("Here is {iim7b5}.", "{notes viiø7} leans.", "A half-diminished chord leans.", "See {chord Bm7b5}."):
        found = [one.what for one in too_early(in_weeks((Note(naming, "n"),), (plain, progression)))]
        assert "the half-diminished seventh chord" not in found
    dwelt = Drill(made("broken-chords", quality="m7b5"), "d")
    found = [one.what for one in too_early(in_weeks((plain, dwelt), (Note("On.", "o"), progression)))]
    assert "the half-diminished seventh chord" not in found


def test_an_interval_or_a_key_names_no_chord() -> None:
    """“A major seventh up” and “in C major” say nothing of chords."""
    key = Key.parse("C")
    assert named_in("from 1 up to 7 is a major seventh, in C major", key) == frozenset()
    assert named_in("a major seventh chord", key) == {"maj7"}
    assert named_in("{Imaj7}, {notes vim7} and {tempo}", key) == {"maj7", "m7"}


def test_a_skill_before_one_that_should_come_first_is_told() -> None:
    """The arrows of a curriculum are kept."""
    jump = Drill(made("chord-jumps", quality="maj7"), "j")
    before = {JUMPS: (POSITIONS,)}
    assert [one.what for one in too_early(in_weeks((NAMED, jump)), before)] == [JUMPS.words]
    assert too_early(in_weeks((NAMED, ON_MAJOR_SEVENTH), (NAMED, jump)), before) == ()


@pytest.mark.parametrize("key", ["C", "Db", "B"])
@pytest.mark.parametrize("code", ["broken-chords", "stride", "progression-through-keys", "own-lick"])
def test_a_drill_is_as_hard_as_for_the_hand_it_is_harder_for(code: str, key: str) -> None:
    """What is shown hand by hand must agree with the one number that is shown elsewhere."""
    setting = Setting(Key.parse(key))
    drill = family(code)()
    hands = by_hand(drill, setting)
    assert max(one.score for one in hands.values()) == difficulty(drill, setting).score
    for hand in hands:
        assert any(seen.hand is hand for seen in counted(drill, setting).seen)


def test_a_week_that_is_much_harder_is_a_jump_and_a_slow_climb_is_none() -> None:
    """A teacher sees where the course falls down a step."""
    easy = Drill(made("broken-chords", size="triad", note_length="1/4"), "a")
    hard = Drill(made("arpeggio-run", quality="maj7", octaves=4, note_length="1/16", lowest="C2", key="Gb"), "b")
    weeks = hardest_by_week(in_weeks((easy,), (easy,), (hard,)))
    [jump] = jumps(weeks)
    assert (jump.week, jump.hand) == (3, Hand.RIGHT)
    assert jump.hardest.score >= JUMP * jump.before
    assert step(jump.hardest.score) > step(jump.before)
    assert jumps(hardest_by_week(in_weeks((hard,), (easy,), (hard,)))) == ()


def test_the_steps_of_the_chart_are_equally_high() -> None:
    """The limits of the steps are its lines."""
    assert [height(limit) for limit, _ in BAND_LIMITS] == [1, 2, 3]
    assert height(0) == 0
    assert height(1000) == 4


def test_the_chart_has_a_dot_for_each_hand_and_week_and_marks_every_jump() -> None:
    """What is drawn is what was measured."""
    _, _, coverage = course()
    weeks = hardest_by_week(coverage)
    chart = hardness_chart(weeks)
    dots = {mark.name for mark in chart.marks if mark.kind == "week dot"}
    assert dots == {f"{hand.value}.{week}" for week, hands in weeks.items() for hand in hands}
    assert len([mark for mark in chart.marks if mark.kind == "jump"]) == len(jumps(weeks))
    for mark in chart.marks:
        assert mark.box.left >= 0
        assert mark.box.right <= chart.width


@settings(deadline=None, max_examples=12)
@given(some.integers(0, 10_000), some.sampled_from([Axis.KEY, Axis.QUALITY, Axis.HAND]))
def test_what_is_proposed_for_a_gap_fills_it(number: int, columns: Axis) -> None:
    """Applied to its lesson, the cell is no longer empty, and it stands in a week in which the skill is known."""
    coverage = coverage_of((f"{place}.lesson", random_lesson(number + place)) for place in range(3))
    wanted = {Axis.KEY: TWELVE_MAJOR, Axis.QUALITY: ("maj7", "m7b5"), Axis.HAND: tuple(Hand)}[columns]
    gaps = coverage.gaps(Axis.SKILL, columns, wanted)
    for cell in gaps[:: max(1, len(gaps) // 3)]:
        proposal = fill(coverage, Axis.SKILL, columns, cell)
        if proposal is None:
            continue
        after = with_lesson(coverage, proposal.at, proposal.applied(coverage.lessons[proposal.at].lesson))
        assert after.counts(Axis.SKILL, columns)[cell] == 1
        first = coverage.spans(Axis.SKILL, Axis.SKILL)[cell[0], cell[0]].first
        names = [one.name for one in coverage.lessons]
        assert proposal.at >= names.index(first.lesson)


def test_a_gap_in_the_course_gets_a_drill_in_a_week_that_can_carry_it() -> None:
    """Nothing in it is harder for a hand than what was played up to that week."""
    _, _, coverage = course()
    proposal = fill(coverage, Axis.SKILL, Axis.KEY, (POSITIONS, Key.parse("B")))
    assert proposal is not None
    lesson = coverage.lessons[proposal.at].lesson
    weeks = hardest_by_week(Coverage(coverage.lessons[: proposal.at + 1]))
    for hand, one in by_hand(proposal.drill, lesson.setting).items():
        assert one.score <= max(hands[hand].score for hands in weeks.values() if hand in hands)
    assert "B major" in proposal.why


def test_what_is_proposed_comes_after_what_the_levels_put_before_it() -> None:
    """The right week is also one in which everything has come that should come first."""
    easy = Drill(made("broken-chords", quality="maj7", key="Gb"), "a")
    jump = Drill(made("chord-jumps", quality="maj7", key="C"), "b")
    coverage = in_weeks((NAMED, easy), (NAMED, replace(easy, id="c")), (NAMED, jump), (NAMED, replace(easy, id="e")))
    cell = (POSITIONS, Key.parse("C"))
    free = fill(coverage, Axis.SKILL, Axis.KEY, cell)
    assert free is not None
    levels = Curriculum(levels=(Level("Begin", (Requirement(POSITIONS),)),), before=((JUMPS, POSITIONS),))
    bound = fill(coverage, Axis.SKILL, Axis.KEY, cell, levels)
    assert bound is not None
    assert free.week < bound.week == 3
    assert "which Begin asks for" in bound.why
    never = Curriculum(before=((Skill.parse("stride:bass"), POSITIONS),))
    late = fill(coverage, Axis.SKILL, Axis.KEY, cell, never)
    assert late is not None
    assert (late.week, late.fits) == (4, Fits.TOO_EARLY)


def test_the_same_number_draws_the_same_and_another_student_draws_others() -> None:
    """A draw can be shown to have been one."""
    _, _, coverage = course()
    assert assessment(coverage, 17, "AB") == assessment(coverage, 17, "AB")
    drawn = {tuple(map(str, drawn_tasks(coverage, number))) for number in range(12)}
    assert len(drawn) > 9
    sheet = assessment(coverage, 17, "AB")
    assert any("**17**" in block.text and "AB" in block.text for block in sheet.blocks if isinstance(block, Note))
    assert assessment(coverage, 17, "AB").blocks != assessment(coverage, 17, "CK").blocks


@pytest.mark.parametrize("number", range(6))
def test_what_is_drawn_was_taught_and_is_what_the_drill_plays(number: int) -> None:
    """Skill and key come from the term, each family and each key once, and the printed drill is in that key alone."""
    _, _, coverage = course()
    tasks = drawn_tasks(coverage, number)
    assert len(tasks) == 4
    assert len({skill.family for skill, _ in tasks}) == len({key for _, key in tasks}) == 4
    sheet = assessment(coverage, number)
    drills = [block.family for block in sheet.blocks if isinstance(block, Drill)]
    for (skill, key), drill in zip(tasks, drills, strict=False):
        assert coverage.counts(Axis.SKILL, Axis.KEY)[skill, key] > 0
        assert {seen.key for seen in counted(drill, sheet.setting).seen} == {key}


A, B, C = Skill("a", Kind.LINE), Skill("b", Kind.LINE), Skill("c", Kind.LINE)


def test_a_loop_of_prerequisites_is_refused_by_its_names() -> None:
    """Nobody could ever begin."""
    with pytest.raises(ValueError, match=r"in a loop: a\b.*, before b\b.*, before c\b.*, before a\b"):
        Curriculum(before=((A, B), (B, C), (C, A)))
    with pytest.raises(ValueError, match="loop"):
        Curriculum(before=((A, A),))
    assert loop_in(((A, B), (B, C), (A, C))) == ()


@given(some.lists(some.tuples(some.integers(0, 7), some.integers(0, 7)), max_size=14))
def test_a_loop_is_found_just_where_there_is_one(pairs: list[tuple[int, int]]) -> None:
    """Against taking away again and again what waits for nothing (Kahn 1962, from memory)."""
    skills = [Skill(f"s{number}", Kind.LINE) for number in range(8)]
    left = set(pairs)
    while free := {a for a, _ in left} - {b for _, b in left}:
        left = {(a, b) for a, b in left if a not in free}
    loop = loop_in([(skills[a], skills[b]) for a, b in pairs])
    assert bool(loop) == bool(left)
    for first, then in zip(loop, (*loop[1:], *loop[:1]), strict=True):
        assert (skills.index(first), skills.index(then)) in set(pairs)


@given(
    some.lists(
        some.tuples(some.integers(0, 6), some.integers(0, 6)).filter(lambda pair: pair[0] < pair[1]), max_size=12
    )
)
def test_in_the_picture_everything_is_below_what_it_needs_and_nothing_overlaps(pairs: list[tuple[int, int]]) -> None:
    """Arrows lead downwards and boxes can be read."""
    names = {str(number): f"Skill {number}" for number in range(7)}
    arrows = [(str(a), str(b)) for a, b in dict.fromkeys(pairs)]
    boxes = {mark.name: mark.box for mark in order_picture(names, arrows).marks}
    assert set(boxes) == set(names)
    for first, then in arrows:
        assert boxes[first].bottom < boxes[then].top
    listed = list(boxes.values())
    assert not any(one.overlaps(other) for place, one in enumerate(listed) for other in listed[:place])


def test_a_level_is_measured_need_by_need() -> None:
    """Every key and hand that it names, at its tempo, each with the place where it is met."""
    keys = tuple(map(Key.parse, ("C", "C#", "F")))
    level = Level("One", (Requirement(POSITIONS, keys, (Hand.RIGHT, Hand.LEFT), ("maj7",), 60),))
    assert len(level.needs) == 6
    drill = Drill(made("broken-chords", quality="maj7", key="Db"), "d")
    slow, quick = Lesson(blocks=(drill,), tempo=50), Lesson(blocks=(drill,), tempo=60)
    assert measured(level, coverage_of([("a", slow)])).met == ()
    measure = measured(level, coverage_of([("a", slow), ("b", quick)]))
    [(need, place)] = measure.met
    assert place is not None
    assert (need.key, need.hand, place.lesson) == (Key.parse("Db"), Hand.RIGHT, "b")
    assert str(measure) == "One: 1 of 6"


def test_a_mark_of_two_hands_is_a_lesson_for_each() -> None:
    """The hardest of a lesson is told for every hand that plays in it."""
    both = replace(made("broken-chords"), hands=family("broken-chords")().hands)
    assert hardest_by_week(in_weeks((Drill(both, "d"),)))[1].keys() == {Hand.RIGHT}
