"""What a drill builds: spelled notes in time for each hand, with fingers, chord names and degrees. Meaning only.

Nothing here says how a thing is drawn: stems, clefs, octave lines and which accidental is shown belong to engraving.
Times are fractions of a whole note counted from the start.
"""

from __future__ import annotations

from dataclasses import replace
from enum import Enum
from fractions import Fraction

from lessonkit.hands.hand import Hand as Hand
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.roman import RomanChord
from lessonkit.values import dataclass


class Roll(Enum):
    """How the notes of a chord follow one another."""

    NONE = "none"
    UP = "up"
    DOWN = "down"


class Blank(Enum):
    """What a worksheet leaves for the student to fill in."""

    CHORD_NAMES = "chord names"
    DEGREES = "degrees"
    NOTES = "notes"
    FINGERS = "fingers"
    RIGHT_HAND = "right hand"
    KEY = "key"
    VERDICTS = "verdicts"


class Sign(Enum):
    """What stands at a note and says how it is struck."""

    STACCATO = "staccato"
    TENUTO = "tenuto"
    ACCENT = "accent"


class FingersShown(Enum):
    """Which finger numbers are printed; an exercise says which, a drill may leave it to its lesson."""

    LESSON = "as the lesson"
    ALL = "all"
    FIRST_GROUP = "first group"
    CHANGES = "changes only"
    NONE = "none"


class BarEnd(Enum):
    """The line at the end of a bar."""

    SINGLE = "single"
    DOUBLE = "double"
    FINAL = "final"
    REPEAT = "repeat"
    INVISIBLE = "invisible"


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature: so many beats of a note value (``Meter(6, 8)``)."""

    beats: int
    unit: int

    def __post_init__(self) -> None:
        if not 1 <= self.beats <= 32 or self.unit not in (1, 2, 4, 8, 16):
            raise ValueError(f"{self.beats}/{self.unit} is not a metre that can be printed; write it like 4/4 or 6/8")

    @property
    def bar(self) -> Fraction:
        """The length of a full bar in whole notes."""
        return Fraction(self.beats, self.unit)

    def __str__(self) -> str:
        return f"{self.beats}/{self.unit}"


@dataclass(frozen=True, slots=True)
class Event:
    """One sounding moment of one hand: a note, a chord, or a rest when ``pitches`` is empty.

    ``pitches`` run low to high; ``fingers`` answers each of them (None where none is known) or is empty, and
    ``pinned`` holds the places among them of the fingers that the teacher typed.
    ``crushed`` are struck just before and let go at once, as a crushed third in the blues.
    Events of one hand that share a ``group`` belong together: they are beamed and phrased as one.
    ``tuplet`` is 3 where the written value is half as long again as it sounds (eighths in triplets), else 0.
    ``is_open`` marks a bar's worth of space left for the student to play or write into; ``sign`` says how it is struck.
    """

    hand: Hand
    onset: Fraction
    length: Fraction
    pitches: tuple[Pitch, ...]
    fingers: tuple[int | None, ...] = ()
    group: int = 0
    roll: Roll = Roll.NONE
    is_tied: bool = False
    tuplet: int = 0
    is_open: bool = False
    pinned: frozenset[int] = frozenset()
    sign: Sign | None = None
    crushed: tuple[Pitch, ...] = ()

    def __post_init__(self) -> None:
        # Comparing whole fractions would cost more than making the event.
        if self.length.numerator <= 0:
            raise ValueError(f"a note at {self.onset} has the length {self.length}; it must be longer than nothing")
        if self.fingers and len(self.fingers) != len(self.pitches):
            raise ValueError(f"{len(self.pitches)} notes at {self.onset} have {len(self.fingers)} fingers")

    @property
    def end(self) -> Fraction:
        """When the event stops sounding."""
        return self.onset + self.length


@dataclass(frozen=True, slots=True)
class ChordMark:
    """The harmony from a moment on, with its degree in the key where it has one.

    ``verdict`` is what the student is to judge of the chord, as ``easy``; it stands in the place of the degree.
    """

    onset: Fraction
    chord: Chord
    degree: RomanChord | None = None
    verdict: str = ""


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar: where it starts and how long it is.

    ``key`` is given where a key begins (the first bar always); ``label`` names what starts here, as ``E♭ major``;
    ``tells_chord`` where it speaks of the bar's first chord and stands over that; ``answer`` is what the label asks for
    on a worksheet that leaves the key to be found; ``starts_line`` asks for a new system. What stands between a bar
    that ``begins_repeat`` and one that ends in a repeat is played as often as the latter's ``times`` says.
    """

    onset: Fraction
    length: Fraction
    key: Key | None = None
    label: str = ""
    answer: str = ""
    starts_line: bool = False
    end: BarEnd = BarEnd.SINGLE
    begins_repeat: bool = False
    times: int = 1
    tells_chord: bool = False


@dataclass(frozen=True, slots=True)
class Dynamic:
    """How loud from a moment on: ``p``, ``f``, ``pp``, ``ff``, ``mf`` or ``mp``."""

    onset: Fraction
    mark: str


@dataclass(frozen=True, slots=True)
class Swell:
    """Growing louder, or softer, from one moment to another."""

    onset: Fraction
    end: Fraction
    grows: bool


@dataclass(frozen=True, slots=True)
class Slur:
    """A slur over events of one hand, from one index of the exercise's events to another."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Pedal:
    """The pedal held from one moment to another; ``changes`` where it is taken anew at once when it ends."""

    onset: Fraction
    end: Fraction
    changes: bool = False


@dataclass(frozen=True, slots=True)
class Shown:
    """What is printed beside the notes."""

    chord_names: bool = True
    degrees: bool = False
    fingers: FingersShown = FingersShown.ALL


@dataclass(frozen=True, slots=True)
class Exercise:
    """A drill worked out in one key for the hands.

    ``meter`` is None in free time; bars then stand for groups and no time signature is printed. ``open_signature``
    leaves the signature empty and prints every accidental. ``blank`` says what a worksheet hides; the notes are here
    all the same, so that the answer page comes from the same exercise. ``seed`` is set where chance had a hand;
    ``remarks`` are what a teacher should know of the drill, a sentence or a few words each, among them what was
    ``respelled`` for the reader. ``samples`` are all events once more, with one of many answers in the bars that are
    left open.
    """

    key: Key
    meter: Meter | None
    events: tuple[Event, ...]
    bars: tuple[Bar, ...]
    chords: tuple[ChordMark, ...] = ()
    dynamics: tuple[Dynamic, ...] = ()
    shown: Shown = Shown()
    blank: frozenset[Blank] = frozenset()
    open_signature: bool = False
    summary: str = ""
    seed: int | None = None
    remarks: tuple[str, ...] = ()
    respelled: tuple[str, ...] = ()
    swells: tuple[Swell, ...] = ()
    slurs: tuple[Slur, ...] = ()
    pedals: tuple[Pedal, ...] = ()
    samples: tuple[Event, ...] = ()

    @property
    def has_answers(self) -> bool:
        """Whether there is something to say on an answer page."""
        return bool(self.blank or self.samples)

    def hides(self, hand: Hand) -> bool:
        """Whether a hand's notes are to be found by the student: what is heard or asked must not be shown."""
        is_for_both = Blank.NOTES in self.blank or Blank.KEY in self.blank
        return is_for_both or (Blank.RIGHT_HAND in self.blank and hand is Hand.RIGHT)

    def answered(self) -> Exercise:
        """The exercise as its answer page shows it: with a sample answer in its open bars."""
        if not self.samples:
            return self
        first, *others = self.bars
        label = f"{first.label} (samples; many answers are right)" if first.label else "Samples; many answers are right"
        bars = (replace(first, label=label), *others)
        return replace(self, events=self.samples, samples=(), slurs=(), swells=(), bars=bars)

    @property
    def length(self) -> Fraction:
        """The whole length in whole notes."""
        return self.bars[-1].onset + self.bars[-1].length if self.bars else Fraction(0)

    @property
    def hands(self) -> tuple[Hand, ...]:
        """The hands that have something to do, the right one first."""
        return tuple(hand for hand in Hand if any(event.hand is hand for event in self.events))

    @property
    def key_starts(self) -> tuple[Fraction, ...]:
        """When each key begins; a section in the key of the one before begins none."""
        starts: list[Fraction] = []
        before: Key | None = None
        for bar in self.bars:
            if bar.key is not None and bar.key != before:
                starts.append(bar.onset)
                before = bar.key
        return tuple(starts)

    def of(self, hand: Hand) -> tuple[Event, ...]:
        """The events of one hand in order."""
        return tuple(event for event in self.events if event.hand is hand)
