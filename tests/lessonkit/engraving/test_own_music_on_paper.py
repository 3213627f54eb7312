"""The teacher's own licks on paper: read back as they are meant, triplets told, chord names in their places."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lessonkit.drills.exercise import Blank, Hand
from lessonkit.drills.families.own_chart import Fills, OwnChart
from lessonkit.drills.families.own_lick import Notes, OwnLick, Under
from lessonkit.drills.family import Hands, Metre
from lessonkit.drills.key_deck import Order
from lessonkit.drills.phrase import Phrase
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.worksheet import Worksheet
from lessonkit.engraving.engrave import engrave, engraver_text
from lessonkit.engraving.look import Look
from lessonkit.engraving.score import written
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from tests.lessonkit.engraving.test_read_back import assert_printed_as_meant

LICKS = {
    "a pick-up, sixteenths and a tie": Phrase.parse(
        "in C | 1/8 r C#5 | Dm7: 1/8 D C A F E G F A | G7: 1/8 Ab B D F 1/16 E D C B 1/8 Bb A# | Cmaj7: 1/4 B 1/8 G B4 "
        "1/2 ~"
    ),
    "triplets with rests and a quarter": Phrase.parse(
        "in C | Dm7: 1/12 r F4 A 1/6 C5 1/12 B G7: 1/12 Bb r Ab 1/24 G F# G F E D | Cmaj7: 1/2 C 1/8 E D 1/4 r"
    ),
    "over the bar and double notes": Phrase.parse(
        "in Am | Bm7b5: 3/8 A4+D5 1/8 G#+F ~ 1/4 F# 1/8 F | E7b9: 1/4 ~ 1/16 G# A B C# 1/2 D+F "
        "| Am6: 1/8 C5 F# E C 1/2 A"
    ),
}
LOOK = Look(482.0)


@pytest.mark.parametrize("name", LICKS)
@pytest.mark.parametrize("key", [*MAJOR_KEYS, *MINOR_KEYS], ids=lambda key: key.ascii)
def test_a_lick_is_printed_as_it_is_meant_in_every_key_and_mode(name: str, key: Key) -> None:
    """A wrong accidental after a mode change teaches a wrong lick."""
    for notes in Notes:
        for under in (Under.SHELLS, Under.LICK):
            drill = OwnLick(lick=LICKS[name], notes=notes, hands=Hands.BOTH, under=under)
            assert_printed_as_meant(realise(drill, Setting(key)))
            assert_printed_as_meant(realise(drill, Setting(key, is_friendly=True)))


@pytest.mark.parametrize("fills", Fills)
def test_a_chart_with_fills_is_printed_as_it_is_meant(fills: Fills) -> None:
    """Runs above the chords go under octave lines where they are high."""
    for key in MAJOR_KEYS + MINOR_KEYS:
        assert_printed_as_meant(realise(OwnChart(fills=fills, fill_length=Fraction(1, 16)), Setting(key)))


def test_each_triplet_among_plain_notes_is_told_on_every_line() -> None:
    """Three beamed eighths without a number are read as eighths; where all notes are triplets one number does."""
    drill = OwnLick(lick=LICKS["triplets with rests and a quarter"], key_order=Order.CHOSEN, key_list=MAJOR_KEYS[5:8])
    exercise = realise(drill, Setting(Key.parse("C")))
    lines, _ = engraver_text(exercise, LOOK)
    assert lines.count('num.visible="true"') == lines.count("<tuplet ") == 3 * 5
    plain = realise(OwnLick(lick=Phrase.parse("in C | 1/12 C4 D E F G A B C B A G F | 1 E")), Setting(Key.parse("C")))
    lines, _ = engraver_text(plain, LOOK)
    assert lines.count('num.visible="true"') == 4


def test_triplets_close_where_the_beat_does() -> None:
    """A quarter and an eighth make a whole triplet, rests count, and six fine ones are two."""
    lick = LICKS["triplets with rests and a quarter"]
    bar = written(realise(OwnLick(lick=lick), Setting(Key.parse("C")))).bars[Hand.RIGHT][0]
    lengths = [[bar.pieces[at].length for at in range(run.first, run.last)] for run in bar.tuplets]
    quarter = sum(lengths[0])
    assert [sum(run) for run in lengths] == [quarter, quarter, quarter, quarter // 2, quarter // 2]


def test_a_harmony_is_not_said_again_in_the_next_key() -> None:
    """A pick-up before the first chord of a key has no chord name; the last key's chord would be a wrong one."""
    lick = LICKS["a pick-up, sixteenths and a tie"]
    drill = OwnLick(lick=lick, key_order=Order.CHOSEN, key_list=(Key.parse("C"), Key.parse("Eb")))
    names = [
        mark.detail
        for drawing in engrave(realise(drill, Setting(Key.parse("C"))), LOOK)
        for mark in drawing.marks
        if mark.kind == "chord name"
    ]
    assert names.count("Cmaj7") == names.count("E♭maj7") == 1


def test_a_worksheet_of_a_lick_hides_the_notes_and_answers_them() -> None:
    """The answers come from the same exercise."""
    drill = OwnLick(worksheet=Worksheet.NOTES)
    exercise = realise(drill, Setting(Key.parse("Bb")))
    assert Blank.NOTES in exercise.blank
    assert_printed_as_meant(exercise)


def test_a_waltz_is_beamed_by_its_quarters() -> None:
    """Six eighths of three quarters stand under three beams, not two."""
    drill = OwnLick(lick=Phrase.parse("in G | G: 1/8 B4 A G F# E D"), metre=Metre.THREE_FOUR)
    (bar,) = written(realise(drill, Setting(Key.parse("G")))).bars[Hand.RIGHT]
    assert [(run.first, run.last) for run in bar.beams] == [(0, 2), (2, 4), (4, 6)]


def test_a_bar_without_notes_has_one_rest() -> None:
    """In a waltz, too, the left hand waits for a bar under one whole rest and not under two rests."""
    lick = Phrase.parse("in G | 1/4 D5 | G: 1/8 B4 A G F# E D | 3/4 r | D: F#")
    exercise = realise(OwnLick(lick=lick, metre=Metre.THREE_FOUR, hands=Hands.BOTH), Setting(Key.parse("G")))
    bars = written(exercise).bars
    assert [bool(bar.pieces) for bar in bars[Hand.RIGHT]] == [True, True, False, True]
    assert not bars[Hand.LEFT][0].pieces
    assert_printed_as_meant(exercise)
