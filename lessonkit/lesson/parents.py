"""What a lesson is for, said to parents: what the hands do, told from the notes, without a word of the trade."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from lessonkit.drills.exercise import Blank, Exercise, Hand
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.passages import Kind, Passage, passages
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting

NOTHING_PLAYED = "This week your child learns something at the piano well enough to make up music with it."

DOINGS = {
    Kind.CHORDS: ("presses", "several keys together"),
    Kind.POSITIONS: ("plays", "groups of keys one after another"),
    Kind.LINE: ("plays", "runs of single notes"),
    Kind.BASS: ("plays", "slow, low notes under the rest"),
}
"""What a hand does, for each kind of passage: the verb, and what."""

RIGHT, LEFT, BOTH = frozenset({Hand.RIGHT}), frozenset({Hand.LEFT}), frozenset(Hand)

HANDS = {
    frozenset({RIGHT}): "with the right hand",
    frozenset({LEFT}): "with the left hand",
    frozenset({RIGHT, LEFT}): "mostly with one hand at a time",
    frozenset({BOTH}): "with both hands at once",
}
"""With which hands, by the hands that the drills of a lesson need."""

MIXED_HANDS = "sometimes with one hand and sometimes with both"

MOST_DOINGS = 2
"""So many things that the hands do are told, those of most drills."""

MANY_KEYS = 4
"""From so many keys on it is worth telling that the same begins in many places."""


def aim_for_parents(drills: Sequence[DrillFamily], setting: Setting) -> str:
    """A few sentences about the drills of a lesson."""
    doings: Counter[Kind] = Counter()
    hands: set[frozenset[Hand]] = set()
    has_sheet, is_by_ear, keys = False, False, 0
    for drill in drills:
        try:
            exercise = realise(drill, setting)
        except ValueError:
            continue
        found = passages(exercise, drill.texture(), setting.hands)
        doings.update(_doings(found))
        hands.add(frozenset(one.hand for one in found))
        has_sheet = has_sheet or exercise.has_answers
        is_by_ear = is_by_ear or _is_by_ear(exercise)
        keys = max(keys, len(exercise.key_starts))
    if not doings:
        return NOTHING_PLAYED
    which = HANDS.get(frozenset(hands - {frozenset()}), MIXED_HANDS)
    if Kind.POSITIONS in doings and Kind.LINE in doings:
        # To a parent both are keys one after another; what is done more is told.
        del doings[min((Kind.LINE, Kind.POSITIONS), key=doings.__getitem__)]
    most = sorted((kind for kind in DOINGS if kind in doings), key=lambda kind: -doings[kind])[:MOST_DOINGS]
    told = [f"This week your child {_listed([kind for kind in DOINGS if kind in most])}, {which}."]
    if keys >= MANY_KEYS:
        told.append("The same is played from many different keys of the piano, until every one of them is familiar.")
    if is_by_ear:
        told.append("Some of it has to be found by listening alone.")
    if has_sheet:
        told.append("Part of the page is filled in with a pencil.")
    return " ".join([*told, "In the end your child makes up music with it."])


def _doings(found: Sequence[Passage]) -> set[Kind]:
    """What the hands do; single notes that are only struck together with chords of the other hand are part of them."""
    struck = {event.onset for one in found if one.kind is Kind.CHORDS for event in one.events}
    return {
        one.kind for one in found if one.kind is not Kind.LINE or not {event.onset for event in one.events} <= struck
    }


def _is_by_ear(exercise: Exercise) -> bool:
    return {Blank.NOTES, Blank.CHORD_NAMES} <= set(exercise.blank)


def _listed(kinds: Sequence[Kind]) -> str:
    """What is done, no verb said twice in a row."""
    told: list[str] = []
    before = ""
    for kind in kinds:
        verb, what = DOINGS[kind]
        told.append(what if verb == before else f"{verb} {what}")
        before = verb
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"
