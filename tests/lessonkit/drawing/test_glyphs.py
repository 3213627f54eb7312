"""The music font's outlines are the ones that the engraver drew with."""

from __future__ import annotations

import json

import pytest

from lessonkit.drawing import glyphs
from lessonkit.drawing.glyphs import codes, gathered, glyph_box, outline, path_commands


def test_the_kept_outlines_are_verovios() -> None:
    """verovio measures with its own data; other outlines would not fit the places that it answers."""
    stored = json.loads(glyphs._STORE.read_text(encoding="utf-8"))
    assert stored == gathered()


@pytest.mark.parametrize("code", [0xE050, 0xE062, 0xE0A2, 0xE0A3, 0xE0A4, 0xE260, 0xE261, 0xE262, 0xE263, 0xE511])
def test_an_outline_lies_within_its_box(code: int) -> None:
    """Collisions are judged by boxes; they must hold the ink. Curves may bulge a little less than their handles."""
    box = glyph_box(code)
    ends = [numbers[-2:] for _, numbers in outline(code) if numbers]
    assert min(x for x, _ in ends) >= box.left - 2
    assert max(x for x, _ in ends) <= box.right + 2
    assert min(y for _, y in ends) >= box.top - 2
    assert max(y for _, y in ends) <= box.bottom + 2


def test_a_flat_rises_above_its_origin_in_downward_units() -> None:
    """y grows downwards on our pages and upwards in the font; the bow of a flat ends a little below its origin."""
    box = glyph_box(0xE260)
    assert box.top < -400
    assert 0 < box.bottom < 200


def test_every_kept_glyph_can_be_drawn() -> None:
    """A path step that is not understood would show only on the page that needs it."""
    for code in codes():
        assert {step for step, _ in outline(code)} <= {"M", "L", "C", "Z"}


def test_relative_and_short_steps_become_absolute() -> None:
    """The steps of SVG paths (W3C, SVG 1.1, chapter 8): h and v, a smooth curve, a move after a closed part."""
    assert path_commands("M10 10h5v-5z") == (("M", (10, 10)), ("L", (15, 10)), ("L", (15, 5)), ("Z", ()))
    assert path_commands("M0 0c0 1 1 2 2 2s2-1 2-2")[2] == ("C", (3, 2, 4, 1, 4, 0))
    assert path_commands("M1 2l3 4", -1.0) == (("M", (1, -2)), ("L", (4, -6)))


def test_an_unknown_glyph_is_refused_with_a_sentence() -> None:
    """Who adds a sign learns where its outline comes from."""
    with pytest.raises(ValueError, match="U\\+1234 is not kept"):
        outline(0x1234)


def test_a_path_step_that_cannot_be_drawn_is_refused() -> None:
    """An arc drawn as a line would be a silent error."""
    with pytest.raises(ValueError, match="'A'"):
        path_commands("M0 0A1 1 0 0 0 2 2")
