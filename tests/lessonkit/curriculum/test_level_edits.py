"""Edits of a curriculum, each from value to value."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonkit.curriculum import level_edits as edits
from lessonkit.curriculum.coverage import TWELVE_MAJOR, Coverage
from lessonkit.curriculum.levels import Curriculum, Requirement, measured, measured_all, places_of
from lessonkit.curriculum.seen import Skill
from lessonkit.curriculum.skills_offered import skills_of_families, skills_offered
from lessonkit.drills.family import families
from lessonkit.storage.curriculum_file import curriculum_from_bytes, curriculum_to_bytes, read_curriculum
from tests.lessonkit.curriculum.course import course

SAMPLE = Path(__file__).resolve().parents[3] / "sample_lessons" / "three_levels.curriculum"


@pytest.fixture
def levels() -> Curriculum:
    return read_curriculum(SAMPLE)


def test_every_edit_makes_levels_that_a_file_can_hold(levels: Curriculum) -> None:
    """What is edited is saved at once; nothing in between may be unwritable."""
    one = Requirement(Skill.parse("stride:bass"), TWELVE_MAJOR, (), ("maj7",), 60)
    first, then = levels.before[0]
    for after in (
        edits.set_title(levels, "Another"),
        edits.add_level(levels, 1),
        edits.rename_level(levels, 0, "Begin"),
        edits.move_level(levels, 0, 2),
        edits.remove_level(levels, 1),
        edits.add_requirement(levels, 2, one),
        edits.set_requirement(levels, 0, 0, one),
        edits.remove_requirement(levels, 0, 0),
        edits.remove_before(levels, first, then),
        edits.add_before(levels, first, one.skill),
    ):
        assert after != levels
        assert curriculum_from_bytes(curriculum_to_bytes(after), "x") == after


def test_there_and_back_is_where_it_began(levels: Curriculum) -> None:
    """An edit touches nothing beside what it is for."""
    one = levels.levels[0].requirements[0]
    first, then = levels.before[-1]
    assert edits.remove_level(edits.add_level(levels, 1), 1) == levels
    assert edits.move_level(edits.move_level(levels, 0, 2), 2, 0) == levels
    assert edits.add_before(edits.remove_before(levels, first, then), first, then) == levels
    assert edits.set_requirement(edits.set_requirement(levels, 0, 0, Requirement(one.skill)), 0, 0, one) == levels
    assert edits.add_before(levels, first, then) == levels


def test_a_new_level_has_a_name_of_its_own(levels: Curriculum) -> None:
    """Two levels of one name cannot be told apart."""
    twice = edits.add_level(edits.add_level(levels, 0), 0)
    assert [level.name for level in twice.levels[:2]] == ["New level 2", "New level"]
    with pytest.raises(ValueError, match="two levels share one name"):
        edits.rename_level(twice, 0, "New level")
    with pytest.raises(ValueError, match="needs a name"):
        edits.rename_level(twice, 0, "  ")


def test_an_arrow_that_closes_a_loop_is_refused(levels: Curriculum) -> None:
    """By the names of all skills in it."""
    first, then = levels.before[0]
    with pytest.raises(ValueError, match="wait for each other in a loop"):
        edits.add_before(levels, then, first)


def test_all_levels_at_once_are_as_each_alone(levels: Curriculum) -> None:
    """The quick way is the plain one; every place that meets a need does, and the first of them is the one told."""
    _, _, coverage = course()
    half = Coverage(coverage.lessons[:4])
    assert measured_all(levels.levels, half) == tuple(measured(level, half) for level in levels.levels)
    assert any(measure.unmet for measure in measured_all(levels.levels, half))
    for level in levels.levels:
        for need, place in measured(level, half).met:
            assert place is not None
            brute = [
                (taught.name, block_id)
                for taught in half.lessons
                for block_id, count in taught.blocks
                if any(need.is_met_by(seen, taught.lesson.tempo) for seen in count.seen)
            ]
            assert [(one.lesson, one.block_id) for one in places_of(need, half)] == brute
            assert (place.lesson, place.block_id) == brute[0]


def test_every_family_offers_a_skill() -> None:
    """What can be taught can be asked for."""
    assert {skill.family for skill in skills_of_families()} == set(families())
    own = Skill.parse("of-tomorrow:line")
    assert own in skills_offered([own])
    assert list(skills_offered(())) == sorted(skills_offered(()), key=lambda one: (one.words, one.ascii))
