"""The front door: lines, groups, chords, pins and what cannot be played."""

import pytest

from lessonkit.hands.fingering import finger_chord, finger_chords, finger_groups, finger_line
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.hands.weights import WEIGHTS
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import Pitch

from .shaking import shaken


def notes(text: str) -> tuple[Pitch, ...]:
    return tuple(Pitch.parse(name) for name in text.split())


def line(text: str, hand: Hand, **more: object) -> str:
    return "".join(str(finger or "-") for finger in finger_line(notes(text), hand, **more).fingers)  # type: ignore[arg-type]


def run(text: str, octaves: int) -> str:
    """Note names without octaves as a rising run from octave 3, closed by the first."""
    names, pitches = text.split(), []
    floor = Pitch.parse("B2")
    for index in range(octaves * len(names) + 1):
        pitch = Pitch.parse(names[index % len(names)] + "4").name.nearest_above(floor)
        floor = pitch
        pitches.append(pitch.ascii)
    return " ".join(pitches)


def test_more_octaves_do_not_change_the_fingers_of_an_octave() -> None:
    """The same shape an octave higher gets the same fingers, whatever the length of the run."""
    for text in ("C E G", "Ab C Eb G", "Eb Ab C", "D F# A C"):
        for hand in Hand:
            cycle = len(text.split())
            two, four = line(run(text, 2), hand), line(run(text, 4), hand)
            assert four.startswith(two[: cycle + 1]) or hand is Hand.LEFT
            assert four.endswith(two[-cycle:]) or hand is Hand.RIGHT


def test_the_way_down_mirrors_the_way_up() -> None:
    """Arpeggios come down on the fingers that went up; common practice, no source."""
    up = run("Bb D F", 2).split()
    both = line(" ".join(up + up[-2::-1]), Hand.RIGHT)
    assert both == both[::-1]
    assert line(" ".join(up[::-1]), Hand.RIGHT) == line(" ".join(up), Hand.RIGHT)[::-1]


def test_the_left_hand_is_the_right_hand_mirrored_about_d() -> None:
    """F♯ minor seen from below is the mirror of B♭ major seen from above, key by key."""
    pitches = notes(run("Bb D F", 2))
    mirror = [Pitch.parse("D4").midi * 2 - pitch.midi for pitch in reversed(pitches)]
    names = ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]
    mirrored = [Pitch.parse(f"{names[key % 12]}{key // 12 - 1}") for key in mirror]
    right, left = finger_line(pitches, Hand.RIGHT), finger_line(mirrored, Hand.LEFT)
    assert right.fingers == left.fingers[::-1]


def test_a_pinned_finger_holds_and_constrains_its_run() -> None:
    """What the teacher types wins, and the rest of the run follows it."""
    fingering = finger_line(notes(run("C E G", 2)), Hand.RIGHT, pins={2: 4})
    assert fingering.fingers == (1, 2, 4, 1, 2, 4, 5)
    assert fingering.pinned == {2}
    assert "pinned by the teacher" in fingering.reasons[2]


def test_pins_that_cross_get_a_sentence_and_the_rest_keeps_its_fingers() -> None:
    """Fourth finger above the fifth, one key further up, is no fingering."""
    free = finger_line(notes("C4 D4 E4 F4 G4"), Hand.RIGHT)
    crossed = finger_line(notes("C4 D4 E4 F4 G4"), Hand.RIGHT, pins={0: 5, 1: 4})
    assert crossed.fingers == (5, 4, *free.fingers[2:])
    assert [problem.notes for problem in crossed.problems] == [(0, 1)]
    assert "C4–D4 cannot be played 5–4 in the right hand" in crossed.problems[0].sentence


def test_a_finger_that_does_not_exist_is_refused() -> None:
    """Fingers are 1 to 5."""
    with pytest.raises(ValueError, match="6 is not a finger"):
        finger_line(notes("C4 D4"), Hand.RIGHT, pins={0: 6})


def test_a_note_off_the_keyboard_gets_a_sentence_and_the_rest_keeps_its_fingers() -> None:
    """One mistyped octave does not cost the drill its fingers."""
    fingering = finger_line(notes("C4 D4 E4 C9 F4"), Hand.RIGHT)
    assert fingering.fingers[3] is None
    assert None not in fingering.fingers[:3]
    assert "C9 lies off the keyboard" in fingering.problems[0].sentence


def test_a_note_of_a_group_off_the_keyboard_leaves_the_others_their_fingers() -> None:
    """Wrong is the one note, not the three beside it."""
    fingering = finger_groups(notes("E4 G4 C5 C9"), 4, Hand.RIGHT)
    assert fingering.fingers == (1, 2, 5, None)
    (problem,) = fingering.problems
    assert problem.sentence.startswith("C9 lies off the keyboard")


def test_six_notes_in_one_hand_get_a_sentence_and_the_other_chords_keep_their_fingers() -> None:
    """A hand has five fingers."""
    chords = [notes("C4 E4 G4"), notes("C4 D4 E4 F4 G4 A4"), notes("C4 F4 A4")]
    fingering = finger_chords(chords, Hand.LEFT)
    assert fingering.fingers[1] == (None,) * 6
    assert all(None not in fingering.fingers[index] for index in (0, 2))
    assert "6 notes for the left hand, which has five fingers" in fingering.problems[0].sentence


@pytest.mark.parametrize(
    ("chord", "right", "left"),
    [("C4 E4 G4", (1, 3, 5), (5, 3, 1)), ("E4 G4 C5", (1, 2, 5), (5, 3, 1)), ("G4 C5 E5", (1, 3, 5), (5, 2, 1))],
)
def test_close_triads_have_their_usual_fingers(chord: str, right: tuple[int, ...], left: tuple[int, ...]) -> None:
    """135 125 135 and 531 531 521; common practice, no source."""
    assert finger_chord(notes(chord), Hand.RIGHT).fingers[0] == right
    assert finger_chord(notes(chord), Hand.LEFT).fingers[0] == left


def test_groups_of_the_same_notes_have_the_same_frame_in_any_order() -> None:
    """A broken chord lies in one position of the hand however its notes follow one another."""
    up = finger_groups(notes("C4 E4 G4 C5"), 4, Hand.RIGHT).fingers
    mixed = finger_groups(notes("C5 E4 G4 C4"), 4, Hand.RIGHT).fingers
    assert mixed == (up[3], up[1], up[2], up[0])


def test_the_low_black_note_may_take_2_1_2_4() -> None:
    """Printed as an alternative in Beringer and Dunhill, Manual, 1900, for E♭ G C E♭ in C minor."""
    group = notes("Eb4 G4 C5 Eb5")
    assert finger_groups(group, 4, Hand.RIGHT).fingers == (1, 2, 4, 5)
    assert finger_groups(group, 4, Hand.RIGHT, black_start=True).fingers == (2, 1, 2, 4)


def _narrow_groups_on_e_flat() -> list[tuple[Pitch, ...]]:
    return [notes("G4 Bb4 Eb5"), notes("Eb4 G4 Bb4"), notes("G4 Bb4 D5 Eb5")]


def test_on_e_flat_the_fourth_finger_takes_the_black_note_on_top() -> None:
    """Common practice, no source: the little finger keeps off black keys where the fourth reaches them. The fact holds
    for hands of 165 to 235 mm and in at least nine of ten draws of the weights, each moved by up to 30 %."""
    for span in (165, 185, 205, 235):
        profile = HandProfile().with_span(span)
        held = [
            all(
                finger_groups(group, len(group), Hand.RIGHT, profile, weights=weights).fingers[-1] == 4
                for group in _narrow_groups_on_e_flat()
            )
            for weights in shaken(WEIGHTS, 40)
        ]
        assert sum(held) >= 0.9 * len(held)


def test_the_strength_of_the_little_finger_rule_is_the_teachers() -> None:
    """At strength 0 the black key costs the little finger nothing and it plays the top as on white keys."""
    relaxed = HandProfile(keep_little_finger_off_black=0)
    assert finger_groups(notes("Eb4 G4 Bb4"), 3, Hand.RIGHT, relaxed).fingers == (1, 3, 5)


def test_the_chromatic_scale_has_the_third_finger_on_black_keys() -> None:
    """Common practice, no source."""
    chromatic = "C4 C#4 D4 D#4 E4 F4 F#4 G4 G#4 A4 A#4 B4 C5"
    assert line(chromatic, Hand.RIGHT) == "1313123131312"[:12] + "2" or line(chromatic, Hand.RIGHT) == "2313123131312"


def test_a_repeated_note_keeps_its_finger() -> None:
    """Nothing asks for a change on a slow repeated note."""
    assert len(set(finger_line(notes("E4 E4 E4"), Hand.RIGHT).fingers)) == 1


def test_every_chord_quality_runs_in_every_key_with_a_runner_up() -> None:
    """No chord falls through: each note has a finger, and no two neighbours in one direction share one."""
    for suffix in ("", "m", "dim", "aug", "sus4", "6", "maj7", "7", "m7b5", "dim7", "9", "13"):
        for root in ("C", "Db", "F#", "Ab", "B"):
            names = sorted({tone.pitch_class for tone in Chord.parse(root + suffix).tones})
            text = " ".join(["C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"][name] for name in names)
            for hand in Hand:
                fingering = finger_line(notes(run(text, 2)), hand)
                assert None not in fingering.fingers
                assert fingering.runner_up is not None
                assert all(one != two for one, two in zip(fingering.fingers, fingering.fingers[1:], strict=False))


def test_a_pinned_finger_constrains_its_group() -> None:
    """Pinning the fourth finger where the third stood leaves a frame with the fourth."""
    pitches = notes("C4 E4 G4 C5 E4 G4 C5 E5")
    assert finger_groups(pitches, 4, Hand.RIGHT, pins={2: 4}).fingers == (1, 2, 4, 5, 1, 2, 4, 5)


def test_pins_that_no_frame_has_get_a_sentence_and_the_other_groups_keep_theirs() -> None:
    """A thumb above the little finger is no frame."""
    fingering = finger_groups(notes("C4 E4 G4 C5 E4 G4 C5 E5"), 4, Hand.RIGHT, pins={0: 5, 1: 1})
    assert fingering.fingers == (5, 1, 3, 5, 1, 2, 4, 5)
    assert "the pinned fingers do not fit C4 E4 G4 C5" in fingering.problems[0].sentence


def test_a_key_that_stays_keeps_its_finger_in_a_chain_of_chords() -> None:
    """C stays under the thumb from C major to F major over C; common practice, no source."""
    fingers = finger_chords([notes("C4 E4 G4"), notes("C4 F4 A4")], Hand.RIGHT).fingers
    assert [chord[0] for chord in fingers] == [1, 1]
