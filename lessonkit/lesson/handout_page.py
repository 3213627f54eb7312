"""A page that assembles itself around a drill: header, aim, keys and tempo before it; how to practise it after it."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.lesson.aids.aim import Aim
from lessonkit.lesson.aids.checklist import Checklist
from lessonkit.lesson.aids.footer import Footer
from lessonkit.lesson.aids.header_strip import HeaderStrip
from lessonkit.lesson.aids.keys_of_the_day import KeysOfTheDay
from lessonkit.lesson.aids.now_use_it import NowUseIt
from lessonkit.lesson.aids.practice_log import PracticeLog
from lessonkit.lesson.aids.practice_steps import PracticeSteps
from lessonkit.lesson.aids.reflection import Reflection
from lessonkit.lesson.aids.tempo_ladder import TempoLadder
from lessonkit.lesson.lesson import Aid, Block, Drill, Lesson, PageBreak
from lessonkit.lesson.page_aid import PageAid, Stands


def page_around(lesson: Lesson, block_id: str) -> Lesson:
    """The lesson with a drill on a handout page of its own, whose aids follow from the drill; each can be changed.

    An aid that stands beside the drill already is not put there twice. Raises KeyError where there is no such block
    and TypeError where it is no drill.
    """
    drill = lesson.block(block_id)
    if not isinstance(drill, Drill):
        raise TypeError(f"the block {block_id} is not a drill")
    at = lesson.place_of(block_id)
    start, end = _page_of(lesson, at)
    before, after = lesson.blocks[start:at], lesson.blocks[at + 1 : end]
    there = {type(block.shows) for block in (*before, *after) if isinstance(block, Aid)}
    is_first = not any(isinstance(block, Drill) for block in lesson.blocks[:at])
    leading: list[PageAid] = [HeaderStrip(shows_title=not is_first), Aim(), KeysOfTheDay()]
    if not drill.family.ladder_steps:
        leading.append(TempoLadder())
    following: list[PageAid] = [
        PracticeSteps(), Checklist(stands=Stands.HALF), PracticeLog(stands=Stands.HALF),
        NowUseIt(stands=Stands.HALF), Reflection(stands=Stands.HALF, line_count=1),
    ]  # fmt: skip
    if not any(isinstance(block, Aid) and isinstance(block.shows, Footer) for block in lesson.blocks):
        following.append(Footer())
    page = [*_fresh(leading, there), drill, *_fresh(following, there)]
    needs_break_before = any(isinstance(block, Drill) for block in before)
    needs_break_after = any(isinstance(block, Drill) for block in after)
    if needs_break_before:
        page.insert(0, PageBreak())
    if needs_break_after:
        page.append(PageBreak())
    return replace(lesson, blocks=(*lesson.blocks[:at], *page, *lesson.blocks[at + 1 :]))


def _fresh(aids: list[PageAid], there: set[type[PageAid]]) -> list[Block]:
    return [Aid(aid) for aid in aids if type(aid) not in there]


def _page_of(lesson: Lesson, at: int) -> tuple[int, int]:
    """From where to where blocks stand between the same page breaks."""
    breaks = [place for place, block in enumerate(lesson.blocks) if isinstance(block, PageBreak)]
    start = max((place + 1 for place in breaks if place < at), default=0)
    end = min((place for place in breaks if place > at), default=len(lesson.blocks))
    return start, end
