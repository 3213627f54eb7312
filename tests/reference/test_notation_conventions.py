"""Conventions of notation, read back from finished drawings: what stands before which note, and what stands where.

The table's rules are common practice, no source, where nothing else stands beside them. Manuals of engraving agree on
them; which courtesies are bracketed is each house's choice, and ours brackets them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from lessonkit.drawing.shapes import Drawing, Glyph, Line, Mark
from lessonkit.drills.exercise import Bar, BarEnd, Event, Exercise, FingersShown, Hand, Meter
from lessonkit.drills.family import DrillFamily, Hands, families, family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from tests.looking.geometry import clashes
from tests.looking.ink import space_of

LOOK = Look(482.0)
QUARTER = Fraction(1, 4)
SIGNS = {"E260": "b", "E261": "n", "E262": "#", "E263": "x", "E264": "bb"}


def music(key: str, right: str, left: str = "") -> Exercise:
    """Quarter notes in 4/4 from text: ``F#4 F#4~ | F#4 r``; ``r`` rests, ``~`` ties on, a bar is filled with rests."""
    events: list[Event] = []
    count = max(right.count("|"), left.count("|")) + 1
    for hand, line in ((Hand.RIGHT, right), (Hand.LEFT, left)):
        for bar, notes in enumerate(line.split("|")):
            for at, word in enumerate(notes.split()):
                if word != "r":
                    pitch = (Pitch.parse(word.rstrip("~")),)
                    onset = bar + at * QUARTER
                    events.append(Event(hand, onset, QUARTER, pitch, group=len(events), is_tied=word.endswith("~")))
    ends = [BarEnd.SINGLE] * (count - 1) + [BarEnd.FINAL]
    bars = tuple(Bar(Fraction(n), Fraction(1), end=end) for n, end in enumerate(ends))
    return Exercise(Key.parse(key), Meter(4, 4), tuple(events), bars)


def signs_before(drawings: tuple[Drawing, ...], count: int) -> list[str]:
    """What is printed before each note: ``#``, ``(n)``, or nothing."""
    found = [""] * count
    for drawing in drawings:
        named: dict[str, set[str]] = {}
        for mark in drawing.marks:
            if mark.kind == "accidental":
                named.setdefault(mark.name, set()).add(mark.detail)
        for name, codes in named.items():
            (sign,) = [SIGNS[code] for code in codes if code in SIGNS]
            found[int(name.split(".")[0])] = f"({sign})" if "E26A" in codes else sign
    return found


@pytest.mark.parametrize(
    ("rule", "key", "right", "left", "expected"),
    [
        ("valid to the bar line, at its height", "C", "F#4 F#4 | F#4", "", "# . #"),
        ("a new sign for another octave", "C", "F#4 F#5", "", "# #"),
        ("signatures are not said again", "D", "F#4 C#5 F#5", "", ". . ."),
        ("same letter altered in the previous bar", "C", "F#4 | F4 F4", "", "# (n) ."),
        ("the same in a key that alters it", "G", "F4 | F#4", "", "n (#)"),
        ("same letter, another octave, previous bar", "C", "F#4 | F5 F4", "", "# (n) (n)"),
        ("two bars later nothing is said", "C", "F#4 | A4 | F4", "", "# . ."),
        ("another octave in this bar", "C", "F#4 F5", "", "# (n)"),
        ("the other hand just used another inflection", "C", "F#5 r", "r F3", "# (n)"),
        ("the other hand, in a flat key", "Eb", "B4 r", "r Bb2", "n (b)"),
        ("a tie carries its sign over the bar line", "C", "r r r F#4~ | F#4 A4", "", "# . ."),
        ("and no further", "C", "r r r F#4~ | F#4 F#4", "", "# . #"),
        ("after a tie the old inflection is said", "C", "r r r F#4~ | F#4 F4", "", "# . n"),
        ("and in the bar after it, as a courtesy", "C", "r r r F#4~ | F#4 A4 | F4", "", "# . . (n)"),
        ("double back to single: the single sign alone", "C", "Fx4 F#4", "", "x #"),
        ("double flat back to single", "C", "Bbb4 Bb4", "", "bb b"),
        ("single back to natural", "C", "F#4 F4", "", "# n"),
    ],
)
def test_accidentals_say_what_a_reader_needs(rule: str, key: str, right: str, left: str, expected: str) -> None:
    """One row for each case; ``.`` for a note with nothing before it, the right hand's notes first."""
    exercise = music(key, right, left)
    found = signs_before(engrave(exercise, LOOK), len(exercise.events))
    assert [sign or "." for sign in found] == expected.split(), rule


def drawn(kind: type[DrillFamily], key: str = "Eb", look: Look = LOOK, **settings: object) -> tuple[Drawing, ...]:
    """A family's drill, engraved."""
    return engrave(exercise_of(kind, key, **settings), look)


def exercise_of(kind: type[DrillFamily], key: str = "Eb", **settings: object) -> Exercise:
    """A family's drill with those of some settings that it has."""
    hands = settings.pop("hands", Hands.RIGHT)
    drill = kind.from_settings({name: value for name, value in settings.items() if name in kind.declared()})
    return realise(replace(drill, hands=hands), Setting(Key.parse(key)))  # type: ignore[arg-type]


def of_kind(drawing: Drawing, kind: str) -> list[Mark]:
    """The marks of a kind from left to right."""
    return sorted((mark for mark in drawing.marks if mark.kind == kind), key=lambda mark: mark.box.left)


ALL = pytest.mark.parametrize("kind", families().values(), ids=lambda kind: kind.code)


@pytest.mark.parametrize("code", ["broken-chords", "two-five-one-chains", "enclosures"])
def test_the_tempo_stands_above_the_first_bar(code: str) -> None:
    """Once, over the time signature or behind the name of the key, above all rows but that of the names of keys."""
    first, *others = drawn(family(code), look=replace(LOOK, tempo_mark="♩. = 48"), metre="6/8")
    (tempo,) = [mark for mark in of_kind(first, "text") if mark.name == "♩. = 48"]
    assert not [mark for drawing in others for mark in of_kind(drawing, "text") if mark.name == "♩. = 48"]
    figure = next(mark for mark in of_kind(first, "text") if mark.name == "meterSig")
    keys = [mark for mark in of_kind(first, "text") if mark.name.endswith("major")]
    bar = min(mark.box.left for mark in of_kind(first, "bar line"))
    assert tempo.box.left == pytest.approx(figure.box.left, abs=1) or tempo.box.left > keys[0].box.right
    assert tempo.box.left < bar
    assert tempo.box.bottom < of_kind(first, "staff")[0].box.top
    for kind in ("chord name", "degree", "finger", "note"):
        assert all(mark.box.top > tempo.box.top for mark in of_kind(first, kind))
    assert not clashes(first)


def high(code: str, octaves: int = 3) -> tuple[Exercise, tuple[Drawing, ...]]:
    """A drill that goes far up."""
    exercise = exercise_of(family(code), "C", octaves=octaves, lowest="C5", direction="up and down")
    return exercise, engrave(exercise, LOOK)


def test_octave_lines_begin_and_end_with_groups() -> None:
    """8va goes from a group's start to a group's end and never splits a beam."""
    exercise, drawings = high("broken-chords")
    lines = 0
    for drawing in drawings:
        for line in of_kind(drawing, "octave line"):
            lines += 1
            under = {
                int(mark.name.split(".")[0])
                for mark in of_kind(drawing, "note")
                if line.box.left - 0.5 <= (mark.box.left + mark.box.right) / 2 <= line.box.right + 0.5
            }
            groups = {exercise.events[event].group for event in under}
            there = {int(mark.name.split(".")[0]) for mark in of_kind(drawing, "note")}
            assert {event for event in there if exercise.events[event].group in groups} == under
            assert line.detail == "1"
            assert line.name in ("8va", "15ma"), "below the treble no octave line is used"
    assert lines


def test_an_octave_line_has_its_hook_where_it_ends() -> None:
    """One that goes on in the next line runs to the margin without a hook, and is said again there in brackets."""
    opened = 0
    for code in ("broken-chords", "diatonic-ladder", "double-notes"):
        _, drawings = high(code, 3 if code == "broken-chords" else 2)
        goes_on = False
        for drawing in drawings:
            lines = of_kind(drawing, "octave line")
            staff = of_kind(drawing, "staff")[0].box
            hooks = [
                shape
                for shape in drawing.shapes
                if isinstance(shape, Line) and shape.x1 == shape.x2 and any(
                    abs(shape.x1 - line.box.right) < 0.1 and shape.y1 < line.box.bottom + 1 for line in lines
                )
            ]  # fmt: skip
            brackets = [shape for shape in drawing.shapes if isinstance(shape, Glyph) and shape.code == 0xE51A]
            assert len(brackets) == goes_on
            opened += goes_on
            goes_on = bool(lines) and len(hooks) < len(lines)
            if goes_on:
                assert staff.right - lines[-1].box.right < 0.2 * space_of(drawing)
        assert not goes_on, "the last of them ends"
    assert opened


def test_a_clef_changes_before_the_bar_line() -> None:
    """Where the first note of a bar, or a rest before it, stands in another clef, the clef is told in time."""
    changes = 0
    for code in ("chord-jumps", "shape-survey", "octave-displacement", "drop-voicings", "left-hand-arpeggios"):
        if code not in families():
            continue
        for key in ("C", "Ab", "B"):
            exercise = exercise_of(family(code), key, hands=Hands.BOTH)
            firsts = first_notes(exercise)
            for drawing in engrave(exercise, LOOK):
                for clef in of_kind(drawing, "clef"):
                    staff = clef.name
                    after = [
                        mark
                        for mark in (*of_kind(drawing, "note"), *of_kind(drawing, "rest"))
                        if mark.detail == staff and mark.box.left > clef.box.right
                    ]
                    is_opening = clef.box.right < of_kind(drawing, "staff")[0].box.left + 4 * space_of(drawing)
                    if is_opening or not after:
                        continue
                    changes += 1
                    nearest = min(after, key=lambda mark: mark.box.left)
                    lines = [line.box.left for line in of_kind(drawing, "bar line")]
                    is_at_bar = nearest.kind == "note" and int(nearest.name.split(".")[0]) in firsts
                    if is_at_bar:
                        assert any(clef.box.right <= x + 1 < nearest.box.left for x in lines), f"{code} in {key}"
    assert changes


def first_notes(exercise: Exercise) -> set[int]:
    """The events that begin a bar after a line that can be seen."""
    ends = [BarEnd.SINGLE, *(bar.end for bar in exercise.bars)]
    starts = {bar.onset for bar, before in zip(exercise.bars, ends, strict=False) if before is not BarEnd.INVISIBLE}
    return {index for index, event in enumerate(exercise.events) if event.onset in starts}


@ALL
def test_lines_are_filled_and_break_between_groups(kind: type[DrillFamily]) -> None:
    """Every line reaches the margin, but for last ones, which are a third full; none breaks within a group."""
    for hands in Hands:
        exercise = exercise_of(kind, hands=hands)
        lines: dict[tuple[Hand, int], set[int]] = {}
        drawings = engrave(exercise, LOOK)
        for number, drawing in enumerate(drawings):
            may_end = number + 1 == len(drawings) or any(bar.starts_line for bar in exercise.bars[1:])
            assert of_kind(drawing, "staff")[0].box.right >= (0.34 if may_end else 0.99) * drawing.width
            for mark in of_kind(drawing, "note"):
                event = exercise.events[int(mark.name.split(".")[0])]
                lines.setdefault((event.hand, event.group), set()).add(number)
        assert [group for group, there in lines.items() if len(there) > 1] == []


@ALL
def test_fingers_stand_above_the_right_and_below_the_left_hand_in_a_calm_row(kind: type[DrillFamily]) -> None:
    """From digit to digit within a group the row steps no farther than a space (common practice, no source)."""
    exercise = exercise_of(kind, hands=Hands.BOTH, fingers_shown=FingersShown.ALL.value)
    for drawing in engrave(exercise, LOOK):
        space = space_of(drawing)
        heads = {mark.name: mark for mark in of_kind(drawing, "note")}
        nearest: dict[Hand, dict[int, Mark]] = {Hand.RIGHT: {}, Hand.LEFT: {}}
        for digit in of_kind(drawing, "finger"):
            event = int(digit.name.split(".")[0])
            hand, head = exercise.events[event].hand, heads[digit.name]
            is_outside = digit.box.bottom <= head.box.top if hand is Hand.RIGHT else digit.box.top >= head.box.bottom
            assert is_outside
            other = nearest[hand].get(event, digit)
            nearest[hand][event] = (
                max(digit, other, key=lambda mark: mark.box.top)
                if hand is Hand.RIGHT
                else min(digit, other, key=lambda mark: mark.box.top)
            )
        for row in nearest.values():
            for one, other in pairwise(sorted(row.values(), key=lambda mark: mark.box.left)):
                events = [exercise.events[int(mark.name.split(".")[0])] for mark in (one, other)]
                if events[0].group == events[1].group and all(len(event.pitches) == 1 for event in events):
                    assert abs(one.box.top - other.box.top) <= 1.02 * space


def gaps(exercise: Exercise, drawing: Drawing) -> Iterator[list[float]]:
    """From note to note of each group of equal single notes within a bar that has no accidentals."""
    groups: dict[tuple[Hand, int], list[tuple[float, Fraction]]] = {}
    signed = {mark.name.split(".")[0] for mark in of_kind(drawing, "accidental")}
    spoilt = set()
    for mark in of_kind(drawing, "note"):
        name = mark.name.split(".")[0]
        event = exercise.events[int(name)]
        groups.setdefault((event.hand, event.group), []).append((mark.box.left, event.length))
        if name in signed or len(event.pitches) > 1:
            spoilt.add((event.hand, event.group))
    bar_lines = [line.box.left for line in of_kind(drawing, "bar line")]
    for group, notes in groups.items():
        lefts = [left for left, _ in notes]
        is_plain = group not in spoilt and len(notes) > 2 and len({length for _, length in notes}) == 1
        if is_plain and not any(lefts[0] < x < lefts[-1] for x in bar_lines):
            yield [other - one for one, other in pairwise(lefts)]


@ALL
def test_equal_notes_of_a_group_stand_at_equal_distances(kind: type[DrillFamily]) -> None:
    """One hand's plain notes: nothing between them asks for room."""
    for key in ("C", "Eb", "B"):
        exercise = exercise_of(kind, key)
        for drawing in engrave(exercise, LOOK):
            for distances in gaps(exercise, drawing):
                assert max(distances) < 1.1 * min(distances)
