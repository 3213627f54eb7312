"""How hard a run or a chord jump is for a hand, and why. Scores start at 0 and grow; people see bands and reasons.

The score of a run is the trouble of one octave of it at its tempo. The score of a jump is the trouble of one landing.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from functools import lru_cache
from itertools import pairwise
from math import log2

from lessonkit.hands.explaining import finger_name
from lessonkit.hands.fingering import MEDIUM, run_shape, unexplained_line
from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import SEMITONE_MM, distance_mm, is_black, mirrored, target_width_mm
from lessonkit.hands.profile import HandProfile
from lessonkit.hands.reach import Ease, reach_of_chord
from lessonkit.hands.weights import WEIGHTS, Weights
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

LEAST_TEMPO, MOST_TEMPO = 20, 300
USUAL_TEMPO = 80
"""Beats a minute where the teacher says none: a run plays an octave of a chord to the beat, a jump lands on each."""


class Band(Enum):
    """The four steps in which difficulty is shown."""

    EASY = "easy"
    MODERATE = "moderate"
    HARD = "hard"
    VERY_HARD = "very hard"


BAND_LIMITS = ((0.9, Band.EASY), (3.0, Band.MODERATE), (5.5, Band.HARD))
"""Scores below each limit belong to its band; the rest are very hard."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """The prices of single troubles. Common practice set their order; a test shakes them by 30 %."""

    pass_under: tuple[float, float, float, float] = (0.5, 0.8, 1.3, 3.0)
    """Under finger 2, 3, 4, 5."""
    far_pass: float = 0.1
    """For each semitone the thumb passes beyond a whole tone."""
    thumb_passing_onto_black: float = 2.5
    thumb_on_black: float = 1.0
    all_black: float = 0.6
    off_beat_thumb: float = 1.5
    late_thumb: float = 0.7
    """For each note before the first thumb."""
    black_corner: float = 4.5
    """A group that begins on a black key a semitone beyond the last note: the thumb cannot take it, and where the thumb
    waits the fourth finger has to carry the beat in a corner."""
    stretch: float = 0.5
    """For each semitone that two fingers open beyond what they easily do."""
    landing: float = 0.2
    """For each bit of the ratio of leap to target."""
    thumb_lands_on_black: float = 1.0
    fifth_lands_on_black: float = 1.4
    squeezed: float = 0.5
    """For each white key that is played between black keys of the chord."""
    at_the_edge: float = 2.0
    out_of_reach: float = 5.0
    not_comfortable: float = 0.5
    one_by_one: float = 0.7
    """The share of a landing's trouble that remains where the notes are struck one after the other, as in rolled chords
    and groups: the hand need not meet all keys at once."""
    speed: float = 0.7
    """The power of speed: twice as fast is 1.6 times as hard."""


TROUBLE = Trouble()


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing that makes a passage hard: a sentence that says what and where, and how much of the score it is."""

    sentence: str
    share: float


@dataclass(frozen=True, slots=True)
class Difficulty:
    """A score from 0 up, the band it is shown as, and the two or three heaviest reasons."""

    score: float
    reasons: tuple[Reason, ...] = ()

    @property
    def band(self) -> Band:
        """The step in which the score is shown."""
        return band_of(self.score)


def band_of(score: float) -> Band:
    """The band of a score."""
    return next((band for limit, band in BAND_LIMITS if score < limit), Band.VERY_HARD)


def rate_run(
    pitches: Sequence[Pitch],
    hand: Hand,
    profile: HandProfile = MEDIUM,
    tempo: int = USUAL_TEMPO,
    trouble: Trouble = TROUBLE,
    weights: Weights = WEIGHTS,
    fingers: Sequence[int | None] | None = None,
) -> Difficulty:
    """How hard a run is with its ``fingers``, or with those that ``weights`` give it.

    A run that repeats each octave plays one octave to the beat, any other line four notes.

    Raises ValueError for no notes or a tempo outside 20 to 300.
    """
    _check_tempo(tempo)
    if len(pitches) < 2:
        raise ValueError("a run has at least two notes")
    if fingers is None:
        fingers = unexplained_line(pitches, hand, profile, weights=weights).fingers
    placed = [(pitch, finger) for pitch, finger in zip(pitches, fingers, strict=True) if finger is not None]
    if len(placed) < 2:
        raise ValueError("fewer than two notes of the run lie on the keyboard; move it by an octave")
    shape = run_shape(tuple(pitch.midi for pitch, _ in placed))
    cycle = shape[1] if shape is not None else None
    notes = _rising_notes(placed, hand) if shape is not None else _turned_notes(placed, hand)
    octaves = (len(notes) - 1) / cycle if cycle else max(1.0, (len(notes) - 1) / 4)
    scale = profile.span(hand) / 205.0
    found = _Tally(trouble)
    for before, after in pairwise(notes):
        _weigh_step(before, after, scale, found)
    _weigh_colours(notes, found)
    found.divide(octaves)
    if cycle in (3, 4) and shape is not None:
        _weigh_beat(notes, cycle, hand, found)
    per_beat = cycle if cycle in (3, 4) else 4
    return found.difficulty((tempo * per_beat / 60 / 5) ** trouble.speed)


def rate_jump(
    chord: Sequence[Pitch],
    hand: Hand,
    profile: HandProfile = MEDIUM,
    tempo: int = USUAL_TEMPO,
    leap: float = 12,
    trouble: Trouble = TROUBLE,
) -> Difficulty:
    """How hard it is to land a solid chord after a leap of so many semitones, one landing to the beat.

    Raises ValueError for no notes, more than five, or a tempo outside 20 to 300.
    """
    _check_tempo(tempo)
    if not chord:
        raise ValueError("a chord jump needs at least one note")
    if len({pitch.midi for pitch in chord}) > 5:
        raise ValueError(f"{len(chord)} notes are too many for the {hand.value} hand; leave some out or use both hands")
    found = _Tally(trouble)
    rising = sorted(chord, key=lambda pitch: pitch.midi)
    turned = sorted(_turned(pitch.midi, hand) for pitch in rising)
    far = abs(leap) * SEMITONE_MM
    own = frozenset(turned)
    outer = (turned[0], turned[-1])
    shares = [(1.0 if key in outer else 0.4, target_width_mm(key, own)) for key in turned]
    bits = sum(share * log2(1 + far / width) for share, width in shares) / sum(share for share, _ in shares)
    narrow = min(width for _, width in shares)
    found.add(
        trouble.landing * bits, f"the hand leaps {far:.0f} mm and the narrowest landing place is {narrow:.0f} mm wide"
    )
    speed = (tempo / 60) ** trouble.speed
    thumb, fifth = (rising[0], rising[-1]) if hand is Hand.RIGHT else (rising[-1], rising[0])
    if leap and len(turned) > 1:
        for note, price, finger in (
            (thumb, trouble.thumb_lands_on_black, 1),
            (fifth, trouble.fifth_lands_on_black, 5),
        ):
            if is_black(note.midi):
                found.add(price, f"the {finger_name(finger)} lands on a black key ({note})")
        for pitch in _squeezed(rising):
            found.add(trouble.squeezed, f"{pitch} is played between black keys of the chord")
    reach = reach_of_chord(chord, hand, profile)
    price = {
        Ease.COMFORTABLE: 0.0,
        Ease.PLAYABLE: trouble.not_comfortable,
        Ease.EDGE: trouble.at_the_edge,
        Ease.OUT_OF_REACH: trouble.out_of_reach,
    }[reach.ease]
    wide = f"{reach.low}–{reach.high} needs {reach.needs:.0f} of this hand's {reach.has:.0f} mm"
    found.add(price, reach.sentence or wide)
    return found.difficulty(speed)


def outer_finger_cost(chord: Sequence[Pitch]) -> int:
    """The right hand's outer-finger cost of a close chord: thumb on black 2, fifth on black 3, and 1 for each white key
    squeezed between black ones of the chord. A quick order of inversions; 0 to 6."""
    rising = sorted(chord, key=lambda pitch: pitch.midi)
    return 2 * rising[0].is_black + 3 * rising[-1].is_black + len(_squeezed(rising))


@dataclass(frozen=True, slots=True)
class _Note:
    """A note of a run with its turned key, in which the left hand is a right hand on mirrored keys."""

    pitch: Pitch
    key: int
    finger: int


class _Tally:
    """What has been found hard so far: a price for each sentence's kind, and where it happens first."""

    def __init__(self, trouble: Trouble) -> None:
        self.trouble = trouble
        self._prices: dict[str, float] = {}
        self._sentences: dict[str, str] = {}

    def add(self, price: float, sentence: str, kind: str = "") -> None:
        """Count a price; the same kind is told once, by its first sentence."""
        kind = kind or sentence
        if price > 0:
            self._prices[kind] = self._prices.get(kind, 0.0) + price
            self._sentences.setdefault(kind, sentence)

    def divide(self, octaves: float) -> None:
        """Turn what has been counted over the whole run into the trouble of one octave."""
        self._prices = {kind: price / octaves for kind, price in self._prices.items()}

    def difficulty(self, speed: float) -> Difficulty:
        """The score at a speed and the reasons that make most of it."""
        total = sum(self._prices.values())
        heaviest = sorted(self._prices.items(), key=lambda item: -item[1])
        worth = [Reason(self._sentences[kind], price / total) for kind, price in heaviest if price >= 0.1 * total]
        return Difficulty(round(total * speed, 3), tuple(worth[:3]))


def _check_tempo(tempo: int) -> None:
    if not LEAST_TEMPO <= tempo <= MOST_TEMPO:
        raise ValueError(f"a tempo of {tempo} is not playable; choose {LEAST_TEMPO} to {MOST_TEMPO} beats a minute")


def _turned(key: int, hand: Hand) -> int:
    return key if hand is Hand.RIGHT else mirrored(key)


def _turned_notes(placed: Sequence[tuple[Pitch, int]], hand: Hand) -> list[_Note]:
    return [_Note(pitch, _turned(pitch.midi, hand), finger) for pitch, finger in placed]


def _rising_notes(placed: Sequence[tuple[Pitch, int]], hand: Hand) -> list[_Note]:
    """Each key of a run once, rising in turned keys; the way back has the same troubles."""
    return sorted(
        {note.key: note for note in reversed(_turned_notes(placed, hand))}.values(), key=lambda note: note.key
    )


_OPENS_EASILY_MM = {
    (1, 2): 90.0, (1, 3): 105.0, (1, 4): 125.0, (1, 5): 150.0, (2, 3): 51.0,
    (2, 4): 69.0, (2, 5): 100.0, (3, 4): 45.0, (3, 5): 66.0, (4, 5): 48.0,
}  # fmt: skip
"""How far two fingers of a 205 mm hand open in a run without being felt (from memory)."""


def _weigh_step(before: _Note, after: _Note, scale: float, found: _Tally) -> None:
    low, high = (before, after) if before.key <= after.key else (after, before)
    where = f"{before.pitch}–{after.pitch}"
    far = distance_mm(low.key, high.key)
    trouble = found.trouble
    if low.key == high.key:
        return
    if high.finger == 1 and low.finger > 1:
        price = trouble.pass_under[low.finger - 2] + trouble.far_pass * max(0.0, far - 30) / SEMITONE_MM
        kind = f"pass {low.finger}"
        found.add(price, f"the thumb passes under the {finger_name(low.finger)}, {far:.0f} mm ({where})", kind)
        if is_black(high.key):
            found.add(trouble.thumb_passing_onto_black, f"the thumb passes onto a black key ({where})", "pass black")
    elif low.finger >= high.finger:
        found.add(trouble.pass_under[3], f"the hand leaps ({where})", "leap")
    else:
        over = far - _OPENS_EASILY_MM[low.finger, high.finger] * scale
        if over > 0:
            sentence = f"fingers {low.finger} and {high.finger} open {far:.0f} mm ({where})"
            found.add(trouble.stretch * over / SEMITONE_MM, sentence, "stretch")


def _weigh_colours(notes: Sequence[_Note], found: _Tally) -> None:
    if all(is_black(note.key) for note in notes):
        found.add(found.trouble.all_black * len(notes) / 4, "all keys are black: the whole hand plays far in")
        return
    for note in notes:
        if note.finger == 1 and is_black(note.key):
            found.add(found.trouble.thumb_on_black, f"the thumb plays a black key ({note.pitch})", "thumb black")


def _weigh_beat(notes: Sequence[_Note], cycle: int, hand: Hand, found: _Tally) -> None:
    """Where the thumb falls against the beat, which stands on the note the run begins with."""
    first = next(index for index, note in enumerate(notes) if note.finger == 1)
    if first % cycle == 0:
        return
    trouble, waits, start = found.trouble, notes[first].pitch, notes[0].pitch
    found.add(trouble.off_beat_thumb, f"the thumb falls off the beat, on {waits.name}", "off beat")
    if first:
        found.add(
            trouble.late_thumb * first,
            f"the run starts on a black key ({start}) and the thumb comes late, on {waits}",
            "late",
        )
    if hand is Hand.LEFT and notes[1].key - notes[0].key == 1 and is_black(notes[0].key):
        found.add(
            trouble.black_corner,
            f"the {finger_name(notes[cycle].finger)} has to cross the thumb by a semitone onto the black {start.name}, "
            f"on the beat, or the thumb has to take {start.name} itself",
            "corner",
        )
    before, beat = notes[cycle - 1], notes[cycle]
    if hand is Hand.RIGHT and beat.key - before.key == 1 and is_black(beat.key):
        found.add(
            trouble.black_corner,
            f"{before.pitch} leads by a semitone onto the black {beat.pitch}: a thumb on {beat.pitch.name} has no room "
            f"to pass, and without it the beat falls on the {finger_name(beat.finger)}",
            "corner",
        )


@lru_cache(maxsize=4096)
def _between_blacks(keys: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(
        index
        for index in range(1, len(keys) - 1)
        if not is_black(keys[index]) and is_black(keys[index - 1]) and is_black(keys[index + 1])
    )


def _squeezed(rising: Sequence[Pitch]) -> list[Pitch]:
    return [rising[index] for index in _between_blacks(tuple(pitch.midi for pitch in rising))]
