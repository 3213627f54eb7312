"""Chord scales: over each chord of a progression runs the scale that goes with it, the left hand holding a shell."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.accompaniment import in_bars
from lessonkit.drills.degrees_over import degree_over, scale_around
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import Direction, Texture
from lessonkit.drills.melody_check import clash
from lessonkit.drills.patterns import Group
from lessonkit.drills.progression_family import ChordSpan, ProgressionFamily, bars_of_degrees
from lessonkit.drills.worksheet import Worksheet
from lessonkit.drills.writing import Step
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, NoteName, Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.scale import Scale, ScaleKind
from lessonkit.theory.voicing import Shell, shell
from lessonkit.values import dataclass

SEVEN = 7

_SCALES = {
    "major": ("maj", "maj7", "6", "6/9", "add9", "maj9", "maj13", "sus2"),
    "lydian": ("maj7#11",),
    "dorian": ("m", "m7", "m9", "m11", "m13", "m(add9)"),
    "melodic minor": ("m6", "m6/9", "m(maj7)", "m(maj9)"),
    "mixolydian": ("7", "9", "11", "13", "7sus4", "9sus4", "sus4"),
    "lydian dominant": ("7#11", "7b5"),
    "altered": ("7alt",),
    "octatonic half-whole": ("7b9", "7#9"),
    "whole-tone": ("7#5", "aug"),
    "locrian": ("m7b5",),
    "octatonic whole-half": ("dim", "dim7"),
}
"""The scale that is usually played over each chord quality; common practice, no source."""

_OF_QUALITY = {quality: ScaleKind.named(scale) for scale, qualities in _SCALES.items() for quality in qualities}


class Line(Enum):
    """What is played of the scale."""

    SCALE = "the whole scale"
    CELL = "the cell 1-2-3-5"
    CELL_BACK = "the cell 1-2-3-5 and back"
    CHORD = "the chord's notes 1-3-5-7"

    @property
    def degrees(self) -> tuple[int, ...]:
        """The degrees over the root; none for the whole scale."""
        return {Line.CELL: (1, 2, 3, 5), Line.CELL_BACK: (1, 2, 3, 5, 3, 2), Line.CHORD: (1, 3, 5, 7)}.get(self, ())


class Avoided(Enum):
    """What is done with notes that do not go with the chord when they are held."""

    PLAYED = "passed through"
    NAMED = "passed through and named above the line"
    LEFT_OUT = "left out"


class Source(Enum):
    """Where the scale of a chord comes from."""

    KEY = "the key, around the chord's own notes"
    QUALITY = "the usual scale of its quality"


@dataclass(frozen=True)
class ChordScales(ProgressionFamily):
    """Over each chord the right hand runs through the scale that fits it, so that ear and hand know what may be used.

    Taken from the key, the scale has the chord's own notes and the key's between them: Dorian on ii, Mixolydian on V,
    and on the V of a minor key the flat ninth and sixth. Taken from the quality, m7 is Dorian, 7 Mixolydian, 7♭9
    half-whole, an altered dominant the altered scale. A note such as the fourth over a major seventh is fine in passing
    but rubs when it is held; such notes can be named or left out. Instead of the scale a short cell may be played from
    each root.
    """

    code = "chord-scales"
    title = "Chord scales"
    nothing_easier = "The scales follow the chords, so none is exchanged for an easier one"
    words = ("modes", "dorian", "mixolydian", "lydian", "altered", "improvisation", "scale over chord")
    has_passing_notes = True
    blanks = (Worksheet.NOTHING, Worksheet.CHORD_NAMES, Worksheet.NOTES, Worksheet.FINGERS)

    progression: Progression = bars_of_degrees("iim7 | V7 | Imaj7 | vim7")
    line: Line = fields.choice(Line.SCALE, label="Played over each chord", group="Scales")
    avoided: Avoided = fields.choice(
        Avoided.PLAYED, label="Notes to avoid", group="Scales",
        help="The fourth over a major third, for example: no one holds it.",
    )  # fmt: skip
    source: Source = fields.choice(Source.KEY, label="Scales come from", group="Scales")
    direction: Direction = fields.choice(
        Direction.UP, label="Direction", group="Hands and range",
        help="Up and down, the scales rise and fall in turn, one chord each.",
    )  # fmt: skip
    lowest: Pitch = fields.pitch(
        "Bb3", label="Scales begin near", group="Hands and range",
        help="The right hand's scales begin on the roots from here up; the left hand's shells lie below them.",
    )  # fmt: skip
    count: int = fields.whole(1, least=1, most=15, label="How many keys", group="Keys")
    note_length: Fraction = fields.note_value("1/8", label="Note length", group="Time")

    def texture(self) -> Texture:
        return Texture.APART

    def parts(self, spans: Sequence[ChordSpan], key: Key) -> dict[Hand, Sequence[Step]]:
        parts: dict[Hand, Sequence[Step]] = {}
        for hand in self.playing_hands:
            is_shell = hand is Hand.LEFT and len(self.playing_hands) == 2
            lowest = self.lowest if hand is Hand.RIGHT else self.lowest.octaves_up(-1)
            parts[hand] = self._shells(spans) if is_shell else self._runs(spans, key, lowest)
        return parts

    def voiced_words(self) -> str:
        source = "the key" if self.source is Source.KEY else "the chord qualities"
        return f"scales from {source}" if self.line is Line.SCALE else f"{self.line.value} from {source}"

    def label_in(self, key: Key) -> str:
        if self.avoided is not Avoided.NAMED:
            return str(key)
        chords = dict.fromkeys(placed.chord for bar in self.progression_in(key).in_key(key) for placed in bar)
        named = [
            f"{' '.join(map(str, avoided))} over {chord}"
            for chord in chords
            if (avoided := avoid_notes(chord, scale_over(chord, key, self.source)))
        ]
        return f"{key}, do not rest on {', '.join(named)}" if named else str(key)

    def _shells(self, spans: Sequence[ChordSpan]) -> list[Step]:
        floor = self.lowest.octaves_up(-1) - Interval(4, 7)
        cells = enumerate(in_bars(spans, self.bar))
        return [Step(shell(cell.chord, Shell.ROOT_SEVENTH, floor), cell.length, number) for number, cell in cells]

    def _runs(self, spans: Sequence[ChordSpan], key: Key, lowest: Pitch) -> list[Step]:
        """Each scale from its root to the octave, and back as far as the chord lasts."""
        steps: list[Step] = []
        for number, span in enumerate(spans):
            rising = self._octave(span.chord, key, lowest)
            falls = self.direction is Direction.DOWN or (self.direction is Direction.UP_AND_DOWN and number % 2 == 1)
            there = rising[::-1] if falls else rising
            turn = [*there, *there[-2:0:-1]] if self.line is Line.SCALE else list(there)
            left, place = span.length, 0
            while left > 0:
                length = min(self.note_length, left)
                steps.append(Step((turn[place % len(turn)],), length, number))
                left -= length
                place += 1
        return steps

    def _octave(self, chord: Chord, key: Key, lowest: Pitch) -> Group:
        """The scale of a chord from its root to the octave, or the cell that is played of it."""
        root = chord.root.nearest_above(lowest)
        scale = scale_over(chord, key, self.source)
        if self.line is not Line.SCALE:
            return tuple(self._on_degree(degree, root, chord, scale, key) for degree in self.line.degrees)
        if self.avoided is Avoided.LEFT_OUT:
            scale = tuple(name for name in scale if name not in avoid_notes(chord, scale))
        return (*(name.nearest_above(root) for name in scale), root.octaves_up(1))

    def _on_degree(self, degree: int, root: Pitch, chord: Chord, scale: Sequence[NoteName], key: Key) -> Pitch:
        """A degree of the cell: of a scale of seven notes its own, of others what the chord and the key have there."""
        if len(scale) == SEVEN:
            return scale[degree - 1].nearest_above(root)
        return degree_over(root, chord, degree, key)


def avoid_notes(chord: Chord, scale: Sequence[NoteName]) -> tuple[NoteName, ...]:
    """The notes of a scale that rub when they are held over a chord; common practice, no source."""
    return tuple(name for name in scale if clash(name, chord) is not None)


def scale_over(chord: Chord, key: Key, source: Source) -> tuple[NoteName, ...]:
    """The notes of the scale that goes with a chord, from its root up.

    A quality that has no usual scale takes the key's notes around its own.
    """
    kind = _OF_QUALITY.get(chord.quality.key)
    if source is Source.KEY or kind is None:
        return scale_around(chord, key)
    scale = Scale(chord.root, kind)
    friendly = scale.friendly()
    if friendly.scale.tonic != chord.root:
        # From another tonic it would read more easily, but the chord's name above it would not agree.
        return scale.names
    at_home = key.notes.union(chord.tones)
    return tuple(own if own in at_home else read for own, read in zip(scale.names, friendly.names, strict=True))
