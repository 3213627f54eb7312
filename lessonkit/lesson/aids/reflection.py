"""Reflection: one question, and lines to answer it on."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.lesson.advice import advice_for
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Lines, Shown, Text
from lessonkit.values import dataclass


@dataclass(frozen=True)
class Reflection(PageAid):
    """One question about the playing, with lines to answer it on."""

    code = "reflection"
    title = "Reflection"
    words = ("question", "write", "lines")
    heading = "Think back"

    question: str = fields.lines("", label="Question", most=300, help="Left empty, it follows from the drill.")
    line_count: int = fields.whole(2, least=0, most=12, label="Lines to write on")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        asked = Text(self.question or advice_for(scene.drill, scene.setting).question)
        return (asked, Lines(self.line_count)) if self.line_count else (asked,)
