"""A drawing says everything that the exercise means and nothing stands on anything else."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise

import pytest

from lessonkit.drawing.shapes import Drawing, Face, Glyph, Line, Mark, Path, Text
from lessonkit.drills.exercise import (
    Bar,
    BarEnd,
    Blank,
    ChordMark,
    Dynamic,
    Event,
    Exercise,
    FingersShown,
    Hand,
    Meter,
    Roll,
    Shown,
)  # fmt: skip
from lessonkit.drills.family import DrillFamily, Hands, families
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave, forget
from lessonkit.engraving.look import Look
from lessonkit.engraving.score import written
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.roman import RomanChord

LOOK = Look(482.0)


def marks(drawings: Iterable[Drawing], kind: str) -> list[Mark]:
    """The marks of a kind, in order."""
    return [mark for drawing in drawings for mark in drawing.marks if mark.kind == kind]


def drill(groups: list[str], hand: Hand = Hand.RIGHT, **more: object) -> Exercise:
    """Groups of eighths in 4/4, in C unless said otherwise; every note fingered 1 to 5 by its place in the group."""
    eighth = Fraction(1, 8)
    events = []
    for number, group in enumerate(groups):
        for finger, text in enumerate(group.split(), 1):
            pitches = tuple(Pitch.parse(name) for name in text.split("+"))
            fingers = tuple(min(5, finger + index) for index in range(len(pitches)))
            events.append(Event(hand, len(events) * eighth, eighth, pitches, fingers, number))
    count = -(-len(events) // 8)
    bars = tuple(
        Bar(Fraction(bar), Fraction(1), end=BarEnd.FINAL if bar == count - 1 else BarEnd.SINGLE) for bar in range(count)
    )
    exercise = Exercise(Key.parse("C"), Meter(4, 4), tuple(events), bars, summary="a drill")
    return replace(exercise, **more)  # type: ignore[arg-type]


PROGRESSION = ("Dm7", "G7", "Cmaj7", "A7b9")
NUMERALS = ("iim7", "V7", "Imaj7", "VI7b9")


def progression(**more: object) -> Exercise:
    """Four whole-note chords over their roots, with names and degrees."""
    events, chords, bars = [], [], []
    for bar, (text, numeral) in enumerate(zip(PROGRESSION, NUMERALS, strict=True)):
        chord = Chord.parse(text)
        pitches: list[Pitch] = []
        for tone in chord.tones:
            pitches.append(tone.nearest_above(pitches[-1] if pitches else Pitch.parse("C4")))
        events.append(Event(Hand.RIGHT, Fraction(bar), Fraction(1), tuple(pitches), group=bar))
        root = chord.root.nearest_above(Pitch.parse("C3"))
        events.append(Event(Hand.LEFT, Fraction(bar), Fraction(1), (root,), group=bar))
        chords.append(ChordMark(Fraction(bar), chord, RomanChord.parse(numeral)))
        bars.append(Bar(Fraction(bar), Fraction(1), None if bar else Key.parse("C"), "" if bar else "C major"))
    exercise = Exercise(
        Key.parse("C"), Meter(4, 4), tuple(events), tuple(bars), tuple(chords), shown=Shown(True, True),
        summary="a progression",
    )  # fmt: skip
    return replace(exercise, **more)  # type: ignore[arg-type]


def fingered(exercise: Exercise) -> Exercise:
    """The same exercise with a finger on every note."""
    return replace(
        exercise,
        events=tuple(replace(event, fingers=tuple(range(1, len(event.pitches) + 1))) for event in exercise.events),
        shown=Shown(True, True, FingersShown.ALL),
    )


def collisions(drawing: Drawing) -> list[tuple[Mark, Mark]]:
    """Pairs of things that stand on one another: whatever is placed by us against everything else."""
    placed = ("finger", "chord name", "degree", "text", "octave line")
    solid = (*placed, "note", "accidental", "clef", "signature", "rest")
    boxes = [mark for mark in drawing.marks if mark.kind in solid]
    return [
        (one, other)
        for one, other in combinations(boxes, 2)
        if (one.kind in placed or other.kind in placed)
        and one.box.overlaps(other.box, 0.2)
        # The figures of a time signature and of a loud mark are placed by the engraver, and so is a tuplet's.
        and not (one.kind == other.kind == "text")
    ]


@pytest.mark.parametrize("key", ["C", "Gb", "D", "F#m", "Ebm"])
@pytest.mark.parametrize("hands", Hands)
@pytest.mark.parametrize("family", families().values(), ids=lambda family: family.code)
def test_nothing_stands_on_anything_else(family: type[DrillFamily], hands: Hands, key: str) -> None:
    """Fingers, names and octave lines must be clear of the notes and of each other to be read at the piano."""
    exercise = fingered(replace(family(), hands=hands).build(Setting(Key.parse(key))))
    for drawing in engrave(exercise, LOOK):
        assert collisions(drawing) == []


@pytest.mark.parametrize("family", families().values(), ids=lambda family: family.code)
def test_every_drawing_holds_its_own_ink(family: type[DrillFamily]) -> None:
    """What sticks out of a drawing would be cut off or stand on its neighbour."""
    exercise = fingered(replace(family(), hands=Hands.BOTH).build(Setting(Key.parse("Db"))))
    for drawing in engrave(exercise, LOOK):
        for mark in drawing.marks:
            assert mark.box.left >= -0.5
            assert mark.box.top >= -0.01
            assert mark.box.right <= drawing.width + 0.5
            assert mark.box.bottom <= drawing.height + 0.01


def test_collisions_are_noticed() -> None:
    """A search that finds nothing anywhere would prove nothing."""
    (drawing,) = engrave(drill(["C5 E5 G5 C6"]), LOOK)
    finger = next(mark for mark in drawing.marks if mark.kind == "finger")
    note = next(mark for mark in drawing.marks if mark.kind == "note")
    assert collisions(replace(drawing, marks=(*drawing.marks, finger._replace(box=note.box))))


def test_every_note_and_finger_can_be_traced_to_its_event() -> None:
    """A note is lit up while it sounds and found again by the tests."""
    exercise = drill(["C4 E4 G4 C5", "E4 G4 C5 E5"])
    drawings = engrave(exercise, LOOK)
    assert [mark.name for mark in marks(drawings, "note")] == [f"{event}.0" for event in range(8)]
    assert {mark.name: mark.detail for mark in marks(drawings, "finger")} == {
        f"{event}.0": str(event % 4 + 1) for event in range(8)
    }


def test_right_hand_fingers_stand_above_and_left_hand_fingers_below() -> None:
    """Between the staves they would belong to neither hand."""
    for hand in Hand:
        (drawing,) = engrave(drill(["C4 E4 G4 C5"], hand), LOOK)
        (staff,) = marks((drawing,), "staff")
        for mark in marks((drawing,), "finger"):
            assert mark.box.bottom < staff.box.top if hand is Hand.RIGHT else mark.box.top > staff.box.bottom


def test_the_fingers_of_a_chord_are_stacked_in_the_order_of_its_notes() -> None:
    """The highest note's finger stands highest."""
    (drawing,) = engrave(drill(["C4+E4+G4"]), LOOK)
    stack = {mark.name: mark.box for mark in marks((drawing,), "finger")}
    assert stack["0.0"].top > stack["0.1"].bottom > stack["0.1"].top > stack["0.2"].bottom


def test_typed_fingers_are_bold_and_their_marks_say_so() -> None:
    """A teacher sees which fingers are her own, in black and white too; the window can tell a click on one."""
    exercise = drill(["C4+E4 G4 C5"])
    events = (replace(exercise.events[0], pinned=frozenset({1})), *exercise.events[1:])
    (drawing,) = engrave(replace(exercise, events=events), LOOK)
    details = {mark.name: mark.detail for mark in marks((drawing,), "finger")}
    assert details == {"0.0": "1", "0.1": "2 pinned", "1.0": "2", "2.0": "3"}
    digits = [shape for shape in drawing.shapes if isinstance(shape, Text) and shape.text.isdigit()]
    assert {digit.text for digit in digits if digit.face is Face.SERIF_BOLD} == {"2"}
    assert sorted(digit.text for digit in digits if digit.face is Face.SERIF) == ["1", "2", "3"]


@pytest.mark.parametrize(
    ("shown", "printed"),
    [(FingersShown.ALL, 12), (FingersShown.FIRST_GROUP, 4), (FingersShown.CHANGES, 1), (FingersShown.NONE, 0)],
)
def test_fingers_are_shown_as_far_as_the_teacher_asks(shown: FingersShown, printed: int) -> None:
    """Groups that are all fingered 1 2 3 4 upwards change nothing after the first note."""
    exercise = drill(["C4 E4 G4 C5", "E4 G4 C5 E5", "G4 C5 E5 G5"], shown=Shown(fingers=shown))
    assert len(marks(engrave(exercise, LOOK), "finger")) == printed


def test_crossings_and_new_fingerings_are_changes() -> None:
    """The thumb passes under at F, and a group that is fingered otherwise says so."""
    exercise = drill(["C4 D4 E4 F4 G4", "C4 D4 E4 F4 G4"], shown=Shown(fingers=FingersShown.CHANGES))
    fingers = [1, 2, 3, 1, 2, 1, 2, 3, 4, 5]
    events = tuple(replace(event, fingers=(finger,)) for event, finger in zip(exercise.events, fingers, strict=True))
    names = [mark.name for mark in marks(engrave(replace(exercise, events=events), LOOK), "finger")]
    assert names == ["0.0", "3.0", "5.0"]


def test_chord_names_and_degrees_are_text_in_the_chosen_style() -> None:
    """They can be selected and searched, and one style holds."""
    drawings = engrave(progression(), Look(482.0, label_style=LabelStyle(minor="−")))
    assert [mark.detail for mark in marks(drawings, "chord name")][:2] == ["D−7", "G7"]
    assert [mark.detail for mark in marks(drawings, "degree")][1:3] == ["V7", "Imaj7"]
    written = "".join(shape.text for drawing in drawings for shape in drawing.shapes if isinstance(shape, Text))
    for mark in marks(drawings, "chord name") + marks(drawings, "degree"):
        assert mark.detail in written


def test_degrees_stand_under_chord_names_and_both_keep_their_line() -> None:
    """A row that wanders is hard to read ahead."""
    drawings = engrave(progression(), LOOK)
    for drawing in drawings:
        names, degrees = marks((drawing,), "chord name"), marks((drawing,), "degree")
        assert len({round(mark.box.bottom, 3) for mark in names}) == 1
        assert len({round(mark.box.bottom, 3) for mark in degrees}) == 1
        assert names[0].box.bottom <= degrees[0].box.top


def test_close_chord_names_are_given_room() -> None:
    """Four long names in a bar must not run into one another."""
    exercise = drill(["C4 D4 E4 F4", "C4 D4 E4 F4"])
    chords = tuple(ChordMark(Fraction(beat, 8), Chord.parse("Bbm(maj7)")) for beat in range(8))
    for drawing in engrave(replace(exercise, chords=chords), LOOK):
        assert collisions(drawing) == []


def test_a_harmony_that_holds_on_is_named_again_where_a_line_begins() -> None:
    """The eye that comes to a new line must find the chord there."""
    exercise = drill(["C4 E4 G4 C5"] * 16, chords=(ChordMark(Fraction(0), Chord.parse("C")),))
    drawings = engrave(exercise, LOOK)
    assert len(drawings) > 1
    assert [(mark.name, mark.detail) for mark in marks(drawings, "chord name")] == [("0", "C")] * len(drawings)


def test_the_name_of_a_key_stands_above_its_line_in_bold() -> None:
    """One key a line is found by its name."""
    drawings = engrave(progression(), LOOK)
    label = next(mark for mark in marks(drawings, "text") if mark.detail == "C major")
    assert label.box.bottom <= min(mark.box.top for mark in marks(drawings[:1], "chord name")) + 0.01


@pytest.mark.parametrize(
    ("blank", "kind"), [(Blank.CHORD_NAMES, "chord name"), (Blank.DEGREES, "degree"), (Blank.FINGERS, "finger")]
)
def test_a_worksheet_leaves_out_what_is_asked_and_the_answers_say_it(blank: Blank, kind: str) -> None:
    """The same exercise is the question and the answer."""
    exercise = replace(fingered(progression()), blank=frozenset({blank}))
    assert not any(mark.detail for mark in marks(engrave(exercise, LOOK), kind))
    assert all(mark.detail for mark in marks(engrave(exercise, replace(LOOK, shows_answers=True)), kind))


def test_a_blank_for_notes_keeps_bars_and_room() -> None:
    """The student writes where the notes would stand."""
    exercise = progression(blank=frozenset({Blank.NOTES}))
    blank, full = engrave(exercise, LOOK), engrave(exercise, replace(LOOK, shows_answers=True))
    assert marks(blank, "note") == marks(blank, "accidental") == []
    assert len(marks(full, "note")) == 21
    assert [mark.name for mark in marks(blank, "bar line")] == [mark.name for mark in marks(full, "bar line")]
    for empty, answered in zip(marks(blank, "bar line"), marks(full, "bar line"), strict=True):
        assert empty.box.left == pytest.approx(answered.box.left, abs=25)


def test_a_blank_for_the_right_hand_leaves_the_left() -> None:
    """The bass is given, the chord is to be found."""
    drawings = engrave(progression(blank=frozenset({Blank.RIGHT_HAND})), LOOK)
    assert {mark.detail for mark in marks(drawings, "note")} == {"2"}


def test_both_hands_make_a_grand_staff_and_one_hand_its_own() -> None:
    """Right hand treble, left hand bass."""
    both = engrave(progression(), LOOK)
    assert [mark.detail for mark in marks(both[:1], "clef")] == ["E050", "E062"]
    assert [mark.detail for mark in marks(engrave(drill(["C3 E3"], Hand.LEFT), LOOK), "clef")] == ["E062"]


def test_long_notes_are_tied_and_rests_are_written() -> None:
    """Five eighths are two heads of one note; what follows is silence that can be counted."""
    exercise = drill(["C4"])
    events = (replace(exercise.events[0], length=Fraction(5, 8)),)
    drawings = engrave(replace(exercise, events=events), LOOK)
    assert [mark.name for mark in marks(drawings, "note")] == ["0.0", "0.0"]
    assert len(marks(drawings, "rest")) == 2


def test_rolls_and_loudness_are_drawn() -> None:
    """A rolled chord has its wavy line, a soft one its p."""
    exercise = drill(["C4+E4+G4 E4"])
    rolled = replace(exercise.events[0], roll=Roll.DOWN)
    exercise = replace(exercise, events=(rolled, exercise.events[1]), dynamics=(Dynamic(Fraction(0), "p"),))
    (plain,) = engrave(replace(exercise, events=(replace(rolled, roll=Roll.NONE), exercise.events[1])), LOOK)
    (drawing,) = engrave(exercise, LOOK)
    assert len(drawing.shapes) > len(plain.shapes)
    assert any(isinstance(shape, Glyph) and shape.code == 0xE520 for shape in drawing.shapes)


def test_free_time_has_no_time_signature_and_invisible_bar_lines_are_not_drawn() -> None:
    """Groups follow one another without a count."""
    exercise = drill(["C4 E4 G4 C5", "E4 G4 C5 E5", "C4 E4 G4 C5", "E4 G4 C5 E5"], meter=None)
    bars = tuple(replace(bar, end=BarEnd.INVISIBLE) for bar in exercise.bars[:-1]) + exercise.bars[-1:]
    (drawing,) = engrave(replace(exercise, bars=bars), LOOK)
    assert not any(isinstance(shape, Glyph) and 0xE080 <= shape.code <= 0xE089 for shape in drawing.shapes)
    assert [mark.detail for mark in marks((drawing,), "bar line")] == ["final"]


def test_beams_show_dotted_beats() -> None:
    """In 6/8 three eighths stand under a beam, whatever the groups of the pattern. Common practice, no source."""
    exercise = drill(["C4 E4 G4 C5", "E4 G4 C5 E5", "C4 E4 G4 C5"], meter=Meter(6, 8))
    bars = (Bar(Fraction(0), Fraction(3, 4)), Bar(Fraction(3, 4), Fraction(3, 4)))
    score = written(replace(exercise, bars=bars))
    assert [[(beam.first, beam.last) for beam in bar.beams] for bar in score.bars[Hand.RIGHT]] == [[(0, 3), (3, 6)]] * 2


def test_triplets_are_beamed_beat_by_beat() -> None:
    """Whatever the groups of the pattern, three stand under a beam and a 3. Common practice, no source."""
    exercise = drill(["C4 E4 G4 C5", "E4 G4 C5 E5", "C4 E4 G4 C5"])
    twelfth = Fraction(1, 12)
    events = tuple(
        replace(event, onset=number * twelfth, length=twelfth, tuplet=3) for number, event in enumerate(exercise.events)
    )
    (bar,) = written(replace(exercise, events=events, bars=exercise.bars[:1])).bars[Hand.RIGHT]
    assert [(beam.first, beam.last) for beam in bar.beams] == [(0, 3), (3, 6), (6, 9), (9, 12)]
    assert bar.beams == bar.tuplets


def test_a_rest_that_begins_within_a_triplet_fills_it_up() -> None:
    """What remains of the beat is a rest of the triplet; from the next beat on rests are plain."""
    exercise = drill(["C4"])
    events = (replace(exercise.events[0], length=Fraction(1, 12), tuplet=3),)
    (bar,) = written(replace(exercise, events=events)).bars[Hand.RIGHT]
    assert [(piece.value, piece.tuplet) for piece in bar.pieces] == [("8", 3), ("4", 3), ("4", 0), ("2", 0)]
    texts = marks(engrave(replace(exercise, events=events), LOOK), "text")
    assert [mark.name for mark in texts].count("tupletNum") == 1


def test_lines_begin_where_they_are_asked_to() -> None:
    """One key a line."""
    exercise = drill(["C4 E4 G4 C5"] * 8)
    bars = tuple(replace(bar, starts_line=True) for bar in exercise.bars)
    assert len(engrave(replace(exercise, bars=bars), LOOK)) == 4


def test_a_short_last_line_is_not_stretched_to_the_margin() -> None:
    """A stretched last line looks like slow music."""
    exercise = drill(["C4 E4 G4 C5"] * 14 + ["C5"])
    bars = tuple(replace(bar, starts_line=bar.onset == 7) for bar in exercise.bars)
    drawings = engrave(replace(exercise, bars=bars), LOOK)
    widths = [marks((drawing,), "staff")[0].box.right for drawing in drawings]
    assert widths[0] == pytest.approx(482, abs=1)
    assert widths[-1] < 400


@pytest.mark.parametrize("staff_height", [5.5, 7.0, 10.0, 14.0])
def test_the_staff_has_the_height_that_is_asked_for(staff_height: float) -> None:
    """Millimetres between the outer lines."""
    for drawing in engrave(drill(["C4 E4 G4 C5"] * 8), Look(482.0, staff_height)):
        (staff,) = marks((drawing,), "staff")
        assert staff.box.bottom - staff.box.top == pytest.approx(staff_height * 72 / 25.4)
        assert drawing.width == 482.0


def test_the_same_exercise_is_engraved_once() -> None:
    """A block that has not changed costs nothing."""
    exercise = drill(["C4 E4 G4 C5"])
    assert engrave(exercise, LOOK) is engrave(exercise, LOOK)
    assert engrave(exercise, Look(400.0)) is not engrave(exercise, LOOK)


def test_the_same_exercise_always_looks_the_same() -> None:
    """A reprint must not differ from the print."""
    exercise = progression()
    before = engrave(exercise, LOOK)
    forget()
    engrave(drill(["C4 E4 G4 C5"]), Look(300.0))
    assert engrave(exercise, LOOK) == before


def test_a_drawing_says_in_words_what_it_is() -> None:
    """Who cannot see the page hears the drill and the line."""
    drawings = engrave(drill(["C4 E4 G4 C5"] * 16), LOOK)
    assert drawings[1].spoken == f"a drill, line 2 of {len(drawings)}"


def test_an_exercise_without_bars_is_refused() -> None:
    """There is nothing to draw."""
    with pytest.raises(ValueError, match="no bars"):
        engrave(replace(drill(["C4"]), bars=()), LOOK)


def test_overlapping_notes_of_one_hand_are_refused() -> None:
    """One hand's staff has one voice."""
    exercise = drill(["C4 E4"])
    events = (replace(exercise.events[0], length=Fraction(1, 2)), exercise.events[1])
    with pytest.raises(ValueError, match="overlaps"):
        engrave(replace(exercise, events=events), LOOK)


@pytest.mark.parametrize(("width", "height"), [(482.0, 1.0), (482.0, 40.0), (60.0, 7.0), (float("nan"), 7.0)])
def test_sizes_that_cannot_be_drawn_are_refused(width: float, height: float) -> None:
    """A staff must be readable and a line must hold a bar."""
    with pytest.raises(ValueError, match="staff of"):
        Look(width, height)


def test_an_octave_line_over_one_chord_has_its_hook() -> None:
    """The figure alone does not say where it ends."""
    high = drill(["C4 E4", "G6+C7+E7"])
    events = (*high.events[:2], replace(high.events[2], length=Fraction(3, 4)))
    (drawing,) = engrave(replace(high, events=events), LOOK)
    (line,) = marks((drawing,), "octave line")
    dashes = [shape for shape in drawing.shapes if isinstance(shape, Line) and shape.dash]
    hooks = [
        shape for shape in drawing.shapes
        if isinstance(shape, Line) and shape.x1 == shape.x2 == pytest.approx(line.box.right, abs=0.1)
    ]  # fmt: skip
    assert len(dashes) == len(hooks) == 1


def test_labels_of_one_line_stand_at_one_height() -> None:
    """Names that climb like stairs look like an accident."""
    bars = progression().bars
    labelled = tuple(replace(bar, label=f"Shape {number}") for number, bar in enumerate(bars))
    for drawing in engrave(progression(bars=labelled), LOOK):
        heights = {round(mark.box.bottom, 3) for mark in marks((drawing,), "text") if mark.detail.startswith("Shape")}
        assert len(heights) == 1


def test_the_row_of_fingers_is_calm() -> None:
    """It follows the line without leaping from every low note to every high one."""
    (drawing,) = engrave(drill(["C5 A5 C5 A5", "C5 A5 C5 A5"]), LOOK)
    tops = [mark.box.top for mark in marks((drawing,), "finger")]
    (staff,) = marks((drawing,), "staff")
    space = (staff.box.bottom - staff.box.top) / 4
    assert max(abs(one - other) for one, other in pairwise(tops)) <= 1.3 * space


def test_a_digit_never_stands_beside_a_stem() -> None:
    """It is read as part of the note; beyond the stem it is free."""
    exercise = drill(["C4+E4+G4+B4"])
    (drawing,) = engrave(replace(exercise, events=(replace(exercise.events[0], length=Fraction(1, 2)),)), LOOK)
    stem = min(
        y for shape in drawing.shapes if isinstance(shape, Path) and shape.fill is None for _, (_, y) in shape.commands
    )
    assert all(mark.box.bottom <= stem for mark in marks((drawing,), "finger"))
