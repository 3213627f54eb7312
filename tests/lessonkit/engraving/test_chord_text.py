"""Chord symbols typeset: nothing is lost, parts stand in order, and what is raised is raised."""

import pytest

from lessonkit.drawing.shapes import Face
from lessonkit.engraving.chord_text import RAISED_SIZE, set_symbol, symbol_width

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
    assert lines["7"] == lines["♭"] == lines["5"] == (pytest.approx(47.8), 10 * RAISED_SIZE)


def test_maj_is_not_taken_for_minor() -> None:
    """Both begin with an m."""
    assert [shape.text for shape in set_symbol("Cmaj7", 0, 0, 10, Face.SERIF)[0]] == ["C", "maj7"]


def test_the_slash_of_six_nine_is_no_bass() -> None:
    """A bass is a note or a degree from 1 to 7."""
    assert [shape.text for shape in set_symbol("C6/9", 0, 0, 10, Face.SERIF)[0]] == ["C", "6/9"]
    assert [shape.text for shape in set_symbol("C6/9/E", 0, 0, 10, Face.SERIF)[0]] == ["C", "6/9", "/", "E"]
