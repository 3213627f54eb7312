"""A drill is worked out once, spelled as the lesson wishes, and kept on the keyboard."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.progression_through_keys import ProgressionThroughKeys
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.quality import Quality


def test_equal_drills_in_equal_surroundings_are_worked_out_once() -> None:
    """An unchanged block costs nothing; the tempo changes no note."""
    setting = Setting(Key.parse("Eb"))
    first = realise(BrokenChords(), setting)
    assert realise(BrokenChords(), Setting(Key.parse("Eb"))) is first
    assert realise(BrokenChords(), replace(setting, tempo=200)) is first
    assert realise(BrokenChords(octaves=1), setting) is not first


def test_a_drills_own_key_counts_before_the_lessons() -> None:
    """A key that is chosen is printed as it is chosen, even C♭."""
    exercise = realise(BrokenChords(key=Key.parse("Cb")), Setting(Key.parse("E")))
    assert exercise.key == Key.parse("Cb")
    assert exercise.events[0].pitches == (Pitch.parse("Cb4"),)


def test_what_reads_badly_is_respelled_with_a_remark() -> None:
    """A♭7♭9 has B𝄫; for the reader it is A (common practice, no source)."""
    drill = BrokenChords(quality=Quality.named("7b9"))
    strict = realise(drill, Setting(Key.parse("Ab")))
    friendly = realise(drill, Setting(Key.parse("Ab"), is_friendly=True))
    assert "B𝄫" in {str(event.pitches[0].name) for event in strict.events if event.pitches}
    assert {str(event.pitches[0].name) for event in friendly.events if event.pitches} == {"A♭", "A", "C", "E♭", "G♭"}
    assert friendly.remarks == ("A♭7♭9: A for B𝄫",)


def test_each_key_of_a_progression_is_respelled_for_itself() -> None:
    """What belongs to the key of its line keeps its spelling: C♭maj7 stays in G♭ major."""
    drill = ProgressionThroughKeys(progression=Progression.parse("IVmaj7"))
    exercise = realise(drill, Setting(Key.parse("C"), is_friendly=True))
    names = {str(mark.chord) for mark in exercise.chords}
    assert "C♭maj7" in names
    assert exercise.remarks == ()


def test_a_sentence_says_which_hand_leaves_the_keyboard_and_where() -> None:
    """So that the teacher knows what to change."""
    drill = BrokenChords(octaves=4, lowest=Pitch.parse("C5"))
    sentence = "the right hand would reach E♭9, above the piano's C8; begin lower or take fewer octaves"
    with pytest.raises(ValueError, match=sentence):
        realise(drill, Setting(Key.parse("Eb")))
