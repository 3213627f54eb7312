"""Which choices of playing apply to a drill, and the drill played as they say. Here the window meets the sound room."""

from __future__ import annotations

from fractions import Fraction

from desktop.listening.choices import Choices
from desktop.words import english
from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.listening_names import FASTEST, SLOWEST, lesson_tempo
from lessonkit.drills.params import METRONOME_MARKS
from lessonkit.drills.setting import Setting
from lessonkit.drills.tempo_ladder import is_dotted, tempo_ladder
from lessonkit.drills.times import QUARTER, counted_beat
from lessonkit.sound.playing import STRAIGHT, Dynamics, Gaps, Heard, Pedalling, Playing
from lessonkit.values import dataclass

BREATH = 1
"""The number from which free time breathes, so that a drill always breathes alike."""

SWINGS = {
    50: english("Even"),
    58: english("A little swung"),
    67: english("Swung as in triplets"),
    75: english("Swung as dotted"),
}
"""What the first of two eighths can take of a beat, in percent, and how it is called."""


@dataclass(frozen=True, slots=True)
class Ways:
    """What can be chosen for a drill; a choice of which nothing would come is not offered.

    ``tempos`` are those of its ladder and ``tempo`` the one to begin with.
    """

    heard: tuple[Heard, ...]
    tempo: int
    tempos: tuple[int, ...]
    beat: str
    can_swing: bool
    pedallings: tuple[Pedalling, ...]
    has_samples: bool
    is_free: bool

    def slower(self, tempo: float) -> float:
        """One step down the ladder, or down the marks of a metronome from its foot on."""
        return self._step(tempo, is_up=False)

    def faster(self, tempo: float) -> float:
        """One step up the ladder, or up the marks of a metronome from its top on."""
        return self._step(tempo, is_up=True)

    def _step(self, tempo: float, is_up: bool) -> float:
        for row in (self.tempos, METRONOME_MARKS):
            beyond = [mark for mark in row if (mark > tempo if is_up else mark < tempo)]
            if beyond:
                return min(beyond) if is_up else max(beyond)
        return tempo


def ways_of(drill: DrillFamily, exercise: Exercise, setting: Setting) -> Ways:
    """What can be chosen for a drill."""
    hands = {event.hand for event in exercise.events if event.pitches}
    heard = [Heard.BOTH]
    if len(hands) > 1:
        heard += [Heard.RIGHT, Heard.LEFT]
    # Without a left hand the bass comes from the chord symbols.
    if len(hands) > 1 or (Hand.LEFT not in exercise.hands and exercise.chords):
        heard.append(Heard.BASS_AND_CLICK)
    ladder = tempo_ladder(drill, setting)
    beat = counted_beat(exercise.meter)
    pedallings = [Pedalling.CHORDS, Pedalling.NONE] if exercise.chords else [Pedalling.NONE]
    return Ways(
        heard=tuple(heard),
        tempo=min(max(ladder[0] if ladder else lesson_tempo(drill, setting), SLOWEST), FASTEST),
        tempos=ladder,
        beat="♩." if is_dotted(drill) else "♩",
        can_swing=exercise.meter is not None and beat == QUARTER and _has_pairs(exercise),
        pedallings=(Pedalling.PRINTED, *pedallings) if exercise.pedals or exercise.chords else (),
        has_samples=bool(exercise.samples),
        is_free=exercise.meter is None,
    )


def playing(choices: Choices, ways: Ways, tempo: float | None) -> Playing:
    """A drill played as chosen, as far as the choices apply to it."""
    heard = next((one for one in ways.heard if one.value == choices.heard), Heard.BOTH)
    pedalling = next((one for one in ways.pedallings if one.value == choices.pedalling), Pedalling.PRINTED)
    dynamics = next((one for one in Dynamics if one.value == choices.dynamics), Dynamics.PRINTED)
    return Playing(
        tempo=min(max(tempo if tempo is not None else ways.tempo, SLOWEST), FASTEST),
        count_in=int(choices.counts_in),
        has_metronome=choices.clicks,
        heard=heard,
        gaps=Gaps.SAMPLE if choices.plays_samples and ways.has_samples else Gaps.EMPTY,
        swing=choices.swing if ways.can_swing and choices.swing in SWINGS else STRAIGHT,
        pedalling=pedalling,
        dynamics=dynamics,
        breathing=BREATH if choices.breathes and ways.is_free else None,
    )


def _has_pairs(exercise: Exercise) -> bool:
    """Whether some beat is parted in two."""
    return any((event.onset / QUARTER) % 1 == Fraction(1, 2) and not event.tuplet for event in exercise.events)
