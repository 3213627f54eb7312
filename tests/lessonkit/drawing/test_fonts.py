"""The fonts are there, the table of advances is theirs, and every sign that music prose needs can be written."""

from itertools import pairwise

import pytest

from lessonkit.drawing.font_tables import SIGNS, table_of_advances
from lessonkit.drawing.fonts import FOLDER, OWN_SIGNS, _advances, _unpacked, advances, font_file, runs
from lessonkit.drawing.shapes import Face
from lessonkit.drawing.text_width import text_shapes, text_width

TEXTS = [
    "A♭maj7",
    "F♯m7♭5",
    "B♮",
    "E𝄪 and G𝄫",
    "♩ = 72",
    "𝅗𝅥 = 60",
    "C°7 Dø7 GΔ7 A−7",
    "○ ◐ ● □ ☐ ✓ → ←",
    "naïve – “quoted” …",
]


@pytest.mark.parametrize("face", Face)
def test_every_face_has_a_file_and_a_licence(face: Face) -> None:
    """A face without a file would only be noticed when the first page is painted."""
    name = font_file(face).name
    assert font_file(face).is_file()
    assert (FOLDER / f"{name.split('-')[0].removesuffix('.ttf')}-LICENSE.txt").is_file()


def test_the_table_of_advances_is_what_the_fonts_say() -> None:
    """The ruler reads the table; a font changed without it would shift every line."""
    table = table_of_advances()
    assert {face: _unpacked(**table[face.value]) for face in Face} == _advances()


def test_all_own_signs_are_in_our_own_face() -> None:
    """They are looked for nowhere else."""
    assert set(SIGNS) >= OWN_SIGNS


@pytest.mark.parametrize("face", Face)
@pytest.mark.parametrize("text", TEXTS)
def test_runs_join_to_the_text_and_each_can_be_written(text: str, face: Face) -> None:
    """A run in a face that lacks a sign prints nothing at all in a PDF, without a warning."""
    pieces = runs(text, face)
    assert "".join(piece for piece, _ in pieces) == text
    for piece, piece_face in pieces:
        assert all(ord(sign) in advances(piece_face) for sign in piece), (piece, piece_face)


def test_accidentals_come_from_our_own_face() -> None:
    """The text faces have none."""
    assert runs("E♭7♯9", Face.SERIF) == (
        ("E", Face.SERIF), ("♭", Face.SIGNS), ("7", Face.SERIF), ("♯", Face.SIGNS), ("9", Face.SERIF),
    )  # fmt: skip


def test_a_sign_that_no_face_has_keeps_its_place() -> None:
    """It shows as an empty box rather than vanish, and is measured as one."""
    assert runs("a漢b", Face.SERIF) == (("a漢b", Face.SERIF),)
    assert text_width("漢", Face.SERIF, 10) > 0


def test_width_is_the_sum_of_advances() -> None:
    """Source Serif Pro's T and o are 594 and 534 thousandths of an em wide; kerning would bring them closer."""
    assert text_width("To", Face.SERIF, 1000) == pytest.approx(
        text_width("T", Face.SERIF, 1000) + text_width("o", Face.SERIF, 1000)
    )
    assert text_width("", Face.SERIF, 10) == 0


def test_text_shapes_stand_end_to_end() -> None:
    """Runs of different faces follow each other without gap or overlap."""
    shapes = text_shapes("E♭ major", 10, 20, Face.SERIF, 12)
    assert [shape.text for shape in shapes] == ["E", "♭", " major"]
    for before, after in pairwise(shapes):
        assert after.x == pytest.approx(before.x + text_width(before.text, before.face, 12))


def test_the_stem_of_a_half_note_moves_nothing_on() -> None:
    """A half note is two code points in normal form: a notehead, and a stem that stands on it."""
    assert text_width("\U0001d157\U0001d165", Face.SERIF, 10) == pytest.approx(
        text_width("\U0001d15e", Face.SERIF, 10), abs=0.5
    )
