"""What is told around a drill: its keys above it; small below it what was respelled, what to know, and its numbers."""

from __future__ import annotations

from lessonkit.drills.exercise import Blank, Exercise
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.key_deck import Order


def remarks_told(exercise: Exercise) -> tuple[str, ...]:
    """The remarks of a drill as sentences; everything that was respelled for the reader makes one of them."""
    own = [_sentence(remark) for remark in exercise.remarks if remark not in exercise.respelled]
    if exercise.respelled:
        own.append(f"Written for easy reading: {'; '.join(exercise.respelled)}.")
    return tuple(own)


def chance_told(drill: DrillFamily, exercise: Exercise) -> str:
    """The numbers that bring the same drill again, as ``Shuffle number 7``; empty where chance had no hand in it."""
    if exercise.seed is None:
        return ""
    declared = drill.declared()
    found: dict[str, None] = {}
    if "seed" in declared:
        applies = declared["seed"].applies
        if applies is None or applies(drill):
            found[f"{declared['seed'].label} {drill.settings()['seed']}"] = None
    if drill.is_carried and drill.key_order is Order.SHUFFLED:
        found[f"{declared['key_seed'].label} {drill.key_seed}"] = None
    return ", ".join(found) or f"Number {exercise.seed}"


def keys_in_words(exercise: Exercise) -> str:
    """The keys of an exercise: one or two by name, more by their number, and so where they are to be found."""
    keys = list(dict.fromkeys(bar.key for bar in exercise.bars if bar.key is not None)) or [exercise.key]
    if Blank.KEY in exercise.blank:
        kind = exercise.key.mode.word
        return f"{len(keys)} {kind} keys to find" if len(keys) > 1 else f"A {kind} key to find"
    if len(keys) > 2:
        return f"{len(keys)} keys"
    return " and ".join(str(key) for key in keys)


def _sentence(remark: str) -> str:
    return remark[:1].upper() + remark[1:].rstrip(".") + "."
