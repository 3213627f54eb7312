"""Finished PDFs read back: words are words, every font is inside, and the same pages are the same bytes."""

from __future__ import annotations

import io

import pikepdf
import pypdf
import pytest

from lessonkit.drawing.glyphs import codes
from lessonkit.drawing.shapes import Drawing, Face, Glyph, Line, Path, Picture, Placed, Rect, Shape, Text
from lessonkit.drawing.text_width import text_shapes
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.progression_through_keys import ProgressionThroughKeys, Worksheet
from lessonkit.handout.pdf import pdf_bytes
from lessonkit.handout.unicode_map import unicode_map
from lessonkit.lesson.lesson import Drill, Heading, House, Lesson, Note, PageBreak
from lessonkit.pages.flow import pages_of
from lessonkit.pages.page import OutlineEntry, Page, PlacedBlock
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle

LESSON = Lesson(
    "Gentle sevenths in {key}",
    "Play {IVmaj7} evenly.",
    "A. Teacher",
    Key.parse("Gb"),
    blocks=(
        Heading("First part"),
        Note("The chords are {Imaj7}, {viiø7}, {chord F#m7b5}, {chord C7#9} and {chord B°7}; (brackets) and \\ stay."),
        Drill(BrokenChords()),
        Heading("Inside", 2),
        Note("# Deeper\n\nWords."),
        PageBreak(),
        Heading("Second part"),
        Drill(ProgressionThroughKeys()),
    ),
)
"""A lesson with all that a PDF has to carry."""


def read(content: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(content))


def page_of(*shapes: Shape) -> Page:
    return Page(300, 200, 1, (PlacedBlock(Placed(Drawing(300, 200, shapes), 0, 0)),))


@pytest.fixture(scope="module")
def content() -> bytes:
    return pdf_bytes(pages_of(LESSON), "Gentle sevenths", LESSON.author)


def test_words_and_chord_names_read_back_with_their_signs(content: bytes) -> None:
    """A handout is searched, copied and read aloud; an accidental drawn as a picture would be lost to all three."""
    text = read(content).pages[0].extract_text()
    for words in ["Gentle sevenths in G♭ major", "Play C♭maj7 evenly.", "First part", "(brackets) and \\ stay"]:
        assert words in text
    for name in ["G♭maj7", "Fm7♭5", "F♯m7♭5", "C7♯9", "B°7"]:
        assert name in text


def test_chord_names_of_a_drill_read_back(content: bytes) -> None:
    """The names above the staff are words as well."""
    text = "".join(page.extract_text() for page in read(content).pages[1:])
    for name in ["G♭maj7", "E♭m7", "C♭maj7", "D♭7", "B♭maj7", "A♭maj7"]:
        assert name in text


@pytest.mark.parametrize("style", [LabelStyle(), LabelStyle("ø7", "Δ7", "−", "dim")])
def test_every_label_style_reads_back(style: LabelStyle) -> None:
    """The signs of chord names come from our own face and still are what they look like."""
    lesson = Lesson(key=Key.parse("Bb"), house=House(style), blocks=(Note("{Imaj7} {viiø7} {vim7} {vii°7}"),))
    names = {False: "B♭maj7 Am7♭5 Gm7 A°7", True: "B♭Δ7 Aø7 G−7 Adim7"}
    assert names[style.minor == "−"] in read(pdf_bytes(pages_of(lesson), "x")).pages[0].extract_text()


@pytest.mark.parametrize("text", ["E𝄪 G𝄫", "♩ = 72", "\U0001d157\U0001d165 = 60", "naïve – “quoted” …", "○ ◐ ● □ ✓"])
def test_rare_signs_read_back(text: str) -> None:
    """Code points beyond U+FFFF need two halves in a PDF."""
    content = pdf_bytes([page_of(*text_shapes(text, 10, 100, Face.SERIF, 20))], "x")
    assert read(content).pages[0].extract_text().strip() == text


def test_more_signs_than_one_subset_holds_read_back() -> None:
    """A PDF font of this kind has 256 codes; more signs need a second one."""
    text = "".join(map(chr, (*range(0x41, 0x5B), *range(0xC0, 0x180), *range(0x391, 0x3A0), *range(0x410, 0x450))))
    shapes = tuple(Text(10, 10 + place, text[place : place + 40], Face.SPARE, 5) for place in range(0, len(text), 40))
    found = read(pdf_bytes([page_of(*shapes)], "x")).pages[0].extract_text()
    assert "".join(found.split()) == text


def test_a_table_of_signs_holds_at_most_a_hundred_in_a_block() -> None:
    """Adobe Technical Note 5014 allows no more, and some readers stop there."""
    table = unicode_map("F", [0, *range(0x41, 0x41 + 205), 0x1D15E])
    counts = [int(line.split()[0]) for line in table.splitlines() if line.endswith("beginbfchar")]
    assert counts == [100, 100, 7]
    assert "<CE> <D834DD5E>" in table


def test_every_font_is_embedded_as_a_subset(content: bytes) -> None:
    """A font that is only named prints as another one elsewhere; Helvetica comes in by itself where nobody looks."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        fonts = [item for item in pdf.objects if isinstance(item, pikepdf.Dictionary) and item.get("/Type") == "/Font"]
        assert len(fonts) >= 4
        for font in fonts:
            assert "/FontFile2" in font["/FontDescriptor"], font["/BaseFont"]
            assert str(font["/BaseFont"])[7] == "+"
            assert "/ToUnicode" in font


def test_the_document_says_what_it_is(content: bytes) -> None:
    """Title, author and language are read out by screen readers and shown by file lists."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        assert pdf.docinfo["/Title"] == "Gentle sevenths"
        assert pdf.docinfo["/Author"] == "A. Teacher"
        assert pdf.Root.Lang == "en"
        assert pdf.Root.ViewerPreferences.DisplayDocTitle


def test_headings_are_outline_entries_at_their_depth(content: bytes) -> None:
    """A reader finds the parts of a lesson beside the page."""
    with pikepdf.open(io.BytesIO(content)) as pdf, pdf.open_outline() as outline:
        found = [(item.title, [child.title for child in item.children]) for item in outline.root]
    assert found == [("First part", ["Inside", "Deeper"]), ("Second part", [])]


def test_an_outline_that_skips_a_depth_is_mended() -> None:
    """A lesson may begin with a small heading; a PDF outline may not."""
    page = Page(300, 200, 1, (), (OutlineEntry("deep", 3, 20), OutlineEntry("top", 1, 50), OutlineEntry("low", 3, 90)))
    with pikepdf.open(io.BytesIO(pdf_bytes([page], "x"))) as pdf, pdf.open_outline() as outline:
        assert [(item.title, len(item.children)) for item in outline.root] == [("deep", 0), ("top", 1)]


def test_the_same_pages_are_the_same_bytes(content: bytes) -> None:
    """A handout that is made again and has not changed is the same file."""
    assert pdf_bytes(pages_of(LESSON), "Gentle sevenths", LESSON.author) == content


def test_a_page_is_small(content: bytes) -> None:
    """Handouts go by mail; 60,000 bytes a page is the most."""
    assert len(content) <= 60_000 * len(read(content).pages)


def test_pages_keep_their_size_and_number(content: bytes) -> None:
    """What is printed is the page that was on the screen."""
    pages = pages_of(LESSON)
    boxes = [page.mediabox for page in read(content).pages]
    assert [(float(box.width), float(box.height)) for box in boxes] == [
        pytest.approx((page.width, page.height), abs=0.01) for page in pages
    ]


def test_each_glyph_is_stored_once() -> None:
    """A page of sixteenths has a thousand heads of one shape."""
    code = codes()[0]
    one = pdf_bytes([page_of(Glyph(code, 10, 50, 20))], "x")
    many = pdf_bytes([page_of(*(Glyph(code, 10 + place, 50, 20) for place in range(200)))] * 2, "x")
    for content in (one, many):
        with pikepdf.open(io.BytesIO(content)) as pdf:
            streams = [item for item in pdf.objects if isinstance(item, pikepdf.Stream)]
            assert [stream.get("/Subtype") for stream in streams].count("/Form") == 1
            assert list(pdf.pages[0].Resources.XObject.keys()) == [f"/FormXob.g{code:X}"]


def test_every_shape_is_painted() -> None:
    """One of each, with what makes it differ."""
    png = io.BytesIO()
    from PIL import Image

    Image.new("L", (2, 2), 128).save(png, "PNG")
    shapes: list[Shape] = [
        Line(0, 0, 10, 10, 0.5, 0.3, (2, 1)),
        Rect(0, 0, 10, 10, None, 1.0, 0.25),
        Rect(0, 0, 10, 10, 0.75, 0, round=3),
        Path((("M", (0, 0)), ("C", (1, 1, 2, 2, 3, 3)), ("Z", ())), 0.5),
        Text(5, 5, "", Face.SERIF, 10),
        Picture(0, 0, 20, 20, png.getvalue()),
        Text(5, 5, "after", Face.SERIF, 10),
    ]
    with pikepdf.open(io.BytesIO(pdf_bytes([page_of(*shapes)], "x"))) as pdf:
        operators = pdf.pages[0].Contents.read_bytes().decode("latin-1")
    for part in ["[2 1] 0 d", "0.3 G", "0.00 10.00 10.00 re S", "0.75 g", "2.00 3.00 3.00 c h f", "Do", "Tj"]:
        assert part in operators, part


def test_no_page_is_no_handout() -> None:
    """An empty PDF opens nowhere."""
    with pytest.raises(ValueError, match="no page"):
        pdf_bytes([], "x")


def test_a_worksheet_hides_its_answers_from_the_text_too() -> None:
    """A student who can select text must not find the answers below a blank."""
    worksheet = ProgressionThroughKeys(worksheet=Worksheet.CHORD_NAMES, count=1)
    lesson = Lesson(key=Key.parse("Eb"), blocks=(Drill(worksheet),))
    (plain,) = read(pdf_bytes(pages_of(lesson), "x")).pages
    _, answers = read(pdf_bytes(pages_of(lesson, shows_answers=True), "x")).pages
    for name in ["E♭maj7", "Cm7", "A♭maj7", "B♭7"]:
        assert name not in plain.extract_text()
        assert name in answers.extract_text()
