"""A class plays together: the tiers have the same harmony in the same bars, and the teacher stays clear beneath."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from lessonkit.curriculum.group import TIERS, chart_of, for_group, group_lesson, triad
from lessonkit.drills.chart import Chart
from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.families.teacher_part import APART, TeacherPart
from lessonkit.drills.family import DrillFamily, family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.lesson.problems import problems
from lessonkit.pages.flow import pages_of
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.pitch import Pitch

DRILLS = {
    "progression": ("progression-through-keys", {"count": 1}),
    "two chords to a bar": ("progression-through-keys", {"count": 1, "progression": "Imaj7 vim7 | iim7 V7/ii | V7"}),
    "in three": ("progression-through-keys", {"count": 1, "metre": "3/4", "progression": "I IV | ii V7 | I"}),
    "broken": ("broken-chords", {"quality": "m7b5"}),
    "blues": ("twelve-bar-blues", {"count": 1}),
    "jumps": ("chord-jumps", {}),
    "stride": ("stride", {"count": 1}),
}  # fmt: skip
SOME_KEYS = [Key.parse(name) for name in ("C", "Gb", "B", "F#", "Am", "Ebm")]


def made(name: str) -> DrillFamily:
    code, settings = DRILLS[name]
    return family(code).from_settings(settings)  # type: ignore[arg-type]


def harmony(exercise: Exercise) -> list[tuple[Fraction, int]]:
    """Where a root begins that is another than the one before, as pitch classes; tuning cares for no spelling."""
    found: list[tuple[Fraction, int]] = []
    for mark in exercise.chords:
        root = mark.chord.root.pitch_class
        if not found or found[-1][1] != root:
            found.append((mark.onset, root))
    return found


def bars(exercise: Exercise) -> list[tuple[Fraction, Fraction]]:
    return [(bar.onset, bar.length) for bar in exercise.bars]


@pytest.mark.parametrize("key", SOME_KEYS, ids=str)
@pytest.mark.parametrize("name", DRILLS)
def test_all_parts_have_the_same_roots_at_the_same_moments_in_the_same_bars(name: str, key: Key) -> None:
    """Otherwise a class of three tiers is three classes."""
    setting = Setting(key)
    group = for_group(made(name), setting)
    drill, *others = [
        realise(part, setting) for part in (group.tiers[1], group.tiers[0], group.tiers[2], group.teacher)
    ]
    for other in others:
        assert bars(other) == bars(drill)
        assert harmony(other) == harmony(drill)
        assert other.meter == drill.meter


@pytest.mark.parametrize("key", SOME_KEYS, ids=str)
@pytest.mark.parametrize("name", DRILLS)
def test_the_teacher_stays_a_third_beneath_everybody_and_has_no_muddy_pair(name: str, key: Key) -> None:
    """Two parts in one register cannot be told apart; two notes low in the bass growl."""
    setting = Setting(key)
    group = for_group(made(name), setting)
    lowest = min(
        pitch.midi for tier in group.tiers for event in realise(tier, setting).events for pitch in event.pitches
    )
    part = realise(group.teacher, setting)
    highest = max(pitch.midi for event in part.events for pitch in event.pitches)
    assert highest <= lowest - APART
    above = [pitch.midi for event in part.of(Hand.RIGHT) for pitch in event.pitches]
    below = [pitch.midi for event in part.of(Hand.LEFT) for pitch in event.pitches]
    assert max(below) < min(above)
    assert min(above) >= Pitch.parse("F2").midi


@pytest.mark.whole
@pytest.mark.parametrize("key", [*MAJOR_KEYS, *MINOR_KEYS], ids=str)
@pytest.mark.parametrize("name", DRILLS)
def test_every_key_has_room_for_a_class_and_its_teacher(name: str, key: Key) -> None:
    """In all thirty."""
    test_all_parts_have_the_same_roots_at_the_same_moments_in_the_same_bars(name, key)
    test_the_teacher_stays_a_third_beneath_everybody_and_has_no_muddy_pair(name, key)


def test_the_second_tier_is_the_drill_and_the_others_have_less_and_more() -> None:
    """Triads below, ninths above; chord names say so."""
    group = for_group(made("progression"), Setting(Key.parse("C")))
    assert replace(group.tiers[1], lowest=made("progression").lowest) == made("progression")
    names = [[mark.chord.ascii for mark in realise(tier, Setting(Key.parse("C"))).chords] for tier in group.tiers]
    assert names == [["C", "Am", "F", "G"], ["Cmaj7", "Am7", "Fmaj7", "G7"], ["Cmaj9", "Am9", "Fmaj9", "G9"]]


@pytest.mark.parametrize(
    ("chord", "plain"),
    [("Cm7b5", "Cdim"), ("Cdim7", "Cdim"), ("C7sus4", "Csus4"), ("C13", "C"), ("Cm(maj7)", "Cm"), ("Cmaj7#5", "Caug"),
     ("C7alt", "Caug"), ("G7/B", "G"), ("C6/9", "C")],
)  # fmt: skip
def test_the_triad_of_a_chord(chord: str, plain: str) -> None:
    """Common practice, no source: third and fifth as the chord has them."""
    assert triad(Chord.parse(chord)).ascii == plain


@pytest.mark.parametrize(
    ("drill", "said"),
    [
        (family("broken-chords").from_settings({"metre": "free"}), "needs a metre"),
        (family("broken-chords").from_settings({"key_count": 3}), "one key at a time"),
    ],
)
def test_what_a_class_cannot_play_is_refused_with_a_sentence(drill: DrillFamily, said: str) -> None:
    """And what to do."""
    with pytest.raises(ValueError, match=said):
        for_group(drill, Setting(Key.parse("C")))


def test_a_teacher_with_no_room_says_so() -> None:
    """The student is told to move up."""
    with pytest.raises(ValueError, match="an octave higher"):
        realise(TeacherPart(lowest=Pitch.parse("C3")), Setting(Key.parse("C")))


def test_a_chart_keeps_the_shares_of_a_bar() -> None:
    """Three beats and one."""
    drill = family("own-chart")().with_value("chart", Chart.parse("in C | Cmaj7 / / A7 | Dm7 | G7 C"))
    assert chart_of(realise(drill, Setting(Key.parse("C")))).ascii == "in C | Cmaj7 / / A7 | Dm7 | G7 C"


def test_a_lesson_for_a_class_is_whole() -> None:
    """Four drills that can be written out, with words and care."""
    lesson = group_lesson(made("progression"), Lesson(key=Key.parse("Eb")), "Together")
    assert sum(isinstance(block, Drill) for block in lesson.blocks) == 4
    assert problems(lesson) == ()


@pytest.mark.parametrize("code", ["shell-voicings", "progression-through-keys", "two-five-one-chains", "broken-chords"])
def test_a_drill_through_many_keys_is_taken_in_its_first(code: str) -> None:
    """A class plays in one; every part begins a page that can be handed to whoever plays it."""
    drill = family(code)()
    drill = drill.with_value("key_count", 5) if "key_count" in drill.declared() else drill
    lesson = group_lesson(drill, Lesson(key=Key.parse("Eb")), "Together")
    drills = [block.family for block in lesson.blocks if isinstance(block, Drill)]
    assert len(drills) == 4
    assert all(len(realise(one, lesson.setting).key_starts) == 1 for one in drills)
    begins = [page.outline[-1].text for page in pages_of(lesson) if page.outline]
    assert begins == [*TIERS, "The teacher's part"]
