"""What is practised and marked: one skill in one key. Two items that look alike are not begun on the same day."""

from __future__ import annotations

import re
from functools import lru_cache

from lessonkit.drills.family import Hands, family_if_known
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.quality import Quality
from lessonkit.values import dataclass

_WORD = re.compile("[a-z0-9-]{1,60}")
_FORM = re.compile("[A-Za-z0-9 ]{0,40}")


@dataclass(frozen=True, slots=True)
class Item:
    """A skill in a key, for one hand or both.

    ``skill`` is the code of a drill family; ``quality`` the plain name of the chord that is played, empty where there
    is not one chord; ``form`` tells forms of one chord apart, as ``A`` and ``B``. As text an item is
    ``broken-chords/Eb/right/maj7/A``; what is empty at the end is left out.

    >>> Item.parse("broken-chords/Eb/right/maj7").pattern
    'BWBW'
    """

    skill: str
    key: Key
    hands: Hands = Hands.BOTH
    quality: str = ""
    form: str = ""

    def __post_init__(self) -> None:
        if _WORD.fullmatch(self.skill) is None:
            raise ValueError(f"{self.skill!r} is not the code of a drill family; write it like broken-chords")
        if self.quality:
            Quality.named(self.quality)
        if _FORM.fullmatch(self.form) is None:
            raise ValueError(f"{self.form!r} is not a form of a chord; write it like A")

    @staticmethod
    def parse(text: str) -> Item:
        """Read ``broken-chords/Eb/right/maj7``; raises ValueError with a sentence for anything else."""
        parts = [part.strip() for part in text.split("/")]
        # The quality 6/9 has a stroke of its own.
        if len(parts) >= 5 and f"{parts[3]}/{parts[4]}" in ("6/9", "m6/9"):
            parts[3:5] = [f"{parts[3]}/{parts[4]}"]
        if not 2 <= len(parts) <= 5:
            raise ValueError(f"{text!r} is not an item; write it like broken-chords/Eb or broken-chords/Eb/right/maj7")
        hands = parts[2] if len(parts) > 2 else Hands.BOTH.value
        if hands not in [one.value for one in Hands]:
            raise ValueError(f"{text!r} is not an item: {hands!r} is no hand; write right, left or both")
        return Item(parts[0], Key.parse(parts[1]), Hands(hands), *parts[3:])

    @property
    def ascii(self) -> str:
        """The item as ``parse`` reads it."""
        parts = [self.skill, self.key.ascii, self.hands.value, self.quality, self.form]
        while not parts[-1]:
            parts.pop()
        return "/".join(parts[:2] if parts[2:] == [Hands.BOTH.value] else parts)

    @property
    def pattern(self) -> str:
        """The white and black keys under the fingers, low to high: those of the chord, or of the key's triad."""
        return _pattern(self.key, self.quality)

    @property
    def chord(self) -> Chord:
        """The chord that is played, on the tonic; the key's own triad where there is not one chord."""
        return _chord(self.key, self.quality)

    @property
    def words(self) -> str:
        """For people: ``Broken chords, major seventh, in E♭ major, right hand``."""
        known = family_if_known(self.skill)
        parts = [known.title if known else self.skill]
        if self.quality:
            parts.append(Quality.named(self.quality).words)
        if self.form:
            parts.append(f"form {self.form}")
        hands = "both hands" if self.hands is Hands.BOTH else f"{self.hands.value} hand"
        return ", ".join([*parts, f"in {self.key}", hands])

    def looks_like(self, other: Item) -> bool:
        """Whether two items are easily mixed up when both are new.

        They are of one skill and differ in the key with the same white and black keys or roots a semitone apart, or
        in the form of the same chord.
        """
        if self.skill != other.skill or self == other:
            return False
        if self.key == other.key:
            return self.quality == other.quality and self.form != other.form
        apart = (self.key.tonic.pitch_class - other.key.tonic.pitch_class) % 12
        return self.pattern == other.pattern or apart in (1, 11)


@lru_cache(maxsize=4096)
def _chord(key: Key, quality: str) -> Chord:
    return Chord(key.tonic, Quality.named(quality or ("m" if key.is_minor else "maj")))


@lru_cache(maxsize=4096)
def _pattern(key: Key, quality: str) -> str:
    return "".join("B" if tone.is_black else "W" for tone in _chord(key, quality).tones)
