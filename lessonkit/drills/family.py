"""What a drill family is: a frozen dataclass whose fields declare the form, the file and the checks.

A family is one file in ``families/``. Its class says its ``code`` (never changed once shipped), its ``title`` and, in
the first paragraph of its docstring, what it is for; its fields are made with the functions of ``fields.py``; its
``build`` works the drill out. Nothing else needs to know that it exists.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, ClassVar, TypeVar

from lessonkit.drills import fields
from lessonkit.drills.choices import Direction as Direction
from lessonkit.drills.choices import Faces as Faces
from lessonkit.drills.choices import FingersHold as FingersHold
from lessonkit.drills.choices import Hands as Hands
from lessonkit.drills.choices import Metre as Metre
from lessonkit.drills.choices import ShownAs as ShownAs
from lessonkit.drills.choices import Texture as Texture
from lessonkit.drills.choices import Turning as Turning
from lessonkit.drills.choices import Wide as Wide
from lessonkit.drills.declared import Declared
from lessonkit.drills.exercise import Exercise, FingersShown, Hand
from lessonkit.drills.found_by_file import FoundByFile
from lessonkit.drills.key_deck import LARGEST_SEED, MOST_KEYS, Deck, Order, keys_through
from lessonkit.drills.key_fingers import MOST_TYPED, KeyFingers
from lessonkit.drills.other_settings import other_settings
from lessonkit.drills.params import Choice, Param
from lessonkit.drills.playing import Articulation, Loudness, PedalUse, Shaping
from lessonkit.drills.setting import Setting
from lessonkit.drills.worksheet import EVERY_BLANK, Worksheet, worksheet_setting
from lessonkit.hands.easier import As, Easier, Way
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

MOST_REPEATS = 9
"""How often a drill can be printed to be played."""

KEY_DECK = frozenset({"key_count", "key_order", "key_deck", "key_seed", "key_list"})
"""The settings that carry a drill through keys; left out where a family goes through keys in its own way."""


Item = TypeVar("Item")


@dataclass(frozen=True, slots=True)
class PlayedChord:
    """One chord in an inversion, played as runs or as jumps, so that its difficulty and easier ways can be told."""

    chord: Chord
    inversion: int
    played: As


def begin_near(default: str) -> Any:
    """A field for the note near which a drill begins."""
    return fields.pitch(
        default, label="Begin near", group="Hands and range",
        help="The right hand begins at the nearest fitting note from here up; the left hand an octave or more below.",
    )  # fmt: skip


@dataclass(frozen=True)
class DrillFamily(Declared):
    """The settings that every family has; a family adds its own below them."""

    code: ClassVar[str] = ""
    words: ClassVar[tuple[str, ...]] = ()
    """More words under which a teacher may search for the family."""
    tensions: ClassVar[tuple[str, ...]] = ()
    """Degrees that the family's shapes may add to what chord symbols say, as a rootless shape adds the ninth."""
    eases_by: ClassVar[tuple[str, ...]] = ()
    """Settings of which another value plays the same matter and may be easier, such as rolled for solid chords."""
    nothing_easier: ClassVar[str] = "Its shapes are what this drill teaches, so none is exchanged for an easier one"
    """Why nothing easier is offered, as the start of a sentence."""
    has_passing_notes: ClassVar[bool] = False
    """Whether the family plays notes that do not belong to the chord named above them, as lines and scales do."""
    blanks: ClassVar[tuple[Worksheet, ...]] = EVERY_BLANK
    """What makes sense to leave blank on a worksheet of the family."""
    usual_fingers: ClassVar[FingersShown] = FingersShown.ALL
    """The fingers that are printed where neither the drill nor the lesson says which."""
    left_out: ClassVar[frozenset[str]] = frozenset({"turning"})
    """The common settings that the family has no use for; they stand neither in its form nor in its files.

    ``turning`` is for families that go up and down by ``turned``.
    """

    key: Key | None = fields.key(
        label="Key", group="Key", help="The drill follows the lesson's key unless one is chosen here."
    )
    key_count: int = fields.whole(
        1, least=1, most=MOST_KEYS, label="Carried through", unit="keys", group="Key",
        applies=lambda drill: drill.key_order is not Order.CHOSEN,
    )  # fmt: skip
    key_order: Order = fields.choice(
        Order.FIFTHS, label="Order of keys", group="Key",
        help="It begins with the drill's key, unless shuffled or listed.",
        applies=lambda drill: drill.is_carried,
    )  # fmt: skip
    key_deck: Deck = fields.choice(
        Deck.TWELVE, label="Dealt from", group="Key",
        applies=lambda drill: drill.is_carried and drill.key_order is Order.SHUFFLED,
    )  # fmt: skip
    key_seed: int = fields.whole(
        1, least=0, most=LARGEST_SEED, label="Sheet number of the keys", group="Key",
        help="The same number always gives the same order.",
        applies=lambda drill: drill.is_carried and drill.key_order is Order.SHUFFLED,
    )  # fmt: skip
    key_list: tuple[Key, ...] = fields.keys(
        label="Keys listed", group="Key", applies=lambda drill: drill.key_order is Order.CHOSEN
    )
    hands: Hands = fields.choice(Hands.RIGHT, label="Hands", group="Hands and range")
    lowest: Pitch = begin_near("Gb3")
    octaves: int = fields.whole(2, least=1, most=4, label="Octaves", group="Hands and range")
    wide: Wide = fields.choice(
        Wide.AS_WRITTEN, label="Where a hand cannot reach", group="Hands and range",
        help="Rolled, chords too wide for the hand are played one note after another, whatever else they are.",
    )  # fmt: skip
    direction: Direction = fields.choice(Direction.UP_AND_DOWN, label="Direction", group="Hands and range")
    turning: Turning = fields.choice(
        Turning.ONCE, label="Struck where it turns", group="Hands and range",
        applies=lambda drill: drill.direction is Direction.UP_AND_DOWN,
    )  # fmt: skip
    note_length: Fraction = fields.note_value("1/8", label="Note length", group="Time")
    metre: Metre = fields.choice(Metre.FOUR_FOUR, label="Metre", group="Time")
    rest_between: int = fields.whole(
        0, least=0, most=4, label="Rest after each group", unit="beats", group="Time",
        help="Time to look and move before the next group.",
    )  # fmt: skip
    repeats: int = fields.whole(
        1, least=1, most=MOST_REPEATS, label="Played", unit="times", group="Time",
        help="Printed as repeat signs; with several keys each of them is repeated.",
    )  # fmt: skip
    ladder_steps: int = fields.whole(
        0, least=0, most=8, label="Tempo ladder", unit="steps", group="Time",
        help="A row of metronome marks with boxes to tick, above the drill.",
    )  # fmt: skip
    ladder_start: int | None = fields.tempo(
        label="From", group="Time", applies=lambda drill: drill.ladder_steps > 0,
        help="The first mark of the ladder; the one nearest the lesson's tempo unless one is chosen.",
    )  # fmt: skip
    ladder_goal: int | None = fields.tempo(
        label="To", group="Time", unset="two marks a step", applies=lambda drill: drill.ladder_steps > 0,
        help="The last mark of the ladder; each step climbs two marks unless one is chosen.",
    )  # fmt: skip
    articulation: Articulation = fields.choice(Articulation.NONE, label="Touch printed", group="How to play")
    loudness: Loudness = fields.choice(Loudness.NONE, label="Loudness printed", group="How to play")
    shaping: Shaping = fields.choice(Shaping.NONE, label="Crescendo and diminuendo", group="How to play")
    pedal_use: PedalUse = fields.choice(PedalUse.NONE, label="Pedal", group="How to play")
    shows_chord_names: bool = fields.yes_no(True, label="Chord names", group="On the page")
    shows_degrees: bool = fields.yes_no(False, label="Degrees", group="On the page")
    fingers_shown: FingersShown = fields.choice(
        FingersShown.LESSON, label="Fingers", group="On the page",
        help="As the lesson says for all its drills, or as this kind of drill usually has them.",
    )  # fmt: skip
    faces: Faces = fields.choice(Faces.LESSON, label="Chord names written", group="On the page")
    shown_as: ShownAs = fields.choice(
        ShownAs.STAVES, label="Shown as", group="On the page",
        help="For students who read little or no notation yet, or are to do without.",
    )  # fmt: skip
    prints_remarks: bool = fields.yes_no(
        True, label="Remarks below it", group="On the page",
        help="What was respelled and what to know of its fingers; told when the lesson is checked all the same.",
    )  # fmt: skip
    worksheet: Worksheet = worksheet_setting()
    right_fingers: tuple[int, ...] = fields.numbers(
        label="Right hand fingers", group="Fingers typed", least=0, most=5, longest=MOST_TYPED,
        help="Fingers that must be, counted from each key's first note, 1 the thumb; 0 leaves a note to the program.",
    )  # fmt: skip
    left_fingers: tuple[int, ...] = fields.numbers(
        label="Left hand fingers", group="Fingers typed", least=0, most=5, longest=MOST_TYPED,
        help="Fingers that must be, counted from each key's first note, 1 the thumb; 0 leaves a note to the program.",
    )  # fmt: skip
    fingers_hold: FingersHold = fields.choice(
        FingersHold.EVERY_KEY, label="Typed fingers hold", group="Fingers typed",
        applies=lambda drill: any(drill.right_fingers + drill.left_fingers),
    )  # fmt: skip
    fingers_key: Key | None = fields.key(
        label="Typed in", group="Fingers typed", moves=False,
        help="In other keys you are told where typed fingers meet other black and white keys.",
        applies=lambda drill: any(drill.right_fingers + drill.left_fingers),
    )  # fmt: skip
    fingers_in_keys: tuple[KeyFingers, ...] = fields.fingers_in_keys(
        label="In one key only", group="Fingers typed",
        help="Fingers that hold in their key alone, such as Eb right 1 2 0 4; more keys follow after a semicolon.",
        applies=lambda drill: bool(drill.fingers_in_keys),
    )  # fmt: skip

    def build(self, setting: Setting) -> Exercise:
        """Work the drill out; raises ValueError with a sentence where the settings do not go together."""
        raise TypeError(f"{type(self).__name__} does not say how it is built")

    def summary(self, setting: Setting) -> str:
        """What is played in one key, in plain words; ``in_one_line`` adds what every drill has."""
        return self.title

    def in_one_line(self, setting: Setting) -> str:
        """The drill in one line of plain words, as it is printed, spoken and listed, with English names of notes.

        Never raises: of a drill that cannot be written out its title is said.
        """
        try:
            return self._told(self.setting_of(setting.in_english))
        except ValueError:
            return self.title

    def _told(self, setting: Setting) -> str:
        first = replace(self, key=self.carried_keys(setting)[0]) if self.is_carried else self
        played = first.summary(setting)
        for told, kept in first.answers_in_summary(setting).items():
            # Degrees keep their small letters, words that begin the line do not.
            played = played.replace(told, kept if played.find(told) > 0 else kept[:1].upper() + kept[1:])
        parts = [played, self._carried_words(), self.articulation.words]
        if self.repeats > 1:
            several = self.has_several_keys(setting)
            parts.append(f"each key {_times(self.repeats)}" if several else _times(self.repeats))
        parts.append(self.worksheet.words if self.worksheet in self.blanks else "")
        return ", ".join(part for part in parts if part)

    def answers_in_summary(self, setting: Setting) -> dict[str, str]:
        """What the summary would give away of a worksheet's answers, and what is said instead."""
        return {}

    def reasons(self, setting: Setting) -> tuple[str, ...]:
        """Why its answers are what they are, as far as only the family knows; raises as ``build`` does."""
        return ()

    def setting_of(self, setting: Setting) -> Setting:
        """The surroundings in which the drill is worked out: the lesson's, with the faces that it has of its own."""
        style = self.faces.of(setting.label_style)
        return setting if style == setting.label_style else replace(setting, label_style=style)

    @property
    def is_carried(self) -> bool:
        """Whether the drill goes through several keys by the settings that every family has."""
        return self.key_count > 1 or self.key_order is Order.CHOSEN

    def has_several_keys(self, setting: Setting) -> bool:
        """Whether the drill is played in more keys than one."""
        return len(self.carried_keys(setting)) > 1

    def carried_keys(self, setting: Setting) -> tuple[Key, ...]:
        """The keys through which the drill is carried; raises ValueError where they are to be listed and none is."""
        start = self.key_in(setting)
        if not self.is_carried:
            return (start,)
        return keys_through(
            start, self.key_order, self.key_count, self.key_deck, self.key_seed, self.key_list, setting
        )  # fmt: skip

    def turned(self, up: Sequence[Item]) -> list[Item]:
        """A row of notes or chords in the drill's direction, given upwards; where it turns, struck once or twice."""
        down = up[::-1]
        back = down[1:] if self.turning is Turning.ONCE else down
        ways = {Direction.UP: [*up], Direction.DOWN: [*down]}
        return ways.get(self.direction, [*up, *back])

    def fingers_printed(self, setting: Setting | None = None) -> FingersShown:
        """The fingers that are printed: the drill's own choice, the lesson's, or what is usual."""
        if self.fingers_shown is not FingersShown.LESSON:
            return self.fingers_shown
        return (setting.fingers if setting else None) or self.usual_fingers

    def texture(self) -> Texture:
        """What a hand does with the drill's single notes; a family says so where the notes leave it open."""
        return Texture.FROM_NOTES

    def played_chord(self, setting: Setting) -> PlayedChord | None:
        """The one chord that the drill plays as runs or jumps, or None where it does something else."""
        return None

    def eased(self, way: Easier, setting: Setting) -> DrillFamily | None:
        """The drill changed in one of the ways that make its ``played_chord`` easier, or None if it cannot say it."""
        return None

    def easier_forms(self, setting: Setting) -> Iterator[tuple[Way, str, DrillFamily]]:
        """Other forms of the drill, each in words, that may be easier; which of them are is worked out elsewhere."""
        return other_settings(self, self.eases_by)

    def key_in(self, setting: Setting) -> Key:
        """The drill's key: its own, or the lesson's."""
        return self.key or setting.key

    @property
    def playing_hands(self) -> tuple[Hand, ...]:
        """The hands that play."""
        both = (Hand.RIGHT, Hand.LEFT)
        return {Hands.RIGHT: (Hand.RIGHT,), Hands.LEFT: (Hand.LEFT,), Hands.BOTH: both}[self.hands]

    def _carried_words(self) -> str:
        if not self.is_carried:
            return ""
        count = len(self.key_list) if self.key_order is Order.CHOSEN else self.key_count
        return f"carried through {count} {'key' if count == 1 else 'keys'}, {self.key_order.value}"

    @classmethod
    def offered(cls, declared: dict[str, Param]) -> dict[str, Param]:
        own = {name: param for name, param in declared.items() if name not in cls.left_out}
        sheet = own.get("worksheet")
        if isinstance(sheet, Choice):
            own["worksheet"] = replace(sheet, only=cls.blanks)
        return own


def _times(count: int) -> str:
    return "twice" if count == 2 else f"{count} times"


_FAMILIES = FoundByFile("lessonkit.drills.families", DrillFamily, "drill family")


def families() -> dict[str, type[DrillFamily]]:
    """Every family by its code, sorted by title."""
    return _FAMILIES.every


def family_if_known(code: str) -> type[DrillFamily] | None:
    """The family of a code, or None where there is none; no file but its own is loaded."""
    return _FAMILIES.if_known(code)


def family(code: str) -> type[DrillFamily]:
    """The family of a code; raises ValueError with the known ones."""
    found = family_if_known(code)
    if found is None:
        raise ValueError(f"{code!r} is not a drill family; the families are {', '.join(families())}")
    return found
