"""What a lesson is for, said to parents: what the hands do, told from the notes, without a word of the trade."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from lessonkit.drills.exercise import Blank, Exercise, Hand
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.passages import Kind, passages
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting

NOTHING_PLAYED = "This week your child learns something at the piano well enough to make up music with it."

DOINGS = {
    Kind.CHORDS: "several keys pressed together",
    Kind.POSITIONS: "handfuls of keys played one after another",
    Kind.LINE: "runs of single notes",
    Kind.BASS: "slow low notes that carry the rest",
}
"""What a hand does, for each kind of passage."""

HANDS = {
    (True, True): "with both hands together",
    (True, False): "with each hand by itself",
    (False, True): "with the right hand",
    (False, False): "with the left hand",
}
"""Which hands: whether both are needed, and then whether together, or whether it is the right one."""

MOST_DOINGS = 2
"""So many things that the hands do are told, those of most drills."""

MANY_KEYS = 4
"""From so many keys on it is worth telling that the same begins in many places."""


def aim_for_parents(drills: Sequence[DrillFamily], setting: Setting) -> str:
    """A few sentences about the drills of a lesson."""
    doings: Counter[Kind] = Counter()
    hands: set[Hand] = set()
    are_together, has_sheet, is_by_ear, keys = False, False, False, 0
    for drill in drills:
        try:
            exercise = realise(drill, setting)
        except ValueError:
            continue
        found = passages(exercise, drill.texture(), setting.hands)
        doings.update({one.kind for one in found})
        hands |= {one.hand for one in found}
        are_together = are_together or len(exercise.hands) > 1
        has_sheet = has_sheet or exercise.has_answers
        is_by_ear = is_by_ear or _is_by_ear(exercise)
        keys = max(keys, len(exercise.key_starts))
    if not doings:
        return NOTHING_PLAYED
    are_both = len(hands) > 1
    which = HANDS[are_both, are_together if are_both else Hand.RIGHT in hands]
    most = {kind for kind, _ in doings.most_common(MOST_DOINGS)}
    told = [f"This week your child plays {_listed([DOINGS[kind] for kind in DOINGS if kind in most])}, {which}."]
    if keys >= MANY_KEYS:
        told.append("The same begins in many places of the keyboard, so that none stays strange.")
    if is_by_ear:
        told.append("Some of it is found by listening alone.")
    if has_sheet:
        told.append("Something is to be filled in with a pencil.")
    return " ".join([*told, "In the end all of it is used to make up music."])


def _is_by_ear(exercise: Exercise) -> bool:
    return {Blank.NOTES, Blank.CHORD_NAMES} <= set(exercise.blank)


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
