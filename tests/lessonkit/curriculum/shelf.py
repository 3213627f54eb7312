"""Lessons and terms made up for tests, from a number: the same number makes the same."""

from __future__ import annotations

import random
from datetime import date

from lessonkit.curriculum.term import Placement, Term, Week
from lessonkit.drills.family import DrillFamily, family
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson, Note, Space
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key

FEW_FAMILIES = ("broken-chords", "chord-jumps", "diatonic-ladder", "shell-voicings", "progression-through-keys")
QUALITIES = ("maj7", "7", "m7", "m7b5", "dim7", None)


def random_drill(chance: random.Random) -> DrillFamily:
    """A drill of a few families in a key of its own or the lesson's."""
    drill = family(chance.choice(FEW_FAMILIES))()
    settings: dict[str, object] = {}
    if chance.random() < 0.5:
        settings["key"] = chance.choice((*MAJOR_KEYS, *MINOR_KEYS)).ascii
    if chance.random() < 0.3:
        settings["key_count"] = chance.randint(2, 4)
    if chance.random() < 0.5:
        settings["quality"] = chance.choice(QUALITIES)
    if chance.random() < 0.5:
        settings["hands"] = chance.choice(("right", "left", "both"))
    if chance.random() < 0.2:
        settings["worksheet"] = "notes"
    known = {name: value for name, value in settings.items() if name in drill.declared() and value is not None}
    return type(drill).from_settings({**drill.settings(), **known})  # type: ignore[arg-type,dict-item]


def random_lesson(number: int) -> Lesson:
    """A lesson of a few blocks."""
    chance = random.Random(number)
    blocks: list[Block] = []
    for place in range(chance.randint(1, 6)):
        made: tuple[Block, ...] = (
            Heading("Shapes", 1, f"h{place}"),
            Note("Take {Imaj7}, then {V7}.", f"n{place}"),
            Space(20, f"s{place}"),
            Drill(random_drill(chance), f"d{place}"),
            Drill(random_drill(chance), f"e{place}"),
        )
        blocks.append(chance.choice(made))
    return Lesson(f"Lesson {number}", key=chance.choice((*MAJOR_KEYS, *MINOR_KEYS)), blocks=tuple(blocks))


def random_term(number: int, lessons: int = 6) -> tuple[Term, dict[str, Lesson]]:
    """A term and the lessons of its files; some are taught twice, in another key or dealt anew."""
    chance = random.Random(number)
    shelf = {f"lesson {place}.lesson": random_lesson(100 * number + place) for place in range(lessons)}
    weeks = []
    for place in range(chance.randint(1, 6)):
        placed = tuple(
            Placement(
                chance.choice(list(shelf)),
                key=Key.parse("Eb") if chance.random() < 0.3 else None,
                seed=chance.randint(0, 3),
                id=f"p{place}-{one}",
            )
            for one in range(chance.randint(0, 3))
        )
        weeks.append(Week(placed, id=f"w{place}"))
    return Term(f"Term {number}", date(2026, 9, 7), weeks=tuple(weeks)), shelf
