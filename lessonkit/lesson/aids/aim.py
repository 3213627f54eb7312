"""The aim: one sentence that says what can be seen and heard when the page has done its work."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.lesson.advice import aim_of
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Shown, Text
from lessonkit.values import dataclass


@dataclass(frozen=True)
class Aim(PageAid):
    """One sentence that can be seen and heard: what is played, by which hand, how far and how fast."""

    code = "aim"
    title = "Aim"
    words = ("goal", "objective", "target")
    heading = "Aim"
    leads = True

    text: str = fields.lines("", label="Aim", most=300, help="Left empty, it says what the drill below asks for.")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        own = aim_of(scene.drill, scene.setting) if scene.drill is not None else ""
        return (Text(self.text or own or "Play it evenly, without stopping.", is_large=True),)
