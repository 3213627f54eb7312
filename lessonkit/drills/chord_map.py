"""A difficulty map as a teacher asks for it: which chords, how they are played, by which hand, in which keys."""

from __future__ import annotations

from enum import Enum
from functools import lru_cache
from typing import ClassVar

from lessonkit.drills import fields
from lessonkit.drills.declared import Declared
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import counted
from lessonkit.hands.difficulty import LEAST_TEMPO, MOST_TEMPO, USUAL_TEMPO
from lessonkit.hands.easier import As
from lessonkit.hands.hand import Hand
from lessonkit.hands.maps import DifficultyMap, map_of_inversions, map_of_qualities
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.enharmonic import KeyOrder, key_order
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName
from lessonkit.theory.quality import Quality
from lessonkit.values import dataclass


class Rows(Enum):
    """What stands down the side of a map."""

    INVERSIONS = "the inversions of one chord"
    QUALITIES = "several chord qualities"


class Qualities(Enum):
    """Sets of chord qualities to compare in root position."""

    TRIADS = "triads"
    SEVENTHS = "sevenths"
    SIXTHS_AND_NINTHS = "sixths and ninths"

    @property
    def qualities(self) -> tuple[Quality, ...]:
        """The qualities from the top row down."""
        return tuple(map(Quality.named, _SETS[self]))


_SETS = {
    Qualities.TRIADS: ("maj", "m", "dim", "aug"),
    Qualities.SEVENTHS: ("maj7", "7", "m7", "m7b5", "dim7"),
    Qualities.SIXTHS_AND_NINTHS: ("6", "m6", "maj9", "9", "m9"),
}


class Columns(Enum):
    """In which order the keys stand along the top."""

    CHROMATIC = "chromatic"
    FIFTHS = "round the fifths"
    FOURTHS = "round the fourths"
    CHOSEN = "as listed"


_ORDERS = {
    Columns.CHROMATIC: KeyOrder.CHROMATIC, Columns.FIFTHS: KeyOrder.FIFTHS, Columns.FOURTHS: KeyOrder.FOURTHS,
}  # fmt: skip
_C = Key.parse("C")


@dataclass(frozen=True)
class ChordMap(Declared):
    """Where a chord lies well: its inversions, or several qualities, in every key, from easy to very hard."""

    title: ClassVar[str] = "Difficulty map"
    words: ClassVar[tuple[str, ...]] = ("hard keys", "easy keys", "inversions", "reach", "table")

    rows: Rows = fields.choice(Rows.INVERSIONS, label="Compare", group="Chords")
    quality: Quality = fields.quality(
        "maj7", label="Chord quality", group="Chords", applies=lambda map: map.rows is Rows.INVERSIONS
    )
    qualities: Qualities = fields.choice(
        Qualities.SEVENTHS, label="Chord qualities", group="Chords", applies=lambda map: map.rows is Rows.QUALITIES
    )
    played: As = fields.choice(As.RUN, label="Played as", group="Playing")
    hand: Hand = fields.choice(Hand.RIGHT, label="Hand", group="Playing")
    octaves: int = fields.whole(
        2, least=1, most=4, label="Octaves", group="Playing", applies=lambda map: map.played is As.RUN
    )
    tempo: int = fields.whole(
        USUAL_TEMPO, least=LEAST_TEMPO, most=MOST_TEMPO, label="Tempo", unit="beats a minute", group="Playing",
        help="To each beat a run plays an octave of the chord and a jump lands once.",
    )  # fmt: skip
    columns: Columns = fields.choice(Columns.CHROMATIC, label="Order of keys", group="Keys")
    keys: tuple[Key, ...] = fields.keys(
        label="Keys listed", group="Keys", applies=lambda map: map.columns is Columns.CHOSEN
    )

    def tonics(self, prefers_flats_at_six: bool = True) -> tuple[NoteName, ...]:
        """The roots along the top; raises ValueError where none is listed."""
        if self.columns is Columns.CHOSEN:
            if not self.keys:
                raise ValueError("no keys are listed; list some, such as C, F, Bb")
            return tuple(key.tonic for key in self.keys)
        return tuple(key.tonic for key in key_order(_ORDERS[self.columns], _C, prefers_flats_at_six))

    def summary(self, setting: Setting) -> str:
        """The map in one line of plain words."""
        what = (
            f"{self.quality.words} chords through their inversions"
            if self.rows is Rows.INVERSIONS
            else f"{self.qualities.value} in root position"
        )
        is_run = self.played is As.RUN
        how = f"as runs over {counted(self.octaves, 'octave')}" if is_run else "as jumps of an octave"
        span = f"{setting.hands.span(self.hand):.0f}\N{NO-BREAK SPACE}mm"
        hand = f"a {self.hand.value} hand that spans {span}"
        beat = "an octave" if is_run else "a jump"
        return f"{what}, {how}, {hand}, {beat} to each of {self.tempo} beats a minute"


def worked_out(map: ChordMap, setting: Setting) -> DifficultyMap:
    """The map for the player of a setting; raises ValueError with a sentence where it cannot be made."""
    return _worked_out(map, setting.hands, map.tonics(setting.prefers_flats_at_six))


@lru_cache(maxsize=256)
def _worked_out(map: ChordMap, profile: HandProfile, keys: tuple[NoteName, ...]) -> DifficultyMap:
    if map.rows is Rows.INVERSIONS:
        return map_of_inversions(map.quality, map.played, map.hand, profile, map.octaves, map.tempo, keys)
    return map_of_qualities(map.qualities.qualities, map.played, map.hand, profile, map.octaves, map.tempo, keys)
