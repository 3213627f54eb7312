"""Upper extension: third, fifth, seventh and ninth in the right hand over the root in the left."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape
from lessonkit.drills.chord_parts import parts_of, stacked
from lessonkit.drills.exercise import Hand, Roll
from lessonkit.drills.family import Texture
from lessonkit.drills.progression_family import ChordSpan, ProgressionFamily, how_many_keys
from lessonkit.drills.setting import Setting
from lessonkit.drills.writing import Step, check_size
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.quality import QUALITIES
from lessonkit.theory.voicing import Voicing
from lessonkit.values import dataclass

LOW = Interval.parse("P8")
"""How far under the floor a left-hand root counts as low; an octave goes up from a low root and down from others."""


class Root(Enum):
    """What the left hand has."""

    SINGLE = "the root"
    OCTAVE = "the root in octaves"
    FIFTH = "root and fifth"


class Touch(Enum):
    """How the right hand plays its four notes."""

    SOLID = "solid"
    ROLLED = "rolled"
    BROKEN = "broken"


@dataclass(frozen=True)
class UpperExtension(ProgressionFamily):
    """The right hand leaves the root to the left and plays third, fifth, seventh and ninth, a seventh chord it knows.

    Over C the right hand's Em7 makes Cmaj9. Whether the thumb is better off than in root position depends on the key:
    it is where a black root gives way to a white third. The drill remarks on each chord.
    """

    code = "upper-extension"
    title = "Upper extension over the root"
    eases_by = ("touch", "root")
    words = ("rootless", "ninth chords", "3-5-7-9", "seventh chord on the third", "voicing")
    tensions = ("9",)

    progression: Progression = fields.progression(
        "Imaj9 | IVmaj9 | iim9 | V9", label="Progression", group="Progression",
        help="Bars of degrees parted by |; a single chord such as Imaj9 will do.",
    )  # fmt: skip
    count: int = how_many_keys(1)
    lowest: Pitch = fields.pitch(
        "G3", label="Chords begin near", group="Hands and range",
        help="The right hand's thirds lie from here up, the left hand's roots a tenth below them.",
    )  # fmt: skip
    root: Root = fields.choice(Root.SINGLE, label="Left hand has", group="Voicing")
    touch: Touch = fields.choice(Touch.SOLID, label="Right hand's chords are", group="Voicing")
    broken_length: Fraction = fields.note_value(
        "1/8", label="Note length", group="Time", applies=lambda drill: drill.touch is Touch.BROKEN,
        allowed=(Fraction(1, 4), Fraction(1, 8), Fraction(1, 16)),
    )  # fmt: skip

    def texture(self) -> Texture:
        return Texture.POSITIONS

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        return [
            Voicing(self._left(chord, _upper(chord, self.lowest)[0]), _upper(chord, self.lowest)) for chord in chords
        ]

    def parts(self, spans: Sequence[ChordSpan], key: Key) -> dict[Hand, Sequence[Step]]:
        parts = super().parts(spans, key)
        if self.touch is not Touch.BROKEN or Hand.RIGHT not in parts:
            return parts
        check_size(int(spans[-1].end / self.broken_length))
        steps: list[Step] = []
        for span in spans:
            shape, group = _upper(span.chord, self.lowest), steps[-1].group + 1 if steps else 0
            for place in range(int(span.length / self.broken_length)):
                cell, note = divmod(place, len(shape))
                steps.append(Step((shape[note],), self.broken_length, group + cell))
            left_over = span.end - sum((step.length for step in steps), Fraction(0))
            if left_over:
                steps.append(Step((), left_over, steps[-1].group + 1))
        return parts | {Hand.RIGHT: steps}

    def roll(self, shape: Sequence[Pitch]) -> Roll:
        return Roll.UP if self.touch is Touch.ROLLED and len(shape) > 2 else Roll.NONE

    def remarks(self, keys: Sequence[Key], setting: Setting) -> tuple[str, ...]:
        chords = [placed.chord for key in keys for bar in self.progression_in(key).in_key(key) for placed in bar]
        return tuple(dict.fromkeys(thumb_remark(chord, setting.label_style) for chord in chords))

    def reasons(self, setting: Setting) -> tuple[str, ...]:
        """Which seventh chord the right hand plays over each root, in the first key."""
        if not self.worksheet.asks_for_notes:
            return ()
        key = self.keys_in(setting)[0]
        chords = dict.fromkeys(placed.chord for bar in self.progression_in(key).in_key(key) for placed in bar)
        pairs = [(chord, _seventh_chord(chord, self.lowest)) for chord in chords]
        told = [f"{upper.symbol(setting.label_style)} for {chord.symbol(setting.label_style)}"
                for chord, upper in pairs if upper is not None]  # fmt: skip
        return (
            f"The right hand has the seventh chord on the third of each chord, in {key} {', '.join(told)}.",
        ) * bool(told)

    def voiced_words(self) -> str:
        return f"3-5-7-9 {self.touch.value} over {_OVER[self.root]}"

    def _left(self, chord: Chord, third: Pitch) -> Shape:
        root = chord.lowest.nearest_above(third.octaves_up(-2) + Interval.parse("M2"))
        if self.root is Root.FIFTH:
            return stacked((root.name, parts_of(chord).fifth), root)
        if self.root is Root.OCTAVE:
            is_low = root.midi < (self.lowest - LOW).midi
            return (root, root.octaves_up(1)) if is_low else (root.octaves_up(-1), root)
        return (root,)


def thumb_remark(chord: Chord, style: LabelStyle) -> str:
    """Whether the right thumb is better off on the third of a chord than on its root, in a sentence.

    It is where a black root gives way to a white third, and worse off the other way round (worked out from the keys).
    """
    root, third, name = chord.root, parts_of(chord).third, chord.symbol(style)
    if root.is_black == third.is_black:
        colour = "black" if root.is_black else "white"
        return f"{name}: {root} and {third} are both {colour}, so for the right thumb the extension changes nothing"
    if root.is_black:
        return f"{name}: the extension helps, for the right thumb goes from black {root} to white {third}"
    return f"{name}: the extension makes it harder, for the right thumb goes from white {root} to black {third}"


_OVER = {Root.SINGLE: "roots", Root.OCTAVE: "octaves", Root.FIFTH: "roots and fifths"}


def _seventh_chord(chord: Chord, floor: Pitch) -> Chord | None:
    """The seventh chord that third, fifth, seventh and ninth of a chord make, or None where that has no name."""
    names = [pitch.name for pitch in _upper(chord, floor)]
    for quality in QUALITIES:
        has_seventh = any(degree.endswith("7") for degree in quality.degrees)
        if has_seventh and len(quality.tones) == len(names) and [names[0] + tone for tone in quality.tones] == names:
            return Chord(names[0], quality)
    return None


def _upper(chord: Chord, floor: Pitch) -> Shape:
    parts = parts_of(chord)
    return stacked((parts.third, parts.fifth, parts.seventh, parts.ninth), floor)
