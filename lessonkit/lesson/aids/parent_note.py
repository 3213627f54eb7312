"""A note to parents: what the page is for and how to help in five minutes, without a word of jargon."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.parents import aim_for_parents
from lessonkit.lesson.shown import Shown, Steps, Text
from lessonkit.values import dataclass

HELP = (
    "After a short warm-up ask to hear it once, and let this first try count.",
    "Listen without correcting. Then ask which place felt easiest.",
    "Ask for it slower. Slow and right is better than fast and nearly right.",
    "Ask for something made up with the same notes; there are no wrong answers.",
    "Stop if anything hurts, and tell the teacher.",
)


@dataclass(frozen=True)
class ParentNote(PageAid):
    """For parents in plain language: what the page is for, and how to help in five minutes."""

    code = "parent-note"
    title = "Note to parents"
    words = ("family", "home", "help", "plain language")
    heading = "For parents"

    aim: str = fields.lines("", label="What it is for", most=500, help="Left empty, it is told from the drills.")
    help_steps: str = fields.lines("", label="How to help", most=700, help="One a line.")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        steps = tuple(line.strip() for line in self.help_steps.splitlines() if line.strip())
        aim = self.aim or aim_for_parents(scene.drills, scene.setting)
        return Text(aim), Text("How to help in five minutes", is_heading=True), Steps(steps or HELP)
