"""What in a drill asks for care, and what does not. Limits: common practice, no source."""

from __future__ import annotations

from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.setting import Setting
from lessonkit.drills.strain import Strain, in_order, strains
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.key import Key


def asked(code: str, tempo: int = 72, span: float = 240, **settings: Plain) -> set[Strain]:
    """What a drill asks for in C, for a large hand unless said otherwise."""
    setting = Setting(Key.parse("C"), tempo=tempo, hands=HandProfile().with_span(span))
    return set(strains(family(code).from_settings(settings), setting))


def test_an_ordinary_drill_asks_for_nothing_more() -> None:
    """A warning on every page would soon be read on none."""
    assert asked("broken-chords") == set()
    assert asked("progression-through-keys", count=2) == set()


def test_a_wide_chord_is_a_stretch_for_a_small_hand_only() -> None:
    """The same octaves lie well under a hand of 24 cm; rolled, nothing is held."""
    assert Strain.STRETCH in asked("double-notes", span=165, doubled="octaves")
    assert Strain.STRETCH not in asked("double-notes", doubled="octaves")
    assert Strain.STRETCH not in asked("left-hand-tenths", span=165, touch="rolled")


def test_more_than_six_loud_leaps_are_force() -> None:
    """Four landings at p are not; ten loud ones are, and so is a short row played often."""
    loud: dict[str, Plain] = {"terraces": "all loud", "octaves": 4, "lowest": "C2"}
    assert Strain.FORCE in asked("chord-jumps", **loud)
    assert Strain.FORCE not in asked("chord-jumps", **{**loud, "terraces": "all soft"})
    few: dict[str, Plain] = {"terraces": "all loud", "octaves": 1}
    assert Strain.FORCE not in asked("chord-jumps", **few)
    assert Strain.FORCE in asked("chord-jumps", **few, repeats=6)


def test_speed_is_that_of_the_fastest_tempo_on_the_page() -> None:
    """Sixteenths at 120 are eight a second, the limit; the ladder's goal counts as well as the lesson's tempo."""
    assert Strain.SPEED not in asked("arpeggio-run", tempo=120, note_length="1/16")
    assert Strain.SPEED in asked("arpeggio-run", tempo=126, note_length="1/16")
    goal: dict[str, Plain] = {"note_length": "1/16", "ladder_steps": 4, "ladder_start": 60, "ladder_goal": 144}
    assert Strain.SPEED in asked("arpeggio-run", tempo=60, **goal)


def test_many_bars_of_octaves_are_repetition() -> None:
    """Eight bars in a row, repeats counted."""
    octaves: dict[str, Plain] = {"doubled": "octaves", "octaves": 1, "note_length": "1/4"}
    assert Strain.REPETITION not in asked("double-notes", **octaves)
    assert Strain.REPETITION in asked("double-notes", **octaves, repeats=4)


def test_a_drill_that_cannot_be_written_asks_for_nothing() -> None:
    """Its place on the page says why."""
    assert asked("broken-chords", lowest="B7") == set()


def test_all_that_several_drills_ask_for_is_said_once_and_in_order() -> None:
    """Stretches first."""
    both = (frozenset({Strain.SPEED}), frozenset({Strain.SPEED, Strain.STRETCH}))
    assert in_order(both) == (Strain.STRETCH, Strain.SPEED)
