"""Listening files: the names of the sound files that go with the handout, with a box to tick when they were heard."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.listening_names import listening_stem, tempos_of
from lessonkit.drills.realise import realise
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Shown, Steps, Text
from lessonkit.values import dataclass

NONE = "There is no drill to listen to yet."


class Which(Enum):
    """Whose files are named."""

    ALL = "all drills of the lesson"
    ONE = "the drill it belongs to"


@dataclass(frozen=True)
class ListeningFiles(PageAid):
    """The names of the sound files that go with the handout, each with a box to tick when it was heard.

    The files themselves are made with the lesson's sound; they bear these names.
    """

    code = "listening-files"
    title = "Listening files"
    words = ("sound", "audio", "hear", "play along", "recording", "mp3")
    heading = "To hear"

    which: Which = fields.choice(Which.ALL, label="Names files of")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        items = tuple(self._items(scene))
        return (Steps(items, has_boxes=True) if items else Text(NONE),)

    def _items(self, scene: Scene) -> Iterator[str]:
        for place, drill in enumerate(scene.drills):
            if self.which is Which.ONE and place != scene.place:
                continue
            try:
                exercise = realise(drill, scene.setting)
            except ValueError:
                # There is no file of a drill that cannot be built; it says why in its own place.
                continue
            first, *others = tempos_of(drill, scene.setting)
            also = f" and {', '.join(f'-{tempo}' for tempo in others)}" if others else ""
            yield f"{listening_stem(place + 1, drill, exercise)}-{first}{also}"
