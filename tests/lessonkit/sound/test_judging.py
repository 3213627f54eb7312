"""A student's playing held against the drill: streams recorded as MIDI messages, right, late, wrong and broken off."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import replace
from random import Random

import mido
import pytest

from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import families, family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.sound.judging import Judgement, Verdict, judged
from lessonkit.sound.midi_file import to_midi
from lessonkit.sound.performance import Performance, performance
from lessonkit.sound.played_in import Struck, struck
from lessonkit.sound.playing import Playing
from lessonkit.theory.key import Key

TEMPO = 72
BEAT = 60 / TEMPO


def asked(code: str = "broken-chords", key: str = "Eb") -> Performance:
    return performance(realise(family(code)(), Setting(Key.parse(key))), Playing(TEMPO))


def stream(played: Performance) -> tuple[Struck, ...]:
    """The drill as a keyboard sends it: written as a file of MIDI and read by another library."""
    now, messages = 0.0, []
    for message in mido.MidiFile(file=io.BytesIO(to_midi(played))):
        now += message.time
        if not message.is_meta:
            messages.append((now, message.bytes()))
    return struck(messages)


def changed(keys: Sequence[Struck], change: Callable[[int, Struck], Struck | None]) -> tuple[Struck, ...]:
    found = (change(at, key) for at, key in enumerate(keys))
    return tuple(key for key in found if key is not None)


def later(key: Struck, seconds: float) -> Struck:
    return replace(key, start=key.start + seconds, end=key.end + seconds)


def judge(code: str, change: Callable[[int, Struck], Struck | None]) -> Judgement:
    played = asked(code)
    return judged(played.notes, changed(stream(played), change), BEAT)


@pytest.mark.parametrize("code", sorted(families()))
def test_a_drill_played_as_it_stands_is_right(code: str) -> None:
    """Every family, chords, rolls, two hands and free time; begun three seconds later, with an unsteady hand."""
    played = asked(code)
    chance = Random(7)
    keys = changed(stream(played), lambda at, key: later(key, 3 + chance.uniform(-0.02, 0.02)))
    found = judged(played.notes, keys, BEAT)
    assert found.count(Verdict.RIGHT) == len(found.notes) == len(played.notes)
    assert found.rating == 3
    assert found.sentence == f"{len(played.notes)} of {len(played.notes)} notes right"


def test_a_wrong_key_is_told_with_its_note() -> None:
    """The fifth note is a semitone too high."""
    found = judge("broken-chords", lambda at, key: replace(key, midi=key.midi + 1) if at == 4 else key)
    (wrong,) = [one for one in found.notes if one.verdict is not Verdict.RIGHT]
    assert wrong.verdict is Verdict.WRONG
    assert wrong.note is not None
    assert wrong.struck is not None
    assert (wrong.note.event, wrong.struck.midi - wrong.note.midi) == (4, 1)
    assert "1 wrong" in found.sentence


@pytest.mark.parametrize(("slips", "rating"), [(1, 3), (2, 1)])
def test_one_slip_in_thirty_notes_is_let_pass(slips: int, rating: int) -> None:
    """The drill has 48."""
    found = judge("broken-chords", lambda at, key: replace(key, midi=key.midi + 1) if at < slips else key)
    assert found.rating == rating


def test_a_missed_note_and_one_too_many() -> None:
    """What is left out does not make the rest wrong, nor does a key that was brushed."""
    assert judge("broken-chords", lambda at, key: None if at == 7 else key).count(Verdict.MISSED) == 1
    played = asked()
    keys = stream(played)
    brushed = Struck(keys[9].start + 0.15, keys[9].start + 0.2, keys[9].midi + 2, 30)
    found = judged(played.notes, tuple(sorted((*keys, brushed), key=lambda key: key.start)), BEAT)
    assert [one.struck for one in found.notes if one.verdict is Verdict.EXTRA] == [brushed]
    assert found.count(Verdict.RIGHT) == len(played.notes)


def test_a_late_note_is_late_and_not_those_after_it() -> None:
    """Time is counted on from where the student is; half a beat is late and no stop."""
    found = judge("broken-chords", lambda at, key: later(key, BEAT / 2) if at >= 10 else key)
    (late,) = [one for one in found.notes if one.verdict is Verdict.LATE]
    assert late.note is not None
    assert late.note.event == 10
    assert late.late == pytest.approx(BEAT / 2, abs=0.02)
    assert (found.stops, found.rating) == (0, 3)


def test_a_stop_is_a_one() -> None:
    """Two seconds of looking for the next key."""
    found = judge("broken-chords", lambda at, key: later(key, 2) if at >= 10 else key)
    assert (found.stops, found.rating, found.reason) == (1, 1, "it came to a stop")
    assert "one stop" in found.sentence


def test_right_but_slow_is_a_two() -> None:
    """All steps are a third longer."""
    found = judge("broken-chords", lambda at, key: replace(key, start=key.start * 4 / 3, end=key.end * 4 / 3))
    assert found.slower == pytest.approx(4 / 3, abs=0.01)
    assert (found.rating, found.reason) == (2, "it was slower than asked")
    assert "75 % of the tempo" in found.sentence


@pytest.mark.parametrize("change", [lambda at, key: None, lambda at, key: key if at < 8 else None,
                                    lambda at, key: replace(key, midi=30 + at % 7)])  # fmt: skip
def test_broken_off_early_or_another_piece_is_a_nought(change: Callable[[int, Struck], Struck | None]) -> None:
    """Nothing, a quarter of it, or other notes altogether."""
    assert judge("broken-chords", change).rating == 0


def test_hands_that_are_not_together_are_right_all_the_same() -> None:
    """The left hand comes a moment before the right one, as it often does."""
    played = asked("progression-through-keys")
    assert {note.hand for note in played.notes} == set(Hand)
    keys = stream(played)
    lows = sorted({note.midi for note in played.notes if note.hand is Hand.LEFT})
    early = tuple(later(key, -0.08) if key.midi in lows else key for key in keys)
    found = judged(played.notes, tuple(sorted(early, key=lambda key: key.start)), BEAT)
    assert found.count(Verdict.RIGHT) >= len(played.notes) - 2
    assert found.count(Verdict.EXTRA) == 0


def test_messages_of_other_kinds_and_keys_held_to_the_end() -> None:
    """Pedals, clocks and torn messages are passed over; a key struck again was let go before."""
    messages = [
        (0.0, (0xF8,)), (0.0, (0x90, 60, 70)), (0.1, (0xB0, 64, 127)), (0.2, (0x90, 60)), (0.5, (0x90, 60, 64)),
        (0.9, (0x83, 60, 0)), (1.0, (0x9F, 62, 5)),
    ]  # fmt: skip
    assert struck(messages, until=2.0) == (
        Struck(0.0, 0.5, 60, 70), Struck(0.5, 0.9, 60, 64), Struck(1.0, 2.0, 62, 5),
    )  # fmt: skip
