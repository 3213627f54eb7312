"""Empty staves: a question or a task, and staves with clef and key signature to write the music on."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Shown, Staves, Text
from lessonkit.values import dataclass


class StaffKind(Enum):
    """What one line of music to be written is made of."""

    TREBLE = "one staff, treble clef"
    BASS = "one staff, bass clef"
    BOTH = "two staves, a hand each"
    BARE = "one staff without a clef"


CLEFS = {StaffKind.TREBLE: ("treble",), StaffKind.BASS: ("bass",), StaffKind.BOTH: ("treble", "bass"),
         StaffKind.BARE: ("",)}  # fmt: skip
"""The clefs from the top down; empty for a staff without one."""


@dataclass(frozen=True)
class EmptyStaves(PageAid):
    """Empty staves to write music on, with clef and key signature, below a question or a task."""

    code = "empty-staves"
    title = "Empty staves"
    words = ("manuscript", "write", "compose", "notate", "blank stave", "music paper")
    heading = "Write it down"
    may_part = True

    task: str = fields.lines("", label="What to write", most=300, help="It can be left empty.")
    kind: StaffKind = fields.choice(StaffKind.TREBLE, label="Staves")
    systems: int = fields.whole(2, least=1, most=6, label="How many lines")
    shows_signature: bool = fields.yes_no(True, label="Key signature", help="That of the lesson's key.")
    bars: int = fields.whole(4, least=0, most=8, label="Bars in a line", help="0 draws no bar lines.")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        clefs = CLEFS[self.kind]
        signature = scene.setting.key if self.shows_signature and clefs[0] else None
        staves = tuple(Staves(clefs, signature, self.bars) for _ in range(self.systems))
        return (Text(self.task), *staves) if self.task.strip() else staves
