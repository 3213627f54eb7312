"""The teacher's part of a duet: a low bass and two notes of each chord, always clear of the student's lowest note."""

from __future__ import annotations

from collections.abc import Sequence

from lessonkit.drills import fields
from lessonkit.drills.chains import Shape, cheapest_chain, top_moves
from lessonkit.drills.families.own_chart import OwnChart
from lessonkit.drills.formula_family import FormulaFamily
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.voicing import Shell, Voicing, shell
from lessonkit.values import dataclass

APART = 3
"""At least so many semitones, a minor third, lie between the teacher's highest note and the student's lowest."""

LOWEST_PAIR = 41
"""Two notes of a chord are clear from F2 up (common practice, no source)."""

LOWEST_BASS = Pitch.parse("E1")
"""Basses lie from here up, within an octave."""

HIGHEST = Pitch.parse("C7").midi
"""A student who begins higher has no room to play in."""

REACH_DOWN = 9
"""How far below the highest place the upper note of a pair may lie."""


@dataclass(frozen=True)
class TeacherPart(OwnChart):
    """The teacher plays beneath a student: low roots, and the third and the seventh of each chord in between.

    The part stays at least a third below the lowest note that the student plays, so that the two never meet in one
    register. In a class it holds all parts together.
    """

    code = "teacher-part"
    title = "Teacher's part beneath"
    words = ("duet", "two players", "group", "class", "accompaniment", "four hands", "bass", "beneath")
    has_passing_notes = False
    left_out = FormulaFamily.left_out | {"plan", "realised", "fills", "phrase_bars", "fill_length"}

    lowest: Pitch = fields.pitch(
        "C4", label="Student plays from", group="Hands and range",
        help="The lowest note of the student; everything of the teacher's stays a third below it.",
    )  # fmt: skip

    def phrase(self, key: Key, style: LabelStyle) -> str:
        return f"Teacher's part beneath {self.lowest}"

    def voiced_words(self) -> str:
        return "basses, thirds and sevenths"

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        pairs = cheapest_chain([self._pairs(chord) for chord in chords], top_moves)
        return [
            Voicing((chord.lowest.nearest_above(LOWEST_BASS),), pair)
            for chord, pair in zip(chords, pairs, strict=True)
        ]  # fmt: skip

    def _pairs(self, chord: Chord) -> Sequence[Shape]:
        """Third and seventh in either order where they are clear, the highest first."""
        ceiling = self.lowest.midi - APART
        if ceiling > HIGHEST:
            raise ValueError(f"a student from {self.lowest} up would soon be above the piano's C8; begin lower")
        names = shell(chord, Shell.ROOT_THIRD_SEVENTH, Pitch.parse("C3"))[1:]
        found: list[Shape] = []
        for order in (names, names[::-1]):
            for octave in range(-3, 4):
                low = order[0].octaves_up(octave)
                shape = (low, *(pitch.name.nearest_above(low) for pitch in order[1:]))
                top = shape[-1].midi
                if ceiling - REACH_DOWN <= top <= ceiling and shape[0].midi >= LOWEST_PAIR:
                    found.append(shape)
        if not found and ceiling < LOWEST_PAIR:
            raise ValueError(f"beneath {self.lowest} chords would be mud, or below the piano's A0; begin higher")
        if not found:
            raise ValueError(
                f"beneath {self.lowest} there is no room for a clear chord; let the student play an octave higher"
            )
        return sorted(set(found), key=lambda shape: -shape[-1].midi)
