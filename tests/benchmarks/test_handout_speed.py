"""How long a handout of twelve keys takes, against the engraver alone on its notes. Ratios are printed, not judged.

Run with ``python -m pytest -m bench tests/benchmarks -s``.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest

from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.progression_through_keys import ProgressionThroughKeys
from lessonkit.drills.realise import _realised, realise
from lessonkit.engraving.engrave import engraver_text, forget
from lessonkit.engraving.engraver import svg_of
from lessonkit.handout.pdf import pdf_bytes
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note
from lessonkit.pages import blocks, prose_drawing
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import pages_of
from lessonkit.theory.key import Key

TWELVE = ("C", "G", "D", "A", "E", "B", "Gb", "Db", "Ab", "Eb", "Bb", "F")

PROGRESSION = Lesson("Twelve keys", blocks=(Note("Through all keys, {Imaj7} first."), Drill(ProgressionThroughKeys())))
"""One progression in twelve keys, a line of whole notes each: little music, many words."""

BROKEN_CHORDS = Lesson("Twelve keys", blocks=tuple(Drill(BrokenChords(key=Key.parse(name))) for name in TWELVE))
"""Broken chords in twelve keys, 56 eighths each: much music, few words."""


def best_of(count: int, *works: Callable[[], object]) -> list[float]:
    """The shortest time of several of each work, in seconds of the processor; noise only ever adds to it.

    The works take turns, each beginning as if the lesson had just been opened, so that none has the processor's memory
    to itself.
    """
    times: list[list[float]] = [[] for _ in works]
    for _ in range(count):
        for work, spent in zip(works, times, strict=True):
            forget_all()
            start = time.process_time()
            work()
            spent.append(time.process_time() - start)
    return [min(spent) for spent in times]


def forget_all() -> None:
    """As if the lesson had just been opened."""
    forget()
    _realised.cache_clear()
    for cached in (blocks.built, blocks._drill, prose_drawing.note_drawing, prose_drawing.heading_drawing):
        cached.cache_clear()


@pytest.mark.bench
@pytest.mark.parametrize("lesson", [PROGRESSION, BROKEN_CHORDS], ids=["progression", "broken chords"])
def test_a_handout_in_twelve_keys_against_the_engraver_alone(lesson: Lesson) -> None:
    """The aim is 1.4 times the engraver alone, from drill to finished PDF; 2.2 is the most."""
    look = look_of(lesson)
    drills = [block for block in lesson.blocks if isinstance(block, Drill)]
    texts = [engraver_text(realise(drill.family, lesson.setting), look) for drill in drills]
    alone, pages, printed = best_of(
        9, lambda: [svg_of(mei, width) for mei, width in texts],
        lambda: pages_of(lesson), lambda: pdf_bytes(pages_of(lesson), lesson.title),
    )  # fmt: skip
    pages_of(lesson)
    start = time.process_time()
    for _ in range(9):
        for drill in drills:
            draw_block(drill, lesson, look)
    kept = (time.process_time() - start) / 9
    size, count = len(pdf_bytes(pages_of(lesson), lesson.title)), len(pages_of(lesson))
    print(f"\nengraver alone {alone * 1000:.1f} ms")
    print(f"drill to pages {pages * 1000:.1f} ms, {pages / alone:.2f} times")
    print(f"drill to PDF   {printed * 1000:.1f} ms, {printed / alone:.2f} times")
    print(f"drawn again    {kept * 1e6:.0f} µs, {kept / alone:.4f} times")
    print(f"{size} bytes on {count} pages, {size / count / 1000:.1f} kB a page")
    assert count > 1
    assert size < 60_000 * count


@pytest.mark.bench
def test_pages_of_a_long_lesson_flow_in_proportion_to_its_blocks() -> None:
    """Twice the blocks take twice the time."""

    def time_of(count: int) -> float:
        lesson = Lesson(blocks=tuple(Note(f"note {place} " + "word " * 40) for place in range(count)))
        pages_of(lesson)
        times = []
        for _ in range(5):
            start = time.process_time()
            pages_of(lesson)
            times.append(time.process_time() - start)
        return min(times)

    short, long = time_of(500), time_of(1000)
    print(f"\n500 notes {short * 1000:.1f} ms, 1,000 notes {long * 1000:.1f} ms, {long / short:.2f} times")
    assert short > 0


@pytest.mark.bench
def test_a_hundred_pages_are_laid_out_in_proportion() -> None:
    """Headings, notes and drills that are drawn already; the layout alone, with its page turns."""

    def time_of(count: int) -> tuple[int, float]:
        blocks: list[Block] = []
        for place in range(count):
            blocks += [Heading(f"Part {place}"), Note("word " * 60), Drill(BrokenChords(octaves=1 + place % 3))]
        lesson = Lesson(blocks=tuple(blocks))
        pages = len(pages_of(lesson))
        times = []
        for _ in range(5):
            start = time.process_time()
            pages_of(lesson)
            times.append(time.process_time() - start)
        return pages, min(times)

    (few, short), (many, long) = time_of(115), time_of(230)
    print(f"\n{few} pages {short * 1000:.1f} ms, {many} pages {long * 1000:.1f} ms, {long / short:.2f} times")
    assert many >= 100
