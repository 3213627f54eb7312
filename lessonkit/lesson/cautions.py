"""The line of care that a handout with drills carries. The teacher may reword it; an empty wording is the usual one.

It promises nothing, diagnoses nothing and says when to stop (common practice of teachers and of musicians' medicine).
"""

from __future__ import annotations

from lessonkit.lesson.lesson import Drill, Lesson

STANDARD = (
    "Warm up with easy, quiet playing and rest often. Never force a stretch: roll the chord, break it or leave a note "
    "out. Stop if anything hurts, tingles or goes numb, and tell your teacher; if it comes back or lasts, see a doctor."
)


def caution_of(lesson: Lesson) -> str:
    """The caution that a lesson's handout carries; empty where it has no drills to be careful with."""
    if not any(isinstance(block, Drill) for block in lesson.blocks):
        return ""
    return lesson.house.caution.strip() or STANDARD
