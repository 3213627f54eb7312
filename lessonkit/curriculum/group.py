"""A class plays together: one drill in three tiers with the same harmony in the same bars, and the teacher beneath.

The first tier plays plain triads with the right hand, the second the drill as it is, the third the chords with their
ninths over left-hand roots. Chords begin at the same moments in all of them.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import gcd

from lessonkit.curriculum.proposals import in_one_key
from lessonkit.drills.chart import Chart, Share
from lessonkit.drills.exercise import ChordMark, Exercise
from lessonkit.drills.families.own_chart import OwnChart, Realised
from lessonkit.drills.families.teacher_part import APART, LOWEST_PAIR, TeacherPart
from lessonkit.drills.family import DrillFamily, Hands
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note, PageBreak
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.quality import Quality
from lessonkit.values import dataclass

MOST_RAISED = 3
"""A drill may be moved up by so many octaves to make room for the teacher."""

ROOM = LOWEST_PAIR + 12 + APART
"""A student's lowest note, at least, where the teacher has room beneath: a pair of notes in any inversion fits."""

TIERS = ("First tier: triads", "Second tier: the drill", "Third tier: ninths")

_TRIADS = (("maj", ("3", "5")), ("m", ("b3", "5")), ("dim", ("b3", "b5")), ("aug", ("3", "#5")), ("sus4", ("4",)),
           ("sus2", ("2",)))  # fmt: skip
_RICHER = {"maj7": "maj9", "7": "9", "m7": "m9", "maj": "add9", "m": "m(add9)", "6": "6/9", "m6": "m6/9"}
"""What the third tier makes of a chord; the others stay as they are."""


@dataclass(frozen=True, slots=True)
class GroupDrill:
    """A drill for a class: three tiers, the easiest first, the teacher's part, and by how many octaves the drill
    was moved up to make room for it."""

    tiers: tuple[DrillFamily, DrillFamily, DrillFamily]
    teacher: DrillFamily
    raised: int = 0

    @property
    def blocks(self) -> tuple[Block, ...]:
        """The four parts as blocks of a lesson."""
        found: list[Block] = []
        for words, part in zip((*TIERS, "The teacher's part"), (*self.tiers, self.teacher), strict=True):
            # Whoever takes a part takes its page.
            found += [*([PageBreak()] if found else []), Heading(words, 2), Drill(part)]
        return tuple(found)


def for_group(drill: DrillFamily, setting: Setting) -> GroupDrill:
    """A drill in three tiers and the teacher's part beneath.

    Raises ValueError with a sentence where the drill cannot be played by a class: in free time, through several keys,
    without chords.
    """
    chart = chart_of(realise(drill, setting))
    base = OwnChart(key=drill.key, metre=drill.metre, repeats=drill.repeats)
    plain = replace(
        base, chart=_with_chords(chart, triad), realised=Realised.ROOT_POSITION, hands=Hands.RIGHT
    )  # fmt: skip
    rich = replace(base, chart=_with_chords(chart, _richer), realised=Realised.ROOTLESS)
    (first, _), (second, raised), (third, _) = (_raised(one, setting) for one in (plain, drill, rich))
    lowest = min((_lowest(tier, setting) for tier in (first, second, third)), key=lambda pitch: pitch.midi)
    teacher = TeacherPart(key=drill.key, chart=chart, metre=drill.metre, repeats=drill.repeats, lowest=lowest)
    realise(teacher, setting)
    return GroupDrill((first, second, third), teacher, raised)


def _raised(drill: DrillFamily, setting: Setting) -> tuple[DrillFamily, int]:
    """A drill so many octaves higher that the teacher has room beneath it."""
    for octaves in range(MOST_RAISED + 1):
        one = drill.with_value("lowest", drill.lowest.octaves_up(octaves)) if octaves else drill
        if _lowest(one, setting).midi >= ROOM:
            return one, octaves
    raise ValueError(f"{drill.title} lies so low that there is no room for a part beneath it; begin it higher")


def group_lesson(drill: DrillFamily, lesson: Lesson, title: str) -> Lesson:
    """A lesson for a class out of one drill: how to play together, then all parts, each on a page of its own.

    A drill that goes through several keys is taken in the first of them. Raises ValueError as ``for_group`` does.
    """
    if len(realise(drill, lesson.setting).key_starts) > 1:
        drill = in_one_key(drill)
    group = for_group(drill, lesson.setting)
    words = (
        "All parts have the same chords in the same bars, so everybody can play at once. Choose the tier that is easy "
        "for you; whoever is sure of it takes the next one. Stop if anything hurts."
    )
    if group.raised:
        octaves = "an octave" if group.raised == 1 else f"{group.raised} octaves"
        words += f" The second tier stands {octaves} higher than usual, to leave room for the teacher beneath."
    return replace(lesson, title=title, aims="", blocks=(Note(words), *group.blocks))


def chart_of(exercise: Exercise) -> Chart:
    """The chords of an exercise in their bars; raises ValueError with a sentence where a class could not follow."""
    if exercise.meter is None:
        raise ValueError("a class needs a metre to play together; choose one instead of free time")
    if len(exercise.key_starts) > 1:
        raise ValueError("a class plays in one key at a time; let the drill go through one key only")
    if not exercise.chords or exercise.chords[0].onset > 0:
        raise ValueError("a class follows chords, and this drill names none at its beginning")
    onsets = [mark.onset for mark in exercise.chords]
    bars = []
    for bar in exercise.bars:
        end = bar.onset + bar.length
        first = bisect_right(onsets, bar.onset) - 1
        inside = [bar.onset, *(onset for onset in onsets if bar.onset < onset < end), end]
        lengths = [after - before for before, after in pairwise(inside)]
        bars.append(tuple(_shared(exercise.chords[first : first + len(lengths)], lengths)))
    return Chart(exercise.key, tuple(bars))


def _shared(marks: Sequence[ChordMark], lengths: Sequence[Fraction]) -> list[Share]:
    """Chords with their shares of the bar, the smallest whole ones."""
    scale = max(length.denominator for length in lengths)
    while any((length * scale).denominator != 1 for length in lengths):
        scale *= 3
    whole = [int(length * scale) for length in lengths]
    unit = gcd(*whole)
    return [Share(mark.chord, length // unit) for mark, length in zip(marks, whole, strict=True)]


def _with_chords(chart: Chart, change: Callable[[Chord], Chord]) -> Chart:
    bars = tuple(
        tuple(replace(share, chord=change(share.chord)) if isinstance(share.chord, Chord) else share for share in bar)
        for bar in chart.bars
    )
    return Chart(chart.key, bars)


def triad(chord: Chord) -> Chord:
    """The plain triad of a chord, without what lies above it and without another bass."""
    degrees = set(chord.quality.degrees)
    for name, wanted in _TRIADS:
        if degrees.issuperset(wanted):
            return Chord(chord.root, Quality.named(name))
    return Chord(chord.root, Quality.named("m" if chord.quality.is_minor else "maj"))


def _richer(chord: Chord) -> Chord:
    return replace(chord, quality=Quality.named(_RICHER.get(chord.quality.key, chord.quality.key)))


def _lowest(drill: DrillFamily, setting: Setting) -> Pitch:
    pitches = [pitch for event in realise(drill, setting).events for pitch in event.pitches]
    return min(pitches, key=lambda pitch: pitch.midi)
