"""Upper structures: triads in the right hand over third and seventh of a dominant in the left."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape, cheapest_chain, octaves_between
from lessonkit.drills.chord_family import Degree
from lessonkit.drills.chord_parts import parts_of, stacked
from lessonkit.drills.exercise import ChordMark, Exercise, Hand
from lessonkit.drills.family import Direction, DrillFamily, Hands, Metre
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import counted, hands_words
from lessonkit.drills.writing import Section, Step, held_to_the_bar, write
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.quality import Quality
from lessonkit.theory.roman import degree_note, recognise
from lessonkit.theory.voicing import close_position, movement
from lessonkit.values import dataclass

_MAJOR = (("M2", "maj"), ("m3", "maj"), ("d5", "maj"), ("m6", "maj"), ("M6", "maj"))
_MINOR = (("P1", "m"), ("m2", "m"), ("m3", "m"), ("A4", "m"))
"""The triads that stand over a dominant, by their roots above its own: every major and minor one that holds neither the
fourth nor the major seventh and brings a tension or more (a table of the trade)."""

_TENSIONS = ("root", "♭9", "9", "♯9", "3", "11", "♯11", "5", "♭13", "13", "♭7", "7")
"""What a note so many semitones above the root of a dominant is called."""


_SOUND = {
    ("M2", "maj"): "13#11", ("m3", "maj"): "7#9", ("d5", "maj"): "7b9#11", ("m6", "maj"): "7alt", ("M6", "maj"): "13b9",
    ("P1", "m"): "7#9", ("m2", "m"): "7b9b13", ("m3", "m"): "7#9#11", ("A4", "m"): "13b9#11",
}  # fmt: skip
"""What the dominant is called with each triad: the name of all that sounds (common practice, no source)."""


class Structures(Enum):
    """Which triads are played."""

    MAJOR = "major triads"
    MINOR = "minor triads"
    ALL = "major and minor triads"

    @property
    def rows(self) -> tuple[tuple[str, str], ...]:
        """The triads by root and quality."""
        return {Structures.MAJOR: _MAJOR, Structures.MINOR: _MINOR, Structures.ALL: _MAJOR + _MINOR}[self]


@dataclass(frozen=True)
class UpperStructures(DrillFamily):
    """A plain triad in the right hand makes a rich dominant when the left hand has nothing but third and seventh.

    Over C7 a D triad is ninth, sharp eleventh and thirteenth at one grip, C13(♯11). Each bar names what sounds, and
    over it the triad, which keeps its own spelling, with the tensions that it brings; triads with the fourth or the
    major seventh are left out.
    """

    code = "upper-structures"
    title = "Upper-structure triads"
    words = ("altered dominant", "tensions", "triad over seventh", "polychord", "sharp eleven", "flat nine")
    has_passing_notes = True
    left_out = frozenset({"turning", "rest_between", "shaping"})

    degree: Degree = fields.choice(
        Degree.FIVE, label="Dominant on degree", group="Chord", help="On degree 5 it is the key's own dominant."
    )
    structures: Structures = fields.choice(Structures.MAJOR, label="Upper structures", group="Chord")
    hands: Hands = fields.choice(Hands.BOTH, label="Hands", group="Hands and range")
    lowest: Pitch = fields.pitch(
        "D4", label="Triads begin near", group="Hands and range",
        help="The right hand's triads lie from here up; the left hand's two notes just below.",
    )  # fmt: skip
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range", applies=fields.never)
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range", applies=fields.never)
    note_length: Fraction = fields.note_value(
        "1", label="Chord length", group="Time", allowed=(Fraction(1), Fraction(1, 2), Fraction(1, 4)),
        help="In a metre each structure is held to its bar's end.", applies=lambda drill: drill.metre is Metre.FREE,
    )  # fmt: skip

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        dominant = self._dominant(key)
        triads = list(self._triads(dominant))
        sounding = [Chord(dominant.root, Quality.named(_SOUND[row])) for row in self.structures.rows]
        rights = cheapest_chain([self._places(triad) for triad in triads], movement)
        left = self._left(dominant)
        sections: list[Section] = []
        for triad, chord, right in zip(triads, sounding, rights, strict=True):
            mark = ChordMark(Fraction(0), chord, recognise(chord, key))
            shapes = {Hand.RIGHT: right, Hand.LEFT: left}
            parts = {hand: held_to_the_bar([Step(shapes[hand], self.note_length)], self) for hand in self.playing_hands}
            label = _label(triad, dominant, setting.label_style)
            sections.append(Section(key, parts, (mark,), label=label, tells_chord=True))
        return write(self, sections, summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        dominant = self._dominant(self.key_in(setting)).symbol(setting.label_style)
        count = counted(len(self.structures.rows), "upper structure")
        return f"{count.capitalize()} over {dominant}, {self.structures.value}, {hands_words(self)}"

    def _dominant(self, key: Key) -> Chord:
        root = degree_note(key.tonic, key.mode, self.degree.number, self.degree.alteration)
        return Chord(root, Quality.named("7"))

    def _triads(self, dominant: Chord) -> Iterator[Chord]:
        """The triads in their own spelling: from the enharmonic root where that saves double accidentals."""
        for interval, quality in self.structures.rows:
            root = dominant.root + Interval.parse(interval)
            names = (root, *root.enharmonics)
            yield min((Chord(name, Quality.named(quality)) for name in names), key=_weight)

    def _places(self, triad: Chord) -> list[Shape]:
        """The triad's inversions near the floor, the lowest first."""
        found = [close_position(triad, inversion, self.lowest) for inversion in range(3)]
        return sorted(found, key=lambda shape: shape[0].midi)

    def _left(self, dominant: Chord) -> Shape:
        """Third and seventh, whichever is lower, so that both lie within the octave under the floor."""
        parts = parts_of(dominant)
        lowest = self.lowest.midi - 12
        orders = ((parts.third, parts.seventh), (parts.seventh, parts.third))
        places = [
            shape for order in orders for shape in octaves_between(stacked(order, self.lowest), lowest, lowest + 5)
        ]  # fmt: skip
        return places[0]


def _weight(triad: Chord) -> tuple[int, int]:
    """How badly a triad reads: doubles first; without any, the strict name, which is asked first, is as good."""
    doubles = sum(tone.is_double for tone in triad.tones)
    return doubles, sum(abs(tone.alteration) for tone in triad.tones) if doubles else 0


def _label(triad: Chord, dominant: Chord, style: LabelStyle) -> str:
    """``D triad: 9, ♯11, 13``."""
    tensions = (_TENSIONS[(tone.pitch_class - dominant.root.pitch_class) % 12] for tone in triad.tones)
    return f"{triad.symbol(style)} triad: {', '.join(tensions)}"
