"""Words are parted by patterns, rarely, and never in headings."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from lessonkit.lesson.prose import Words
from lessonkit.pages.hyphens import LEAST_AFTER, LEAST_BEFORE, parts_of
from lessonkit.pages.style import BODY, HEADING_1, PROSE_WIDTH
from lessonkit.pages.text_flow import LEAST_FULL, set_lines
from lessonkit.theory.label_style import LabelStyle

LONG = "improvisation accompaniment fingering pentatonic syncopated keyboard progressions "


@pytest.mark.parametrize(
    ("word", "parts"),
    [
        # Merriam-Webster's word divisions, from memory.
        ("accompaniment", "ac-com-pa-ni-ment"),
        ("fingering,", "fin-ger-ing,"),
        ("(pentatonic)", "(pen-ta-ton-ic)"),
    ],
)
def test_english_words_part_where_a_dictionary_parts_them(word: str, parts: str) -> None:
    """Patterns may know fewer places than a dictionary, never others."""
    allowed = {len(parts[:place].replace("-", "")) for place, sign in enumerate(parts) if sign == "-"}
    assert set(parts_of(word)) <= allowed
    assert parts_of(word)


@pytest.mark.parametrize("word", ["chord", "Abmaj7", "Lantern", "two-handed", "A♭", "ACCOMPANIMENT", ""])
def test_short_words_names_and_symbols_stay_whole(word: str) -> None:
    """A parted name or symbol is misread."""
    assert parts_of(word) == ()


@pytest.mark.parametrize("width", [90, 120, 160, 236, PROSE_WIDTH])
def test_lines_stay_within_the_width_and_lose_no_letter(width: float) -> None:
    """Joined again at its hyphens the text is the text."""
    lines = set_lines((Words(LONG * 6),), BODY, width, LabelStyle())
    assert all(line.width <= width + 0.01 for line in lines)
    joined = "".join(line.text[:-1] if line.text.endswith("-") else line.text + " " for line in lines)
    assert joined.split() == (LONG * 6).split()


def test_words_are_parted_as_the_library_parts_them() -> None:
    """The patterns are the library's; only what is read of them, and when, is ours."""
    pyphen = pytest.importorskip("pyphen").Pyphen(lang="en_US", left=LEAST_BEFORE, right=LEAST_AFTER)
    lessonkit = Path(__file__).resolve().parents[3] / "lessonkit"
    text = " ".join(path.read_text("utf-8") for path in sorted(lessonkit.glob("**/*.py")))
    words = set(re.findall(r"\b[a-z]{7,}\b", text))
    assert len(words) > 1000
    assert [word for word in words if parts_of(word) != tuple(pyphen.positions(word))] == []


def test_a_word_is_parted_only_where_the_line_would_be_left_short() -> None:
    """Hyphens in a ragged column cost the reader more than a small gap."""
    lines = set_lines((Words(LONG * 8),), BODY, 160, LabelStyle())
    assert any(line.text.endswith("-") for line in lines)
    for line in lines:
        if line.text.endswith("-"):
            before = set_lines((Words(line.text.rsplit(" ", 1)[0]),), BODY, 10_000, LabelStyle())[0].width
            assert before < LEAST_FULL * 160


def test_headings_are_never_parted() -> None:
    """A heading is read at a glance."""
    lines = set_lines((Words(LONG * 3),), HEADING_1, 200, LabelStyle())
    assert not any(line.text.endswith("-") for line in lines)
