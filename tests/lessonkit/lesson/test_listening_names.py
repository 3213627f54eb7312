"""The names of listening files on the page are those that the files bear."""

from __future__ import annotations

import pytest

from lessonkit.drills.family import family
from lessonkit.lesson.aids.listening_files import NONE, ListeningFiles, Which
from lessonkit.lesson.lesson import Aid, Drill, Lesson, PageBreak
from lessonkit.lesson.scene import scene_of
from lessonkit.lesson.shown import Steps, Text
from lessonkit.sound.listening import listening_files
from lessonkit.theory.key import Key

LADDER = {"ladder_steps": 3, "ladder_start": 60, "ladder_goal": 80}
BLOCKS = (
    Drill(family("broken-chords").from_settings(LADDER), "a"),
    Drill(family("broken-chords").from_settings(LADDER), "b"),
    PageBreak("break"),
    Drill(family("by-ear")(), "c"),
)


def items(lesson: Lesson, aid: Aid) -> tuple[str, ...]:
    """What the aid lists."""
    (shown,) = aid.shows.shown(scene_of(lesson, aid))
    assert isinstance(shown, Steps)
    return shown.items


def test_all_files_are_named_on_the_page() -> None:
    """A student finds on the telephone what the handout says."""
    aid = Aid(ListeningFiles(), "aid")
    lesson = Lesson(key=Key.parse("F#m"), tempo=70, blocks=(*BLOCKS, aid))
    named = []
    for item in items(lesson, aid):
        first, _, others = item.partition(" and ")
        named.append(first)
        named += [first.rpartition("-")[0] + other for other in others.split(", ") if other]
    files, left_out = listening_files([block.family for block in BLOCKS if isinstance(block, Drill)], lesson.setting)
    assert not left_out
    assert [f"{name}.mp3" for name in named] == [file.name for file in files]
    assert named[0] == "01-broken-chords-f-sharp-minor-60"
    assert named[-1] == "03-by-ear-70", "the key is to be found"


@pytest.mark.parametrize(("place", "number"), [(0, "01"), (1, "01"), (2, "02"), (4, "03")])
def test_one_drill_is_the_one_that_it_belongs_to(place: int, number: str) -> None:
    """Two drills that are alike have a file each, so the place counts and not the drill."""
    aid = Aid(ListeningFiles(which=Which.ONE), "aid")
    lesson = Lesson(blocks=(*BLOCKS[:place], aid, *BLOCKS[place:]))
    assert [item[:2] for item in items(lesson, aid)] == [number]


def test_a_lesson_without_drills_says_so() -> None:
    """An empty list would look like a fault."""
    aid = Aid(ListeningFiles(), "aid")
    assert aid.shows.shown(scene_of(Lesson(blocks=(aid,)), aid)) == (Text(NONE),)
