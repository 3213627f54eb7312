"""A lick written as MusicXML and read again is the same lick: the two doors of the room agree, through music21."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonkit.drills.carrying import AT_HOME, carried_phrase
from lessonkit.drills.families.own_lick import OwnLick
from lessonkit.drills.family import Metre
from lessonkit.drills.phrase import Phrase
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.shaping import in_metre
from lessonkit.exchange.excerpt import read_excerpt
from lessonkit.exchange.musicxml import Movement, to_musicxml
from lessonkit.theory.key import Key

LICKS = [
    ("in C | Dm7: 1/12 r F4 A 1/6 C5 1/12 B G7: 1/12 Bb r Ab 1/24 G F# G F E D | Cmaj7: 1/2 C 1/8 E D 1/4 r", "Db"),
    ("in C | 1/8 r C#5 | Dm7: 1/8 D C A F E G F A | G7: 1/8 Ab B D F 1/16 E D C B 1/8 Bb A# | Cmaj7: 1 B", "B"),
    ("in Am | Bm7b5: 3/8 A4+D5 1/8 G#+F ~ 1/4 F# 1/8 F | E7b9: 1/4 ~ 1/16 G# A B C# 1/2 D+F | Am6: 1 C5", "G#m"),
]


@pytest.mark.parametrize(("text", "key"), LICKS)
def test_a_lick_goes_out_and_comes_back(tmp_path: Path, text: str, key: str) -> None:
    """Notes, lengths, ties, chords and key; rests may be parted otherwise."""
    lick = Phrase.parse(text)
    exercise = realise(OwnLick(lick=lick), Setting(Key.parse(key)))
    path = tmp_path / "lick.musicxml"
    path.write_bytes(to_musicxml([Movement(exercise)], "A lick"))
    excerpt = read_excerpt(path)
    wanted = in_metre(carried_phrase(lick, Key.parse(key), AT_HOME, True), Metre.FOUR_FOUR.meter)
    assert [one for one in excerpt.phrase.placed if one[1].pitches] == [one for one in wanted.placed if one[1].pitches]
    assert excerpt.phrase.chords == wanted.chords
    assert excerpt.phrase.key == Key.parse(key)
    assert excerpt.metre is Metre.FOUR_FOUR
