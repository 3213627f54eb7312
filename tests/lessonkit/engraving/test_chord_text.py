"""Chord symbols typeset: nothing is lost, parts stand in order, and what is raised is raised."""

import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from lessonkit.drawing.fonts import font_file, signs_beside
from lessonkit.drawing.shapes import Face, Text
from lessonkit.drawing.text_width import text_shapes
from lessonkit.engraving.chord_text import ALTERED_SIZE, RAISED_SIZE, set_symbol, symbol_width

SYMBOLS = [
    "C", "A♭maj7", "Dm7♭5", "Dø7", "B°7", "GΔ7", "C−7", "C7♯9", "Cm(maj7)", "G/B", "E♭m7/D♭", "C6/9", "C+", "B𝄫7",
    "IVmaj7", "vim7", "viiø7", "♭III7", "V7/ii", "subV7/♭II", "V/3", "V/♭7", "", "not a chord", "/", "漢",
]  # fmt: skip


@pytest.mark.parametrize("symbol", SYMBOLS)
def test_the_pieces_are_the_symbol(symbol: str) -> None:
    """A symbol is copied and searched in the finished handout, so no sign may be lost or drawn as an outline."""
    shapes, _ = set_symbol(symbol, 5, 50, 10, Face.SERIF)
    assert "".join(shape.text for shape in shapes) == symbol


@pytest.mark.parametrize("symbol", SYMBOLS)
def test_pieces_run_from_left_to_right_within_the_width(symbol: str) -> None:
    """Pieces that overlap cannot be read."""
    shapes, width = set_symbol(symbol, 5, 50, 10, Face.SERIF)
    assert [shape.x for shape in shapes] == sorted(shape.x for shape in shapes)
    assert all(5 <= shape.x <= 5 + width for shape in shapes)
    assert width == symbol_width(symbol, 10, Face.SERIF)


def test_root_and_minor_stand_on_the_base_line_and_figures_are_raised() -> None:
    """C7♯9 must not read as C♯9: the alteration belongs to the figure beside it (common practice, no source)."""
    lines = {shape.text: (shape.y, shape.size) for shape in set_symbol("Dm7♭5", 0, 50, 10, Face.SERIF)[0]}
    assert lines["D"] == (50, 10)
    assert lines["m"][0] == 50
    assert lines["7"] == lines["5"] == (pytest.approx(47.8), 10 * RAISED_SIZE)
    assert lines["♭"] == (pytest.approx(48.3), 10 * ALTERED_SIZE)


def _ink_of(shape: Text) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of the ink of a run, from the outlines of its font."""
    with TTFont(font_file(shape.face)) as font:
        glyphs, names, scale = font.getGlyphSet(), font.getBestCmap(), shape.size / font["head"].unitsPerEm
        pen = BoundsPen(glyphs)
        glyphs[names[ord(shape.text[0])]].draw(pen)
    left, bottom, right, top = (side * scale for side in pen.bounds)
    return shape.x + left, shape.y - top, shape.x + right, shape.y - bottom


@pytest.mark.parametrize("face", [face for face in Face if face.value.startswith(("serif", "sans"))])
@pytest.mark.parametrize("symbol", ["E♭7", "D♭13", "A♭7", "G♯7", "F♯7", "C♯7", "F𝄫7"])
def test_the_roots_sign_stands_clear_of_its_letter_and_below_the_raised_figure(symbol: str, face: Face) -> None:
    """B♭7 with the flat up beside the figure reads as B with a flat seventh (common practice, no source)."""
    root, sign, figure = map(_ink_of, set_symbol(symbol, 0, 50, 10, face)[0])
    assert sign[0] - root[2] > 0.1
    assert figure[0] - sign[2] > 0.7
    assert root[3] - 0.3 < sign[3] < root[3] + 0.5
    assert root[1] - 1.2 < sign[1] < root[1]
    assert figure[3] < sign[3] - 1.5


@pytest.mark.parametrize("face", [Face.SERIF, Face.SERIF_ITALIC, Face.SERIF_BOLD, Face.SANS_BOLD])
def test_a_sign_is_the_same_in_text_and_in_a_symbol(face: Face) -> None:
    """A♭ in words and A♭7 as a chord stand in one line."""
    in_text, in_symbol = text_shapes("A♭", 0, 50, face, 10)[1], set_symbol("A♭7", 0, 50, 10, face)[0][1]
    assert in_text == in_symbol._replace(x=pytest.approx(in_symbol.x))


@pytest.mark.parametrize("symbol", ["C7♭5", "C7♯11"])
def test_an_altered_figure_keeps_its_sign_readable(symbol: str) -> None:
    """In a text of 10 points the sign is no lower than its figure, and at least 6 points high."""
    shapes = set_symbol(symbol, 0, 50, 10, Face.SERIF)[0]
    (sign,) = (_ink_of(shape) for shape in shapes if shape.text in "♭♯")
    (seven,) = (_ink_of(shape) for shape in shapes if shape.text == "7")
    assert sign[3] - sign[1] >= 6.0
    assert sign[1] < seven[1]
    assert sign[3] > seven[3]


def _ink(face: Face, sign: str) -> float:
    """How much a sign blackens, in square ems."""
    with TTFont(font_file(face)) as font:
        glyphs, names, units = font.getGlyphSet(), font.getBestCmap(), font["head"].unitsPerEm
        pen = AreaPen(glyphs)
        glyphs[names[ord(sign)]].draw(pen)
    return float(abs(pen.value)) / units**2


def test_bold_letters_have_bold_signs() -> None:
    """Beside half bold letters the hair-thin signs of the text vanish."""
    assert signs_beside(Face.SERIF) is signs_beside(Face.SERIF_ITALIC) is Face.SIGNS
    assert {signs_beside(face) for face in Face if "bold" in face.value or "black" in face.value} == {Face.SIGNS_BOLD}
    assert all(_ink(Face.SIGNS_BOLD, sign) > 1.25 * _ink(Face.SIGNS, sign) for sign in "♭♯𝄫°")


def test_maj_is_not_taken_for_minor() -> None:
    """Both begin with an m."""
    assert [shape.text for shape in set_symbol("Cmaj7", 0, 0, 10, Face.SERIF)[0]] == ["C", "maj7"]


def test_the_slash_of_six_nine_is_no_bass() -> None:
    """A bass is a note or a degree from 1 to 7."""
    assert [shape.text for shape in set_symbol("C6/9", 0, 0, 10, Face.SERIF)[0]] == ["C", "6/9"]
    assert [shape.text for shape in set_symbol("C6/9/E", 0, 0, 10, Face.SERIF)[0]] == ["C", "6/9", "/", "E"]
