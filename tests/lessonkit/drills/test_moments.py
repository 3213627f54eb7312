"""A drill moment by moment: every note is struck once by its hand and finger, and a key is named as it is written."""

from __future__ import annotations

import pytest

from lessonkit.drills.family import families, family
from lessonkit.drills.moments import moments, told
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.hands.hand import Hand
from lessonkit.theory.key import Key

E_FLAT = Setting(Key.parse("Eb"))


@pytest.mark.parametrize("code", sorted(families()))
def test_every_note_is_struck_once(code: str) -> None:
    """What is shown on the keys is what is written: no note more, none less, fingers with it."""
    exercise = realise(families()[code](), E_FLAT)
    struck = [down for moment in moments(exercise) for down in moment.keys if down.is_struck]
    events = [event for event in exercise.events if event.pitches and not event.is_open]
    written = [
        (event.hand, pitch, event.fingers[place] if event.fingers else None)
        for event in events
        for place, pitch in enumerate(event.pitches)
    ]
    shown = [(down.hand, down.pitch, down.finger) for down in struck]
    if not any(event.is_tied for event in events):
        assert sorted(shown, key=str) == sorted(written, key=str)
    else:
        assert len(shown) < len(written)


def test_a_stride_bar_goes_bass_chord_bass_chord() -> None:
    """Root below, chord above it, each in its beat (common practice, no source)."""
    first = moments(realise(family("stride")(), E_FLAT))[:4]
    assert [(moment.bar, moment.beat) for moment in first] == [(1, 1), (1, 2), (1, 3), (1, 4)]
    assert [len(moment.keys) for moment in first] == [1, 3, 1, 3]
    assert all(down.hand is Hand.LEFT for moment in first for down in moment.keys)
    assert str(first[0].keys[0].pitch.name) == "E♭"


def test_a_key_is_told_by_chord_and_degree() -> None:
    """C is the sixth degree of E flat major and the third of A flat major seventh (common practice, no source)."""
    found = moments(realise(family("diatonic-ladder")(), E_FLAT))
    moment = next(one for one in found if one.chord is not None and one.chord.chord.ascii == "Abmaj7")
    assert told(0, moment) == "C: 3 of A♭maj7, degree 6 of E♭ major"
    assert told(8, moment) == "A♭: root of A♭maj7, degree 4 of E♭ major"
    assert told(7, moment) == "G: 7 of A♭maj7, degree 3 of E♭ major"
    assert told(9, moment) == "A: not in A♭maj7, degree ♯4 of E♭ major"


def test_a_flat_chord_tone_keeps_its_spelling() -> None:
    """The seventh of B flat seven is A flat and never G sharp (common practice, no source)."""
    found = moments(realise(family("stride")(), E_FLAT))
    moment = next(one for one in found if one.chord is not None and one.chord.chord.ascii == "Bb7")
    assert told(8, moment) == "A♭: ♭7 of B♭7, degree 4 of E♭ major"
