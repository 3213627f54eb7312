"""Block chords: a scale of eight notes harmonised from below by the tonic sixth and a diminished seventh in turn."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape
from lessonkit.drills.exercise import ChordMark, Exercise, FingersShown, Hand
from lessonkit.drills.family import Direction, DrillFamily, Hands
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import hands_words, range_words
from lessonkit.drills.writing import Section, Step, held_to_the_bar, onsets, write
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.quality import Quality
from lessonkit.theory.roman import recognise
from lessonkit.values import dataclass

CHORDS_IN_GROUP = 4
"""How many chords are beamed together or, in free time, stand in a bar."""


class Lower(Enum):
    """What the left hand adds to the chords of the right."""

    MELODY = "the melody an octave lower"
    DROP_2 = "the second voice an octave lower"


@dataclass(frozen=True)
class BlockChords(DrillFamily):
    """Melody in locked hands: every note of the scale carries a close four-note chord and moves with it as a block.

    The scale has eight notes, with a passing note between the fifth and sixth degrees. Degrees 1, 3, 5 and 6 carry the
    tonic sixth chord, the notes between them the diminished seventh on the leading note, so that chords alternate.
    """

    code = "block-chords"
    title = "Block chords on a scale"
    usual_fingers = FingersShown.CHANGES
    eases_by = ("lower",)
    words = ("locked hands", "harmonised scale", "sixth and diminished", "bebop scale", "drop-2", "chord melody")
    left_out = frozenset()

    lower: Lower = fields.choice(
        Lower.MELODY, label="Left hand plays", group="Voicing", applies=lambda drill: drill.hands is Hands.BOTH,
        help="The second voice, counted from the melody, leaves the right hand when the left takes it.",
    )  # fmt: skip
    hands: Hands = fields.choice(Hands.BOTH, label="Hands", group="Hands and range")
    lowest: Pitch = fields.pitch(
        "E4", label="Melody begins near", group="Hands and range", help="It begins on the nearest tonic from here up."
    )
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range")
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range")
    note_length: Fraction = fields.note_value(
        "1/4", label="Note length", group="Time",
        allowed=(Fraction(1), Fraction(1, 2), Fraction(1, 4), Fraction(1, 8)),
    )  # fmt: skip

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        tonic, passing = _chords(key)
        melody = self._melody(key)
        chords = [tonic if pitch.name in tonic.tones else passing for pitch in melody]
        blocks = [_block(chord, pitch) for chord, pitch in zip(chords, melody, strict=True)]
        parts: dict[Hand, list[Step]] = {}
        for hand in self.playing_hands:
            shapes = [self._shape(block, hand) for block in blocks]
            steps = [Step(shape, self.note_length, place // CHORDS_IN_GROUP) for place, shape in enumerate(shapes)]
            parts[hand] = held_to_the_bar(steps, self)
        times = onsets(next(iter(parts.values())))
        marks = tuple(ChordMark(now, chord, recognise(chord, key)) for now, chord in zip(times, chords, strict=True))
        section = Section(key, parts, marks)
        return write(self, [section], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        key = self.key_in(setting)
        how = "in drop-2" if self.lower is Lower.DROP_2 and self.hands is Hands.BOTH else "in block chords"
        return f"The scale of {key} with its passing note {how}, {hands_words(self)}, {range_words(self)}"

    def _melody(self, key: Key) -> list[Pitch]:
        """The notes of the scale in playing order, from tonic to tonic."""
        start = key.tonic.nearest_above(self.lowest)
        third = "m3" if key.is_minor else "M3"
        scale = [Interval.parse(name) for name in ("P1", "M2", third, "P4", "P5", "m6", "M6", "M7")]
        up = [(start + step).octaves_up(octave) for octave in range(self.octaves) for step in scale]
        up.append(start.octaves_up(self.octaves))
        return self.turned(up)

    def _shape(self, block: Shape, hand: Hand) -> Shape:
        if self.hands is not Hands.BOTH:
            return block if hand is Hand.RIGHT else tuple(pitch.octaves_up(-1) for pitch in block)
        if self.lower is Lower.MELODY:
            return block if hand is Hand.RIGHT else (block[-1].octaves_up(-1),)
        return (*block[:-2], block[-1]) if hand is Hand.RIGHT else (block[-2].octaves_up(-1),)


def _chords(key: Key) -> tuple[Chord, Chord]:
    """The tonic sixth and the diminished seventh on the leading note."""
    tonic = Chord(key.tonic, Quality.named("m6" if key.is_minor else "6"))
    return tonic, Chord(key.tonic + Interval.parse("M7"), Quality.named("dim7"))


def _block(chord: Chord, melody: Pitch) -> Shape:
    """The chord in close position under a note of it."""
    place = chord.tones.index(melody.name)
    below = [tone.nearest_above(melody.octaves_up(-1)) for tone in chord.tones[place + 1 :] + chord.tones[:place]]
    return (*below, melody)
