"""The tempo ladder: marks of the metronome with boxes, start and goal ringed."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.drills import fields
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.tempo_ladder import is_dotted, nearest_mark, tempo_ladder
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Ladder, Shown
from lessonkit.values import dataclass


@dataclass(frozen=True)
class TempoLadder(PageAid):
    """Marks of the metronome with a box each, to be ticked when the drill is safe at that tempo."""

    code = "tempo-ladder"
    title = "Tempo ladder"
    words = ("metronome", "speed", "boxes")
    heading = "Tempo"
    leads = True

    steps: int = fields.whole(5, least=2, most=8, label="Steps")
    start: int | None = fields.tempo(label="From", unset="slower than the lesson")
    goal: int | None = fields.tempo(label="To", unset="the lesson's tempo")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        drill = scene.drill or DrillFamily()
        dotted = is_dotted(drill)
        goal = self.goal or nearest_mark(scene.setting.tempo * (2 / 3 if dotted else 1))
        start = self.start or nearest_mark(goal * 0.7)
        asked = replace(drill, ladder_steps=self.steps, ladder_start=start, ladder_goal=goal)
        return (Ladder("♩." if dotted else "♩", tempo_ladder(asked, scene.setting)),)
