"""The teacher's own lick: a phrase typed once with its chords, carried to any key and mode, simplified on wish."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import Enum
from fractions import Fraction

from lessonkit.drills import fields
from lessonkit.drills.carrying import carried_phrase, placed_chords
from lessonkit.drills.exercise import ChordMark, Exercise, Hand
from lessonkit.drills.family import Direction, DrillFamily, Hands, Texture
from lessonkit.drills.phrase import Phrase
from lessonkit.drills.setting import Setting
from lessonkit.drills.shaping import chord_tones_only, easily_read, in_metre, steps_of
from lessonkit.drills.wording import counted, hands_words
from lessonkit.drills.writing import Section, Step, write
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.respelling import Respelling
from lessonkit.theory.voicing import Shell, rootless, shell
from lessonkit.values import dataclass

BARS_ON_A_LINE = 4
"""A lick whose bars go up in fours has so many on a line."""

LEFT_BELOW = Interval.parse("M10")
"""How far below the register the left hand's roots begin: A♭2 below C4, where sevenths are still clear."""

MOST_NAMED = 4
"""So many chords are named in a summary; of more only the number is told."""


class Notes(Enum):
    """Which of the lick's notes are played."""

    ALL = "all of them"
    CHORD_TONES = "chord tones only"


class Under(Enum):
    """What the left hand plays where both hands play."""

    SHELLS = "shells"
    ROOTS = "roots"
    ROOTLESS = "rootless chords"
    LICK = "the lick an octave lower"


@dataclass(frozen=True)
class OwnLick(DrillFamily):
    """A lick of the teacher's own, typed once with its chords and played in any key, in major or in minor.

    In a key of the other mode third, sixth and seventh follow the scale and the chords become those of the new key.
    Reduced to its chord tones, the lick shows what it is built on; its rhythm stays whole. A short first bar is a
    pick-up.
    """

    code = "own-lick"
    title = "Own lick"
    nothing_easier = "The lick is the teacher's own, so nothing is changed in it"
    words = ("lick", "phrase", "melody", "my own", "transpose", "vocabulary", "excerpt", "simplify", "guide tones")
    has_passing_notes = True
    left_out = frozenset({"turning", "rest_between"})

    lick: Phrase = fields.phrase(
        "in C | Dm7: 1/8 A4 F D E F A C A | G7: B Ab F D 1/4 B 1/8 C D | Cmaj7: E G B D 1/2 C", label="Lick",
        group="Lick",
        help="The key, then bars parted by |. Dm7: sets a chord; 1/8 is the length of what follows, 1/12 in triplets; "
        "notes like F#4, or Bb for the nearest; r rests, ~ holds on.",
    )  # fmt: skip
    notes: Notes = fields.choice(
        Notes.ALL, label="Notes", group="Lick",
        help="Where other notes are left out, the chord tones beside them last longer.",
    )  # fmt: skip
    adapts_to_minor: bool = fields.yes_no(
        True, label="Follows the key's mode", group="Lick",
        help="In keys of the other mode third, sixth and seventh follow the scale; otherwise all intervals stay.",
    )  # fmt: skip
    under: Under = fields.choice(
        Under.SHELLS, label="Left hand has", group="Hands and range", applies=lambda drill: drill.hands is Hands.BOTH
    )
    hands: Hands = fields.choice(Hands.RIGHT, label="Hands", group="Hands and range")
    lowest: Pitch = fields.pitch(
        "C4", label="Register", group="Hands and range",
        help="C4 leaves the lick as high as it is typed, C5 puts it an octave higher, C3 an octave lower.",
    )  # fmt: skip
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range", applies=fields.never)
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range", applies=fields.never)
    note_length: Fraction = fields.note_value("1/8", label="Note length", group="Time", applies=fields.never)

    def texture(self) -> Texture:
        return Texture.LINE

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        lick = in_metre(self.lick, self.metre.meter)
        placed = placed_chords(lick, key, self.adapts_to_minor)
        marks = tuple(
            ChordMark(onset, chord, degree) for (onset, _), (chord, degree) in zip(lick.chords, placed, strict=True)
        )
        # Chord tones are told from the chords as they are printed, whose names the notes have taken.
        named = tuple((mark.onset, mark.chord) for mark in marks)
        played = replace(carried_phrase(lick, key, self.lowest, self.adapts_to_minor), chords=named)
        if self.notes is Notes.CHORD_TONES:
            played = chord_tones_only(played)
        respelled: tuple[Respelling, ...] = ()
        if setting.is_friendly:
            played, respelled = easily_read(played, key)
        section = Section(key, self._parts(played, marks), marks, bars=lick.bars)
        remarks = tuple(f"{change.printed} for {change.strict}" for change in respelled)
        return _in_lines(write(self, [section], summary=self.summary(setting), remarks=remarks))

    def summary(self, setting: Setting) -> str:
        key = self.key_in(setting)
        chords = [chord.symbol(setting.label_style) for chord, _ in placed_chords(self.lick, key, self.adapts_to_minor)]
        named = " ".join(chords) if len(chords) <= MOST_NAMED else counted(len(chords), "chord")
        over = f" over {named}" if chords else ""
        only = f", {self.notes.value}" if self.notes is Notes.CHORD_TONES else ""
        return f"Own lick of {counted(len(self.lick.bars), 'bar')}{over} in {key}{only}, {hands_words(self)}"

    def _parts(self, played: Phrase, marks: Sequence[ChordMark]) -> dict[Hand, Sequence[Step]]:
        right = steps_of(played, self.metre.meter)
        widest = max(pitch.midi for pitch in played.pitches) - min(pitch.midi for pitch in played.pitches)
        parts: dict[Hand, Sequence[Step]] = {}
        for hand in self.playing_hands:
            if hand is Hand.RIGHT:
                parts[hand] = right
            elif self.hands is Hands.BOTH and self.under is not Under.LICK:
                parts[hand] = list(self._chords_under(played, marks))
            else:
                octaves = 1 + widest // 12 if self.hands is Hands.BOTH else 1
                parts[hand] = [
                    replace(step, pitches=tuple(pitch.octaves_up(-octaves) for pitch in step.pitches)) for step in right
                ]
        return parts

    def _chords_under(self, played: Phrase, marks: Sequence[ChordMark]) -> Iterator[Step]:
        """The left hand's chords, each held until the next, below all that the right hand plays meanwhile."""
        if not marks:
            raise ValueError("the lick has no chords for the left hand; type them, such as Dm7:, or give it the lick")
        if marks[0].onset:
            yield Step((), marks[0].onset, -1)
        ends = [*(mark.onset for mark in marks[1:]), played.length]
        floor = self.lowest - LEFT_BELOW
        for number, (mark, end) in enumerate(zip(marks, ends, strict=True)):
            above = [
                pitch.midi for now, sound in played.placed if mark.onset < now + sound.length and now < end
                for pitch in sound.pitches
            ]  # fmt: skip
            shape = _SHAPES[self.under](mark.chord, floor)
            while above and shape[-1].midi >= min(above):
                shape = tuple(pitch.octaves_up(-1) for pitch in shape)
            yield Step(shape, end - mark.onset, number)


def _in_lines(exercise: Exercise) -> Exercise:
    """The exercise with a new line after every four bars, where its bars go up in fours."""
    bars = exercise.bars
    if len(bars) % BARS_ON_A_LINE:
        return exercise
    return replace(
        exercise,
        bars=tuple(
            replace(bar, starts_line=True) if number and number % BARS_ON_A_LINE == 0 else bar
            for number, bar in enumerate(bars)
        ),
    )


def _shell(chord: Chord, floor: Pitch) -> tuple[Pitch, ...]:
    return shell(chord, Shell.ROOT_SEVENTH, floor)


def _root(chord: Chord, floor: Pitch) -> tuple[Pitch, ...]:
    return (chord.lowest.nearest_above(floor),)


def _rootless(chord: Chord, floor: Pitch) -> tuple[Pitch, ...]:
    return min((rootless(chord, form, floor) for form in ("A", "B")), key=lambda shape: shape[0].midi)


_SHAPES = {Under.SHELLS: _shell, Under.ROOTS: _root, Under.ROOTLESS: _rootless}
