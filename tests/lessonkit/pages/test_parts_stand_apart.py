"""The furniture of a page and its drills: the ink of one part never reaches into another, nor off the page."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from lessonkit.drawing.shapes import Box
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.pages.page import Page
from lessonkit.storage.lesson_file import read_lesson
from tests.looking.ink import things_of

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "sample_lessons").glob("*.lesson"))
SLACK = 0.5


def ink_of(page: Page) -> list[tuple[str, Box]]:
    """What each part of a page says, and the box of all its ink on the page."""
    found = []
    for part in page.parts:
        boxes = [thing.box for thing in things_of(part.placed.drawing)]
        if boxes:
            around = Box(
                min(box.left for box in boxes), min(box.top for box in boxes),
                max(box.right for box in boxes), max(box.bottom for box in boxes),
            )  # fmt: skip
            found.append((part.placed.drawing.spoken, around.moved(part.placed.x, part.placed.y)))
    return found


def assert_apart(source: Path, edition: Edition) -> int:
    """Look at every pair of parts on every page; how many parts there are."""
    count = 0
    for page in edition_pages(read_lesson(source), edition):
        inked = ink_of(page)
        count += len(inked)
        for (one, box), (other, its) in combinations(inked, 2):
            assert not box.overlaps(its, SLACK), f"page {page.number}: {one!r} reaches into {other!r}"
        for spoken, box in inked:
            is_inside = box.left > 0 and box.top > 0 and box.right < page.width and box.bottom < page.height
            assert is_inside, f"page {page.number}: {spoken!r} leaves the paper"
    return count


@pytest.mark.parametrize("source", SAMPLES[::5], ids=lambda source: source.stem)
def test_parts_of_a_page_stand_apart(source: Path) -> None:
    """For students, of some sample lessons."""
    assert assert_apart(source, Edition.STUDENT) > 10


@pytest.mark.whole
@pytest.mark.parametrize("edition", Edition)
@pytest.mark.parametrize("source", SAMPLES, ids=lambda source: source.stem)
def test_parts_of_all_pages_stand_apart(source: Path, edition: Edition) -> None:
    """The same for every sample in every edition."""
    assert assert_apart(source, edition)
