"""Arpeggio runs: one chord run up and down the keyboard as a single line, from any inversion."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.chord_family import ChordFamily
from lessonkit.drills.chord_parts import with_ninth
from lessonkit.drills.exercise import ChordMark, Exercise, Hand
from lessonkit.drills.family import Direction, DrillFamily, Hands, PlayedChord, Texture, Turning
from lessonkit.drills.patterns import UPPER_PART, Group, Order, Rungs, chord_ladder, in_order, mirrored, upper_part
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import INVERSIONS, hands_words, number_word, range_words
from lessonkit.drills.writing import Section, Step, Threes, for_hands, in_groups, note_in_group, threes_setting, write
from lessonkit.hands.chord_shapes import inverted
from lessonkit.hands.easier import As, Easier, Way
from lessonkit.theory.chord import Chord
from lessonkit.theory.roman import recognise
from lessonkit.values import dataclass


class Passing(Enum):
    """How the hand gets from octave to octave."""

    LEGATO = "the thumb passes"
    CELL = "the same cell set down in each octave"


class Sharing(Enum):
    """What the two hands do."""

    WHOLE = "each hand plays the whole run"
    TURNS = "the hands take turns, an octave each"
    OVER_ROOT = "upper part over a left-hand root"


@dataclass(frozen=True)
class ArpeggioRun(ChordFamily):
    """One chord is run over the keyboard in a single line, so that its crossings become safe in every inversion.

    Where the thumb does not pass well, the run can begin on another note or be made of one cell that is set down anew
    in each octave; the hands can share it, or the right hand runs 3 5 7 9 over the root.
    """

    code = "arpeggio-run"
    title = "Arpeggio runs"
    nothing_easier = "No other inversion, start, cell or sharing of the hands is noticeably easier here"
    words = ("arpeggios", "thumb under", "runs", "pedalled run", "upper extension")
    left_out = frozenset()

    inversion: int = fields.whole(
        0, least=0, most=6, label="Inversion", group="Chord",
        help="0 begins on the root, 1 on the third; of the upper part 0 begins on the third.",
    )  # fmt: skip
    rungs: Rungs = fields.choice(
        Rungs.FOLDED, label="Ninths and higher lie", group="Chord",
        help="Within the octave C9 is C D E G B♭; above the seventh it is C E G B♭ D.",
        applies=lambda drill: drill.passing is Passing.LEGATO and drill.sharing is Sharing.WHOLE,
    )  # fmt: skip
    skipped: int = fields.whole(
        0, least=0, most=4, label="First notes left out", group="Run",
        help="Starts the run on a later note, so that the thumb may fall on the beat.",
        applies=lambda drill: drill.passing is Passing.LEGATO and drill.sharing is not Sharing.TURNS,
    )  # fmt: skip
    passing: Passing = fields.choice(
        Passing.LEGATO, label="From octave to octave", group="Run",
        applies=lambda drill: drill.sharing is not Sharing.TURNS,
    )  # fmt: skip
    order: Order = fields.choice(
        Order.UP, label="Order inside the cell", group="Run",
        applies=lambda drill: drill.passing is Passing.CELL or drill.sharing is Sharing.TURNS,
    )  # fmt: skip
    lands: bool = fields.yes_no(
        True, label="Ends on its first note", group="Run", help="Closes the run an octave above its last beginning."
    )
    sharing: Sharing = fields.choice(Sharing.WHOLE, label="The hands", group="Hands and range")
    hands: Hands = fields.choice(
        Hands.RIGHT, label="Hands", group="Hands and range", applies=lambda drill: drill.sharing is Sharing.WHOLE
    )
    threes: Threes = threes_setting()

    @property
    def playing_hands(self) -> tuple[Hand, ...]:
        return super().playing_hands if self.sharing is Sharing.WHOLE else (Hand.RIGHT, Hand.LEFT)

    def texture(self) -> Texture:
        return Texture.POSITIONS if self._is_of_cells else Texture.LINE

    def played_chord(self, setting: Setting) -> PlayedChord | None:
        chord, _ = self.chord_in(setting)
        return PlayedChord(chord, self.inversion, As.RUN) if self.sharing is Sharing.WHOLE else None

    def eased(self, way: Easier, setting: Setting) -> DrillFamily | None:
        if way.way is Way.INVERSION and way.inversion is not None:
            return replace(self, inversion=way.inversion, skipped=0)
        if way.way is Way.START:
            chord, _ = self.chord_in(setting)
            names = inverted(chord, self.inversion)
            return replace(self, skipped=[name.pitch_class for name in names].index(way.notes[0].midi % 12))
        if way.way is Way.CELL:
            return replace(self, passing=Passing.CELL, skipped=0)
        if way.way is Way.UPPER:
            return replace(self, sharing=Sharing.OVER_ROOT, inversion=0, skipped=0)
        if way.way is Way.SPLIT:
            return replace(self, sharing=Sharing.TURNS, skipped=0)
        return None

    def build(self, setting: Setting) -> Exercise:
        chord, degree = self.chord_in(setting)
        cells = self._cells(chord)
        size = max(len(cell) for cell in cells)
        length = note_in_group(self.note_length, size, self, self.threes)
        if self.sharing is Sharing.OVER_ROOT:
            chord = with_ninth(chord)
            degree = recognise(chord, self.key_in(setting))
        marks = (ChordMark(Fraction(0), chord, degree),)
        section = Section(self.key_in(setting), self._parts(cells, chord, length), marks)
        return write(self, [section], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        chord, _ = self.chord_in(setting)
        symbol = chord.symbol(setting.label_style)
        if self.sharing is Sharing.OVER_ROOT:
            whole = with_ninth(chord).symbol(setting.label_style)
            return f"{whole} run as 3-5-7-9 over a left-hand root, {range_words(self)}"
        if self.sharing is Sharing.TURNS:
            return f"{symbol} run in cells of {self._size_words(chord)}, the hands in turn, {range_words(self)}"
        how = f"in cells of {self._size_words(chord)}" if self.passing is Passing.CELL else "in one line"
        inverted = f", in {INVERSIONS[self.inversion]}" if self.inversion else ""
        return f"{symbol} run {how}{inverted}, {hands_words(self)}, {range_words(self)}"

    @property
    def _is_of_cells(self) -> bool:
        return self.passing is Passing.CELL or self.sharing is Sharing.TURNS

    def _size_words(self, chord: Chord) -> str:
        return number_word(len(chord.tones))

    def _ladder(self, chord: Chord) -> Group:
        """The notes of the run from below, with the one that closes it."""
        if self.sharing is Sharing.OVER_ROOT:
            cell = upper_part(chord, self.inversion, self.lowest)
            octaves = range(self.octaves)
            return (
                *(pitch.octaves_up(octave) for octave in octaves for pitch in cell),
                cell[0].octaves_up(self.octaves),
            )
        is_whole = self.passing is Passing.LEGATO and self.sharing is Sharing.WHOLE
        return chord_ladder(chord, self.inversion, self.lowest, self.octaves, self.rungs if is_whole else Rungs.FOLDED)

    def _cells(self, chord: Chord) -> list[Group]:
        """The notes in playing order, parted into the cells of an octave each; the closing note joins the way back."""
        ladder = self._ladder(chord)
        size = len(UPPER_PART) if self.sharing is Sharing.OVER_ROOT else len(chord.tones)
        if not self._is_of_cells:
            return self._in_line(ladder, size)
        starts = range(0, size * self.octaves, size)
        up = [in_order(ladder[start : start + size], self.order) for start in starts]
        down = [mirrored(ladder[start : start + size], self.order) for start in reversed(starts)]
        landing = [ladder[-1:]] if self.lands else []
        if self.direction is Direction.UP:
            return up + landing
        if self.direction is Direction.DOWN:
            return landing + down
        return up + landing * (1 if self.turning is Turning.ONCE else 2) + down

    def _in_line(self, ladder: Group, size: int) -> list[Group]:
        if self.skipped + 2 > len(ladder):
            raise ValueError(f"{self.skipped} notes left out leave no run of {len(ladder)}; leave out fewer")
        rising = ladder[self.skipped :] if self.lands else ladder[self.skipped : -1]
        line = tuple(self.turned(rising))
        return [line[start : start + size] for start in range(0, len(line), size)]

    def _parts(self, cells: list[Group], chord: Chord, length: Fraction) -> dict[Hand, Sequence[Step]]:
        if self.sharing is Sharing.WHOLE:
            return for_hands(self, in_groups(cells, length))
        if self.sharing is Sharing.OVER_ROOT:
            run = in_groups(cells, length)
            return {Hand.RIGHT: run, Hand.LEFT: self._roots(chord, run, cells[0])}
        return self._in_turns(cells, length)

    def _roots(self, chord: Chord, run: Sequence[Step], first: Group) -> list[Step]:
        """The root below the run, struck anew in each bar, in free time with each group."""
        root = chord.root.nearest_above(self.lowest.octaves_up(-1))
        lowest = min(step.pitches[0].midi for step in run)
        while root.midi >= lowest:
            root = root.octaves_up(-1)
        meter = self.metre.meter
        if meter is None:
            lengths: dict[int, Fraction] = {}
            for step in run:
                lengths[step.group] = lengths.get(step.group, Fraction(0)) + step.length
            return [Step((root,), whole, group) for group, whole in lengths.items()]
        total = sum((step.length for step in run), Fraction(0))
        return [Step((root,), meter.bar, number) for number in range(-(-total // meter.bar))]

    def _in_turns(self, cells: list[Group], length: Fraction) -> dict[Hand, Sequence[Step]]:
        """The lowest octave in the left hand, the next in the right and so on; the other hand rests."""
        lowest = min(pitch.midi for cell in cells for pitch in cell)
        parts: dict[Hand, list[Step]] = {Hand.RIGHT: [], Hand.LEFT: []}
        for number, cell in enumerate(cells):
            octave = (min(pitch.midi for pitch in cell) - lowest) // 12
            playing = Hand.LEFT if octave % 2 == 0 else Hand.RIGHT
            for hand, part in parts.items():
                if hand is playing:
                    part += [Step((pitch.octaves_up(-1),), length, number) for pitch in cell]
                else:
                    part.append(Step((), length * len(cell), number))
        return {**parts}
