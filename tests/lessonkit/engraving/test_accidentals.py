"""Which accidentals are printed. Rules: common practice as in C.10 of our notes; common practice, no source.

A line of a table is read from left to right: notes with the sign that is expected before each, bars parted by ``|``.
"""

from __future__ import annotations

import pytest

from lessonkit.engraving.accidentals import COURTESY, NOTHING, PLAIN, Memory
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch

EXPECTED = {"": NOTHING, "!": PLAIN, "?": COURTESY}


@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("C", "F#4! F#4 F#5!"),
        ("C", "F#4! F4!"),
        ("C", "F#4! | F#4!"),
        ("C", "F#4! | F4?"),
        ("C", "F#4! | F4? F4"),
        ("C", "F#4! | A4 | F4"),
        ("C", "F#4! F5?"),
        ("G", "F#4 F4! | F#4?"),
        ("Eb", "Bb4 B4! Bb4!"),
        ("C", "F##4! F#4!"),
        ("C", "F#4! : F#4! F#4"),
        ("C", "F#4! : F4!"),
        ("C", "F4 : F4"),
    ],
)
def test_a_reader_is_told_what_signature_and_bar_leave_unsaid(key: str, line: str) -> None:
    """``!`` a plain sign, ``?`` a courtesy, nothing none; ``:`` a bar line that is not printed."""
    memory = Memory({name.letter: name.alteration for name in Key.parse(key).signature_names})
    for word in line.split():
        if word in "|:":
            memory.pass_bar_line(word == "|")
            continue
        note = word.rstrip("!?")
        assert memory.sign(0, Pitch.parse(note), 0) == EXPECTED[word[len(note) :]], word


def test_the_other_hand_is_reminded() -> None:
    """The left hand plays F while the right has just played F♯: a courtesy keeps them apart."""
    memory = Memory({})
    assert memory.sign(0, Pitch.parse("F#5"), 0) == PLAIN
    assert memory.sign(1, Pitch.parse("F3"), 0) == COURTESY


def test_a_tie_carries_its_sign_over_the_bar_line_and_no_further() -> None:
    """The tied note has no sign of its own; the next of its pitch has."""
    memory = Memory({})
    memory.sign(0, Pitch.parse("F#5"), 0)
    memory.pass_bar_line(True)
    assert memory.sign(0, Pitch.parse("F#5"), 0, is_tied=True) == NOTHING
    assert memory.sign(0, Pitch.parse("F#5"), 0) == PLAIN


def test_under_an_octave_line_either_way_of_counting_is_answered() -> None:
    """F♯5, then F♮6 written as F5 under 8va: who counts lines and who counts sounds both need the natural."""
    memory = Memory({})
    memory.sign(0, Pitch.parse("F#5"), 0)
    assert memory.sign(0, Pitch.parse("F6"), 1) == PLAIN


def test_a_new_signature_says_all() -> None:
    """After a change of key no courtesy is needed."""
    memory = Memory({})
    memory.sign(0, Pitch.parse("F#5"), 0)
    memory.pass_bar_line(True)
    memory.change_signature({3: 1})
    assert memory.sign(0, Pitch.parse("F#5"), 0) == NOTHING
