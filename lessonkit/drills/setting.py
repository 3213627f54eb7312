"""What a drill is worked out in: the lesson's key and the teacher's choices of words and spelling."""

from __future__ import annotations

from dataclasses import field, replace

from lessonkit.drills.exercise import FingersShown
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.naming import NoteNames
from lessonkit.values import dataclass

USUAL_TEMPO = 72
"""Quarter notes a minute where a teacher says none."""


@dataclass(frozen=True, slots=True)
class Setting:
    """The surroundings of a drill.

    ``prefers_flats_at_six`` prints G♭ rather than F♯ where six accidentals tie; ``is_friendly`` respells what reads
    badly (reading-friendly) instead of the strict spelling; ``tempo`` is in quarter notes a minute. ``hands`` are those
    of the player; ``starts_black_with_second`` takes 2-1-2-4 in a broken chord whose low black note is followed by a
    white one; ``shows_difficulty`` prints beside a drill's name how hard it is; ``fingers`` are those that drills print
    which leave it to the lesson, None for what each of them usually prints.
    """

    key: Key
    label_style: LabelStyle = field(default_factory=LabelStyle)
    prefers_flats_at_six: bool = True
    is_friendly: bool = False
    tempo: int = USUAL_TEMPO
    hands: HandProfile = field(default_factory=HandProfile)
    starts_black_with_second: bool = False
    shows_difficulty: bool = False
    fingers: FingersShown | None = None

    @property
    def in_english(self) -> Setting:
        """The same with English names of notes: words are put together in these and renamed where they are shown."""
        if self.label_style.notes is NoteNames.ENGLISH:
            return self
        return replace(self, label_style=replace(self.label_style, notes=NoteNames.ENGLISH))
