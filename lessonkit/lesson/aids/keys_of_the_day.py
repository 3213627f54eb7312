"""The keys of the day: a strip of the twelve keys with today's filled, behind the signature of the first of them."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.drills import fields
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.scene_keys import strip_of
from lessonkit.lesson.shown import Shown, Strip
from lessonkit.theory.key import Key
from lessonkit.values import dataclass


@dataclass(frozen=True)
class KeysOfTheDay(PageAid):
    """A strip of the twelve keys with today's filled, and the key signature drawn small before it."""

    code = "keys-of-the-day"
    title = "Keys of the day"
    words = ("twelve keys", "signature", "strip")
    heading = "Keys today"
    leads = True

    keys: tuple[Key, ...] = fields.keys(label="Keys", help="Those of the lesson's drills unless some are listed.")
    shows_signature: bool = fields.yes_no(True, label="Key signature")
    boxes: int = fields.whole(
        0, least=0, most=7, label="Boxes under each key", help="One to tick for each first try that was right."
    )

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        keys = self.keys or scene.keys or (scene.setting.key,)
        cells = tuple(replace(cell, boxes=self.boxes) for cell in strip_of(keys, scene.setting))
        named = " and ".join(map(scene.setting.label_style.key, keys)) if len(keys) < 3 else f"{len(keys)} keys"
        return (Strip(cells, keys[0] if self.shows_signature and len(keys) < 3 else None, named),)
