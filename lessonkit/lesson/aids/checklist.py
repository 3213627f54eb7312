"""The checklist: what to listen and look for, with boxes to tick."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.lesson.advice import advice_for
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Shown, Steps
from lessonkit.values import dataclass


@dataclass(frozen=True)
class Checklist(PageAid):
    """What to listen and look for, with boxes to tick."""

    code = "checklist"
    title = "Checklist"
    words = ("boxes", "tick", "self-check")
    heading = "Check"

    items: str = fields.lines("", label="Items", most=800, help="One a line; left empty, they follow from the drill.")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        own = tuple(line.strip() for line in self.items.splitlines() if line.strip())
        return (Steps(own or advice_for(scene.drill, scene.setting).checks, has_boxes=True),)
