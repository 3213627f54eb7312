"""Exercises as a MusicXML 4.0 score: one after another on one piano part, each hand a staff, as they are printed.

The door of this room for what goes out as notes. What stands where is what the engraving says of the same exercise.
"""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element, tostring

from lessonkit.drills.exercise import Bar, BarEnd, Blank, Exercise, Hand
from lessonkit.engraving.accidentals import NOTHING, Memory
from lessonkit.engraving.fingers import fingers_to_print
from lessonkit.engraving.mei import end_of
from lessonkit.engraving.score import NOTE, Score, written
from lessonkit.engraving.staves import HOME, Stands, stands
from lessonkit.exchange.directions import hanging, tempo_mark, words
from lessonkit.exchange.written_notes import Signs, StaffWriter, add_clef, whole_rest
from lessonkit.exchange.xml_parts import add
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import PLAIN_STYLE, LabelStyle
from lessonkit.values import dataclass

_HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN"'
    ' "http://www.musicxml.org/dtds/partwise.dtd">\n'
)
_STYLES = {BarEnd.DOUBLE: "light-light", BarEnd.FINAL: "light-heavy", BarEnd.INVISIBLE: "none"}


@dataclass(frozen=True, slots=True)
class Movement:
    """One exercise of a score: its tempo in beats of its metre, its heading, and how its labels are written."""

    exercise: Exercise
    tempo: float = 72
    heading: str = ""
    style: LabelStyle = PLAIN_STYLE


def to_musicxml(movements: Sequence[Movement], title: str, author: str = "", shows_answers: bool = False) -> bytes:
    """The score as a file. What a worksheet leaves blank stays blank unless answers are shown.

    Raises ValueError with a sentence where there is nothing to write or a rhythm has no signs.
    """
    if not movements:
        raise ValueError("there is no drill to write; choose a page or a block that has one")
    root = Element("score-partwise", {"version": "4.0"})
    add(add(root, "work"), "work-title", title)
    identification = add(root, "identification")
    if author:
        add(identification, "creator", author, type="composer")
    add(add(identification, "encoding"), "software", "lessonkit")
    listed = add(add(root, "part-list"), "score-part", id="P1")
    add(listed, "part-name", "Piano")
    instrument = add(listed, "score-instrument", id="P1-I1")
    add(instrument, "instrument-name", "Piano")
    midi = add(listed, "midi-instrument", id="P1-I1")
    add(midi, "midi-channel", 1)
    add(midi, "midi-program", 1)
    part = add(root, "part", id="P1")
    answered = [one.exercise.answered() if shows_answers else one.exercise for one in movements]
    hands = tuple(hand for hand in Hand if any(hand in one.hands for one in answered)) or (Hand.RIGHT,)
    clefs: dict[int, str] = {}
    for movement, exercise in zip(movements, answered, strict=True):
        _Writer(part, movement, exercise, hands, shows_answers, clefs).write(is_alone=len(movements) == 1)
    text: str = tostring(root, encoding="unicode")
    return (_HEAD + text).encode()


class _Writer:
    """Writes the bars of one movement behind those of the others; ``clefs`` is how each staff stands by then."""

    def __init__(
        self, part: Element, movement: Movement, exercise: Exercise, hands: tuple[Hand, ...], shows_answers: bool,
        clefs: dict[int, str],
    ) -> None:  # fmt: skip
        self._clefs = clefs
        self._key: Key | None = None
        self._part, self._movement, self._exercise, self._hands = part, movement, exercise, hands
        self._score = written(exercise)
        self._hidden = frozenset[Hand]() if shows_answers else _hidden(exercise)
        standing = {hand: stands(self._score, hand) for hand in self._score.bars}
        fingers = {} if Blank.FINGERS in exercise.blank and not shows_answers else fingers_to_print(exercise)
        signs = _signs(self._score, standing, self._hidden)
        self._staves: list[StaffWriter | None] = [
            StaffWriter(self._score, hand, number, standing[hand], signs, fingers, hand in self._hidden)
            if hand in self._score.bars
            else None
            for number, hand in enumerate(hands, 1)
        ]
        is_silent = self._hidden.issuperset(self._score.bars)
        self._hanging = hanging(self._score, movement.style, len(hands), shows_answers, is_silent)
        self._shows_key = shows_answers or Blank.KEY not in exercise.blank

    def write(self, is_alone: bool) -> None:
        """All bars."""
        for number, bar in enumerate(self._exercise.bars):
            is_first_of_all = len(self._part) == 0
            measure = add(self._part, "measure", number=len(self._part) + 1)
            if (number == 0 or bar.starts_line) and not is_first_of_all:
                add(measure, "print", new_system="yes")
            if bar.begins_repeat:
                line = add(measure, "barline", location="left")
                add(line, "bar-style", "heavy-light")
                add(line, "repeat", direction="forward")
            self._attributes(measure, number, bar)
            if number == 0:
                if self._movement.heading and not is_alone:
                    measure.append(words(self._movement.heading, weight="bold"))
                measure.append(tempo_mark(self._exercise, self._movement.tempo))
            if bar.label:
                answer = f" {bar.answer}" if bar.answer and self._shows_key else ""
                measure.append(words(bar.label + answer))
            self._notes(measure, number)
            self._end(measure, number, bar)

    def _attributes(self, measure: Element, number: int, bar: Bar) -> None:
        is_first = number == 0
        if not is_first and (bar.key in (None, self._key) or self._exercise.open_signature):
            return
        attributes = add(measure, "attributes")
        if is_first:
            add(attributes, "divisions", self._score.clock.whole // 4)
        self._key = bar.key or self._exercise.key
        _add_key(attributes, self._key, self._exercise.open_signature)
        if is_first:
            meter = self._exercise.meter
            time = add(attributes, "time", print_object="no" if meter is None else None)
            if meter is None:
                add(time, "senza-misura")
            else:
                add(time, "beats", meter.beats)
                add(time, "beat-type", meter.unit)
            if len(self._hands) > 1:
                add(attributes, "staves", len(self._hands))
            for place, (hand, staff) in enumerate(zip(self._hands, self._staves, strict=True), 1):
                clef = staff.clef if staff is not None else HOME[hand].clef
                if self._clefs.get(place) != clef:
                    add_clef(attributes, clef, place)
                    self._clefs[place] = clef

    def _notes(self, measure: Element, number: int) -> None:
        length = self._score.lengths[number]
        for place, staff in enumerate(self._staves, 1):
            if place > 1:
                add(add(measure, "backup"), "duration", length)
            # What hangs on moments stands in the upper staff, also where that only rests.
            hangings = self._hanging[number] if place == 1 else ()
            if staff is None:
                for one in hangings:
                    measure.append(one.make(one.moment - self._score.starts[number]))
                whole_rest(measure, length, place)
            else:
                staff.bar(measure, number, hangings)
        if number + 1 == len(self._exercise.bars):
            for staff in self._staves:
                if staff is not None:
                    staff.close(measure)
                    self._clefs[staff.number] = staff.clef

    def _end(self, measure: Element, number: int, bar: Bar) -> None:
        end = end_of(self._exercise, number)
        if end is BarEnd.SINGLE:
            return
        line = add(measure, "barline", location="right")
        if end is BarEnd.REPEAT:
            add(line, "bar-style", "light-heavy")
            add(line, "repeat", direction="backward", times=bar.times if bar.times > 1 else None)
        else:
            add(line, "bar-style", _STYLES[end])


def _add_key(attributes: Element, key: Key, is_open: bool) -> None:
    element = add(attributes, "key")
    add(element, "fifths", 0 if is_open else key.signature)
    add(element, "mode", "none" if is_open else key.mode.word)


def _hidden(exercise: Exercise) -> frozenset[Hand]:
    """The hands whose notes a worksheet leaves out."""
    if Blank.NOTES in exercise.blank:
        return frozenset(Hand)
    return frozenset({Hand.RIGHT}) if Blank.RIGHT_HAND in exercise.blank else frozenset()


def _signs(score: Score, standing: dict[Hand, Stands], hidden: frozenset[Hand]) -> Signs:
    """What is printed before each note, read as a reader reads: moment by moment over both staves."""
    exercise = score.exercise
    memory = Memory(_signature(exercise, exercise.bars[0].key or exercise.key))
    found: Signs = {}
    tied: dict[int, frozenset[int]] = {}
    for number, bar in enumerate(exercise.bars):
        if number and bar.key is not None and not exercise.open_signature:
            memory.change_signature(_signature(exercise, bar.key))
        if bar.starts_line and bar.key is not None:
            # A line that begins with its own key looks like a new piece.
            memory.begin_afresh()
        reading = sorted(
            (
                (piece.start, staff, piece, stand.octaves)
                for staff, hand in enumerate(score.bars)
                if hand not in hidden
                for piece, stand in zip(score.bars[hand][number].pieces, standing[hand][number], strict=True)
                if piece.kind == NOTE
            ),
            key=lambda one: one[:2],
        )
        for _, staff, piece, octaves in reading:
            pitches = exercise.events[piece.event].pitches
            for index, pitch in enumerate(pitches):
                sign = memory.sign(staff, pitch, octaves, pitch.midi in tied.get(staff, frozenset()))
                if sign != NOTHING:
                    found[piece.event, piece.part, index] = sign
            tied[staff] = frozenset(pitch.midi for pitch in pitches) if piece.is_tied_on else frozenset()
        memory.pass_bar_line(end_of(exercise, number) is not BarEnd.INVISIBLE)
    return found


def _signature(exercise: Exercise, key: Key) -> dict[int, int]:
    return {} if exercise.open_signature else {name.letter: name.alteration for name in key.signature_names}
