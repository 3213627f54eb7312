"""Sequences: a short cell of scale steps, played again from each next note of a scale, or in key after key."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.exercise import ChordMark, Exercise
from lessonkit.drills.family import Direction, DrillFamily, Texture, begin_near
from lessonkit.drills.neighbours import plain
from lessonkit.drills.own_phrase import chained, moved_by, moved_in_scale, own_key, own_phrase_setting
from lessonkit.drills.patterns import Group
from lessonkit.drills.phrase import Phrase
from lessonkit.drills.scale_choice import ScaleChoice, as_it_moves
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import hands_words, range_words
from lessonkit.drills.worksheet import LINE_BLANKS
from lessonkit.drills.writing import (
    Section,
    Step,
    Threes,
    for_hands,
    group_onsets,
    held_to_the_bar,
    note_in_group,
    threes_setting,
    write,
)
from lessonkit.theory.enharmonic import printed_key
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.roman import diatonic_chord, recognise
from lessonkit.values import dataclass

_MAJOR_THIRD, _MINOR_THIRD = Interval.parse("M3"), Interval.parse("m3")


class Cell(Enum):
    """The steps of the scale that a cell takes, counted from its first note."""

    CROSSED = "1-3-2-4"
    FOURS = "1-2-3-4"
    FIFTH = "1-2-3-5"
    THIRDS = "1-3"
    THREES = "1-2-3"
    CHORD = "1-3-5-3"
    TYPED = "as typed"


class Moves(Enum):
    """Where the next cell begins."""

    SCALE = "on the next note of the scale"
    SEMITONE = "a semitone higher"
    TONE = "a whole tone higher"
    MINOR_THIRD = "a minor third higher"
    FOURTH = "a fourth higher"

    @property
    def semitones(self) -> int:
        """How far the whole cell moves; 0 where it follows the scale."""
        return {Moves.SEMITONE: 1, Moves.TONE: 2, Moves.MINOR_THIRD: 3, Moves.FOURTH: 5}.get(self, 0)


@dataclass(frozen=True)
class Sequences(DrillFamily):
    """A short cell is played again from every note of a scale, so that fingers and ear own the scale in any order.

    The cells follow the scale, pentatonic and blues scales too, or move as they are by a fixed step, which takes them
    through other keys. On the way down the cell is turned upside down. The line ends on the tonic.
    """

    code = "sequences"
    title = "Sequences"
    nothing_easier = "The cell is what this drill teaches, so none is exchanged for an easier one"
    words = ("patterns", "pentatonic cells", "blues cells", "scale patterns", "broken thirds", "improvisation")
    has_passing_notes = True
    blanks = LINE_BLANKS

    scale: ScaleChoice = fields.choice(
        ScaleChoice.KEY, label="Scale", group="Cell", applies=lambda drill: drill.own is None
    )
    cell: Cell = fields.choice(Cell.CROSSED, label="Cell", group="Cell", applies=lambda drill: drill.own is None)
    typed: tuple[int, ...] = fields.numbers(
        label="Cell typed", group="Cell", least=0, most=9, longest=16,
        help="Steps of the scale, such as 1 2 3 5; 0 is the note below the first.",
        applies=lambda drill: drill.cell is Cell.TYPED and drill.own is None,
    )  # fmt: skip
    own: Phrase | None = own_phrase_setting(
        group="Cell",
        help="Played with its own rhythm from each note of the key's scale in place of the cell, downward as it is; "
        "typed as in C | 1/8 E4 G 1/4 A.",
    )
    moves: Moves = fields.choice(Moves.SCALE, label="The next cell begins", group="Cell")
    crushes: bool = fields.yes_no(
        False, label="Thirds crushed in from below", group="Cell",
        help="Each major third is struck with the minor third just before it; a scale without one takes it so.",
        applies=lambda drill: drill.own is None,
    )  # fmt: skip
    threes: Threes = threes_setting()
    lowest: Pitch = begin_near("Bb3")
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range")

    def texture(self) -> Texture:
        """Cells that fit under a hand keep one position each, so that the fingers learn the cell and not the line."""
        if self.own is not None:
            return Texture.LINE
        return Texture.POSITIONS if len(set(self._steps_of_cell())) > 2 else Texture.LINE

    def key_in(self, setting: Setting) -> Key:
        """The key of the scale: E dorian in E has two sharps. A phrase of the teacher's own has the key's scale."""
        key = super().key_in(setting)
        return key if self.own is not None else self.scale.key_on(key, setting.prefers_flats_at_six)

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        if self.own is not None:
            return self._build_own(self.own, key, setting)
        steps_of_cell = self._steps_of_cell()
        length = note_in_group(self.note_length, len(steps_of_cell), self, self.threes)
        if self.moves is Moves.SCALE:
            cells, keys = self._along_the_scale(key, steps_of_cell), [key]
        else:
            keys = list(self._keys(key, setting))
            cells = self._through_keys(keys, steps_of_cell)
        if cells[-1][-1] == cells[-2][-1] and not self._fills_bars(cells[:-1], length):
            # The last cell ends on the tonic and has time to hold it.
            del cells[-1]
        of_cells = keys if self.moves is not Moves.SCALE else keys * len(cells)
        steps = [
            self._step(pitch, length, number, of_cells[min(number, len(of_cells) - 1)])
            for number, cell in enumerate(cells)
            for pitch in cell
        ]
        onsets = group_onsets(steps)[: len(keys)]
        marks = tuple(self._mark(onset, one, key) for onset, one in zip(onsets, keys, strict=True))
        section = Section(key, for_hands(self, held_to_the_bar(steps, self)), marks)
        return write(self, [section], summary=self.summary(setting))

    def summary(self, setting: Setting) -> str:
        key = self.key_in(setting)
        scale = str(key) if self.scale is ScaleChoice.KEY else f"{key.tonic} {self.scale.value}"
        own = self.own is not None
        cell = "phrases of your own" if own else f"cells of {'-'.join(map(str, self._steps_of_cell()))}"
        scale = str(key) if own else scale
        moves = "" if self.moves is Moves.SCALE else f", each cell {self.moves.value}"
        crushed = ", thirds crushed" if self.crushes and not own else ""
        return f"{scale} in {cell}{moves}{crushed}, {hands_words(self)}, {range_words(self)}"

    def _step(self, pitch: Pitch, length: Fraction, number: int, key: Key) -> Step:
        """A note of the line; where thirds are crushed, the major third with the minor one just before it."""
        major, minor = key.tonic + _MAJOR_THIRD, key.tonic + _MINOR_THIRD
        has_major = major in self.scale.on(key).names
        is_third = pitch.name == major or (not has_major and pitch.name.pitch_class == minor.pitch_class)
        if not self.crushes or not is_third:
            return Step((pitch,), length, number)
        third = major.nearest_above(pitch)
        crushed = minor.nearest_above(pitch if pitch.name != major else pitch.octaves_up(-1))
        return Step((third,), length, number, crushed=(plain(crushed),))

    def _build_own(self, own: Phrase, key: Key, setting: Setting) -> Exercise:
        """The teacher's own phrase from note to note, or from key to key."""
        phrase = own_key(own, key, self.lowest)
        if self.moves is Moves.SCALE:
            up = range(7 * self.octaves + 1)
            statements = [moved_in_scale(phrase, step) for step in self.turned(up)]
            keys = [key]
        else:
            up = range(0, 12 * self.octaves + 1, self.moves.semitones)
            tonic = key.tonic.nearest_above(self.lowest)
            order = self.turned(up)
            keys = [_key_above(key, semitones, setting.prefers_flats_at_six) for semitones in order]
            floors = [tonic + Interval(semitones * 7 // 12, semitones) for semitones in order]
            steps_up = [
                tonic.interval_to(one.tonic.nearest_above(floor)) for one, floor in zip(keys, floors, strict=True)
            ]
            statements = [moved_by(phrase, interval) for interval in steps_up]
        steps, begins = chained(statements, self.metre.meter)
        marks = tuple(
            ChordMark(onset, diatonic_chord(one, 1), recognise(diatonic_chord(one, 1), key))
            for onset, one in zip(begins, keys, strict=False)
        )
        # In free time each statement has a bar.
        section = Section(key, for_hands(self, steps), marks, bars=(phrase.length,) * len(statements))
        return write(self, [section], summary=self.summary(setting))

    def _fills_bars(self, cells: Sequence[Group], length: Fraction) -> bool:
        meter = self.metre.meter
        return meter is not None and sum(map(len, cells)) * length % meter.bar == 0

    def _steps_of_cell(self) -> tuple[int, ...]:
        if self.cell is not Cell.TYPED:
            return tuple(int(step) for step in self.cell.value.split("-"))
        if not self.typed:
            raise ValueError("no cell is typed; type steps of the scale, such as 1 2 3 5")
        return self.typed

    def _along_the_scale(self, key: Key, cell: Sequence[int]) -> list[Group]:
        """The cells from each note of the scale, and the tonic that ends the line in a group of its own."""
        scale = self.scale.on(key)
        size = len(scale.kind.tones)
        top = size * self.octaves
        start = scale.tonic.nearest_above(self.lowest)
        ladder = scale.ladder(start.octaves_up(-1), top + 2 * size + 10)
        first = next(place for place, pitch in enumerate(ladder) if pitch.midi >= start.midi)
        begins = range(max(1, top + 2 - max(cell)))
        up = [[first + place + step - 1 for step in cell] for place in begins]
        down = [[first + top - place - step + 1 for step in cell] for place in begins]
        cells = {Direction.UP: up, Direction.DOWN: down}.get(self.direction, up + down)
        end = first + (top if self.direction is Direction.UP else 0)
        line = as_it_moves([ladder[place] for one in [*cells, [end]] for place in one], scale)
        width = len(cell)
        return [tuple(line[place : place + width]) for place in range(0, len(line), width)]

    def _keys(self, key: Key, setting: Setting) -> Iterator[Key]:
        """The key of each cell, as far as the octaves reach."""
        up = range(0, 12 * self.octaves + 1, self.moves.semitones)
        order = {Direction.UP: [*up], Direction.DOWN: [*up][::-1]}.get(self.direction, [*up, *[*up][-2::-1]])
        for semitones in order:
            yield _key_above(key, semitones, setting.prefers_flats_at_six)

    def _through_keys(self, keys: Sequence[Key], cell: Sequence[int]) -> list[Group]:
        """The same cell in each key, and the tonic of the last that ends the line."""
        start = keys[0].tonic.nearest_above(self.lowest)
        groups: list[Group] = []
        floor = start
        is_up = self.direction is not Direction.DOWN
        for number, key in enumerate(keys):
            scale = self.scale.on(key)
            near = key.tonic.nearest_above(floor)
            if number == 0 and not is_up:
                near = near.octaves_up(self.octaves)
            elif number:
                near = min((near.octaves_up(-1), near), key=lambda pitch: abs(pitch.midi - floor.midi))
            size = len(scale.kind.tones)
            ladder = scale.ladder(near.octaves_up(-1), 3 * size)
            line = as_it_moves([ladder[size + step - 1] for step in cell], scale)
            groups.append(tuple(line))
            floor = near
        return [*groups, (floor,)]

    def _mark(self, onset: Fraction, own: Key, key: Key) -> ChordMark:
        chord = self.scale.chord_on(own)
        return ChordMark(onset, chord, recognise(chord, key))


def _key_above(key: Key, semitones: int, prefers_flats_at_six: bool) -> Key:
    """The key so many semitones higher as it is printed; the same key in other octaves."""
    if semitones % 12 == 0:
        return key
    wanted = (key.tonic.pitch_class + semitones) % 12
    keys = MINOR_KEYS if key.is_minor else MAJOR_KEYS
    return printed_key(next(one for one in keys if one.tonic.pitch_class == wanted), prefers_flats_at_six)
