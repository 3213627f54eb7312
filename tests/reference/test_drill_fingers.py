"""Drills with the fingers that a printed manual gives them.

Source of every row: O. Beringer and T. F. Dunhill, *Manual of Scales, Arpeggios and Broken Chords for Pianoforte*
(1900): arpeggios over two octaves, up and down. The rows go through the drill as a student gets it, so that the family,
the search and the writing of fingers agree.
"""

from __future__ import annotations

import pytest

from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.theory.key import Key

TRIADS = """
C 0 right 1231235321321
C 1 right 1241245421421
C 2 right 1241245421421
C 0 left 5421421241245
C 1 left 5421421241245
C 2 left 5321321231235
Ab 0 right 2124124214212
Ab 1 right 1241245421421
Ab 2 right 2412412142142
Ab 0 left 2142142412412
Ab 1 left 5421421241245
Bb 0 right 2124124214212
Bb 0 left 3213212123123
Bbm 0 right 2312312132132
Bbm 1 right 2123123213212
Cm 1 right 2124124214212
Cm 1 left 4214212124124
D 0 left 5321321231235
D 1 right 2124124214212
E 2 right 1241245421421
"""
SEVENTHS = """
B dim7 0 right 12341234543214321
Bb dim7 0 right 23123412321432132
Db dim7 0 right 21234123432143212
Db dim7 0 left 32143213231234123
Eb 7 0 right 21234123432143212
Eb 7 1 right 12341234543214321
Eb 7 0 left 21432143234123412
F 7 0 right 12341234543214321
F 7 3 left 43214321212341234
B 7 1 right 23123412321432132
B 7 1 left 43214321212341234
A 7 1 right 21234123432143212
"""


def fingers(key: str, hand: str, **settings: str | int) -> str:
    drill = family("arpeggio-run").from_settings({"hands": hand, **settings})
    exercise = realise(drill, Setting(Key.parse(key)))
    return "".join(str(finger) for event in exercise.of(Hand(hand)) for finger in event.fingers)


@pytest.mark.parametrize("row", TRIADS.strip().splitlines())
def test_runs_of_triads_have_the_printed_fingers(row: str) -> None:
    """Key, inversion, hand, fingers."""
    key, inversion, hand, printed = row.split()
    assert fingers(key, hand, size="triad", inversion=int(inversion)) == printed


@pytest.mark.parametrize("row", SEVENTHS.strip().splitlines())
def test_runs_of_sevenths_have_the_printed_fingers(row: str) -> None:
    """Root, quality, inversion, hand, fingers."""
    root, quality, inversion, hand, printed = row.split()
    assert fingers(root, hand, quality=quality, inversion=int(inversion)) == printed
