"""Fills between phrases: while a melody note lasts, the end of its bar is filled with a little run above it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.degrees_over import scale_around
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import Direction, Hands, Texture
from lessonkit.drills.own_phrase import over_chord, own_phrase_setting
from lessonkit.drills.phrase import Phrase as PhraseTyped
from lessonkit.drills.progression_family import ChordSpan, ProgressionFamily, bars_of_degrees
from lessonkit.drills.writing import Step
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, NoteName, Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.scale import SCALES, Scale
from lessonkit.theory.voicing import Shell, shell
from lessonkit.values import dataclass

Shape = tuple[Pitch, ...]

NEAREST = 3
"""A fill begins a minor third above the melody note or higher, so that it is not taken for the melody."""

OCTAVE, TWO_OCTAVES = 12, 24


class Fill(Enum):
    """What fills the end of a melody note."""

    ARPEGGIO = "the chord, upward"
    PENTATONIC_UP = "pentatonic, up and back"
    PENTATONIC_DOWN = "pentatonic, downward"
    THIRDS = "thirds"
    SIXTHS = "sixths"
    ECHO = "the phrase again an octave higher"
    LEFT_HAND = "the left hand leads to the next chord"
    OWN = "a phrase of your own"

    @property
    def words(self) -> str:
        """For a summary, after "filled with"."""
        return {
            Fill.PENTATONIC_UP: "the pentatonic scale, up and back",
            Fill.PENTATONIC_DOWN: "the pentatonic scale, downward",
            Fill.LEFT_HAND: "a left hand that leads to the next chord",
        }.get(self, self.value)


class Lasts(Enum):
    """How much of each chord is filled."""

    ONE_BEAT = "the last beat"
    TWO_BEATS = "the last two beats"
    HALF = "the second half"


class Phrase(Enum):
    """What the melody does before the fill."""

    HELD = "one held note"
    PICKED_UP = "two short notes and a held one"


class Melody(Enum):
    """On which note of each chord the melody rests."""

    NEAREST = "the nearest note of the chord"
    THIRD = "the third"
    FIFTH = "the fifth"
    ROOT = "the root"


@dataclass(frozen=True)
class FillsBetweenPhrases(ProgressionFamily):
    """A melody note is held, and what is left of its bar is filled: a run above it, thirds, an echo or a bass line.

    A fill lies above the held note, so that the melody stays clear, and is over before the next note comes; a breath
    may be kept free before it. The pedal or the fourth and fifth fingers hold the note while the others play.
    """

    code = "fills-between-phrases"
    title = "Fills between phrases"
    words = ("fill-ins", "ballad", "embellishment", "held notes", "runs", "answering the melody", "pentatonic")
    has_passing_notes = True

    progression: Progression = bars_of_degrees("Imaj7 | vim7 | IVmaj7 | V7")
    fill: Fill = fields.choice(Fill.PENTATONIC_UP, label="Filled with", group="Fill")
    own: PhraseTyped | None = own_phrase_setting(
        group="Fill", applies=lambda drill: drill.fill is Fill.OWN,
        help="Typed over the chord of its own tonic, as in C | 1/16 E5 G A G; over other chords it is theirs.",
    )  # fmt: skip
    lasts: Lasts = fields.choice(Lasts.TWO_BEATS, label="The fill takes", group="Fill")
    has_breath: bool = fields.yes_no(
        False, label="Breath before the next note", group="Fill", help="The last note of a fill gives way to a rest."
    )
    phrase: Phrase = fields.choice(Phrase.HELD, label="The melody has", group="Melody")
    melody: Melody = fields.choice(Melody.NEAREST, label="It rests on", group="Melody")
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range", applies=fields.never)
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range", applies=fields.never)
    hands: Hands = fields.choice(Hands.BOTH, label="Hands", group="Hands and range")
    lowest: Pitch = fields.pitch(
        "E4", label="Melody from", group="Hands and range",
        help="The melody lies from here up; the left hand's chords begin two octaves lower.",
    )  # fmt: skip
    count: int = fields.whole(1, least=1, most=15, label="How many keys", group="Keys")
    note_length: Fraction = fields.note_value(
        "1/16", label="Note length", group="Time", help="Of the fill; double notes are eighths at the shortest."
    )

    def texture(self) -> Texture:
        return Texture.APART

    def parts(self, spans: Sequence[ChordSpan], key: Key) -> dict[Hand, Sequence[Step]]:
        parts: dict[Hand, Sequence[Step]] = {}
        for hand in self.playing_hands:
            part = self._right(spans, key) if hand is Hand.RIGHT else self._left(spans, key)
            parts[hand] = list(part)
        return parts

    def voiced_words(self) -> str:
        return f"{self.lasts.value} filled with {self.fill.words}"

    def _filled(self, span: ChordSpan) -> Fraction:
        """How much of a chord's time is filled: never more than half of it, so that the melody is heard first."""
        wanted = {Lasts.ONE_BEAT: self._beat, Lasts.TWO_BEATS: 2 * self._beat}.get(self.lasts, span.length)
        return min(wanted, span.length / 2)

    @property
    def _beat(self) -> Fraction:
        meter = self.metre.meter
        return Fraction(3, 8) if meter is not None and meter.unit == 8 else Fraction(1, 4)

    def _right(self, spans: Sequence[ChordSpan], key: Key) -> Iterator[Step]:
        notes = self._melody(spans)
        for number, (span, note) in enumerate(zip(spans, notes, strict=True)):
            phrase = list(self._phrase(span, note, key))
            is_filled = self.fill is not Fill.LEFT_HAND
            if not is_filled:
                pitches, length = phrase[-1]
                phrase[-1] = (pitches, length + self._filled(span))
            for pitches, length in phrase:
                yield Step(pitches, length, 3 * number)
            if is_filled:
                # One hand position holds the note and plays what is above it.
                is_one = self.phrase is Phrase.HELD and self.fill not in _DOUBLE
                yield from self._run(span, note, phrase, key, 3 * number + (0 if is_one else 1))

    def _melody(self, spans: Sequence[ChordSpan]) -> list[Pitch]:
        """The note on which the melody rests over each chord; the nearest one moves as little as it can."""
        found: list[Pitch] = []
        for span in spans:
            tones = span.chord.tones
            if self.melody is Melody.NEAREST:
                places = [tone.nearest_above(self.lowest) for tone in tones]
                before = found[-1].midi if found else places[0].midi
                found.append(min(places, key=lambda pitch: abs(pitch.midi - before)))
            else:
                place = {Melody.ROOT: 0, Melody.THIRD: 1, Melody.FIFTH: 2}[self.melody]
                found.append(tones[min(place, len(tones) - 1)].nearest_above(self.lowest))
        return found

    def _phrase(self, span: ChordSpan, note: Pitch, key: Key) -> Iterator[tuple[Shape, Fraction]]:
        """What the melody plays before the fill."""
        left = span.length - self._filled(span)
        if self.phrase is Phrase.PICKED_UP:
            below = _ladder(scale_around(span.chord, key), note.octaves_up(-1), note)[-2:]
            short = min(Fraction(1, 8), left / 4)
            for pitch in below:
                yield (pitch,), short
            left -= 2 * short
        yield (note,), left

    def _run(
        self, span: ChordSpan, note: Pitch, phrase: Sequence[tuple[Shape, Fraction]], key: Key, group: int
    ) -> Iterator[Step]:
        left = self._filled(span)
        if self.fill is Fill.OWN:
            yield from self._own_fill(span, note, group)
            return
        if self.fill is Fill.ECHO:
            shapes = [tuple(pitch.octaves_up(1) for pitch in shape) for shape, _ in phrase]
            lengths = [min(Fraction(1, 8), left / 4)] * (len(shapes) - 1)
            lengths.append(left - sum(lengths))
        else:
            each = max(self.note_length, Fraction(1, 8)) if self.fill in _DOUBLE else self.note_length
            each = min(each, left)
            lengths = [each] * int(left // each)
            if rest := left - sum(lengths):
                lengths.append(rest)
            shapes = _SHAPES[self.fill](span.chord, note, key, len(lengths))
        for place, (shape, length) in enumerate(zip(shapes, lengths, strict=True)):
            is_breath = self.has_breath and place + 1 == len(shapes) > 1
            yield Step(() if is_breath else shape, length, group + (1 if is_breath else 0))

    def _own_fill(self, span: ChordSpan, note: Pitch, group: int) -> Iterator[Step]:
        if self.own is None:
            raise ValueError("no phrase of your own is typed for the fills; type one, such as in C | 1/16 E5 G A G")
        sounds = over_chord(self.own, span.chord, note, self._filled(span))
        for place, sound in enumerate(sounds):
            is_breath = self.has_breath and place + 1 == len(sounds) > 1
            yield Step(() if is_breath else sound.pitches, sound.length, group + (1 if is_breath else 0))

    def _left(self, spans: Sequence[ChordSpan], key: Key) -> Iterator[Step]:
        floor = self.lowest - _LEFT_BELOW
        for number, (span, note) in enumerate(zip(spans, self._melody(spans), strict=True)):
            lowest = min(pitch.midi for shape, _ in self._phrase(span, note, key) for pitch in shape)
            shape = shell(span.chord, Shell.ROOT_SEVENTH, floor)
            if shape[-1].midi >= lowest:
                shape = tuple(pitch.octaves_up(-1) for pitch in shape)
            leads = self.fill is Fill.LEFT_HAND and number + 1 < len(spans)
            filled = self._filled(span) if leads else Fraction(0)
            yield Step(shape, span.length - filled, 2 * number)
            if leads:
                yield from self._lead(filled, spans[number + 1], shape[0], floor, key, 2 * number + 1)

    def _lead(
        self, filled: Fraction, after: ChordSpan, bass: Pitch, floor: Pitch, key: Key, group: int
    ) -> Iterator[Step]:
        """Steps of the scale that end beside the next bass, from the side on which the hand is."""
        goal = after.chord.root.nearest_above(floor)
        each = min(max(self.note_length, Fraction(1, 8)), filled)
        count = int(filled // each)
        names = scale_around(after.chord, key)
        rises = goal.midi > bass.midi
        if rises:
            line = _ladder(names, goal.octaves_up(-3), goal)[-count:]
        else:
            line = [pitch for pitch in _ladder(names, goal, goal.octaves_up(3)) if pitch.midi > goal.midi][:count][::-1]
        rest = filled - each * count
        for place, pitch in enumerate(line):
            yield Step((pitch,), each + (rest if place + 1 == count else 0), group)


_LEFT_BELOW = Interval.parse("M14")
"""How far below the melody the left hand's roots begin: F2 below E4, where sevenths are still clear."""

_DOUBLE = (Fill.THIRDS, Fill.SIXTHS)


def pentatonic_of(chord: Chord) -> tuple[NoteName, ...]:
    """The five notes that belong to a chord: major or minor pentatonic by its third; other chords have their own notes.

    Common practice, no source.
    """
    degrees = set(chord.quality.degrees)
    if {"3", "5"} <= degrees:
        return Scale(chord.root, SCALES["major pentatonic"]).names
    if {"b3", "5"} <= degrees and "7" not in degrees and "6" not in degrees:
        return Scale(chord.root, SCALES["minor pentatonic"]).names
    return chord.tones


def filled(fill: Fill, chord: Chord, note: Pitch, key: Key, count: int) -> list[Shape]:
    """So many notes or double notes that fill the time above a held note; for the fills that have notes of their own.

    Those are all but the echo, the left hand's and the teacher's own.
    """
    return _SHAPES[fill](chord, note, key, count)


def wave(count: int, size: int) -> list[int]:
    """So many places that rise from 0 to the last of ``size`` and fall again: 0 1 2 3 2 1 0 1."""
    if size < 2:
        return [0] * count
    turn = [*range(size), *range(size - 2, 0, -1)]
    return [turn[place % len(turn)] for place in range(count)]


def _ladder(names: Sequence[NoteName], start: Pitch, end: Pitch) -> list[Pitch]:
    """The notes of a scale from ``start`` up to but not including ``end``."""
    found = [name.nearest_above(start) for name in names]
    octaves = range(-(-(end.midi - start.midi) // OCTAVE))
    every = {pitch.octaves_up(octave).midi: pitch.octaves_up(octave) for pitch in found for octave in octaves}
    return [every[midi] for midi in sorted(every) if start.midi <= midi < end.midi]


def _above(names: Sequence[NoteName], note: Pitch, reach: int) -> list[Pitch]:
    """The notes of a scale that lie at least a minor third above a note and no further than ``reach``."""
    end = note.octaves_up(1 + reach // OCTAVE)
    return [pitch for pitch in _ladder(names, note, end) if NEAREST <= pitch.midi - note.midi <= reach]


def _arpeggio(chord: Chord, note: Pitch, key: Key, count: int) -> list[Shape]:
    rungs = _above(chord.tones, note, TWO_OCTAVES)
    return [(rungs[place],) for place in wave(count, len(rungs))]


def _pentatonic_up(chord: Chord, note: Pitch, key: Key, count: int) -> list[Shape]:
    # A short fill turns halfway, so that it comes back as well.
    rungs = _above(pentatonic_of(chord), note, OCTAVE)[: count // 2 + 1]
    return [(rungs[place],) for place in wave(count, len(rungs))]


def _pentatonic_down(chord: Chord, note: Pitch, key: Key, count: int) -> list[Shape]:
    rungs = _above(pentatonic_of(chord), note, TWO_OCTAVES)[:count] or _above(pentatonic_of(chord), note, OCTAVE)
    return [(rungs[-1 - place],) for place in wave(count, len(rungs))]


def _doubled(steps: int) -> Callable[[Chord, Pitch, Key, int], list[Shape]]:
    def shapes(chord: Chord, note: Pitch, key: Key, count: int) -> list[Shape]:
        rungs = _above(scale_around(chord, key), note, TWO_OCTAVES)
        pairs = [(low, rungs[place + steps]) for place, low in enumerate(rungs[:-steps])]
        pairs = [pair for pair in pairs if pair[1].midi - note.midi <= OCTAVE + 5] or pairs[:1]
        return [pairs[place] for place in wave(count, len(pairs))]

    return shapes


_SHAPES: dict[Fill, Callable[[Chord, Pitch, Key, int], list[Shape]]] = {
    Fill.ARPEGGIO: _arpeggio,
    Fill.PENTATONIC_UP: _pentatonic_up,
    Fill.PENTATONIC_DOWN: _pentatonic_down,
    Fill.THIRDS: _doubled(2),
    Fill.SIXTHS: _doubled(5),
}
