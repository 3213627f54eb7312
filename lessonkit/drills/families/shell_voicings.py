"""Shell voicings: root with seventh, third or both in the left hand, its upper note led by step."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.chains import cheapest_chain, top_moves
from lessonkit.drills.exercise import Roll
from lessonkit.drills.family import Hands
from lessonkit.drills.progression_family import Order, ProgressionFamily, bars_of_degrees, how_many_keys, order_of_keys
from lessonkit.drills.setting import Setting
from lessonkit.drills.voicing_plan import Plan, is_suspended, shell_choices, voiced
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.voicing import Shell, Voicing
from lessonkit.values import dataclass

NINTH = 14
"""The widest span in semitones that is struck at once; wider shells are rolled."""


class Kind(Enum):
    """Which notes a shell has."""

    NEAREST = "seventh or third, whichever is nearer"
    SEVENTH = "root and seventh"
    THIRD = "root and third"
    THIRD_SEVENTH = "root, third and seventh"
    TENTH = "root, seventh and tenth"

    @property
    def shells(self) -> tuple[Shell, ...]:
        """The shells to choose from at each chord."""
        return {
            Kind.NEAREST: (Shell.ROOT_SEVENTH, Shell.ROOT_THIRD),
            Kind.SEVENTH: (Shell.ROOT_SEVENTH,),
            Kind.THIRD: (Shell.ROOT_THIRD,),
            Kind.THIRD_SEVENTH: (Shell.ROOT_THIRD_SEVENTH,),
            Kind.TENTH: (Shell.ROOT_SEVENTH_THIRD,),
        }[self]


class First(Enum):
    """Which shell begins."""

    SEVENTH = "root and seventh"
    THIRD = "root and third"


@dataclass(frozen=True)
class ShellVoicings(ProgressionFamily):
    """The left hand tells each chord with two or three notes, so that the right hand is free and nothing is muddy.

    Where roots fall by fifths, sevenths and thirds take turns and the upper note moves by step. With both hands the
    right hand adds the whole chord above; shells wider than a ninth are rolled.
    """

    code = "shell-voicings"
    title = "Shell voicings"
    words = ("left hand", "root and seventh", "root and third", "comping", "two-five-one")

    progression: Progression = bars_of_degrees("iim7 | V7 | Imaj7 | vim7")
    order: Order = order_of_keys(Order.FOURTHS)
    count: int = how_many_keys(4)
    hands: Hands = fields.choice(Hands.LEFT, label="Hands", group="Hands and range")
    kind: Kind = fields.choice(Kind.NEAREST, label="Shells", group="Voicing")
    first: First = fields.choice(
        First.SEVENTH, label="First shell", group="Voicing", applies=lambda drill: drill.kind is Kind.NEAREST
    )

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        choices = [shell_choices(chord, self.kind.shells, self.lowest) for chord in chords]
        if self.kind is Kind.NEAREST and not is_suspended(chords[0]):
            begin = Shell.ROOT_SEVENTH if self.first is First.SEVENTH else Shell.ROOT_THIRD
            choices[0] = shell_choices(chords[0], (begin,), self.lowest)
        lefts = cheapest_chain(choices, top_moves)
        if self.hands is Hands.RIGHT:
            return [Voicing((), tuple(pitch.octaves_up(1) for pitch in left)) for left in lefts]
        if self.hands is Hands.LEFT:
            return [Voicing(left, ()) for left in lefts]
        highest = max((left[-1] for left in lefts), key=lambda pitch: pitch.midi)
        above = voiced(chords, Plan.ROOT_LEFT, highest + Interval.parse("m2"))
        return [Voicing(left, over.right) for left, over in zip(lefts, above, strict=True)]

    def reasons(self, setting: Setting) -> tuple[str, ...]:
        """What the upper voice of the shells does in the first key, and by which rule."""
        if not self.worksheet.asks_for_notes or self.kind is not Kind.NEAREST:
            return ()
        key = self.keys_in(setting)[0]
        chords = [placed.chord for bar in self.progression_in(key).in_key(key) for placed in bar]
        tops = [(voicing.left or voicing.right)[-1] for voicing in self.voicings(chords, key)]
        roles = [_ROLES[(top.name.letter - chord.root.letter) % 7] for top, chord in zip(tops, chords, strict=True)]
        notes = "–".join(str(top.name) for top in tops)
        return (
            f"Each shell has the seventh or the third, whichever lies nearer to the upper note before: in {key} the "
            f"upper voice is {notes}, {', '.join(roles)}.",
        )

    def roll(self, shape: Sequence[Pitch]) -> Roll:
        return Roll.UP if shape[-1].midi - shape[0].midi > NINTH else Roll.NONE

    def voiced_words(self) -> str:
        return "shells of root and seventh or third" if self.kind is Kind.NEAREST else f"shells of {self.kind.value}"


_ROLES = ("root", "second", "third", "fourth", "fifth", "sixth", "seventh")
"""What the upper note of a shell is to its chord, by the letters above the root."""
