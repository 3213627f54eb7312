"""Exercise in, drawings out: one Drawing for each system, as wide as the text and as high as it needs.

Everything is worked out here once; what was engraved before in the same look is handed out again.
"""

from __future__ import annotations

from collections import OrderedDict
from fractions import Fraction
from math import ceil
from threading import Lock
from typing import NamedTuple

from lessonkit.drawing.shapes import Drawing
from lessonkit.drawing.text_width import text_width
from lessonkit.drawing.uncollected import uncollected
from lessonkit.drills.exercise import Blank, Exercise, Hand
from lessonkit.drills.told import label_told
from lessonkit.engraving.breaks import Lines, lines_of
from lessonkit.engraving.chord_text import symbol_width
from lessonkit.engraving.engraver import UNITS_IN_SPACE, UNITS_IN_STAFF, svg_of
from lessonkit.engraving.filling import fill_lines
from lessonkit.engraving.fingers import fingers_to_print, pinned_places
from lessonkit.engraving.furniture import RULE_WIDTH, Words
from lessonkit.engraving.ink import Ink, systems_of
from lessonkit.engraving.long_bars import first_parts, parted
from lessonkit.engraving.look import Look
from lessonkit.engraving.mei import WIDEST, end_of, mei_text
from lessonkit.engraving.mending import is_crowded, keep_loudness_off_slurs, mend
from lessonkit.engraving.moments import moments_of
from lessonkit.engraving.playing_marks import played_words
from lessonkit.engraving.score import Score, written
from lessonkit.engraving.shaping import drawing_of
from lessonkit.engraving.sizes import sizes_of
from lessonkit.engraving.staves import Stands, clef_changes, stands

BRACE_ROOM = 320
"""The room left of a grand staff for its brace, in the engraver's units."""

_FULL = 1.01
"""How much more than it has a line may ask for and still be set closer."""

_TRIES, _WIDEST_STEP = 3, 1.25
"""How often bars are shared out over more lines, and how much less each line may be given at a time."""

_ASKED = {"chord name": "name", "degree": "degree"}
"""What a worksheet that asks for both says before the first line of each row."""

MOST_KEPT = 256
"""How many engraved exercises are kept."""

_kept: OrderedDict[tuple[int, Look], tuple[Exercise, tuple[Drawing, ...]]] = OrderedDict()
_lock = Lock()


def engrave(exercise: Exercise, look: Look) -> tuple[Drawing, ...]:
    """The systems of an exercise, from the top; raises ValueError where it cannot be written.

    The same exercise in the same look is answered from memory.
    """
    place = (id(exercise), look)
    with _lock:
        kept = _kept.get(place)
        # The exercise is kept beside its drawings, so that its id cannot come to mean another one.
        if kept is not None and kept[0] is exercise:
            _kept.move_to_end(place)
            return kept[1]
    with uncollected():
        drawings = _engraved(exercise, look)
    with _lock:
        _kept[place] = (exercise, drawings)
        while len(_kept) > MOST_KEPT:
            _kept.popitem(last=False)
    return drawings


def engraver_text(exercise: Exercise, look: Look) -> tuple[str, float]:
    """What the engraver is given for an exercise, and the width of its systems in its units; for measuring it alone."""
    prepared = _prepared(exercise, look)
    return prepared.mei, prepared.width


def forget() -> None:
    """Forget everything that was engraved."""
    with _lock:
        _kept.clear()


def _engraved(exercise: Exercise, look: Look) -> tuple[Drawing, ...]:
    answers: frozenset[Fraction] = frozenset()
    if look.shows_answers:
        answers = _open_bars(exercise)
        exercise = exercise.answered()
    prepared, systems = _systems(exercise, look, answers)
    score, width, words, places = prepared.score, prepared.width, prepared.words, prepared.places
    scale = look.staff_points / UNITS_IN_STAFF
    left = BRACE_ROOM if len(score.bars) == 2 else 0
    ends = {str(at): (str(number), end_of(score.exercise, at).value) for at, number in enumerate(places)}
    hands = tuple(score.bars)
    drawings = [
        drawing_of(ink, words, hands, ends, scale, left, round(width), look.width) for ink in systems if ink.staves
    ]
    count = len(drawings)
    spoken = exercise.summary or "notes"
    return tuple(
        drawing.renamed(f"{spoken}, line {number} of {count}" if count > 1 else spoken)
        for number, drawing in enumerate(drawings, 1)
    )


def _systems(exercise: Exercise, look: Look, answers: frozenset[Fraction]) -> tuple[_Prepared, list[Ink]]:
    """The ink of each system, mended; with the staves farther apart where the hands are in each other's way."""
    prepared = _prepared(exercise, look, answers=answers)
    systems, fullest = _set_systems(prepared)
    share = 1.0
    for _ in range(_TRIES):
        if fullest <= _FULL:
            break
        # The bars asked for more than was thought: they are shared out anew, over more lines.
        share /= min(fullest, _WIDEST_STEP)
        prepared = _prepared(exercise, look, answers=answers, share=share)
        systems, fullest = _set_systems(prepared)
    fingered = _fingered(prepared)
    missing = max((mend(ink, prepared.words.sizes, fingered) for ink in systems), default=0.0)
    crowded = any(is_crowded(ink) for ink in systems)
    if crowded or missing > 0:
        apart = WIDEST if crowded else _apart(systems, missing)
        prepared = _prepared(exercise, look, apart=apart, answers=answers, share=share)
        systems, _ = _set_systems(prepared)
        for ink in systems:
            mend(ink, prepared.words.sizes, fingered)
            keep_loudness_off_slurs(ink)
    return prepared, systems


def _apart(systems: list[Ink], missing: float) -> int:
    """How far apart staves must stand in half spaces, with as much room more as is missing between them."""
    now = max(ink.staves[1][2][0] - ink.staves[0][2][-1] for ink in systems if len(ink.staves) > 1)
    return min(WIDEST, ceil(2 * (now + missing) / UNITS_IN_SPACE))


def _fingered(prepared: _Prepared) -> dict[int, bool]:
    """The staves of hands whose fingers are printed: the right hand's stand above it, the left hand's below."""
    words = prepared.words
    hands = {words.hands[event] for event in words.fingers}
    return {staff: hand is Hand.RIGHT for staff, hand in enumerate(prepared.score.bars) if hand in hands}


def _open_bars(exercise: Exercise) -> frozenset[Fraction]:
    """The onsets of the bars that are left open to be written into."""
    found = set()
    for bar in exercise.bars:
        here = [event for event in exercise.events if event.onset < bar.onset + bar.length and bar.onset < event.end]
        if any(event.is_open for event in here) and not any(event.pitches for event in here):
            found.add(bar.onset)
    return frozenset(found)


def _set_systems(prepared: _Prepared) -> tuple[list[Ink], float]:
    """The ink of each system as the engraver draws it, at the distances that are ours, and how full the fullest is."""
    systems = systems_of(svg_of(prepared.mei, prepared.width))
    moments = moments_of(prepared.score)
    titles = {bar: (room, bar in prepared.words.over) for bar, room in prepared.titles.items()}
    return systems, fill_lines(systems, moments, prepared.labels, titles, prepared.width, prepared.last)


class _Prepared(NamedTuple):
    """What the engraver is given, and what belongs to it."""

    score: Score
    mei: str
    width: float
    words: Words
    places: tuple[int, ...]
    """For each bar that is written the number of the exercise's bar that it is, or is a part of."""
    labels: list[tuple[int, float]]
    """The moment of each name above the staff and the room that it needs."""
    titles: dict[int, float]
    last: frozenset[int]
    """The bars that begin a line which may end early."""


def _prepared(
    exercise: Exercise, look: Look, places: tuple[int, ...] = (), apart: int = 0,
    answers: frozenset[Fraction] = frozenset(), share: float = 1.0,
) -> _Prepared:  # fmt: skip
    """What the engraver is given; ``answers`` are the onsets of bars that a worksheet leaves open.

    ``share`` is how much of the width bars are thought to have when they are shared out over lines.
    """
    score = written(exercise)
    places = places or tuple(range(len(exercise.bars)))
    standing = {hand: stands(score, hand) for hand in score.bars}
    hidden = _hidden(exercise, look)
    words = _words(exercise, look, score, standing, hidden, places)
    width = look.width * UNITS_IN_STAFF / look.staff_points - (BRACE_ROOM if len(score.bars) == 2 else 0)
    moments = [score.clock.ticks(mark.onset) for mark in exercise.chords]
    rooms = _rooms(words, len(moments))
    titles = _titles(exercise, score, words)
    turns = frozenset(bar for hand in standing for bar in clef_changes(standing[hand]))
    lines: Lines = lines_of(
        score, share * width / UNITS_IN_SPACE, tuple(room / UNITS_IN_SPACE for room in rooms), words.sizes.room, turns,
        {bar: room / UNITS_IN_SPACE for bar, room in titles.items()},
        frozenset(number for number, bar in enumerate(exercise.bars) if bar.onset in answers),
    )  # fmt: skip
    if lines.too_long:
        shorter, parts = parted(exercise, lines.too_long, places)
        if len(parts) > len(places):
            return _prepared(shorter, look, parts, apart, answers, share)
    if words.names and all(words.names.values()):
        for bar in sorted(lines.starts):
            if exercise.bars[bar].key is not None:
                # A harmony of the key before does not hold on into the next.
                continue
            _say_again(score.starts[bar], moments, rooms, words, len(exercise.chords))
    mei = mei_text(score, standing, lines, hidden, apart)
    labels = list(zip(moments, rooms, strict=True))
    return _Prepared(score, mei, width, words, places, labels, titles, lines.last)


def _say_again(moment: int, moments: list[int], rooms: list[float], words: Words, count: int) -> None:
    """Repeat the label of a harmony that holds on where a line begins."""
    before = [index for index in range(count) if moments[index] <= moment]
    if not before or moments[before[-1]] == moment or before[-1] not in words.names:
        return
    index = len(moments)
    moments.append(moment)
    rooms.append(rooms[before[-1]])
    words.repeats[index] = before[-1]
    words.names[index] = words.names[before[-1]]
    if words.degrees.get(before[-1]):
        words.degrees[index] = words.degrees[before[-1]]


def _hidden(exercise: Exercise, look: Look) -> frozenset[Hand]:
    """The hands whose notes a worksheet leaves out."""
    if look.shows_answers:
        return frozenset()
    if Blank.NOTES in exercise.blank:
        return frozenset(Hand)
    return frozenset({Hand.RIGHT}) if Blank.RIGHT_HAND in exercise.blank else frozenset()


def _words(
    exercise: Exercise, look: Look, score: Score, standing: dict[Hand, Stands],
    hidden: frozenset[Hand], places: tuple[int, ...],
) -> Words:  # fmt: skip
    style = look.label_style
    blank = frozenset() if look.shows_answers else exercise.blank
    names: dict[int, str] = {}
    degrees: dict[int, str] = {}
    for index, mark in enumerate(exercise.chords):
        if Blank.CHORD_NAMES in exercise.blank or exercise.shown.chord_names:
            names[index] = "" if Blank.CHORD_NAMES in blank else mark.chord.symbol(style)
        if mark.verdict:
            degrees[index] = "" if Blank.VERDICTS in blank else mark.verdict
        elif mark.degree is not None and (Blank.DEGREES in exercise.blank or exercise.shown.degrees):
            degrees[index] = "" if Blank.DEGREES in blank else mark.degree.text(style)
    octaves: dict[int, int] = {}
    for hand, bars in score.bars.items():
        if hand in hidden:
            continue
        for written_bar, row in zip(bars, standing[hand], strict=True):
            for piece, stand in zip(written_bar.pieces, row, strict=True):
                if stand.octaves and piece.event >= 0:
                    octaves[piece.event] = stand.octaves
    fingers = {} if Blank.FINGERS in blank else fingers_to_print(exercise)
    labels = {
        number: label_told(bar, Blank.KEY in blank, style) for number, bar in enumerate(exercise.bars) if bar.label
    }
    return Words(
        names, degrees, labels, fingers, pinned_places(exercise), octaves,
        {index: event.hand for index, event in enumerate(exercise.events) if event.pitches},
        {index: exercise.events[index].group for index in fingers}, {},
        sizes_of(look), _numbered(exercise, look, places),
        played_words(exercise, score, hidden), look.tempo_mark, _over(exercise),
        _ASKED if {Blank.CHORD_NAMES, Blank.DEGREES} <= blank else {},
    )  # fmt: skip


def _numbered(exercise: Exercise, look: Look, places: tuple[int, ...]) -> dict[int, int]:
    """The numbers that bars bear where they begin a line; a label tells as well where a line begins."""
    if exercise.meter is None or not look.numbers_bars:
        return {}
    firsts = first_parts(places)
    return {at: places[at] + 1 for at, bar in enumerate(exercise.bars) if at and at in firsts and not bar.label}


def _titles(exercise: Exercise, score: Score, words: Words) -> dict[int, float]:
    """The room of the labels that stand within a line, by their bar; they have a row of their own above the names."""
    return {
        number: text_width(text, words.sizes.faces.bold, words.sizes.label) + UNITS_IN_SPACE
        for number, text in words.labels.items()
        if (number and not exercise.bars[number].starts_line) or number in words.over
    }


def _over(exercise: Exercise) -> dict[int, int]:
    """The chord mark over which the label of a bar stands that speaks of its chord."""
    marks = {mark.onset: index for index, mark in enumerate(exercise.chords)}
    return {
        number: marks[bar.onset] for number, bar in enumerate(exercise.bars) if bar.tells_chord and bar.onset in marks
    }


def _rooms(words: Words, count: int) -> list[float]:
    """How much room each chord mark needs above the staff, in the engraver's units; none where nothing is printed."""
    rooms, face = [], words.sizes.faces.regular
    for index in range(count):
        room = 0.0
        for texts, size in ((words.names, words.sizes.name), (words.degrees, words.sizes.degree)):
            if index in texts:
                room = max(room, symbol_width(texts[index], size, face) if texts[index] else RULE_WIDTH)
        rooms.append(room + UNITS_IN_SPACE if room else 0.0)
    return rooms
