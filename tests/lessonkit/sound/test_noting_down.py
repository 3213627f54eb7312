"""Licks played in are written down as they were meant: what the sound room plays comes back as it was typed."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from random import Random

import pytest

from lessonkit.drills.exercise import Meter
from lessonkit.drills.family import family
from lessonkit.drills.phrase import Phrase
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.sound.noting_down import noted_down
from lessonkit.sound.performance import performance
from lessonkit.sound.played_in import Struck
from lessonkit.sound.playing import Playing
from lessonkit.theory.key import Key

FOUR = Meter(4, 4)


def played(text: str, tempo: float = 90, unsteady: float = 0.0) -> list[Struck]:
    """A phrase as a keyboard would send it, begun two seconds after listening began."""
    phrase = Phrase.parse(text)
    whole = 240 / tempo
    chance = Random(3)
    return [
        Struck(
            2 + float(now) * whole + chance.uniform(-unsteady, unsteady),
            2 + float(now + sound.length) * whole * 1.0 - 0.03,
            pitch.midi,
            70,
        )
        for now, sound in phrase.placed
        for pitch in sound.pitches
    ]


@pytest.mark.parametrize("text", [
    "in C | 1/8 A4 F D E F A C A | 1/4 B 1/8 Ab F 1/2 D",
    "in Eb | 1/4 Eb4 1/8 F G 1/2 Ab | 1/16 G F Eb D 1/4 C 1/2 Eb",
    "in F# minor | 3/8 F#4 1/8 G# 1/2 A+C#5",
    "in C | 1/12 C5 D E 1/4 F 1/12 E D C 1/4 B4",
    "in G | 1/8 r 1/8 G4 r A r B r C5".replace("1/8 r 1/8 G4", "1/8 G4"),
    "in C | 1/2 C4 ~ | 1/2 ~ 1/2 D4",
])  # fmt: skip
@pytest.mark.parametrize("unsteady", [0.0, 0.015])
def test_a_phrase_comes_back_as_it_was_typed(text: str, unsteady: float) -> None:
    """Lengths, rests, triplets, chords and spelling in its key, also from an unsteady hand."""
    asked = Phrase.parse(text)
    found = noted_down(played(text, unsteady=unsteady), asked.key, FOUR, 90)
    kept = [(now, sound.pitches) for now, sound in found.placed if sound.pitches]
    assert kept == [(now, sound.pitches) for now, sound in asked.placed if sound.pitches]
    lengths = [sound.length for sound in found.sounds if sound.pitches]
    assert lengths == [sound.length for sound in asked.sounds if sound.pitches]
    assert set(found.bars) == {Fraction(1)}


def test_what_is_written_down_makes_a_lick() -> None:
    """It goes into the lesson as an own lick and plays there."""
    phrase = noted_down(played("in C | 1/12 C5 D E 1/4 F 1/8 E D 1/4 C | 1/4 G4"), Key.parse("C"), FOUR, 90)
    drill = replace(family("own-lick")(), lick=phrase)
    exercise = realise(drill, Setting(Key.parse("C")))
    assert len(performance(exercise, Playing(90)).notes) >= 8


def test_six_eight_is_counted_in_dotted_quarters() -> None:
    """At 60 a dotted quarter lasts a second."""
    keys = [Struck(at / 3, at / 3 + 0.3, 60 + at, 70) for at in range(6)]
    found = noted_down(keys, Key.parse("C"), Meter(6, 8), 60)
    assert [sound.length for sound in found.sounds] == [Fraction(1, 8)] * 6


def test_chance_is_written_down_too_or_told() -> None:
    """Whatever is played becomes a phrase that can be typed, or a sentence."""
    chance = Random(11)
    for _ in range(300):
        now, keys = 0.0, []
        for _ in range(chance.randrange(1, 40)):
            now += chance.choice((0.01, 0.1, 0.2, 0.25, 0.5, 1.7)) * chance.uniform(0.8, 1.2)
            keys.append(Struck(now, now + chance.uniform(0.02, 1.5), chance.randrange(40, 90), 64))
        phrase = noted_down(keys, Key.parse(chance.choice(("C", "Db", "F# minor"))), FOUR, 90)
        assert Phrase.parse(phrase.ascii) == phrase


def test_nothing_played_is_told() -> None:
    """One sentence."""
    with pytest.raises(ValueError, match="no note was played"):
        noted_down([], Key.parse("C"), FOUR, 90)
    with pytest.raises(ValueError, match="shorter lick"):
        noted_down([Struck(0, 1, 60, 64), Struck(900, 901, 60, 64)], Key.parse("C"), FOUR, 90)
