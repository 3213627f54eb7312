"""How far apart notes, signs and bars stand, measured in finished drawings in staff spaces.

Common practice where nothing else is named, no source.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from lessonkit.drawing.shapes import Drawing, Mark
from lessonkit.drills.exercise import Bar, BarEnd, Blank, ChordMark, Event, Exercise, Hand, Meter, Shown
from lessonkit.drills.family import families
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from tests.looking.ink import space_of, things_of

LOOK = Look(482.0)


def written(bars: list[list[tuple[str, str]]], chords: tuple[ChordMark, ...] = (), **more: object) -> Exercise:
    """Bars of (length, notes) for the right hand; notes are ``C4+E4``, or nothing for a rest."""
    events, onset = [], Fraction(0)
    made = []
    for number, bar in enumerate(bars):
        start = onset
        for length, text in bar:
            pitches = tuple(Pitch.parse(name) for name in text.split("+") if name)
            events.append(Event(Hand.RIGHT, onset, Fraction(length), pitches, (), number))
            onset += Fraction(length)
        end = BarEnd.FINAL if number + 1 == len(bars) else BarEnd.SINGLE
        made.append(Bar(start, onset - start, end=end))
    exercise = Exercise(Key.parse("C"), Meter(4, 4), tuple(events), tuple(made), chords, summary="a drill")
    return replace(exercise, **more)  # type: ignore[arg-type]


def of_kind(drawing: Drawing, kind: str) -> list[Mark]:
    """The marks of a kind from left to right."""
    return sorted((mark for mark in drawing.marks if mark.kind == kind), key=lambda mark: mark.box.left)


def steps(marks: Iterable[Mark], drawing: Drawing) -> list[float]:
    """From left edge to left edge, in staff spaces."""
    return [(other.box.left - one.box.left) / space_of(drawing) for one, other in pairwise(marks)]


def test_half_notes_stand_evenly_under_names_of_any_width() -> None:
    """A long name reaches over its neighbour's room as long as it reaches no name."""
    names = ("Ebm7b5", "C", "F#m7b5", "D", "G", "E", "A", "B")
    chords = tuple(ChordMark(Fraction(at, 2), Chord.parse(name)) for at, name in enumerate(names))
    exercise = written([[("1/2", "C5"), ("1/2", "E5")]] * 4, chords, shown=Shown(True, False))
    (drawing,) = engrave(exercise, LOOK)
    within = steps(of_kind(drawing, "note"), drawing)[0::2]
    assert max(within) < 1.02 * min(within)


def test_an_eighth_rest_takes_the_room_of_an_eighth() -> None:
    """Silence is counted as sound is."""
    exercise = written([[("1/8", "C5"), ("1/8", ""), ("1/8", "D5"), ("1/8", ""), ("1/2", "C5")]] * 2)
    (drawing,) = engrave(exercise, LOOK)
    things = sorted((*of_kind(drawing, "note"), *of_kind(drawing, "rest")), key=lambda mark: mark.box.left)
    assert max(steps(things[:5], drawing)) < 1.02 * min(steps(things[:5], drawing))


def test_an_accidental_uses_the_free_room_before_it() -> None:
    """A beamed group is not torn by it."""
    exercise = written([[("1/8", note) for note in ["C4", "E4", "G#4", "C5", "C4", "E4", "F4", "A4"]]] * 3)
    for drawing in engrave(exercise, LOOK):
        for bar in range(len(of_kind(drawing, "bar line"))):
            found = steps(of_kind(drawing, "note")[8 * bar : 8 * bar + 8], drawing)
            assert max(found) < 1.05 * min(found)


@pytest.mark.parametrize("notes", ["A#3", "C#4", "A#5+C#6", "B4", "G#4"])
def test_signs_keep_off_heads_and_ledger_lines(notes: str) -> None:
    """A quarter space at least, so that none is read as part of another."""
    exercise = written([[("1/2", notes.replace("B4", "Bb4")), ("1/2", "E5")]] * 2)
    (drawing, *_) = engrave(exercise, LOOK)
    space = space_of(drawing)
    things = list(things_of(drawing))
    solids = [thing for thing in things if thing.kind in ("notehead", "ledger line")]
    signs = [thing for thing in things if thing.kind == "accidental"]
    assert signs
    for sign in signs:
        beside = [
            solid.box.left - sign.box.right
            for solid in solids
            if solid.box.left > sign.box.left and solid.box.top < sign.box.bottom and solid.box.bottom > sign.box.top
        ]
        assert min(beside) >= 0.2 * space


def test_brackets_stand_off_the_sign_between_them() -> None:
    """Where they touch it, a courtesy natural is a black blot."""
    exercise = written([[("1", "C#5")], [("1", "C5")], [("1", "Bb4")], [("1", "B4")]])
    found = 0
    for drawing in engrave(exercise, LOOK):
        space = space_of(drawing)
        things = list(things_of(drawing))
        signs = [thing.box for thing in things if thing.kind == "accidental"]
        brackets = [thing.box for thing in things if thing.kind == "bracket"]
        for left, right in zip(brackets[0::2], brackets[1::2], strict=True):
            (sign,) = [sign for sign in signs if left.left < sign.left < right.left]
            assert sign.left - left.right >= 0.2 * space
            assert right.left - sign.right >= 0.2 * space
            found += 1
    assert found == 2


def test_accidentals_of_a_chord_stand_in_columns_from_outside_inwards() -> None:
    """Next to the heads the highest and the lowest, the one between them farther out: as engravers set them."""
    (drawing,) = engrave(written([[("1", "G#4+C#5+F#5")]] * 2), LOOK)
    first = [mark for mark in of_kind(drawing, "accidental") if mark.name.startswith("0.")]
    lefts = {mark.name: mark.box.left for mark in first}
    assert lefts["0.1"] < min(lefts["0.0"], lefts["0.2"]) - 0.5 * space_of(drawing)
    assert abs(lefts["0.0"] - lefts["0.2"]) < 0.1 * space_of(drawing)


@pytest.mark.parametrize("notes", ["C5", "C#5", "C5+D5", "F4+G4+B4"])
def test_a_bar_begins_where_it_begins(notes: str) -> None:
    """One to three spaces from bar line to the first ink, whatever that is."""
    bars = [[("1", "C#5+F#5")], [("1", notes)], [("1", "C#5+F#5")], [("1", notes)]]
    (drawing, *_) = engrave(written(bars), LOOK)
    space = space_of(drawing)
    ink = [thing.box.left for thing in things_of(drawing) if thing.kind in ("notehead", "accidental", "bracket")]
    lines = of_kind(drawing, "bar line")
    for line in lines[:-1]:
        first = min(left for left in ink if left > line.box.right)
        assert 0.9 * space <= first - line.box.right <= 3.0 * space


def test_bars_of_whole_notes_are_equally_wide() -> None:
    """A displaced head or a bracketed sign moves a chord by no more than itself."""
    bars = [[("1", "C5+E5+G5")], [("1", "C5+D5+G5")], [("1", "C#5+E5+G5")], [("1", "C5+E5+G5")]]
    (drawing,) = engrave(written(bars), LOOK)
    lines = of_kind(drawing, "bar line")
    widths = steps(lines, drawing)[:-1]
    assert max(widths) - min(widths) <= 2.2


def test_a_tie_has_air_at_both_ends() -> None:
    """It begins beside its head and ends before the next one, also in a chord with a second."""
    drill = families()["comping-rhythms"].from_settings({})
    found = 0
    for key in ("G", "Db"):
        for drawing in engrave(realise(drill, Setting(Key.parse(key))), LOOK):
            space = space_of(drawing)
            things = list(things_of(drawing))
            heads = [thing.box for thing in things if thing.kind == "notehead"]
            for tie in (thing.box for thing in things if thing.kind == "curve"):
                behind = [head.left for head in heads if head.left >= tie.right - space]
                if behind and min(behind) < tie.right + 2 * space:
                    ahead = [head for head in heads if head.top - 1 < tie.bottom and head.bottom + 1 > tie.top]
                    gaps = [head.left - tie.right for head in ahead if head.left > tie.left + space]
                    assert min(gaps) >= 0.15 * space
                    assert tie.right - tie.left >= 0.6 * space
                    found += 1
    assert found


def test_the_figures_of_a_time_signature_stand_apart() -> None:
    """A hair of white between them."""
    (drawing,) = engrave(written([[("1", "C5")]] * 2), LOOK)
    upper, lower = sorted(
        (thing.box for thing in things_of(drawing) if thing.kind == "time signature"), key=lambda box: box.top
    )
    assert lower.top - upper.bottom >= 0.05 * space_of(drawing)


def test_a_line_that_goes_on_reaches_the_margin_in_any_print() -> None:
    """Only the last line may end before it."""
    for code in ("broken-chords", "ostinato", "twelve-bar-blues", "call-and-response"):
        exercise = realise(families()[code].from_settings({}), Setting(Key.parse("Ab")))
        for height in (7.0, 12.0):
            for drawing in engrave(exercise, Look(482.0, height))[:-1]:
                assert of_kind(drawing, "staff")[0].box.right == pytest.approx(drawing.width, abs=1.0)


def test_an_empty_bar_has_the_room_of_what_is_asked_for() -> None:
    """The answer is written into it."""
    exercise = realise(families()["call-and-response"].from_settings({}), Setting(Key.parse("C")))
    for drawing in engrave(exercise, LOOK):
        lines = of_kind(drawing, "bar line")
        notes = [mark.box.left for mark in of_kind(drawing, "note")]
        widths = {True: [0.0], False: [0.0]}
        for one, other in pairwise(lines):
            is_empty = not any(one.box.right < left < other.box.left for left in notes)
            widths[is_empty].append(other.box.left - one.box.right)
        if widths[True][1:] and widths[False][1:]:
            assert max(widths[True]) >= 0.97 * max(widths[False])


def test_a_key_alone_on_its_line_is_spaced_as_those_that_share_one() -> None:
    """Its line ends where it ends; and no line breaks between the shapes of one chord."""
    exercise = realise(families()["shape-survey"].from_settings({}), Setting(Key.parse("C")))
    first = []
    for drawing in engrave(exercise, LOOK):
        columns = sorted({round(mark.box.left, 1) for mark in of_kind(drawing, "note")})
        assert len(columns) % 3 == 0
        first.append((columns[1] - columns[0]) / space_of(drawing))
    assert max(first) < 1.5 * min(first)


@pytest.mark.parametrize("height", [7.0, 12.0])
def test_calls_stand_on_lines_with_their_answers(height: float) -> None:
    """As many on each line; none begins with an answer whose call is on the line before."""
    exercise = realise(families()["call-and-response"].from_settings({}), Setting(Key.parse("C")))
    counts = set()
    for drawing in engrave(exercise, Look(482.0, height)):
        lines = of_kind(drawing, "bar line")
        counts.add(len(lines))
        assert min(mark.box.left for mark in of_kind(drawing, "note")) < lines[0].box.left
    assert len(counts) == 1
    for drawing in engrave(exercise, Look(482.0, height, shows_answers=True)):
        assert {len(of_kind(drawing, "bar line"))} == counts


def test_a_bar_in_which_one_hand_plays_is_no_bar_left_open() -> None:
    """A drill with an open right hand over a left hand that goes on has the same lines with and without answers."""
    exercise = realise(families()["ostinato"].from_settings({}), Setting(Key.parse("C")))
    lines = [
        [len(of_kind(drawing, "bar line")) for drawing in engrave(exercise, Look(482.0, shows_answers=shows))]
        for shows in (False, True)
    ]
    assert lines[0] == lines[1]


def test_phrases_of_four_bars_are_kept_whole() -> None:
    """The twelve bars of a blues are three lines of four, also where eighths make them full."""
    for code in ("rocking-fifths", "twelve-bar-blues"):
        exercise = realise(families()[code].from_settings({}), Setting(Key.parse("A")))
        assert len(exercise.bars) == 12
        assert [len(of_kind(drawing, "bar line")) for drawing in engrave(exercise, LOOK)] == [4, 4, 4]


def test_no_bar_is_left_alone_on_a_line_that_fits() -> None:
    """Three bars that two lines would hold as two and one stand on one, a little closer."""
    eighths = [("1/8", note) for note in ("C5", "D5", "E5", "F5", "G5", "F5", "E5", "D5")]
    exercise = written([eighths, eighths, [("1/2", "C5"), ("1/2", "")]])
    for width in range(300, 480, 30):
        counts = [len(of_kind(drawing, "bar line")) for drawing in engrave(exercise, Look(float(width)))]
        assert counts in ([3], [1, 2], [1, 1, 1]), width


def test_a_blank_worksheet_has_equal_bars() -> None:
    """Names to read, bars to write in."""
    names = ("Ebm7b5", "C", "F#m7b5", "D")
    chords = tuple(ChordMark(Fraction(at), Chord.parse(name)) for at, name in enumerate(names))
    exercise = written([[("1", "C5+E5+G5")]] * 4, chords, shown=Shown(True, False), blank=frozenset({Blank.NOTES}))
    (drawing,) = engrave(exercise, LOOK)
    widths = steps(of_kind(drawing, "bar line"), drawing)[:-1]
    assert max(widths) < 1.05 * min(widths)


def test_a_note_in_a_space_keeps_its_dot_there() -> None:
    """Those on lines take the spaces that are left, above or below."""
    (drawing,) = engrave(written([[("3/4", "G4+B4+C5+F5"), ("1/4", "C5")]] * 2), LOOK)
    (staff,) = of_kind(drawing, "staff")
    space = space_of(drawing)
    dots = {
        round(2 * ((thing.box.top + thing.box.bottom) / 2 - staff.box.top) / space)
        for thing in things_of(drawing)
        if thing.kind == "dot"
    }
    # Half spaces from the top line: above F, C in its own space, A and F below B and G.
    assert dots == {-1, 3, 5, 7}


def test_a_chord_that_is_tied_leaves_room_for_its_ties() -> None:
    """However close its notes follow one another."""
    bars = [[("1/8", "C5"), ("1/8", "E5"), ("1/8", "G5"), ("1/8", "A4+B4+D5")] + [("1/2", "A4+B4+D5")]] * 4
    exercise = written(bars)
    events = tuple(
        replace(event, is_tied=len(event.pitches) > 1 and event.length < Fraction(1, 2)) for event in exercise.events
    )
    for drawing in engrave(replace(exercise, events=events), Look(400.0)):
        ties = [thing.box for thing in things_of(drawing) if thing.kind == "curve"]
        assert ties
        assert min(tie.right - tie.left for tie in ties) >= space_of(drawing)
