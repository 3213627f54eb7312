"""A handout as a screen reader finds it: what is a heading, what is text, what is a figure and what it shows."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from lessonkit.binder.bound import bound
from lessonkit.binder.section import section_of
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.handout.imposition import Imposition
from lessonkit.handout.pdf import pdf_bytes
from lessonkit.lesson.handout_page import page_around
from lessonkit.lesson.lesson import Aid, DifficultyMap, Drill, Heading, Lesson, Note, PageBreak
from lessonkit.lesson.page_aid import page_aids
from lessonkit.pages.editions import Edition, edition_pages
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
    return [tag_of(element) for element in elements(pdf)]


def tag_of(element: Any) -> str:
    return str(element.S).strip("/")


def kids_of(element: Any) -> list[Any]:
    return list(element.K) if isinstance(element.K, pikepdf.Array) else [element.K]


def inner(element: Any) -> list[Any]:
    """The elements in an element."""
    return [kid for kid in kids_of(element) if isinstance(kid, pikepdf.Dictionary) and "/S" in kid]


def every(element: Any) -> Iterator[Any]:
    """An element and all below it, in reading order."""
    yield element
    for kid in inner(element):
        yield from every(kid)


def numbers_of(element: Any) -> Iterator[int]:
    for kid in kids_of(element):
        if isinstance(kid, pikepdf.Dictionary):
            if "/MCID" in kid:
                yield int(kid.MCID)
        else:
            yield int(kid)


def test_pieces_have_their_tags_in_reading_order() -> None:
    """Title, facts, aims, heading, two paragraphs, caption, two systems, then the second page."""
    with opened(LESSON) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang) == "en"
        assert tags(pdf) == [
            "H1", "P", "P", "H2", "P", "P", "P", "Figure", "Figure", "H3", "L", "P", "Figure", "P",
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
        whole = pdf.Root.StructTreeRoot.K[0]
        actual = [str(element.ActualText) for element in every(whole) if "/ActualText" in element]
    assert any(words.startswith("♩ = 50 54") for words in actual)
    assert "• an item" not in actual


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


LISTS = """Words.

1. first
2. second

   - inner
   - inner too

3. third
"""


def outline(element: Any) -> str:
    """The tags of an element and of those in it, such as ``L(LI(Lbl LBody))``."""
    below = " ".join(outline(kid) for kid in inner(element))
    return f"{tag_of(element)}({below})" if below else tag_of(element)


def test_a_list_in_a_list_is_tagged_as_one() -> None:
    """A listener hears how many items there are and which is in which (ISO 32000-1, 14.8.4.3.3)."""
    with opened(Lesson("A", blocks=(Note(LISTS, "n"),))) as pdf:
        (found,) = [element for element in elements(pdf) if element.S == "/L"]
        item = "LI(Lbl LBody)"
        assert outline(found) == f"L({item} LI(Lbl LBody(L({item} {item}))) {item})"
        assert found.A.ListNumbering == "/Decimal"


def test_a_list_goes_on_over_the_page() -> None:
    """It is one list, whichever page its items stand on."""
    lesson = Lesson("A", blocks=(Note("\n".join(f"- item {number}" for number in range(120)), "n"),))
    with opened(lesson) as pdf:
        assert len(pdf.pages) > 1
        (found,) = [element for element in elements(pdf) if element.S == "/L"]
        assert len(inner(found)) == 120


def test_tables_have_heads_and_full_rows() -> None:
    """Each cell is told with the head of its column (ISO 14289-1, 7.5)."""
    with opened(page_around(LESSON, "d")) as pdf:
        (log,) = [one for one in every(pdf.Root.StructTreeRoot.K[0]) if one.S == "/Table"]
        heads, *rows = inner(log)
        assert {outline(row) for row in rows} == {"TR(TH TD TD TD)"}
        assert len(rows) == 7
        assert [head.A.Scope for head in inner(heads)] == ["/Column"] * 4
        assert [inner(row)[0].A.Scope for row in rows] == ["/Row"] * 7


HOLDS = {"L": {"LI"}, "LI": {"Lbl", "LBody"}, "LBody": {"L", "P"}, "Table": {"TR"}, "TR": {"TH", "TD"}, "P": {"Link"}}
"""What may lie in what here (ISO 32000-1, 14.8.4)."""


@pytest.mark.parametrize("edition", Edition)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_tree_is_sound(path: Path, edition: Edition) -> None:
    """Walked whole: known tags in their places, parents that know their children, no depth of heading skipped, a name
    and a place for every figure, and for every piece of content of a page one element.
    """
    lesson = read_lesson(path)
    content = pdf_bytes(edition_pages(lesson, edition), lesson.title)
    with pikepdf.open(io.BytesIO(content)) as pdf:
        whole = pdf.Root.StructTreeRoot.K[0]
        depth, found = 0, 0
        for element in every(whole):
            tag = tag_of(element)
            for kid in inner(element):
                assert kid.P.objgen == element.objgen
                assert tag == "Document" or tag_of(kid) in HOLDS.get(tag, set()), (tag, tag_of(kid))
            if re.fullmatch("H[1-6]", tag):
                assert int(tag[1]) <= depth + 1
                depth = int(tag[1])
            elif tag == "Figure":
                assert len(str(element.Alt)) > 3
                assert len(element.A.BBox) == 4
            if tag in ("L", "LI", "Table", "TR"):
                assert inner(element)
                assert not list(numbers_of(element))
            found += len(list(numbers_of(element)))
        pieces = sum(page.Contents.read_bytes().count(b"/MCID ") for page in pdf.pages)
        assert found == pieces
        for page in pdf.pages:
            _all_is_marked(page)


@pytest.mark.parametrize("code", sorted(page_aids()))
def test_every_aid_has_a_sound_tree(code: str) -> None:
    """Tables have heads for their columns, lists have items, figures have words; nothing lies where it may not."""
    drill = Drill(BrokenChords(), "d")
    with opened(Lesson("A", key=Key.parse("Eb"), blocks=(drill, Aid(page_aids()[code](), "a")))) as pdf:
        for element in every(pdf.Root.StructTreeRoot.K[0]):
            tag = tag_of(element)
            inside = [tag_of(one) for one in every(element)]
            for kid in inner(element):
                assert tag == "Document" or tag_of(kid) in HOLDS.get(tag, set()), (tag, tag_of(kid))
            assert tag != "Table" or "TH" in inside
            assert tag != "L" or "LBody" in inside
            assert tag != "Figure" or len(str(element.Alt)) > 3
            assert tag not in ("P", "LBody", "TH") or inner(element) or list(numbers_of(element)), tag


def _all_is_marked(page: Any) -> None:
    """Whatever is painted is a piece of content or an artifact (ISO 14289-1, 7.1)."""
    inside = 0
    for operands, operator in pikepdf.parse_content_stream(page):
        name = str(operator)
        if name in ("BDC", "BMC"):
            assert not inside
            inside += 1
        elif name == "EMC":
            inside -= 1
        elif name in ("Tj", "TJ", "f", "S", "B", "Do", "f*"):
            assert inside, operands


def test_the_document_says_that_it_is_made_for_every_reader() -> None:
    """ISO 14289-1, clauses 5, 7.1 and 7.2: the part, a title that is shown, a language, the order of the tabs."""
    with opened(replace(LESSON, title="Sevenths & “more”")) as pdf:
        with pdf.open_metadata() as metadata:
            assert metadata["{http://www.aiim.org/pdfua/ns/id/}part"] == "1"
            assert metadata["dc:title"] == "Sevenths & “more”"
            assert set(metadata["dc:language"]) == {"en"}
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        assert all(page.Tabs == "/S" for page in pdf.pages)
        assert pdf.pdf_version >= "1.7"


def test_a_booklet_is_read_in_the_order_of_its_pages() -> None:
    """Its sheets begin with the last page."""
    notes = [block for place in range(6) for block in (Note(f"page {place}", f"n{place}"), PageBreak(f"b{place}"))]
    lesson = Lesson("A", blocks=tuple(notes))
    with opened(lesson) as single, opened(lesson, Imposition.BOOKLET) as booklet:
        assert tags(single) == tags(booklet)
        sheets = [page.objgen for page in booklet.pages]
        order = [sheets.index(element.Pg.objgen) for element in elements(booklet) if element.S == "/P"]
    assert order != sorted(order)


def test_links_of_a_binder_are_in_the_tree() -> None:
    """A link without an element cannot be followed by ear (ISO 14289-1, 7.18.5)."""
    lesson = Lesson("A lesson", blocks=(Heading("First", id="h"), Note("words", "n")))
    with pikepdf.open(io.BytesIO(pdf_bytes(bound("Term", "told", [section_of(lesson, "Week 1")]), "Term"))) as pdf:
        links = [one for one in every(pdf.Root.StructTreeRoot.K[0]) if one.S == "/Link"]
        annotations = [one for page in pdf.pages for one in page.get("/Annots", [])]
        assert len(links) == len(annotations) > 1
        assert {link.K.Obj.objgen for link in links} == {one.objgen for one in annotations}
        keys = dict(zip(*[iter(pdf.Root.StructTreeRoot.ParentTree.Nums)] * 2, strict=True))
        for one in annotations:
            assert str(one.Contents)
            assert keys[int(one.StructParent)].S == "/Link"


def test_a_line_to_write_on_is_told() -> None:
    """Who does not see it must hear that something is to be written here."""
    pdf = opened(Lesson("A lesson", blocks=(Note("My choice: ____\n\n____", "n"),)))
    told = [str(element.ActualText) for element in elements(pdf) if "/ActualText" in element]
    assert "My choice: line to write on" in told
    assert "line to write on" in told
