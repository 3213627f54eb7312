"""Drop voicings: four-note chords opened by taking voices down an octave, counted from the top."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape
from lessonkit.drills.chord_family import ChordFamily
from lessonkit.drills.exercise import ChordMark, Exercise, Hand, Roll
from lessonkit.drills.family import Direction, Hands
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import hands_words, range_words
from lessonkit.drills.writing import Section, Step, held_to_the_bar, onsets, write
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import OCTAVE, Interval, Pitch
from lessonkit.theory.roman import diatonic_chord, recognise
from lessonkit.theory.voicing import close_position
from lessonkit.values import dataclass

NINTH = 14
"""The widest span in semitones that one hand strikes at once; wider chords are rolled."""


class Drop(Enum):
    """Which voices go down an octave, counted from the top."""

    TWO = "drop-2"
    THREE = "drop-3"
    TWO_AND_FOUR = "drop-2 and 4"

    @property
    def voices(self) -> tuple[int, ...]:
        """The voices by their number from the top."""
        return {Drop.TWO: (2,), Drop.THREE: (3,), Drop.TWO_AND_FOUR: (2, 4)}[self]


class Path(Enum):
    """Which chords follow one another."""

    INVERSIONS = "one chord through its inversions"
    SCALE = "the key's chords up the scale"


@dataclass(frozen=True)
class DropVoicings(ChordFamily):
    """A close chord is opened by taking its second voice from the top, or another, down an octave.

    The drill shows the close position first, so that the hands see where the open chord comes from. With both hands the
    left one takes the lowered voices; one hand alone rolls what is wider than a ninth. Chords have four notes; a triad
    can be opened by its second voice.
    """

    code = "drop-voicings"
    title = "Drop-2 and other open voicings"
    eases_by = ("drop",)
    words = ("drop-2", "drop-3", "drop-2 and 4", "open position", "inversions", "four-part chords")
    left_out = frozenset()

    path: Path = fields.choice(Path.INVERSIONS, label="Chords are", group="Chord")
    inversion: int = fields.whole(
        0, least=0, most=4, label="Close position begins with inversion", group="Chord",
        help="0 has the root lowest before voices are taken down, 1 the third and so on.",
    )  # fmt: skip
    drop: Drop = fields.choice(Drop.TWO, label="Voices taken down", group="Voicing", help="Counted from the top.")
    shows_close: bool = fields.yes_no(True, label="Close position first", group="Voicing")
    hands: Hands = fields.choice(Hands.BOTH, label="Hands", group="Hands and range")
    lowest: Pitch = fields.pitch(
        "Eb3", label="Begin near", group="Hands and range",
        help="The close position begins at the nearest fitting note from here up.",
    )  # fmt: skip
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range")
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range")
    note_length: Fraction = fields.note_value(
        "1/2", label="Chord length", group="Time", allowed=(Fraction(1), Fraction(1, 2), Fraction(1, 4))
    )

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        rows = self._in_direction(self._rows(setting))
        parts: dict[Hand, list[Step]] = {
            hand: held_to_the_bar(
                [step for number, (_, close) in enumerate(rows) for step in self._steps(close, hand, number)], self
            )
            for hand in self.playing_hands
        }
        each = 2 if self.shows_close else 1
        times = list(onsets(next(iter(parts.values()))))[::each]
        marks: list[ChordMark] = []
        for now, (chord, _) in zip(times, rows, strict=True):
            if not marks or marks[-1].chord != chord:
                marks.append(ChordMark(now, chord, recognise(chord, key)))
        return write(self, [Section(key, parts, tuple(marks))], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        what = f"the {self.size.words} of {self.key_in(setting)} up the scale"
        if self.path is Path.INVERSIONS:
            what = f"{self.chord_in(setting)[0].symbol(setting.label_style)} through its inversions"
        first = ", close position first" if self.shows_close else ""
        return f"{self.drop.value.capitalize()}: {what}{first}, {hands_words(self)}, {range_words(self)}"

    def reasons(self, setting: Setting) -> tuple[str, ...]:
        """Which notes of the first chord have been moved."""
        if not self.worksheet.asks_for_notes:
            return ()
        chord, close = self._in_direction(self._rows(setting))[0]
        lowered, _ = self._opened(close)
        names, moved = (" ".join(str(pitch.name) for pitch in row) for row in (close, lowered))
        whole = " ".join(str(pitch.name) for pitch in sorted((*lowered, *self._opened(close)[1]), key=_midi))
        return (
            f"{_MOVED[self.drop]} an octave lower: {chord.symbol(setting.label_style)} in close position is {names}; "
            f"with {moved} moved it is {whole}.",
        )

    def _rows(self, setting: Setting) -> list[tuple[Chord, Shape]]:
        """Each chord with its close position, upward."""
        key = self.key_in(setting)
        if self.path is Path.SCALE:
            return self._up_the_scale(key)
        chord, _ = self.chord_in(setting)
        first, count = self.inversion, len(chord.tones) * self.octaves + 1
        rows: list[tuple[Chord, Shape]] = []
        for place in range(count):
            floor = rows[-1][1][1] if rows else self.lowest
            inversion = first if place == 0 else (first + place) % len(chord.tones)
            rows.append((chord, close_position(chord, inversion, floor)))
        return rows

    def _up_the_scale(self, key: Key) -> list[tuple[Chord, Shape]]:
        rows: list[tuple[Chord, Shape]] = []
        for rung in range(7 * self.octaves + 1):
            chord = diatonic_chord(key, rung % 7 + 1, self.size.number)
            floor = rows[-1][1][0] + Interval.parse("m2") if rows else self.lowest
            rows.append((chord, close_position(chord, self.inversion, floor)))
        return rows

    def _in_direction(self, rows: list[tuple[Chord, Shape]]) -> list[tuple[Chord, Shape]]:
        return self.turned(rows)

    def _steps(self, close: Shape, hand: Hand, number: int) -> list[Step]:
        """One chord for a hand: its close position, if that is shown, and what the hand has of the open one."""
        lowered, others = self._opened(close)
        steps: list[Step] = []
        if self.hands is Hands.BOTH:
            if self.shows_close:
                steps.append(Step(close if hand is Hand.RIGHT else (), self.note_length, number))
            return [*steps, Step(others if hand is Hand.RIGHT else lowered, self.note_length, number)]
        for shape in (close, lowered + others) if self.shows_close else (lowered + others,):
            own = shape if hand is Hand.RIGHT else tuple(pitch.octaves_up(-1) for pitch in shape)
            roll = Roll.UP if own[-1].midi - own[0].midi > NINTH else Roll.NONE
            steps.append(Step(own, self.note_length, number, roll))
        return steps

    def _opened(self, close: Shape) -> tuple[Shape, Shape]:
        """The voices taken down, and those that stay."""
        fits = len(close) == 4 or (len(close) == 3 and self.drop is Drop.TWO)
        if not fits or close[-1].midi - close[0].midi >= OCTAVE.semitones:
            raise ValueError(
                f"{self.drop.value} opens chords of four notes within an octave, not {len(close)} notes from "
                f"{close[0]} to {close[-1]}; choose a sixth or seventh chord"
            )
        places = [len(close) - voice for voice in self.drop.voices]
        lowered = tuple(close[place].octaves_up(-1) for place in sorted(places))
        return lowered, tuple(pitch for place, pitch in enumerate(close) if place not in places)


_MOVED = {
    Drop.TWO: "The second voice from the top lies",
    Drop.THREE: "The third voice from the top lies",
    Drop.TWO_AND_FOUR: "The second and the fourth voice from the top lie",
}


def _midi(pitch: Pitch) -> int:
    return pitch.midi
