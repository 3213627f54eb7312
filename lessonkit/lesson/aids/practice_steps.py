"""Practice steps: three to five things to do, each in three minutes at most."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.lesson.advice import advice_for
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Shown, Steps
from lessonkit.values import dataclass


@dataclass(frozen=True)
class PracticeSteps(PageAid):
    """Three to five things to do one after another; they follow from what the hands do in the drill."""

    code = "practice-steps"
    title = "Practice steps"
    words = ("how to practise", "instructions", "list")
    heading = "How to practise it"

    steps: str = fields.lines("", label="Steps", most=800, help="One a line; left empty, they follow from the drill.")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        own = tuple(line.strip() for line in self.steps.splitlines() if line.strip())
        return (Steps(own or advice_for(scene.drill, scene.setting).steps),)
