"""What to play instead: the ways to make a run or a jump easier, best first, each with its gain and why."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum

from lessonkit.hands.chord_shapes import held, inverted, run_of, shortened
from lessonkit.hands.difficulty import TROUBLE, USUAL_TEMPO, Band, Difficulty, Trouble, band_of, rate_jump, rate_run
from lessonkit.hands.fingering import MEDIUM
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import Interval, NoteName, Pitch
from lessonkit.values import dataclass

LEAST_GAIN = 0.3
"""A way that gains less than this is not worth saying."""


class As(Enum):
    """What a chord is played as."""

    RUN = "run"
    JUMP = "jump"

    @staticmethod
    def parse(text: str) -> As:
        """Read ``run`` or ``jump``; raises ValueError for anything else."""
        try:
            return As(text.strip().lower())
        except ValueError:
            raise ValueError(f"{text!r} is not a way to play a chord; write run or jump") from None


class Way(Enum):
    """The kinds of change that make a passage easier."""

    INVERSION = "another inversion"
    START = "start on another note"
    UPPER = "the upper part over a left-hand root"
    CELL = "the same cell in each octave"
    SPLIT = "split between the hands"
    ROLL = "roll the chord"
    SETTING = "another form of the drill"


PRICE_OF_CHANGE = {
    Way.INVERSION: 0.0, Way.UPPER: 0.1, Way.START: 0.35, Way.CELL: 0.8, Way.SPLIT: 1.2, Way.ROLL: 0.8, Way.SETTING: 1.0,
}  # fmt: skip
"""How far each way leaves what was asked for; it only orders the ways."""

_CELL_TROUBLE, _SPLIT_TROUBLE = 1.3, 1.1
"""What remains where the hand is set down anew in each octave and where hands share a run."""


@dataclass(frozen=True, slots=True)
class Easier:
    """One way to make a passage easier.

    ``gain`` is how far the score falls, ``score`` what remains, ``what`` the change in words and ``why`` its reason.
    ``notes`` are what the hand plays then (both hands together for a split), ``inversion`` is set for another inversion
    and ``left_hand`` names the note that the left hand adds, if any.
    """

    way: Way
    what: str
    why: str
    gain: float
    score: float
    notes: tuple[Pitch, ...]
    inversion: int | None = None
    left_hand: NoteName | None = None

    @property
    def band(self) -> Band:
        """The band that remains."""
        return band_of(self.score)


def rate_chord(
    chord: Chord,
    inversion: int,
    played: As,
    hand: Hand,
    profile: HandProfile = MEDIUM,
    octaves: int = 2,
    tempo: int = USUAL_TEMPO,
    trouble: Trouble = TROUBLE,
) -> Difficulty:
    """How hard a chord is in an inversion, as a run over octaves or as octave jumps; raises ValueError as they do."""
    return _rate(inverted(chord, inversion), chord, played, hand, profile, octaves, tempo, trouble)


def easier_ways(
    chord: Chord,
    inversion: int,
    played: As,
    hand: Hand,
    profile: HandProfile = MEDIUM,
    octaves: int = 2,
    tempo: int = USUAL_TEMPO,
    trouble: Trouble = TROUBLE,
) -> tuple[Easier, ...]:
    """The ways that make the passage easier by more than a little, best first."""
    now = rate_chord(chord, inversion, played, hand, profile, octaves, tempo, trouble)

    def rated(names: tuple[NoteName, ...]) -> Difficulty:
        return _rate(names, chord, played, hand, profile, octaves, tempo, trouble)

    here = inverted(chord, inversion)
    found: list[Easier] = []
    for other in range(len(here)):
        if other == inversion:
            continue
        names = inverted(chord, other)
        then = rated(names)
        what = f"play {inversion_name(other)}, {' '.join(map(str, names))}"
        found.append(
            _way(Way.INVERSION, what, now, then, _laid_out(names, played, octaves, hand, chord), inversion=other)
        )
    if played is As.RUN:
        found.extend(_run_ways(chord, here, now, rated, hand, octaves, inversion))
    else:
        notes = held(shortened(here, chord), hand)
        found.append(
            Easier(
                Way.ROLL,
                "roll the chord from the bottom",
                "the hand need not land on all keys at once",
                round(now.score * (1 - trouble.one_by_one), 3),
                round(now.score * trouble.one_by_one, 3),
                notes,
            )
        )
        found.append(_split(now, notes))
    upper = _upper_part(chord)
    if upper is not None:
        then = rated(upper)
        what = f"play {' '.join(map(str, upper))} over {chord.root} in the left hand"
        notes = _laid_out(upper, played, octaves, hand, chord)
        found.append(_way(Way.UPPER, what, now, then, notes, left_hand=chord.root))
    worth = [one for one in found if one.gain >= LEAST_GAIN]
    return tuple(sorted(worth, key=lambda one: -(one.gain - PRICE_OF_CHANGE[one.way])))


def _run_ways(
    chord: Chord,
    here: tuple[NoteName, ...],
    now: Difficulty,
    rated: Callable[[tuple[NoteName, ...]], Difficulty],
    hand: Hand,
    octaves: int,
    inversion: int,
) -> list[Easier]:
    run = run_of(here, octaves, hand)
    found = []
    white = next((index for index, name in enumerate(here) if not name.is_black), 0)
    if white:
        names = (*here[white:], *here[:white])
        then = rated(names)
        what = f"keep {' '.join(map(str, here))} but start on {here[white]}, so that the thumb has the beat"
        found.append(_way(Way.START, what, now, then, run[white:]))
    cell = "the hand is set down anew in each octave and the thumb never passes"
    found.append(
        _fixed(Way.CELL, f"play {' '.join(map(str, here))} as one cell in each octave", cell, now, _CELL_TROUBLE, run)
    )
    split = "each hand keeps one position and the hands take turns"
    found.append(_fixed(Way.SPLIT, "share the octaves between the hands", split, now, _SPLIT_TROUBLE, run))
    return found


def _split(now: Difficulty, notes: tuple[Pitch, ...]) -> Easier:
    why = "each hand holds less and aims at fewer keys"
    return _fixed(Way.SPLIT, "share the chord between the hands", why, now, max(_SPLIT_TROUBLE, now.score * 0.6), notes)


def _fixed(way: Way, what: str, why: str, now: Difficulty, score: float, notes: tuple[Pitch, ...]) -> Easier:
    return Easier(way, what, why, round(now.score - score, 3), round(score, 3), notes)


def _way(
    way: Way,
    what: str,
    now: Difficulty,
    then: Difficulty,
    notes: tuple[Pitch, ...],
    inversion: int | None = None,
    left_hand: NoteName | None = None,
) -> Easier:
    gone = [one.sentence for one in now.reasons if one.sentence not in {other.sentence for other in then.reasons}]
    why = f"no longer: {gone[0]}" if gone else "the same troubles, but lighter"
    gain = round(now.score - then.score, 3)
    return Easier(way, what, why, gain, then.score, notes, inversion, left_hand)


def _rate(
    names: tuple[NoteName, ...],
    chord: Chord,
    played: As,
    hand: Hand,
    profile: HandProfile,
    octaves: int,
    tempo: int,
    trouble: Trouble,
) -> Difficulty:
    if played is As.RUN:
        return rate_run(run_of(names, octaves, hand), hand, profile, tempo, trouble)
    return rate_jump(held(shortened(names, chord), hand), hand, profile, tempo, trouble=trouble)


def _laid_out(names: tuple[NoteName, ...], played: As, octaves: int, hand: Hand, chord: Chord) -> tuple[Pitch, ...]:
    return run_of(names, octaves, hand) if played is As.RUN else held(shortened(names, chord), hand)


def inversion_name(inversion: int) -> str:
    if inversion == 0:
        return "root position"
    ordinal = {1: "first", 2: "second", 3: "third"}.get(inversion, f"{inversion}th")
    return f"the {ordinal} inversion"


def _upper_part(chord: Chord) -> tuple[NoteName, ...] | None:
    """Third, fifth, seventh and ninth of a seventh chord; the ninth is added where the chord has none of its own."""
    steps = {(tone.pitch_class - chord.root.pitch_class) % 12: tone for tone in chord.tones}
    third = steps.get(4) or steps.get(3)
    seventh = steps.get(11) or steps.get(10)
    fifth = steps.get(7)
    if third is None or seventh is None or fifth is None or chord.bass is not None:
        return None
    if len(chord.tones) > 5:
        return None
    ninth = next((steps[step] for step in (1, 2) if step in steps), chord.root + Interval.parse("M2"))
    return (third, fifth, seventh, ninth)
