"""How drills are played: hands, time, loudness, pedal, repeats. Fractions of a beat are worked out here by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from lessonkit.drills.exercise import (
    Bar,
    BarEnd,
    ChordMark,
    Dynamic,
    Event,
    Exercise,
    Hand,
    Meter,
    Pedal,
    Roll,
    Sign,
    Slur,
    Swell,
)
from lessonkit.drills.family import families, family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.sound.performance import NOT_ON_THE_PAGE, ROLL_STEP, joined, performance
from lessonkit.sound.playing import Dynamics, Gaps, Heard, Pedalling, Playing
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch

C = Key.parse("C")
QUARTER, EIGHTH = Fraction(1, 4), Fraction(1, 8)
COMMON = Meter(4, 4)


def event(onset: object, length: object, notes: str = "C4", hand: Hand = Hand.RIGHT, **more: Any) -> Event:
    """An event of a few notes."""
    pitches = tuple(Pitch.parse(note) for note in notes.split())
    return Event(hand, Fraction(str(onset)), Fraction(str(length)), pitches, **more)


def exercise(*events: Event, bars: int = 1, meter: Meter | None = COMMON, **more: Any) -> Exercise:
    """An exercise of full bars."""
    length = meter.bar if meter is not None else Fraction(1)
    row = [Bar(length * at, length, C if at == 0 else None) for at in range(bars)]
    return Exercise(C, meter, events, tuple(row), **more)


def starts(one: Exercise, playing: Playing) -> list[float]:
    """When each note is struck, to a tenth of a millisecond."""
    return [round(note.start, 4) for note in performance(one, playing).notes]


FOUR_EIGHTHS = exercise(*(event(EIGHTH * at, EIGHTH) for at in range(4)))


class TestTime:
    """Beats become seconds."""

    def test_the_tempo_counts_the_beat_of_the_metre(self) -> None:
        """At 60 a quarter lasts a second in 4/4, a dotted quarter in 6/8."""
        assert starts(FOUR_EIGHTHS, Playing(60)) == [0, 0.5, 1, 1.5]
        compound = exercise(event(0, "3/8"), event("3/8", "3/8"), meter=Meter(6, 8))
        assert starts(compound, Playing(60)) == [0, 1]

    def test_a_bar_is_counted_in(self) -> None:
        """Four clicks, the first one higher, and then the music."""
        played = performance(FOUR_EIGHTHS, Playing(120, count_in=1))
        assert [(click.time, click.is_first) for click in played.clicks] == [
            (0, True), (0.5, False), (1, False), (1.5, False),
        ]  # fmt: skip
        assert played.begins == played.notes[0].start == 2
        assert played.length == 4

    def test_the_metronome_goes_on_through_all_rounds(self) -> None:
        """A click on each beat of each round."""
        played = performance(FOUR_EIGHTHS, Playing(60, has_metronome=True, rounds=3))
        assert [click.time for click in played.clicks] == list(range(12))
        assert [click.time for click in played.clicks if click.is_first] == [0, 4, 8]
        assert len(played.notes) == 12

    def test_swung_eighths_share_a_beat_as_asked(self) -> None:
        """67 percent is as good as two eighths of a triplet; what stands on the beat stays there."""
        assert starts(FOUR_EIGHTHS, Playing(60, swing=67)) == [0, 0.67, 1, 1.67]

    def test_triplets_do_not_swing(self) -> None:
        """They are even already."""
        third = Fraction(1, 12)
        triplet = exercise(*(event(third * at, third, tuplet=3) for at in range(3)))
        assert starts(triplet, Playing(60, swing=67)) == [0, 0.3333, 0.6667]

    def test_a_dotted_beat_does_not_swing(self) -> None:
        """6/8 has three to a beat."""
        compound = exercise(*(event(EIGHTH * at, EIGHTH) for at in range(6)), meter=Meter(6, 8))
        assert starts(compound, Playing(60, swing=67)) == starts(compound, Playing(60))

    def test_free_time_breathes_alike_for_the_same_number(self) -> None:
        """Never so much that the drill is another one, always the same, and not at all where it is switched off."""
        free = exercise(*(event(QUARTER * at, QUARTER) for at in range(8)), bars=2, meter=None)
        strict, breathed = starts(free, Playing(60)), starts(free, Playing(60, breathing=1))
        assert strict == list(range(8))
        assert breathed == starts(free, Playing(60, breathing=1)) != starts(free, Playing(60, breathing=2))
        assert all(0.9 < other - one < 1.4 for one, other in pairwise(breathed))
        assert starts(FOUR_EIGHTHS, Playing(60, breathing=1)) == starts(FOUR_EIGHTHS, Playing(60))

    @pytest.mark.parametrize(
        ("wrong", "told"), [({"tempo": 5}, "a tempo of 5"), ({"swing": 90}, "swing of 90"), ({"rounds": 0}, "0 rounds")]
    )
    def test_what_cannot_be_played_is_said(self, wrong: dict[str, int], told: str) -> None:
        """One sentence that names the number."""
        with pytest.raises(ValueError, match=told):
            Playing(**wrong)  # type: ignore[arg-type]


class TestRepeats:
    """Signs on the page are played."""

    REPEATED = replace(
        exercise(event(0, 1, "C4"), event(1, 1, "D4"), event(2, 1, "E4"), bars=3),
        bars=(
            Bar(Fraction(0), Fraction(1), C),
            Bar(Fraction(1), Fraction(1), begins_repeat=True, end=BarEnd.REPEAT, times=3),
            Bar(Fraction(2), Fraction(1), end=BarEnd.FINAL),
        ),
    )

    def test_a_repeat_is_played_as_often_as_it_says(self) -> None:
        """Only what stands between the signs."""
        played = performance(self.REPEATED, Playing(60))
        assert [note.midi for note in played.notes] == [60, 62, 62, 62, 64]
        assert played.length == 20

    def test_repeats_can_be_left_out(self) -> None:
        """For a listener in a hurry."""
        played = performance(self.REPEATED, Playing(60, plays_repeats=False))
        assert [note.midi for note in played.notes] == [60, 62, 64]

    def test_places_tell_what_is_played_when(self) -> None:
        """A cursor follows through repeats, and playing begins at the bar of the caret."""
        played = performance(self.REPEATED, Playing(60))
        assert played.places == ((0.0, 0), (4.0, 1), (8.0, 1), (12.0, 1), (16.0, 2))
        assert played.second_of(Fraction(3, 2)) == 4
        assert [played.printed_at(second) for second in (0, 7.9, 8, 19)] == [0, 1, 1, 2]
        rest = played.from_second(16)
        assert [(note.start, note.midi) for note in rest.notes] == [(0, 64)]
        assert rest.length == 4

    def test_playing_begins_at_the_caret_after_the_count_in(self) -> None:
        """A note in the middle of a bar is found; the clicks before it stay."""
        played = performance(FOUR_EIGHTHS, Playing(60, count_in=1, has_metronome=True))
        rest = played.from_printed(Fraction(1, 4))
        assert [note.start for note in rest.notes] == [4, 4.5]
        assert [click.time for click in rest.clicks] == [0, 1, 2, 3, 4, 5, 6]
        assert rest.length == 7
        assert rest.printed_at(4.2) == Fraction(1, 4)


class TestHands:
    """Who is heard."""

    BOTH = exercise(
        event(0, 1, "E4 G4"), event(0, 1, "C3 G3", Hand.LEFT), chords=(ChordMark(Fraction(0), Chord.parse("C/E")),)
    )

    @pytest.mark.parametrize(
        ("heard", "keys"),
        [(Heard.BOTH, [48, 55, 64, 67]), (Heard.RIGHT, [64, 67]), (Heard.LEFT, [48, 55]), (Heard.BASS_AND_CLICK, [48])],
    )
    def test_one_hand_or_both(self, heard: Heard, keys: list[int]) -> None:
        """The student plays the rest; the bass is the left hand's lowest note."""
        played = performance(self.BOTH, Playing(60, heard=heard))
        assert [note.midi for note in played.notes] == keys
        assert len(played.clicks) == (4 if heard is Heard.BASS_AND_CLICK else 0)

    def test_a_bass_is_found_under_the_chord_symbols_of_one_hand(self) -> None:
        """The note after the slash, low, and marked as not printed."""
        alone = exercise(event(0, 1, "C4"), chords=self.BOTH.chords)
        (note,) = performance(alone, Playing(60, heard=Heard.BASS_AND_CLICK)).notes
        assert (note.midi, note.event) == (40, NOT_ON_THE_PAGE)

    def test_notes_name_their_place_on_the_page(self) -> None:
        """So that they light up there."""
        played = performance(self.BOTH, Playing(60))
        assert [(note.event, note.pitch) for note in played.notes] == [(1, 0), (1, 1), (0, 0), (0, 1)]


class TestTouch:
    """How long and how loud."""

    def test_tied_notes_are_struck_once(self) -> None:
        """And sound to the end of the last part; a note of the chord that is not tied on is struck."""
        tied = exercise(event(0, "1/2", "C4 E4", is_tied=True), event("1/2", "1/2", "C4 F4"))
        notes = [(note.midi, note.start, note.event) for note in performance(tied, Playing(60)).notes]
        assert notes == [(60, 0, 0), (64, 0, 0), (65, 2, 1)]
        held = performance(tied, Playing(60)).notes[0]
        assert 3.6 < held.end <= 4

    def test_staccato_is_short_and_slurred_notes_touch(self) -> None:
        """Half as long; up to the next note."""
        short = exercise(event(0, "1/4", sign=Sign.STACCATO), event("1/4", "1/4"))
        assert performance(short, Playing(60)).notes[0].end == 0.5
        assert performance(short, Playing(60, plays_touch=False)).notes[0].end > 0.9
        slurred = exercise(event(0, "1/4", "C4"), event("1/4", "1/4", "D4"), slurs=(Slur(0, 1),))
        ends = [note.end for note in performance(slurred, Playing(60)).notes]
        assert ends[0] == 1
        assert ends[1] < 2

    def test_a_rolled_chord_begins_on_the_beat(self) -> None:
        """Its lowest note first, its highest first when rolled down; all of it at once where rolls are switched off."""
        rolled = exercise(event(0, 1, "C4 E4 G4", roll=Roll.UP))
        assert starts(rolled, Playing(60)) == [0, ROLL_STEP, 2 * ROLL_STEP]
        down = performance(exercise(event(0, 1, "C4 E4 G4", roll=Roll.DOWN)), Playing(60))
        assert [note.midi for note in down.notes] == [67, 64, 60]
        assert starts(rolled, Playing(60, plays_rolls=False)) == [0, 0, 0]

    def test_marks_accents_and_swells_are_heard(self) -> None:
        """p is softer than f; a swell grows on the way; an accent stands out."""
        row = [event(QUARTER * at, QUARTER, sign=Sign.ACCENT if at == 6 else None) for at in range(8)]
        marked = exercise(
            *row, bars=2, dynamics=(Dynamic(Fraction(0), "p"), Dynamic(Fraction(1), "f")),
            swells=(Swell(Fraction(0), Fraction(3, 4), True),),
        )  # fmt: skip
        loud = [note.velocity for note in performance(marked, Playing(60)).notes]
        assert loud[0] < loud[1] < loud[2] < loud[3] < loud[4]
        assert loud[4] == loud[5] == loud[7] < loud[6]
        assert len({note.velocity for note in performance(marked, Playing(60, dynamics=Dynamics.EVEN)).notes}) == 2

    def test_terraces_are_soft_and_loud_in_turn(self) -> None:
        """Two bars each where the drill stays in one key, and by times through where it is repeated."""
        row = exercise(*(event(at, 1) for at in range(4)), bars=4)
        soft, _, loud, _ = (note.velocity for note in performance(row, Playing(60, dynamics=Dynamics.TERRACES)).notes)
        assert soft < loud
        repeated = replace(row, bars=(*row.bars[:3], replace(row.bars[3], end=BarEnd.REPEAT, times=2)))
        played = performance(repeated, Playing(60, dynamics=Dynamics.TERRACES)).notes
        assert [note.velocity for note in played] == [soft] * 4 + [loud] * 4

    def test_the_pedal_is_held_as_asked(self) -> None:
        """As printed, with each chord, or not at all."""
        marks = (ChordMark(Fraction(0), Chord.parse("C")), ChordMark(Fraction(1, 2), Chord.parse("F")))
        held = exercise(event(0, 1), chords=marks, pedals=(Pedal(Fraction(0), Fraction(3, 4)),))
        spans = {
            how: [(one.start, one.end) for one in performance(held, Playing(60, pedalling=how)).pedals]
            for how in Pedalling
        }
        assert spans == {Pedalling.PRINTED: [(0, 3)], Pedalling.CHORDS: [(0, 2), (2, 4)], Pedalling.NONE: []}


def test_gaps_stay_empty_unless_a_sample_is_asked_for() -> None:
    """The student answers in them."""
    drill = family("call-and-response")()
    asked = realise(drill, Setting(C))
    gaps = [one for one in asked.events if one.is_open]
    assert gaps
    for playing, is_heard in ((Playing(60), False), (Playing(60, gaps=Gaps.SAMPLE), True)):
        notes = performance(asked, playing).notes
        for gap in gaps:
            inside = [note for note in notes if float(gap.onset) * 4 <= note.start < float(gap.end) * 4]
            assert bool(inside) is is_heard


def test_by_ear_sounds_in_full_what_it_hides() -> None:
    """The question is heard and not shown."""
    exercise = realise(family("by-ear")(), Setting(C))
    assert exercise.blank
    heard = performance(exercise, Playing(60)).notes
    assert len(heard) == sum(len(event.pitches) for event in exercise.events)


@pytest.mark.parametrize("kind", list(families().values()), ids=lambda kind: kind.code)
def test_every_family_is_played_note_for_note(kind: Any) -> None:
    """Each printed note is struck once, at its time, with its pitch; nothing else is."""
    exercise = realise(kind(), Setting(Key.parse("E")))
    playing = Playing(90, plays_touch=False, plays_rolls=False)
    notes = performance(exercise, playing).notes
    quarter = 60 / 90 if exercise.meter is None or exercise.meter.unit != 8 else 40 / 90
    found = sorted((round(note.start, 6), note.midi, note.hand.value) for note in notes)
    expected, before = [], {}
    for event in exercise.events:
        last = before.get(event.hand)
        held = {pitch.midi for pitch in last.pitches} if last is not None and last.is_tied else set()
        before[event.hand] = event
        start = round(float(event.onset) * 4 * quarter, 6)
        expected += [(start, pitch.midi, event.hand.value) for pitch in event.pitches if pitch.midi not in held]
    assert found == sorted(expected)


@pytest.mark.parametrize("kind", list(families().values()), ids=lambda kind: kind.code)
def test_swing_and_breath_keep_the_order_of_notes(kind: Any) -> None:
    """However hard it swings or breathes, no note of a hand comes before the one that it follows."""
    for settings in ({}, {"metre": "free"}):
        try:
            known = {name: value for name, value in settings.items() if name in kind.declared()}
            exercise = realise(kind.from_settings(known), Setting(Key.parse("G")))
        except ValueError:
            continue  # A family may need a metre.
        for playing in (Playing(80, swing=75), Playing(80, breathing=9)):
            notes = performance(exercise, replace(playing, plays_rolls=False)).notes
            for hand in Hand:
                times = {note.event: note.start for note in notes if note.hand is hand}
                assert all(times[one] < times[other] for one, other in pairwise(sorted(times)))


def test_what_is_played_is_worked_out_once() -> None:
    """Equal drills played alike are the same value."""
    first, again = (performance(realise(family("stride")(), Setting(C)), Playing(66)) for _ in range(2))
    assert first is again


def test_several_follow_one_another_with_a_pause() -> None:
    """As a page is played from top to bottom."""
    one = performance(FOUR_EIGHTHS, Playing(60))
    both = joined([one, performance(FOUR_EIGHTHS, Playing(120))], pause=2)
    assert [note.start for note in both.notes] == [0, 0.5, 1, 1.5, 6, 6.25, 6.5, 6.75]
    assert both.length == 8
    assert [(stretch.start, stretch.quarters_a_minute) for stretch in both.stretches] == [(0, 60), (6, 120)]
    later = both.from_second(6)
    assert [note.start for note in later.notes] == [0, 0.25, 0.5, 0.75]
    assert [stretch.quarters_a_minute for stretch in later.stretches] == [120]
    beginning = both.up_to(6)
    assert [note.start for note in beginning.notes] == [0, 0.5, 1, 1.5]
    assert beginning.length == 6
    with pytest.raises(ValueError, match="nothing to play"):
        joined([])
