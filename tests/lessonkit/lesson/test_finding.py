"""Words found and replaced in everything that a teacher wrote."""

from __future__ import annotations

import pytest

from lessonkit.lesson.finding import AIMS, TITLE, FoundWords, around, find_words, replace_words
from lessonkit.lesson.lesson import LONGEST_LINE, Heading, Lesson, Note, Space

LESSON = Lesson(
    title="Slow hands",
    aims="Play slow.",
    blocks=(Heading("Slow first", id="h"), Note("Go slow, slowly.\nSLOW.", id="n"), Space(id="s")),
)


def test_words_are_found_in_title_aims_headings_and_notes() -> None:
    """In the order of the pages, whatever their capitals."""
    found = find_words(LESSON, "slow")
    assert [one.place for one in found] == [TITLE, AIMS, "h", "n", "n", "n"]
    assert found[3] == FoundWords("n", 3, 7)
    assert len(find_words(LESSON, "slow", minds_case=True)) == 3
    assert find_words(LESSON, "") == ()
    assert find_words(LESSON, "s.ow") == ()


def test_words_are_replaced_everywhere_at_once() -> None:
    """Longer and shorter words keep the places of the others right."""
    changed = replace_words(LESSON, find_words(LESSON, "slow"), "fast as you can")
    assert changed.title == "fast as you can hands"
    note = changed.block("n")
    assert isinstance(note, Note)
    assert note.text == "Go fast as you can, fast as you canly.\nfast as you can."


def test_what_would_grow_too_long_is_refused() -> None:
    """A title has its limit."""
    with pytest.raises(ValueError, match="longer than"):
        replace_words(LESSON, find_words(LESSON, "slow"), "x" * (LONGEST_LINE + 1))


def test_the_words_around_are_one_line() -> None:
    """Enough to know the place by."""
    assert around(LESSON, find_words(LESSON, "slowly")[0]) == "Go slow, slowly. SLOW."
