"""The notes and rests of a staff in MusicXML, bar by bar, as they are printed: ties, tuplets, beams, clefs, fingers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from xml.etree.ElementTree import Element

from lessonkit.drills.exercise import Event, Exercise, Hand, Roll, Sign
from lessonkit.engraving.accidentals import COURTESY, NOTHING
from lessonkit.engraving.score import NOTE, REST, Piece, Score, WrittenBar
from lessonkit.engraving.staves import HOME, Stand, Stands
from lessonkit.engraving.values import NORMAL_OF_TUPLET
from lessonkit.exchange.directions import Hanging, octave_line
from lessonkit.exchange.xml_parts import add
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

_TYPES = {"1": "whole", "2": "half", "4": "quarter", "8": "eighth", "16": "16th", "32": "32nd", "64": "64th"}
_BEAMS = {"8": 1, "16": 2, "32": 3, "64": 4}
_ACCIDENTALS = {
    -3: "triple-flat", -2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp", 3: "triple-sharp",
}  # fmt: skip
_CLEF_LINES = {"G": 2, "F": 4}
_SIGNS = {Sign.STACCATO: "staccato", Sign.TENUTO: "tenuto", Sign.ACCENT: "accent"}

Signs = dict[tuple[int, int, int], int]
"""What stands before a note (event, part, index of its pitch), as ``accidentals`` of the engraving says it."""


@dataclass(frozen=True, slots=True)
class Slurs:
    """Which slurs begin and end at which event."""

    begins: dict[int, int]
    ends: dict[int, int]

    @staticmethod
    def of(exercise: Exercise) -> Slurs:
        """Numbered in turn, so that one that ends where the next begins keeps its own number."""
        begins = {slur.first: place % 2 + 1 for place, slur in enumerate(exercise.slurs)}
        return Slurs(begins, {slur.last: place % 2 + 1 for place, slur in enumerate(exercise.slurs)})


class StaffWriter:
    """Writes the bars of one hand in order, and knows what is open: clef, octave line."""

    def __init__(
        self, score: Score, hand: Hand, number: int, stands: Stands, signs: Signs,
        fingers: dict[int, tuple[int | None, ...]], is_hidden: bool,
    ) -> None:  # fmt: skip
        self.number = number
        self._score, self._hand, self._stands, self._signs, self._fingers = score, hand, stands, signs, fingers
        self._is_hidden = is_hidden
        self._bars = score.bars[hand]
        self._slurs = Slurs.of(score.exercise)
        self.clef = HOME[hand].clef if is_hidden else next((row[0].clef for row in stands if row), HOME[hand].clef)
        self._octaves = 0
        pieces = [piece for bar in self._bars for piece in bar.pieces]
        self._ties = _ties(pieces, score.exercise.events)

    def bar(self, parent: Element, number: int, hangings: Sequence[Hanging]) -> None:
        """Add a bar's notes and what hangs on their moments."""
        bar, start, length = self._bars[number], self._score.starts[number], self._score.lengths[number]
        waiting = list(hangings)
        if not bar.pieces:
            self._add_hanging(parent, waiting, start, start + length, is_last=True)
            whole_rest(parent, length, self.number, self._is_hidden)
            return
        beams = _beams(bar)
        for at, piece in enumerate(bar.pieces):
            self._stand(parent, self._stands[number][at])
            self._add_hanging(parent, waiting, piece.start, piece.start + piece.length)
            self._piece(parent, bar, at, piece, beams.get(at, ()))
        self._add_hanging(parent, waiting, start + length, start + length, is_last=True)

    def close(self, parent: Element) -> None:
        """End what is open, at the end of the last bar."""
        if self._octaves:
            parent.append(octave_line(0, self._octaves, self.number))
            self._octaves = 0

    def _add_hanging(
        self, parent: Element, waiting: list[Hanging], now: int, until: int, is_last: bool = False
    ) -> None:
        while waiting and (waiting[0].moment < until or is_last):
            one = waiting.pop(0)
            parent.append(one.make(one.moment - now))

    def _stand(self, parent: Element, stand: Stand) -> None:
        """Change the clef or the octave line where the next piece stands elsewhere."""
        if self._is_hidden:
            return
        if stand.clef != self.clef:
            add_clef(add(parent, "attributes"), stand.clef, self.number)
            self.clef = stand.clef
        if stand.octaves != self._octaves:
            self.close(parent)
            if stand.octaves:
                parent.append(octave_line(stand.octaves, stand.octaves, self.number))
            self._octaves = stand.octaves

    def _piece(self, parent: Element, bar: WrittenBar, at: int, piece: Piece, beams: Sequence[str]) -> None:
        if piece.kind != NOTE or self._is_hidden:
            is_seen = piece.kind == REST and not self._is_hidden
            note = add(parent, "note", print_object=None if is_seen else "no")
            add(note, "rest")
            add(note, "duration", piece.length)
            self._values(note, piece, None, ())
            notations = Element("notations")
            _tuplets(notations, bar, at)
            if len(notations):
                note.append(notations)
            return
        event = self._score.exercise.events[piece.event]
        before, after = self._ties[piece.start]
        fingers = self._fingers.get(piece.event, ()) if piece.part == 0 else ()
        for index, pitch in enumerate(event.pitches):
            note = add(parent, "note")
            if index:
                add(note, "chord")
            _pitch(note, pitch)
            add(note, "duration", piece.length)
            ties = [kind for kind, tied in (("stop", before), ("start", after)) if pitch.midi in tied]
            for kind in ties:
                add(note, "tie", type=kind)
            self._values(note, piece, (pitch, index), beams if index == 0 else ())
            finger = fingers[index] if index < len(fingers) else None
            notations = Element("notations")
            for kind in ties:
                add(notations, "tied", type=kind)
            if index == 0:
                _tuplets(notations, bar, at)
                self._played(notations, piece, event, bool(after))
            if finger:
                place = "above" if self._hand is Hand.RIGHT else "below"
                add(add(notations, "technical"), "fingering", finger, placement=place)
            if event.roll is not Roll.NONE and piece.part == 0 and len(event.pitches) > 1:
                add(notations, "arpeggiate", direction="down" if event.roll is Roll.DOWN else None)
            if len(notations):
                note.append(notations)

    def _values(self, note: Element, piece: Piece, pitched: tuple[Pitch, int] | None, beams: Sequence[str]) -> None:
        """Voice, written value, accidental, tuplet, staff and beams, in the order of the standard."""
        add(note, "voice", self.number)
        add(note, "type", _TYPES.get(piece.value, piece.value))
        for _ in range(piece.dots):
            add(note, "dot")
        if pitched is not None:
            pitch, index = pitched
            sign = self._signs.get((piece.event, piece.part, index), NOTHING)
            if sign != NOTHING:
                is_courtesy = sign == COURTESY
                brackets = "yes" if is_courtesy else None
                add(note, "accidental", _ACCIDENTALS[pitch.alteration], cautionary=brackets, parentheses=brackets)
        if piece.tuplet:
            change = add(note, "time-modification")
            add(change, "actual-notes", piece.tuplet)
            add(change, "normal-notes", NORMAL_OF_TUPLET[piece.tuplet])
        add(note, "staff", self.number)
        for level, how in enumerate(beams, 1):
            add(note, "beam", how, number=level)

    def _played(self, notations: Element, piece: Piece, event: Event, is_tied_on: bool) -> None:
        """Slurs and touch; a slur ends at the last part of a tied note."""
        if piece.part == 0 and piece.event in self._slurs.begins:
            add(notations, "slur", type="start", number=self._slurs.begins[piece.event])
        if piece.event in self._slurs.ends and not is_tied_on:
            add(notations, "slur", type="stop", number=self._slurs.ends[piece.event])
        if event.sign is not None and piece.part == 0:
            add(add(notations, "articulations"), _SIGNS[event.sign])


def whole_rest(parent: Element, length: int, staff: int, is_hidden: bool = False) -> None:
    """A bar's rest."""
    note = add(parent, "note", print_object="no" if is_hidden else None)
    add(note, "rest", measure="yes")
    add(note, "duration", length)
    add(note, "voice", staff)
    add(note, "staff", staff)


def add_clef(attributes: Element, clef: str, staff: int) -> None:
    """A clef for a staff."""
    element = add(attributes, "clef", number=staff)
    add(element, "sign", clef)
    add(element, "line", _CLEF_LINES[clef])


def _pitch(note: Element, pitch: Pitch) -> None:
    element = add(note, "pitch")
    add(element, "step", "CDEFGAB"[pitch.letter])
    if pitch.alteration:
        add(element, "alter", pitch.alteration)
    add(element, "octave", pitch.octave)


def _tuplets(notations: Element, bar: WrittenBar, at: int) -> None:
    for run in bar.tuplets:
        if at == run.first:
            is_beamed = any(beam.first <= run.first and run.last <= beam.last for beam in bar.beams)
            add(notations, "tuplet", type="start", bracket="no" if is_beamed else "yes")
        if at == run.last - 1:
            add(notations, "tuplet", type="stop")


def _beams(bar: WrittenBar) -> dict[int, tuple[str, ...]]:
    """What each piece under a beam says of it: begin, continue or end, level by level, or a hook."""
    found: dict[int, tuple[str, ...]] = {}
    for run in bar.beams:
        levels = [_BEAMS.get(piece.value, 0) for piece in bar.pieces[run.first : run.last]]
        for at, level in enumerate(levels):
            found[run.first + at] = tuple(_beam(levels, at, one) for one in range(1, level + 1))
    return found


def _beam(levels: Sequence[int], at: int, level: int) -> str:
    before = at > 0 and levels[at - 1] >= level
    after = at + 1 < len(levels) and levels[at + 1] >= level
    if before and after:
        return "continue"
    if after:
        return "begin"
    if before:
        return "end"
    return "forward hook" if at == 0 else "backward hook"


_Tied = tuple[frozenset[int], frozenset[int]]


def _ties(pieces: Sequence[Piece], events: Sequence[Event]) -> dict[int, _Tied]:
    """For each written note, by its moment: which keys are tied from the piece before it and into the one after."""
    found: dict[int, _Tied] = {}
    before = frozenset[int]()
    for at, piece in enumerate(pieces):
        after = frozenset(_shared(pieces, at, events)) if piece.is_tied_on else frozenset[int]()
        found[piece.start] = (before, after)
        before = after
    return found


def _shared(pieces: Sequence[Piece], at: int, events: Sequence[Event]) -> Iterator[int]:
    following = pieces[at + 1] if at + 1 < len(pieces) else None
    if pieces[at].kind == NOTE and following is not None and following.kind == NOTE:
        there = {pitch.midi for pitch in events[following.event].pitches}
        yield from (pitch.midi for pitch in events[pieces[at].event].pitches if pitch.midi in there)
