"""Line clichés: a chord is held while one of its voices moves by semitones and gives it new names."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape
from lessonkit.drills.chord_family import Degree
from lessonkit.drills.exercise import Blank, ChordMark, Exercise, Hand
from lessonkit.drills.family import Direction, DrillFamily, Hands
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import hands_words
from lessonkit.drills.writing import Section, Step, held_to_the_bar, onsets, write
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.theory.quality import Quality, interval_of_degree
from lessonkit.theory.roman import degree_note, recognise
from lessonkit.theory.scale import Scale
from lessonkit.values import dataclass


class Line(Enum):
    """Which voice moves, and which way."""

    OWN = "the commonest for the chord"
    MINOR_FALLING = "minor chord, falling from the root"
    MINOR_RISING = "minor chord, rising from the fifth"
    MAJOR_RISING = "major chord, rising from the fifth"
    MAJOR_FALLING = "major chord, falling from the root"


@dataclass(frozen=True, slots=True)
class _Moves:
    """What stays in the right hand, where the voice goes, the qualities of the chords (``b6``: ♭VI over the root)."""

    held: tuple[str, str]
    line: tuple[str, ...]
    names: tuple[str, ...]


_MOVES = {
    Line.MINOR_FALLING: _Moves(("b3", "5"), ("1", "7", "b7", "6"), ("m", "m(maj7)", "m7", "m6")),
    Line.MINOR_RISING: _Moves(("1", "b3"), ("5", "b6", "6", "b7"), ("m", "b6", "m6", "m7")),
    Line.MAJOR_RISING: _Moves(("1", "3"), ("5", "#5", "6", "b7"), ("maj", "aug", "6", "7")),
    Line.MAJOR_FALLING: _Moves(("3", "5"), ("1", "7", "b7", "6"), ("maj", "maj7", "7", "6")),
}
"""Common practice, no source. A rising voice is sharpened, a falling one flattened, and sevenths keep their letter."""


class Voice(Enum):
    """Where the moving voice lies in the right hand."""

    LOWEST = "lowest"
    MIDDLE = "in the middle"
    TOP = "on top"


@dataclass(frozen=True)
class LineCliches(DrillFamily):
    """One chord lasts for bars; a single voice that creeps by semitones through it keeps it alive.

    In Cm the root falls C B B♭ A, in C the fifth rises G G♯ A B♭. The ear follows the line, and the hand learns to move
    one finger while the others stay.
    """

    code = "line-cliches"
    title = "Line clichés"
    words = ("inner voice", "chromatic line", "minor major seventh", "static chord", "augmented", "descending line")
    left_out = frozenset({"turning", "rest_between", "shaping"})

    degree: Degree = fields.choice(
        Degree.ONE, label="Chord on degree", group="Chord", help="On degree 2 of C major it is Dm."
    )
    line: Line = fields.choice(
        Line.OWN, label="Line", group="Chord",
        help="As the key has its triad: minor ones fall from the root, major ones rise from the fifth.",
    )  # fmt: skip
    voice: Voice = fields.choice(Voice.TOP, label="The moving voice is", group="Voicing")
    comes_back: bool = fields.yes_no(False, label="The line comes back", group="Voicing")
    hands: Hands = fields.choice(Hands.BOTH, label="Hands", group="Hands and range")
    lowest: Pitch = fields.pitch(
        "G3", label="Chords begin near", group="Hands and range",
        help="The right hand's first chord lies from here up; the left hand's root lies below.",
    )  # fmt: skip
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range", applies=fields.never)
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range", applies=fields.never)
    note_length: Fraction = fields.note_value(
        "1", label="Chord length", group="Time", allowed=(Fraction(1), Fraction(1, 2), Fraction(1, 4))
    )

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        root, moves = self._root(key), self._moves(key)
        places = list(range(len(moves.line)))
        if self.comes_back:
            places += places[-2::-1]
        shapes = self._shapes(root, moves)
        bass = root.nearest_above(self.lowest.octaves_up(-1))
        parts: dict[Hand, list[Step]] = {}
        for hand in self.playing_hands:
            if hand is Hand.RIGHT:
                own = shapes
            elif self.hands is Hands.BOTH:
                own = [(bass,)] * len(shapes)
            else:
                own = [tuple(pitch.octaves_up(-1) for pitch in shape) for shape in shapes]
            steps = [Step(own[place], self.note_length, number) for number, place in enumerate(places)]
            parts[hand] = held_to_the_bar(steps, self)
        chords = [_named(root, moves.names[place]) for place in places]
        times = onsets(next(iter(parts.values())))
        marks = tuple(ChordMark(now, chord, recognise(chord, key)) for now, chord in zip(times, chords, strict=True))
        section = Section(key, parts, marks)
        return write(self, [section], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        key = self.key_in(setting)
        root, moves = self._root(key), self._moves(key)
        notes = " ".join(str(name) for name in _line(root, moves))
        chord = _named(root, moves.names[0]).symbol(setting.label_style)
        back = " and back" if self.comes_back else ""
        # On a worksheet the notes of the line are what is asked for.
        line = "" if Blank.NOTES in self.worksheet.blank else f": {notes}"
        if _line_falls(moves):
            return f"{chord} with a falling line{line}{back}, {hands_words(self)}"
        return f"{chord} with a rising line{line}{back}, {hands_words(self)}"

    def _root(self, key: Key) -> NoteName:
        return degree_note(key.tonic, key.mode, self.degree.number, self.degree.alteration)

    def _moves(self, key: Key) -> _Moves:
        if self.line is not Line.OWN:
            return _MOVES[self.line]
        root = self._root(key)
        is_minor = root + interval_of_degree("b3") in Scale.of_key(key).names
        return _MOVES[Line.MINOR_FALLING if is_minor else Line.MAJOR_RISING]

    def _shapes(self, root: NoteName, moves: _Moves) -> list[Shape]:
        """The right hand's chords: two notes that stay and one that moves, which keeps its place among them."""
        first, second = (root + interval_of_degree(degree) for degree in moves.held)
        line = _line(root, moves)
        below = {Voice.LOWEST: (), Voice.MIDDLE: (second,), Voice.TOP: (first, second)}[self.voice]
        above = {Voice.LOWEST: (first, second), Voice.MIDDLE: (first,), Voice.TOP: ()}[self.voice]
        start: list[Pitch] = []
        for name in (*below, line[0], *above):
            start.append(name.nearest_above(start[-1] if start else self.lowest))
        place = len(below)
        shapes: list[Shape] = []
        for name in line:
            before = shapes[-1][place] if shapes else start[place]
            moved = min(
                (name.in_octave(before.octave + by) for by in (-1, 0, 1)), key=lambda p: abs(p.midi - before.midi)
            )
            shapes.append((*start[:place], moved, *start[place + 1 :]))
        return shapes


def _line(root: NoteName, moves: _Moves) -> list[NoteName]:
    return [root + interval_of_degree(degree) for degree in moves.line]


def _line_falls(moves: _Moves) -> bool:
    """Whether the moving voice goes down: from the root to the seventh."""
    return moves.line[0] == "1"


def _named(root: NoteName, name: str) -> Chord:
    if name == "b6":
        return Chord(root + interval_of_degree("b6"), Quality.named("maj"), root)
    return Chord(root, Quality.named(name))
