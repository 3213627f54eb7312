"""Fingers on drills: what a pianist expects to see, what the teacher types, the next best way."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.family import DrillFamily, FingersHold, family
from lessonkit.drills.fingers import holds_in_every_key, runner_up, typed_place, with_hold, with_pin, with_runner_up
from lessonkit.drills.found_fingers import _of_shape
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.key import Key


def drill_of(code: str, **settings: Plain) -> DrillFamily:
    return family(code).from_settings(settings)


def made(code: str, key: str = "C", **settings: Plain) -> Exercise:
    return realise(drill_of(code, **settings), Setting(Key.parse(key)))


def fingers(exercise: Exercise, hand: Hand = Hand.RIGHT) -> str:
    """The fingers of a hand, a stroke between groups; the fingers of a chord stand together."""
    words: list[str] = []
    group = None
    for event in exercise.of(hand):
        if event.pitches:
            if event.group != group:
                words.append("")
                group = event.group
            words[-1] += "".join(str(finger) for finger in event.fingers)
    return " ".join(words)


FOURS = {"size": "triad", "group_size": "the chord's notes and the octave", "direction": "up", "octaves": 2}


@pytest.mark.parametrize(
    ("key", "right", "left"),
    [
        ("C", "1235 1245 1245 1235", "5421 5421 5321 5421"),
        ("Ab", "1235 1245 1245 1235", "5321 5421 5321 5321"),
        ("Cm", "1235 1245 1235 1235", "5421 5421 5321 5421"),
    ],
)
def test_broken_triads_in_fours_have_their_printed_fingers(key: str, right: str, left: str) -> None:
    """Rows of O. Beringer and T. F. Dunhill, *Manual of Scales, Arpeggios and Broken Chords* (1900)."""
    exercise = made("broken-chords", key, hands="both", **FOURS)
    assert fingers(exercise) == right
    assert fingers(exercise, Hand.LEFT) == left


def test_the_same_shape_has_the_same_fingers_up_and_down_and_in_every_octave() -> None:
    """A hand that learns a shape learns it once (common practice, no source)."""
    words = fingers(made("broken-chords", "Ab", octaves=3)).split()
    up, down = words[: len(words) // 2], words[len(words) // 2 :]
    assert [word[::-1] for word in reversed(down)] == up
    assert up[:4] * 2 == up[:8]


def test_a_group_that_drops_a_note_keeps_the_hand_where_it_is() -> None:
    """At the top the first note is not struck twice; the other three keep their fingers."""
    words = fingers(made("broken-chords", "Eb", octaves=1, turn="the group again, its first note once")).split()
    assert words[1] == "1234"
    assert words[2] == "321"


def test_runs_have_one_thumb_an_octave_and_come_down_as_they_went_up() -> None:
    """Common practice, no source; the right hand plays A♭ from C with the thumb on C, the left hand mirrors."""
    assert fingers(made("arpeggio-run", "C", size="triad", octaves=2)) == "123 123 532 132 1"
    assert fingers(made("arpeggio-run", "Ab", inversion=1)) == "1234 1234 5432 1432 1"


def test_cells_are_set_down_anew_in_each_octave() -> None:
    """No crossing: each octave begins with the same finger, and the landing takes the little finger."""
    exercise = made("arpeggio-run", "C", passing="the same cell set down in each octave", quality="6", direction="up")
    assert fingers(exercise) == "1245 1245 5"


def test_a_bass_note_that_stays_takes_the_little_finger() -> None:
    """The left hand holds a root with the finger that reaches furthest out (common practice, no source)."""
    exercise = made("arpeggio-run", "Eb", sharing="upper part over a left-hand root")
    assert set(fingers(exercise, Hand.LEFT)) == {"5", " "}


@pytest.mark.parametrize("code", ["progression-through-keys", "turnarounds", "upper-extension", "comping-rhythms"])
@pytest.mark.parametrize("key", ["C", "Eb", "F#", "B"])
def test_lone_bass_notes_under_chords_take_the_little_finger(code: str, key: str) -> None:
    """Each root is set down by itself, with the hand open above it (common practice, no source)."""
    exercise = made(code, key, hands="both")
    roots = exercise.of(Hand.LEFT)
    leaps = [
        two.fingers for one, two in pairwise(roots) if abs(two.pitches[0].midi - one.pitches[0].midi) > 2
    ]  # fmt: skip
    assert leaps
    assert set(leaps) == {(5,)}


def test_a_bass_that_walks_by_step_takes_one_finger_after_the_other() -> None:
    """C C♯ D D♯ E under passing diminished chords is bound, as any line is (common practice, no source)."""
    assert fingers(made("passing-diminished"), Hand.LEFT).split()[:6] == ["5", "4", "3", "2", "1", "1"]


def test_a_typed_bass_finger_is_kept_and_the_others_stay() -> None:
    """One octave may be easier with the fourth finger; the rest is as it was."""
    words = fingers(made("turnarounds", left_fingers=[0, 4], count=1), Hand.LEFT).split()
    assert words[1] == "4"
    assert set(words[:1] + words[2:]) == {"5"}


@pytest.mark.parametrize(
    ("key", "expected"),
    [("C", "1324 1324 1324 1324 1324"), ("F#", "2435 2435 2435 1325 2435"), ("B", "1324 2435 2435 1324 2435")],
)
def test_a_cell_that_climbs_a_scale_keeps_its_fingers(key: str, expected: str) -> None:
    """Each cell is one position; where it begins on a black key the thumb stays away (common practice, no source)."""
    assert fingers(made("sequences", key, direction="up", lowest="F4")).startswith(expected)


@pytest.mark.parametrize(("key", "expected"), [("C", "123"), ("Eb", "234"), ("F#", "123")])
def test_a_cell_of_steps_takes_neighbouring_fingers(key: str, expected: str) -> None:
    """No finger is left out between neighbouring keys (common practice, no source)."""
    cell = "".join(fingers(made("displacement", key)).split())
    assert cell == expected * (len(cell) // 3)


@pytest.mark.parametrize(
    ("key", "expected"),
    [
        ("F#", "23123123 23123412 23412312 21234123"),  # the fingers of F♯ major from wherever the scale begins
        ("B", "23123412 23412312 12312345 23123123"),
        ("C", "12312345 12312345 12312345 12312345"),
    ],
)
def test_modes_turn_under_the_third_finger_like_their_major_scale(key: str, expected: str) -> None:
    """iim7 V7 Imaj7 vim7: modes with black keys share the thumbs of their major scale (common practice, no source)."""
    assert fingers(made("chord-scales", key)) == expected


def test_thirds_change_fingers_to_stay_bound() -> None:
    """3-1, 4-2, 5-3, as C major is taught in thirds (common practice, no source)."""
    assert fingers(made("double-notes", direction="up")).startswith("13243513 2435")


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("key", ["C", "G", "D", "A", "E", "B", "F", "Bb", "Eb", "Ab"])
def test_thirds_go_from_finger_to_finger_and_keep_the_thumb_on_white_keys(key: str, hand: str) -> None:
    """A pair goes to the next fingers, 1-3 2-4 3-5, or the whole hand moves on; never the same finger from a key to its
    neighbour in both voices, and F♯ A is 2 4 (common practice, no source)."""
    exercise = made("double-notes", key, hands=hand, octaves=2)
    events = exercise.of(Hand(hand))
    for event in events:
        thumb = event.pitches[event.fingers.index(1)] if 1 in event.fingers else None
        if thumb is not None and not all(pitch.is_black for pitch in event.pitches):
            inner = event.pitches[0] if hand == "right" else event.pitches[1]
            assert thumb == inner
            assert not thumb.is_black
    for one, two in pairwise(events):
        assert not all(
            before == after and old != new
            for old, before, new, after in zip(one.pitches, one.fingers, two.pitches, two.fingers, strict=True)
        )


@pytest.mark.parametrize("key", ["C", "G", "D", "A", "E", "B", "Gb", "Db", "Ab", "Eb", "Bb", "F"])
def test_a_struck_seventh_chord_is_closed_by_the_little_finger(key: str) -> None:
    """1-2-3-5 or 1-2-4-5 in every position (common practice, no source); B♭maj7 as D F A B♭ has 1 2 4 5."""
    exercise = made("progression-through-keys", key, hands="right", count=1)
    assert {event.fingers for event in exercise.of(Hand.RIGHT)} <= {(1, 2, 3, 5), (1, 2, 4, 5)}
    if key == "Bb":
        assert exercise.of(Hand.RIGHT)[0].fingers == (1, 2, 4, 5)
    if key == "Gb":
        assert exercise.of(Hand.RIGHT)[0].fingers == (1, 2, 3, 5)


@pytest.mark.parametrize("key", ["C", "Bm", "F#m", "Eb", "A"])
@pytest.mark.parametrize("voice", ["on top", "lowest"])
def test_what_is_held_keeps_its_fingers_while_one_voice_moves(key: str, voice: str) -> None:
    """Only one finger moves; where a whole tone opens to a third it may take the next one (common practice, no source):
    of the two held notes the outer one never changes its finger, and of three steps at most one changes the other."""
    events = made("line-cliches", key, voice=voice, hands="right").of(Hand.RIGHT)
    outer = 0 if voice == "on top" else -1
    assert len({event.fingers[outer] for event in events}) == 1
    assert sum(one.fingers[1] != two.fingers[1] for one, two in pairwise(events)) <= 1


def test_a_typed_finger_bends_the_search_and_is_marked() -> None:
    """Fourth finger on the third note of a C run: then in every octave, up and down, as a run repeats its fingers."""
    exercise = made("arpeggio-run", "C", size="triad", right_fingers=[0, 0, 4])
    assert fingers(exercise) == "124 124 542 142 1"
    assert [index for index, event in enumerate(exercise.events) if event.pinned] == [2]


def test_a_finger_typed_on_a_shape_holds_for_the_shape_in_every_octave() -> None:
    """Root position in fours with the fourth finger instead of the third, once typed."""
    exercise = made("broken-chords", "C", **{**FOURS, "right_fingers": [0, 0, 4]})
    assert fingers(exercise) == "1245 1245 1245 1245"
    assert sum(bool(event.pinned) for event in exercise.events) == 1


def test_a_chord_can_be_typed_too() -> None:
    """The places count the notes of a chord from below."""
    exercise = made("chord-jumps", "C", size="triad", right_fingers=[1, 2, 4])
    assert set(fingers(exercise).split()) == {"124"}
    assert exercise.events[0].pinned == {0, 1, 2}
    assert exercise.remarks == ()


def test_impossible_fingers_stand_as_typed_with_a_sentence_and_the_rest_keeps_its_own() -> None:
    """The teacher sees what she typed and what is wrong with it; nothing else is lost."""
    exercise = made("broken-chords", "C", **{**FOURS, "right_fingers": [5, 3]})
    assert fingers(exercise).startswith("53")
    assert fingers(exercise).split()[1] == "1245"
    (remark,) = exercise.remarks
    assert remark.startswith("the fingers typed on C4 E4 G4 C5 cannot be taken in one position of the right hand")


def test_six_notes_in_one_hand_are_remarked() -> None:
    """The notes are named as they are written, and nobody guesses at a finger."""
    exercise = made("chord-jumps", "C", quality="13", octaves=1, direction="up")
    assert exercise.remarks[0].startswith("C4 E4 G4 B♭4 D5 A5 are 6 notes for the right hand, which has five fingers")
    assert len(exercise.remarks) == 2
    assert all(set(event.fingers) == {None} for event in exercise.events if event.pitches)


KEYS = {"progression": "Imaj7 | IVmaj7", "order": "as listed", "keys": ["C", "F", "Db"], "hands": "right"}


def test_typed_fingers_hold_in_every_key_or_in_one() -> None:
    """They are counted from the first note of each key."""
    every = made("progression-through-keys", **KEYS, right_fingers=[1, 2, 4, 5])
    one = made(
        "progression-through-keys", **KEYS, right_fingers=[1, 2, 4, 5], fingers_hold="in one key only", fingers_key="F"
    )
    assert [place for place, event in enumerate(every.events) if event.pinned] == [0, 2, 4]
    assert [place for place, event in enumerate(one.events) if event.pinned] == [2]


def test_other_black_and_white_keys_are_told_where_fingers_hold_in_every_key() -> None:
    """C and F share white thumbs; D♭ does not."""
    typed = {**KEYS, "right_fingers": [1, 2, 4, 5]}
    assert made("progression-through-keys", **typed).remarks == ()
    (remark,) = made("progression-through-keys", **typed, fingers_key="C").remarks
    assert remark.startswith("the fingers typed in C major meet other black and white keys in ")
    assert "D♭ major" in remark
    run = drill_of("arpeggio-run", right_fingers=[1], fingers_key="C")
    assert realise(run, Setting(Key.parse("G"))).remarks == ()
    assert "in E♭ major" in realise(run, Setting(Key.parse("Eb"))).remarks[0]
    assert realise(replace(run, fingers_hold=FingersHold.ONE_KEY), Setting(Key.parse("Eb"))).remarks == ()


def test_a_click_on_a_note_types_its_finger() -> None:
    """The first typed finger holds in its key only; the place counts the notes of the hand in that key."""
    setting = Setting(Key.parse("F"))
    drill = drill_of("progression-through-keys", **{**KEYS, "hands": "both"})
    exercise = realise(drill, setting)
    index = next(i for i, event in enumerate(exercise.events) if event.hand is Hand.RIGHT and i >= 3)
    hand, note, key = typed_place(exercise, index, 1)
    assert (hand, key) == (Hand.RIGHT, exercise.bars[2 * (index // 2)].key)
    pinned = with_pin(drill, hand, note, 3, key)
    assert pinned.fingers_hold is FingersHold.ONE_KEY
    assert pinned.fingers_key == key
    assert 1 in realise(pinned, setting).events[index].pinned
    assert with_pin(pinned, hand, note, 0, key).right_fingers == ()
    with pytest.raises(ValueError, match="6 is not a finger"):
        with_pin(drill, hand, note, 6, key)
    with pytest.raises(ValueError, match="only the first 512 notes"):
        with_pin(drill, hand, 512, 1, key)


@pytest.mark.parametrize("code", ["broken-chords", "arpeggio-run", "chord-jumps"])
def test_the_runner_up_can_be_swapped_in(code: str) -> None:
    """Typing its fingers gives exactly it, and only where it differs."""
    setting = Setting(Key.parse("Ab"))
    drill = drill_of(code)
    offer = runner_up(drill, setting, Hand.RIGHT)
    assert offer is not None
    assert offer.more >= 0
    before, swapped = realise(drill, setting), realise(with_runner_up(drill, offer), setting)
    notes = lambda exercise: [finger for event in exercise.events for finger in event.fingers]  # noqa: E731
    different = {place: new for place, (old, new) in enumerate(zip(notes(before), notes(swapped), strict=True))
                 if old != new}  # fmt: skip
    assert different == dict(offer.changes)
    assert runner_up(drill, setting, Hand.LEFT) is None


def test_the_players_hands_change_the_fingers() -> None:
    """A strict rule about thumbs on black keys sends the thumb elsewhere."""
    drill, key = drill_of("arpeggio-run", quality="7"), Key.parse("Eb")
    loose = realise(drill, Setting(key, hands=HandProfile(keep_thumb_off_black=0)))
    strict = realise(drill, Setting(key, hands=HandProfile(keep_thumb_off_black=3)))
    thumbs = [
        sum(event.fingers == (1,) and event.pitches[0].is_black for event in exercise.events)
        for exercise in (loose, strict)
    ]
    assert thumbs[1] == 0
    assert thumbs[0] > 0


def test_the_second_finger_may_start_on_black() -> None:
    """The printed alternative 2-1-2-4 for a low black note and a white one after it (Beringer and Dunhill, 1900)."""
    drill = drill_of("broken-chords", **FOURS)
    setting = Setting(Key.parse("Eb"), starts_black_with_second=True)
    assert fingers(realise(drill, setting)).split()[0] == "2124"


def test_the_same_shape_is_searched_once() -> None:
    """A drill that moves by an octave must not miss its frame."""
    realise(drill_of("broken-chords", lowest="C3"), Setting(Key.parse("D")))
    before = _of_shape.cache_info().misses
    realise(drill_of("broken-chords", lowest="C5"), Setting(Key.parse("D")))
    assert _of_shape.cache_info().misses == before


def typed(drill: DrillFamily, key: str) -> list[int]:
    """The typed fingers among the first three of the right hand's first key."""
    exercise = realise(replace(drill, key=Key.parse(key)), Setting(Key.parse(key)))
    return [event.fingers[0] or 0 if event.pinned else 0 for event in exercise.of(Hand.RIGHT)[:3]]


def test_each_finger_holds_in_every_key_or_in_its_own() -> None:
    """What is put right in one key leaves the others alone, and the key's own finger goes before the shared one."""
    flat, sharp = Key.parse("Eb"), Key.parse("B")
    drill = with_pin(drill_of("broken-chords"), Hand.RIGHT, 0, 2, flat)
    drill = with_pin(drill, Hand.RIGHT, 1, 3, sharp)
    assert (typed(drill, "Eb"), typed(drill, "B"), typed(drill, "C")) == ([2, 0, 0], [0, 3, 0], [0, 0, 0])
    shared = with_hold(drill, Hand.RIGHT, 1, True, sharp)
    assert (typed(shared, "Eb"), typed(shared, "B"), typed(shared, "C")) == ([2, 3, 0], [0, 3, 0], [0, 3, 0])
    assert holds_in_every_key(shared, Hand.RIGHT, 1, sharp)
    assert not holds_in_every_key(shared, Hand.RIGHT, 0, flat)
    own = with_pin(with_hold(shared, Hand.RIGHT, 1, False, sharp), Hand.RIGHT, 0, 1, sharp)
    assert (typed(own, "Eb"), typed(own, "B"), typed(own, "C")) == ([2, 0, 0], [1, 3, 0], [0, 0, 0])
    gone = with_pin(with_pin(with_pin(own, Hand.RIGHT, 0, 0, sharp), Hand.RIGHT, 1, 0, sharp), Hand.RIGHT, 0, 0, flat)
    assert (typed(gone, "Eb"), typed(gone, "B")) == ([0, 0, 0], [0, 0, 0])
    assert gone.fingers_in_keys == ()


def test_two_shared_fingers_become_those_of_one_key_one_after_the_other() -> None:
    """The last one that leaves must not come to hold everywhere again."""
    key = Key.parse("D")
    drill = with_hold(with_pin(drill_of("broken-chords"), Hand.RIGHT, 0, 2, key), Hand.RIGHT, 0, True, key)
    drill = with_pin(drill, Hand.RIGHT, 1, 3, key)
    assert typed(drill, "A") == [2, 3, 0]
    for note in (0, 1):
        drill = with_hold(drill, Hand.RIGHT, note, False, key)
        assert not holds_in_every_key(drill, Hand.RIGHT, note, key)
    assert (typed(drill, "D"), typed(drill, "A")) == ([2, 3, 0], [0, 0, 0])
