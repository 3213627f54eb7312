"""Broken chords: one chord's inversions one after another, as overlapping groups of its ladder of notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.chord_family import ChordFamily
from lessonkit.drills.exercise import ChordMark, Exercise
from lessonkit.drills.family import Direction, DrillFamily, Texture
from lessonkit.drills.patterns import Group, Order, Rungs, chord_ladder, in_order, mirrored
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import hands_words, number_word, range_words
from lessonkit.drills.writing import Section, Step, Threes, for_hands, in_groups, note_in_group, threes_setting, write
from lessonkit.hands.easier import Way, inversion_name
from lessonkit.hands.keyboard import distance_mm
from lessonkit.hands.profile import EDGE_MM
from lessonkit.theory.chord import Chord
from lessonkit.values import dataclass

_IN_GROUPS = {2: "twos", 3: "threes", 4: "fours", 5: "fives", 6: "sixes", 7: "sevens", 8: "eights"}


MOST_STEP = 4
"""How many rungs higher the next group begins at most."""


_C4 = 60


class GroupSize(Enum):
    """How many notes a group has."""

    CHORD = "the chord's notes"
    WITH_OCTAVE = "the chord's notes and the octave"
    TWO = "2"
    THREE = "3"
    FOUR = "4"
    FIVE = "5"
    SIX = "6"

    def of(self, chord: Chord) -> int:
        """The number of notes for a chord."""
        own = len(chord.quality.tones)
        return {GroupSize.CHORD: own, GroupSize.WITH_OCTAVE: own + 1}.get(self) or int(self.value)


class Begins(Enum):
    """On which rungs of the ladder a group begins."""

    CONTAINED = "while the group stays below the top"
    EVERY = "on every note up to the top"


class Turn(Enum):
    """What is played twice at the top when the drill goes up and down."""

    GROUP_TWICE = "the group again"
    NOTE_ONCE = "the group again, its first note once"
    GROUP_ONCE = "nothing again"


@dataclass(frozen=True)
class BrokenChords(ChordFamily):
    """One chord is broken through its inversions in overlapping groups, so that the hand learns each of its shapes.

    The notes of the chord make a ladder; a group takes neighbouring rungs of it and the next group begins a rung
    higher. Triads go in threes or, with the octave, in fours; sevenths in fours; larger chords in fives and more.
    """

    code = "broken-chords"
    title = "Broken chords"
    nothing_easier = "No single inversion is noticeably easier here than the way through all of them"
    words = ("arpeggio", "inversions", "overlapping groups", "threes", "fours")

    inversion: int = fields.whole(
        0, least=0, most=6, label="Start inversion", group="Chord",
        help="0 begins on the root, 1 on the third, 2 on the fifth and so on.",
    )  # fmt: skip
    rungs: Rungs = fields.choice(
        Rungs.FOLDED, label="Ninths and higher lie", group="Chord",
        help="Within the octave C9 is C D E G B♭; above the seventh it is C E G B♭ D.",
        applies=lambda drill: drill.quality.tones[-1].steps >= 7 if drill.quality else drill.size.number == 9,
    )  # fmt: skip
    group_size: GroupSize = fields.choice(GroupSize.CHORD, label="Notes in a group", group="Groups")
    order: Order = fields.choice(Order.UP, label="Order inside the group", group="Groups")
    step: int = fields.whole(
        1, least=1, most=MOST_STEP, label="Next group begins", unit="notes higher", group="Groups",
        help="1 goes through every inversion; as many as the chord has notes keeps to one, an octave higher each time.",
    )  # fmt: skip
    begins: Begins = fields.choice(Begins.CONTAINED, label="Groups begin", group="Groups")
    turn: Turn = fields.choice(
        Turn.GROUP_TWICE, label="At the top", group="Groups",
        applies=lambda drill: drill.direction is Direction.UP_AND_DOWN,
    )  # fmt: skip
    threes: Threes = threes_setting()

    def texture(self) -> Texture:
        return Texture.POSITIONS

    def easier_forms(self, setting: Setting) -> Iterator[tuple[Way, str, DrillFamily]]:
        """One inversion, set down anew in each octave, instead of the way through all of them."""
        chord, _ = self.chord_in(setting)
        size = len(chord.quality.tones)
        for inversion in range(size if size <= MOST_STEP else 0):
            what = f"keep to {inversion_name(inversion)} in each octave"
            yield Way.CELL, what, replace(self, inversion=inversion, step=size)

    def build(self, setting: Setting) -> Exercise:
        chord, degree = self.chord_in(setting)
        groups = self._groups(chord)
        length = note_in_group(self.note_length, self.group_size.of(chord), self, self.threes)
        is_too_wide = self._is_octave_too_wide(setting)
        steps = _without_octave(groups, length) if is_too_wide else in_groups(groups, length)
        marks = (ChordMark(Fraction(0), chord, degree),)
        section = Section(self.key_in(setting), for_hands(self, steps), marks)
        remarks = ("These hands do not hold an octave: it is left out, and the note before it held.",)
        return write(self, [section], summary=self.summary(setting), remarks=remarks if is_too_wide else ())

    def _is_octave_too_wide(self, setting: Setting) -> bool:
        """Whether groups that reach to the octave lie beyond the hand, even at the edges of the keys."""
        reaches = self.group_size is GroupSize.WITH_OCTAVE and self.order is Order.UP
        spans = [setting.hands.span(hand) for hand in self.playing_hands]
        return reaches and min(spans) < distance_mm(_C4, _C4 + 12) + EDGE_MM

    def summary(self, setting: Setting) -> str:
        chord, _ = self.chord_in(setting)
        size = self.group_size.of(chord)
        groups = _IN_GROUPS.get(size, f"groups of {number_word(size)}")
        return (
            f"{chord.symbol(setting.label_style)} broken through its inversions in {groups}, "
            f"{hands_words(self)}, {range_words(self)}"
        )

    def _groups(self, chord: Chord) -> list[Group]:
        """The groups in playing order, each in the order of its notes."""
        size = self.group_size.of(chord)
        is_every = self.begins is Begins.EVERY
        beyond = size - 1 if is_every else 0
        ladder = chord_ladder(chord, self.inversion, self.lowest, self.octaves, self.rungs, beyond)
        if len(ladder) < size:
            raise ValueError(
                f"a group of {size} notes is larger than the {len(ladder)} notes of {chord} in this range; "
                f"take more octaves or smaller groups"
            )
        shapes = [ladder[first : first + size] for first in range(0, len(ladder) - size + 1, self.step)]
        up = [in_order(shape, self.order) for shape in shapes]
        down = [mirrored(shape, self.order) for shape in reversed(shapes)]
        if self.direction is Direction.UP:
            return up
        if self.direction is Direction.DOWN:
            return down
        if self.turn is Turn.GROUP_ONCE:
            return up + down[1:]
        if self.turn is Turn.NOTE_ONCE and up[-1][-1] == down[0][0]:
            return [*up, down[0][1:], *down[1:]]
        return up + down


def _without_octave(groups: Sequence[Group], length: Fraction) -> list[Step]:
    """The groups without the octave of their first note; the note before it takes its time, so that bars stay alike."""
    steps: list[Step] = []
    for number, group in enumerate(groups):
        *first, last = group[:-1]
        steps += (Step((pitch,), length, number) for pitch in first)
        steps.append(Step((last,), 2 * length, number))
    return steps
