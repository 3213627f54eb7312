"""Cautions: the line of care, in a place of the teacher's choosing instead of at the foot of the last page."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Shown, Text
from lessonkit.values import dataclass


@dataclass(frozen=True)
class Cautions(PageAid):
    """The line of care, here instead of at the foot of the last page; what the drills ask for is always said."""

    code = "cautions"
    title = "Cautions"
    words = ("pain", "health", "care", "stop", "rest")
    heading = "Take care"

    more: str = fields.lines("", label="Besides", most=300, help="Said after the lesson's own line of care.")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        said = " ".join(filter(None, (scene.care, self.more)))
        return (Text(said or "Stop if anything hurts, tingles or goes numb, and tell your teacher.", is_quiet=True),)
