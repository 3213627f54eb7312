"""What holds for every aid of a page: a new file is tested the day it appears."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from lessonkit.drawing.shapes import Text
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.family import families
from lessonkit.drills.params import Lines, Words
from lessonkit.drills.realise import realise
from lessonkit.lesson.advice import ADVICE, Material, advice_for, aim_of
from lessonkit.lesson.lesson import Aid, Drill, House, Lesson
from lessonkit.lesson.page_aid import PageAid, Scene, Stands, page_aids
from lessonkit.lesson.problems import problems
from lessonkit.lesson.shown import KINDS_SHOWN
from lessonkit.pages.aid_drawing import DRAWN
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import pages_of
from lessonkit.pages.paper import SHEETS
from lessonkit.pages.parts import Part
from lessonkit.storage.lesson_file import lesson_from_bytes, lesson_to_bytes
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.label_style import LabelStyle

AIDS = list(page_aids().values())
LESSON = Lesson("Aids", key=Key.parse("Ab"), blocks=(Drill(BrokenChords(), "drill"),))


def part_of(aid: PageAid, lesson: Lesson = LESSON) -> Part:
    block = Aid(aid, "aid")
    return draw_block(block, replace(lesson, blocks=(*lesson.blocks, block)), look_of(lesson)).parts[0]


def extremes(kind: type[PageAid]) -> list[PageAid]:
    """The aid as it is at first, and with each setting at its ends."""
    made = [kind()]
    for name, param in kind.declared().items():
        made += [kind().with_value(name, value) for value in param.extremes()]
        if isinstance(param, Words | Lines) and name != "what":
            made.append(kind().with_value(name, ("longish words " * 200)[: param.most].strip()))
            made.append(kind().with_value(name, "W" * param.most))
    return made


def test_there_is_a_drawing_for_all_that_an_aid_can_show() -> None:
    """A kind without one would stop the page."""
    assert set(DRAWN) == set(KINDS_SHOWN)
    assert set(ADVICE) == set(Material)


@pytest.mark.parametrize("kind", AIDS, ids=lambda kind: kind.code)
def test_an_aid_says_what_it_is(kind: type[PageAid]) -> None:
    """The shelf, the form and the help are made of this."""
    assert kind.title
    assert kind.about().endswith(".")
    assert all(param.label for param in kind.declared().values())
    assert kind().stands is Stands.WHOLE


@pytest.mark.parametrize("kind", AIDS, ids=lambda kind: kind.code)
def test_an_aid_survives_its_file(kind: type[PageAid]) -> None:
    """What is placed today must stand there tomorrow."""
    for number, aid in enumerate(extremes(kind)):
        lesson = replace(LESSON, blocks=(Aid(aid, f"a{number}"),))
        assert lesson_from_bytes(lesson_to_bytes(lesson), "x") == lesson


@pytest.mark.parametrize("stands", Stands)
@pytest.mark.parametrize("kind", AIDS, ids=lambda kind: kind.code)
def test_an_aid_stays_within_its_width_in_every_key(kind: type[PageAid], stands: Stands) -> None:
    """Words that run into the neighbour or off the paper are lost."""
    settings = extremes(kind)
    for number, key in enumerate((*MAJOR_KEYS, *MINOR_KEYS)):
        aid: Any = replace(settings[number % len(settings)], stands=stands)
        lesson = replace(LESSON, key=key, house=House(label_style=LabelStyle(major_seventh="Δ7"), is_friendly=True))
        part = part_of(aid, lesson)
        assert part.drawing.height < SHEETS[lesson.paper].bottom - SHEETS[lesson.paper].first_top
        for mark in part.drawing.marks:
            assert mark.box.left >= -0.01, (mark, key)
            assert mark.box.right <= part.drawing.width + 0.01, (mark, key)
            assert mark.box.bottom <= part.drawing.height + 2.5, (mark, key)


@pytest.mark.parametrize("kind", AIDS, ids=lambda kind: kind.code)
def test_words_of_an_aid_do_not_lie_on_one_another(kind: type[PageAid]) -> None:
    """Boxes of texts are lines with their ascenders and descenders; two that share ink cannot be read."""
    for stands in Stands:
        for aid in extremes(kind):
            marks = [mark for mark in part_of(replace(aid, stands=stands)).drawing.marks if mark.kind == "text"]
            for place, mark in enumerate(marks):
                for other in marks[place + 1 :]:
                    assert not mark.box.overlaps(other.box, 0.75), (mark, other)


@pytest.mark.parametrize("kind", AIDS, ids=lambda kind: kind.code)
def test_an_aid_can_be_reworded_and_left_out(kind: type[PageAid]) -> None:
    """The teacher's word counts; without the block nothing of it is left."""
    if kind.heading:
        said = [mark.detail for mark in part_of(kind(heading_words="In our words")).drawing.marks]
        assert "In our words" in said
        assert kind.heading not in said
        assert kind.heading not in [mark.detail for mark in part_of(kind(heading_words="-")).drawing.marks]
    assert "aid" not in {part.block_id for page in pages_of(LESSON) for part in page.parts}


def test_what_an_aid_cannot_show_is_said_in_its_place() -> None:
    """A chord that is none must not take the page away."""
    aid = page_aids()["keyboard-picture"](what="Hmaj7")  # type: ignore[call-arg]
    texts = "".join(shape.text for shape in part_of(aid).drawing.shapes if isinstance(shape, Text))
    assert "is not a chord symbol" in texts
    (problem,) = problems(replace(LESSON, blocks=(Aid(aid, "a"),)))
    assert problem.startswith("blocks[0]: Keyboard picture cannot be shown")


def test_every_family_has_an_aim_and_advice() -> None:
    """A page assembles itself around any drill."""
    for family in families().values():
        drill, setting = family(), LESSON.setting
        aim = aim_of(drill, setting)
        assert aim.startswith("Play ")
        assert aim.endswith(".")
        assert str(setting.tempo) in aim or "♩." in aim
        advice = advice_for(drill, setting)
        assert 2 <= len(advice.steps) <= 5
        assert realise(drill, setting).events
        assert page_aids()["aim"]().shown(Scene(setting, drill=drill))
