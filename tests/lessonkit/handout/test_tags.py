"""A handout as a screen reader finds it: what is a heading, what is text, what is a figure and what it shows."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.handout.imposition import Imposition
from lessonkit.handout.pdf import pdf_bytes
from lessonkit.lesson.handout_page import page_around
from lessonkit.lesson.lesson import DifficultyMap, Drill, Heading, Lesson, Note, PageBreak
from lessonkit.pages.flow import pages_of
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.theory.key import Key

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "sample_lessons").glob("*.lesson"))
LESSON = Lesson(
    "A lesson", "To hear it.", key=Key.parse("Ab"),
    blocks=(
        Heading("First", id="h"), Note("One line. " * 30 + "\n\nAnother paragraph.", "n"), Drill(BrokenChords(), "d"),
        PageBreak("p"), Heading("Second", 2, "i"), Note("- an item", "m"), DifficultyMap(id="q"),
    ),
)  # fmt: skip


def opened(lesson: Lesson, imposition: Imposition = Imposition.SINGLE) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(pdf_bytes(pages_of(lesson), lesson.title, imposition=imposition)))


def elements(pdf: pikepdf.Pdf) -> list[Any]:
    return list(pdf.Root.StructTreeRoot.K[0].K)


def tags(pdf: pikepdf.Pdf) -> list[str]:
    return [str(element.S).strip("/") for element in elements(pdf)]


def numbers_of(element: Any) -> Iterator[int]:
    kids = element.K if isinstance(element.K, pikepdf.Array) else [element.K]
    for kid in kids:
        yield int(kid.MCID) if isinstance(kid, pikepdf.Dictionary) else int(kid)


def test_pieces_have_their_tags_in_reading_order() -> None:
    """Title, facts, aims, heading, two paragraphs, caption, two systems, then the second page."""
    with opened(LESSON) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang) == "en"
        assert tags(pdf) == [
            "H1", "P", "P", "H2", "P", "P", "P", "Figure", "Figure", "H3", "P", "P", "Figure", "P",
        ]  # fmt: skip


def test_every_figure_says_what_it_shows() -> None:
    """Music without words is a hole in the page."""
    with opened(LESSON) as pdf:
        alternatives = [str(element.Alt) for element in elements(pdf) if element.S == "/Figure"]
    assert alternatives[0].startswith("A♭maj7 broken through its inversions")
    assert alternatives[0].endswith("line 1 of 2")
    assert alternatives[2].startswith("Difficulty map")


def test_words_that_do_not_run_on_are_told_as_they_are_read() -> None:
    """The letters of an item stand behind its mark, those of an aid in several places."""
    with opened(page_around(LESSON, "d")) as pdf:
        actual = [str(element.ActualText) for element in elements(pdf) if "/ActualText" in element]
    assert "• an item" in actual
    assert any(words.startswith("Check\nEvery note sounds alike") for words in actual)


@pytest.mark.parametrize("imposition", Imposition)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_tree_and_pages_agree(path: Path, imposition: Imposition) -> None:
    """Every piece of content of a page belongs to one element, which names it (ISO 32000-1, 14.7.4.4)."""
    with opened(read_lesson(path), imposition) as pdf:
        assert not (getattr(pdf, "check_pdf_syntax", None) or pdf.check)()
        numbers = list(pdf.Root.StructTreeRoot.ParentTree.Nums)
        parents = {int(numbers[place]): list(numbers[place + 1]) for place in range(0, len(numbers), 2)}
        for place, page in enumerate(pdf.pages):
            content = page.Contents.read_bytes()
            found = [int(number) for number in re.findall(rb"/MCID (\d+)>> BDC", content)]
            assert found == list(range(len(found)))
            assert content.count(b" BDC") + content.count(b" BMC") == content.count(b"EMC")
            assert int(page.StructParents) == place
            assert len(parents[place]) == len(found)
            for number, element in enumerate(parents[place]):
                assert number in set(numbers_of(element))


def test_running_heads_and_page_numbers_are_not_read() -> None:
    """Once a page is enough for the eye and too much for the ear."""
    with opened(LESSON) as pdf:
        content = pdf.pages[1].Contents.read_bytes()
    # The rule above the line of care, the title, the key and the page's number.
    assert content.count(b"/Artifact BMC") == 4
