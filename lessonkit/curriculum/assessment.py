"""An assessment sheet: a few skills of the term, each in a key drawn by lot. The number of the draw is printed.

The same term and the same number always draw the same, so that a draw can be shown to have been one.
"""

from __future__ import annotations

from lessonkit.curriculum.coverage import Coverage
from lessonkit.curriculum.proposals import model_in
from lessonkit.curriculum.seen import Axis, Skill
from lessonkit.drills.family import family_if_known
from lessonkit.drills.passages import Kind
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note
from lessonkit.theory.enharmonic import shuffled
from lessonkit.theory.key import Key

TASKS = 4

LOOKED_FOR = (
    "hands apart, then together",
    "from memory",
    "even",
    "in tempo",
)
"""What is looked for in each task; common practice of examinations, no source."""


def assessment(coverage: Coverage, draw: int, code: str = "", tasks: int = TASKS) -> Lesson:
    """A sheet with so many tasks out of what a term covers; for a student's ``code`` the keys differ from others'."""
    number = _number(draw, code)
    drawn = drawn_tasks(coverage, number, tasks)
    paper = coverage.lessons[0].lesson if coverage.lessons else Lesson()
    blocks: list[Block] = [
        Note(
            f"Skills and keys were drawn by lot, with the number **{draw}**{f' for {code}' if code else ''}. "
            f"Play each task once, cold; the first try is the one that counts. Stop if anything hurts.",
            "how",
        )
    ]
    for place, (skill, key) in enumerate(drawn, 1):
        known = family_if_known(skill.family)
        title = known.title if known else skill.family
        found = model_in(coverage, skill, key)
        blocks += [
            Heading(f"{place}. {title} in {key}", 2, f"task-{place}"),
            Note("  ·  ".join(f"☐ {what}" for what in LOOKED_FOR), f"look-{place}"),
        ]
        if found is not None:
            blocks.append(Drill(found, f"drill-{place}"))
    blocks += [Heading("Something of your own", 2, "own"), Note(_own(drawn), "own-note")]
    return Lesson(
        "Assessment", "", paper.author, paper.key, paper.tempo, paper.paper, paper.house, tuple(blocks)
    )  # fmt: skip


def drawn_tasks(coverage: Coverage, number: int, tasks: int = TASKS) -> tuple[tuple[Skill, Key], ...]:
    """Skills of as many families, and for each a key in which it was played; no key twice while others are left."""
    counts = coverage.counts(Axis.SKILL, Axis.KEY)
    skills = [skill for skill in coverage.values(Axis.SKILL) if skill.way is not Kind.BASS]
    found: list[tuple[Skill, Key]] = []
    order = shuffled(skills, number)
    # Once round with fresh keys only; then again with any, for a term that knows few.
    for is_fresh in (True, False):
        for place, skill in enumerate(order):
            if len(found) == tasks or skill.family in {one.family for one, _ in found}:
                continue
            taken = {key for _, key in found} if is_fresh else set()
            keys = [key for key in coverage.values(Axis.KEY) if counts.get((skill, key)) and key not in taken]
            key = shuffled(keys, number + 1000 * (place + 1))[0] if keys else None
            if key is not None and model_in(coverage, skill, key) is not None:
                found.append((skill, key))
    return tuple(found)


def _number(draw: int, code: str) -> int:
    """A number for the lot of one student, the same on every machine."""
    number = draw
    for sign in code:
        number = (number * 131 + ord(sign)) % 1_000_003
    return number


def _own(drawn: tuple[tuple[Skill, Key], ...]) -> str:
    key = f"in {drawn[-1][1]}" if drawn else "in a key of your own choice"
    return f"Improvise for a minute {key}, with the material of one of these tasks. Say beforehand which."
