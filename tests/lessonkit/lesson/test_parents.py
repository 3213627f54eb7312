"""What parents are told of a lesson: from its notes, in words that everybody knows."""

from __future__ import annotations

import re

import pytest

from lessonkit.drills.family import families, family
from lessonkit.drills.setting import Setting
from lessonkit.lesson.aids.parent_note import ParentNote
from lessonkit.lesson.lesson import Aid, Drill, Lesson
from lessonkit.lesson.parents import NOTHING_PLAYED, aim_for_parents
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.theory.key import Key

SETTING = Setting(Key.parse("C"))
TRADE = {
    "chord", "chords", "arpeggio", "inversion", "voicing", "degree", "scale", "major", "minor", "seventh", "triad",
    "progression", "bar", "bars", "octave", "signature", "quality", "fifths", "drill", "worksheet",
}  # fmt: skip


def test_what_the_hands_do_is_told_from_the_notes() -> None:
    """Solid chords, broken ones, lines; one hand or two, each hand by itself or both in some drills only."""
    solid = family("chord-jumps")()
    assert "your child presses several keys together, with the right hand" in aim_for_parents([solid], SETTING)
    broken = family("broken-chords").from_settings({"hands": "left"})
    assert "plays groups of keys one after another, with the left hand" in aim_for_parents([broken], SETTING)
    assert "mostly with one hand at a time" in aim_for_parents([solid, broken], SETTING)
    both = family("two-hand-spreads")()
    assert "with both hands at once" in aim_for_parents([both], SETTING)
    assert "sometimes with one hand and sometimes with both" in aim_for_parents([both, broken], SETTING)
    assert "with a pencil" not in aim_for_parents([solid], SETTING)
    sheet = family("broken-chords").from_settings({"worksheet": "notes", "key_count": 6})
    told = aim_for_parents([sheet], SETTING)
    assert "with a pencil" in told
    assert "many different keys of the piano" in told


def test_a_verb_is_said_once_for_what_it_governs() -> None:
    """Nobody plays groups and plays low notes."""
    bass = family("pedal-points")()
    grouped = family("broken-chords").from_settings({"hands": "both"})
    told = aim_for_parents([grouped, grouped, bass], SETTING)
    assert "presses several keys together and plays groups of keys one after another" in told
    assert told.count("play") == 1


def test_nothing_is_told_twice() -> None:
    """Groups of keys one after another and runs are the same to a parent; what is done in more drills is told."""
    grouped, run = family("broken-chords")(), family("arpeggio-run")()
    assert "runs" not in aim_for_parents([grouped, grouped, run], SETTING)
    told = aim_for_parents([grouped, run, run], SETTING)
    assert "plays runs of single notes, with" in told
    assert "one after another" not in told


def test_a_hand_that_strikes_along_with_chords_has_no_runs_of_its_own() -> None:
    """One note of each opened chord lies in the left hand; a walking bass goes on between the chords."""
    opened = family("drop-voicings")()
    assert "your child presses several keys together, with both hands at once" in aim_for_parents([opened], SETTING)
    walking = family("walking-bass")()
    assert "runs of single notes" in aim_for_parents([walking], SETTING)


@pytest.mark.parametrize("code", sorted(families()))
def test_no_word_of_the_trade_is_said(code: str) -> None:
    """Whatever drill it is."""
    told = aim_for_parents([family(code)()], SETTING)
    assert not TRADE & set(re.findall("[a-z]+", told.lower()))
    assert len(told) < 330


def test_a_lesson_without_drills_says_something() -> None:
    """A page of words alone, or a drill that cannot be played."""
    assert aim_for_parents([], SETTING) == NOTHING_PLAYED
    assert aim_for_parents([family("broken-chords").from_settings({"lowest": "C8", "octaves": 4})], SETTING) == (
        NOTHING_PLAYED
    )


def test_the_page_for_parents_tells_of_its_own_lesson() -> None:
    """Though its drills are not printed there; what a teacher typed stays."""

    def words(*blocks: Drill | Aid) -> str:
        pages = edition_pages(Lesson("Jumps", blocks=blocks), Edition.PARENT)
        return " ".join(part.placed.drawing.spoken for page in pages for part in page.parts)

    drill = Drill(family("chord-jumps")(), "d")
    assert "presses several keys together" in words(drill)
    assert "presses several keys together" in words(drill, Aid(ParentNote(), "p"))
    own = words(drill, Aid(ParentNote(aim="Clap with me."), "p"))
    assert "Clap with me." in own
    assert "presses several" not in own
