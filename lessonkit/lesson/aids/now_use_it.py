"""Now use it: a prompt to improvise with the material of the drill, which is what the drill is for."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.lesson.advice import advice_for
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Shown, Text
from lessonkit.values import dataclass


@dataclass(frozen=True)
class NowUseIt(PageAid):
    """A prompt to improvise with the same material: the point of the lesson."""

    code = "now-use-it"
    title = "Now use it"
    words = ("improvise", "prompt", "create", "task")
    heading = "Now use it"

    text: str = fields.lines("", label="Prompt", most=600, help="Left empty, it follows from the drill.")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        return (Text(self.text or advice_for(scene.drill, scene.setting).prompt),)
