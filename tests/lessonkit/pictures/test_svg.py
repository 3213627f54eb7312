"""SVG of pages: the same shapes as on the page, each at its place, and nothing that must be fetched."""

from __future__ import annotations

import io

import numpy
import pytest
from lxml import etree
from PIL import Image

from lessonkit.drawing.shapes import Drawing, Face, Glyph, Line, Path, Picture, Placed, Rect, Text
from lessonkit.drawing.text_width import text_width
from lessonkit.drills.family import family
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.pages.page import Page, PlacedBlock
from lessonkit.pictures.cut_out import cut_out
from lessonkit.pictures.letters import UNITS, letter_outline
from lessonkit.pictures.png import png_bytes
from lessonkit.pictures.svg import svg_text
from lessonkit.theory.key import Key

NAMES = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def page() -> Page:
    """A drill cut out of a lesson."""
    block = Drill(family("diatonic-ladder").from_settings({"shows_degrees": True}))
    return cut_out(block, Lesson(key=Key.parse("Eb"), blocks=(block,)))


def test_every_shape_has_an_element(page: Page) -> None:
    """Glyphs, lines, paths and letters as many as the page has."""
    shapes = [shape for part in page.parts for shape in part.placed.drawing.shapes]
    root = etree.fromstring(svg_text(page).encode())
    uses = [use for use in root.iter(NAMES + "use") if use.get("href", "").startswith("#g")]
    assert len(uses) == sum(isinstance(shape, Glyph) for shape in shapes)
    assert len(list(root.iter(NAMES + "line"))) == sum(isinstance(shape, Line) for shape in shapes)
    said = [group.get("aria-label") for group in root.iter(NAMES + "g")]
    assert said == [shape.text for shape in shapes if isinstance(shape, Text) and shape.text.strip()]


def test_letters_stand_where_they_stand_on_the_page(page: Page) -> None:
    """The last letter of each run ends where the one ruler of the house says."""
    texts = [
        shape
        for part in page.parts
        for shape in part.placed.drawing.shapes
        if isinstance(shape, Text) and shape.text.strip()
    ]
    groups = list(etree.fromstring(svg_text(page).encode()).iter(NAMES + "g"))
    assert any(len(text.text) > 20 for text in texts)
    for text, group in zip(texts, groups, strict=True):
        last = text.text.rstrip()
        begins = text_width(last, text.face, UNITS) - text_width(last[-1], text.face, UNITS)
        assert float(group[-1].get("x")) == pytest.approx(begins, abs=1)


def test_all_that_is_used_is_carried_along(page: Page) -> None:
    """Every reference is answered inside the file; no address but names of namespaces."""
    text = svg_text(page)
    root = etree.fromstring(text.encode())
    defined = {path.get("id") for path in root.iter(NAMES + "path") if path.get("id")}
    assert {use.get("href")[1:] for use in root.iter(NAMES + "use")} == defined
    assert text.count("http") == text.count("http://www.w3.org")


def test_words_are_told_to_a_reader(page: Page) -> None:
    """The title says what the picture shows."""
    title = etree.fromstring(svg_text(page).encode()).findtext(NAMES + "title")
    assert title is not None
    assert "E♭ major" in title


@pytest.mark.parametrize("face", list(Face))
def test_every_face_has_outlines(face: Face) -> None:
    """A face without outlines would leave a picture without words."""
    assert letter_outline(face, "♭" if face is Face.SIGNS else "a").startswith("M")


def test_all_kinds_of_shape_can_be_painted() -> None:
    """Rounded frames, dashes, tones, letterheads, and letters that XML reads as its own."""
    dot = io.BytesIO()
    Image.new("L", (1, 1)).save(dot, "PNG")
    shapes = (
        Rect(1, 1, 8, 8, None, 0.5, 0.5, round=2), Line(0, 0, 9, 9, 1, 0.2, (1.0, 2.0)),
        Path((("M", (0.0, 0.0)), ("L", (5.0, 5.0)), ("Z", ())), 0.9), Text(0, 9, "<&\">", Face.SANS, 8, 0.4),
        Picture(0, 0, 4, 4, dot.getvalue()),
    )  # fmt: skip
    page = Page(10, 10, 1, (PlacedBlock(Placed(Drawing(10, 10, shapes), 0, 0)),))
    root = etree.fromstring(svg_text(page).encode())
    assert root.find(NAMES + "g").get("aria-label") == '<&">'
    assert root.find(NAMES + "rect[2]").attrib["rx"] == "2"
    assert root.find(NAMES + "image") is not None


def test_png_shows_what_the_page_shows(page: Page) -> None:
    """Ink where the marks say that notes stand, white in the corners."""
    with Image.open(io.BytesIO(png_bytes(page, 144))) as image:
        dots = numpy.asarray(image.convert("L"))
    assert dots[0, 0] == 255
    notes = [
        mark.box.moved(part.placed.x, part.placed.y)
        for part in page.parts
        for mark in part.placed.drawing.marks
        if mark.kind == "note"
    ]
    assert len(notes) > 20
    for box in notes:
        x, y = (box.left + box.right), (box.top + box.bottom)
        assert dots[round(y), round(x)] < 90, "a note's head is black in its middle"
