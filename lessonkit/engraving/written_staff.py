"""One hand's staff while it is being written as MEI: what it must know from note to note."""

from __future__ import annotations

from lessonkit.drills.exercise import Hand
from lessonkit.engraving.score import FLAGGED, NOTE, Piece, Score, WrittenBar
from lessonkit.engraving.staves import HOME, Stands

_NONE: frozenset[int] = frozenset()


class WrittenStaff:
    """Its clef so far, what its ties carry, what begins at which moment."""

    def __init__(self, hand: Hand, number: int, is_hidden: bool, stands: Stands, score: Score) -> None:
        self.hand, self.number, self.is_hidden, self.stands = hand, number, is_hidden, stands
        self.bars = score.bars[hand]
        self.clef = HOME[hand].clef if is_hidden else next((row[0].clef for row in stands if row), HOME[hand].clef)
        self.tied: frozenset[int] = frozenset()
        """The MIDI keys that the piece before tied on."""
        self.anchors: dict[int, str] = {}
        """The element that begins at each moment."""
        self.mixes_tuplets = _mixes_tuplets(self.bars)
        """Whether short notes stand beside tuplets, so that each of these has to be told."""
        self._events = score.exercise.events

    def tied_into(self, number: int, at: int, piece: Piece) -> frozenset[int]:
        """The keys that a piece, the bar's ``at``-th, ties on to the next piece of the hand."""
        if not piece.is_tied_on:
            return _NONE
        return self._shared(piece, self._neighbour(number, at, 1))

    def tied_from(self, number: int, at: int, piece: Piece) -> frozenset[int]:
        """The keys that the piece before ties on to a piece."""
        before = self.bars[number].pieces[at - 1] if at else self._neighbour(number, at, -1)
        return self._shared(before, piece) if before is not None and before.is_tied_on else _NONE

    def _neighbour(self, number: int, at: int, way: int) -> Piece | None:
        pieces = self.bars[number].pieces
        if 0 <= at + way < len(pieces):
            return pieces[at + way]
        number += way
        while 0 <= number < len(self.bars):
            if self.bars[number].pieces:
                return self.bars[number].pieces[0 if way > 0 else -1]
            number += way
        return None

    def _shared(self, before: Piece | None, after: Piece | None) -> frozenset[int]:
        if before is None or after is None or before.kind != NOTE or after.kind != NOTE:
            return _NONE
        return frozenset(pitch.midi for pitch in self._events[before.event].pitches) & frozenset(
            pitch.midi for pitch in self._events[after.event].pitches
        )


def _mixes_tuplets(bars: tuple[WrittenBar, ...]) -> bool:
    if not any(bar.tuplets for bar in bars):
        return False
    shorts = ((piece.kind, piece.tuplet, piece.value) for bar in bars for piece in bar.pieces)
    return any(kind == NOTE and not tuplet and value in FLAGGED for kind, tuplet, value in shorts)
