"""What is told around a drill: its keys above it; small below it what was respelled, what to know, and its numbers."""

from __future__ import annotations

import re
from dataclasses import replace

from lessonkit.drills import fields
from lessonkit.drills.exercise import Bar, Blank, Exercise
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.key_deck import Order
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.naming import renamed


def remarks_told(exercise: Exercise) -> tuple[str, ...]:
    """The remarks of a drill as sentences; everything that was respelled for the reader makes one of them."""
    own = [_sentence(remark) for remark in exercise.remarks if remark not in exercise.respelled]
    if exercise.respelled:
        own.append(f"Written for easy reading: {'; '.join(exercise.respelled)}.")
    return tuple(own)


def chance_told(drill: DrillFamily, exercise: Exercise) -> str:
    """The number that brings the same sheet again, as ``Sheet 7``; empty where chance had no hand in it.

    Where the keys were shuffled on their own, theirs follows: ``Sheet 7, keys 9``.
    """
    if exercise.seed is None:
        return ""
    declared = drill.declared()
    applies = declared["seed"].applies if "seed" in declared else fields.never
    own = drill.settings()["seed"] if applies is None or applies(drill) else None
    keys = drill.key_seed if drill.is_carried and drill.key_order is Order.SHUFFLED else None
    if own is None:
        return f"Sheet {exercise.seed if keys is None else keys}"
    return f"Sheet {own}" + (f", keys {keys}" if keys is not None else "")


def caption_told(exercise: Exercise, summary: str, is_answered: bool = False) -> tuple[str, str]:
    """The keys of an exercise and what it is, for the line above it; what one says the other does not say again.

    Above answers nothing is asked any more.
    """
    keys = keys_in_words(exercise)
    if is_answered:
        summary = _JUDGED.sub(": ", _ASKED.sub("", summary))
    if Blank.KEY in exercise.blank:
        return keys, summary
    found = _keys(exercise)
    if len(found) > 1:
        return keys, re.sub(rf",? (?:carried through|in) {len(found)} keys(?=,| |$)", "", summary)
    key = re.escape(str(found[0]))
    summary = re.sub(rf"^{key} (?=in )", "The scale ", summary)
    return keys, re.sub(rf",? (?:in|of|on) {key}(?=,|$| on | up | with | in )", "", summary)


_ASKED = re.compile(r"(?:,| and)? (?:[a-z]+ )*to fill in$")
_JUDGED = re.compile(r": write (?=how )")
"""What a worksheet asks for, at the end of its line."""


LINE_TO_WRITE_ON = "_" * 14
"""Stands on a worksheet for what it asks for."""


def label_told(bar: Bar, is_asked: bool, style: LabelStyle) -> str:
    """What begins at a bar, with what it asks for or a line to write that on."""
    if not bar.answer:
        return renamed(bar.label, style.notes)
    return renamed(f"{bar.label} {LINE_TO_WRITE_ON if is_asked else bar.answer}", style.notes)


def labels_told_once(exercise: Exercise) -> Exercise:
    """The exercise without the name of its key above the staff where it has one key only, which is told above that."""
    key = str(_keys(exercise)[0])
    if len(_keys(exercise)) > 1 or Blank.KEY in exercise.blank:
        return exercise
    bars = tuple(replace(bar, label=_without(bar.label, key)) if bar.label.startswith(key) else bar
                 for bar in exercise.bars)  # fmt: skip
    return replace(exercise, bars=bars) if bars != exercise.bars else exercise


def _without(label: str, key: str) -> str:
    """What a label says besides its key: ``swing`` of ``A♭ major, swing``."""
    more = label.removeprefix(key)
    if more and not more.startswith((",", " ·", " (")):
        return label
    more = more.lstrip(", ·")
    return more[:1].upper() + more[1:]


def keys_in_words(exercise: Exercise) -> str:
    """The keys of an exercise: one or two by name, more by their number, and so where they are to be found."""
    keys = _keys(exercise)
    if Blank.KEY in exercise.blank:
        kind = exercise.key.mode.word
        return f"{len(keys)} {kind} keys to find" if len(keys) > 1 else f"A {kind} key to find"
    if len(keys) > 2:
        return f"{len(keys)} keys"
    return " and ".join(str(key) for key in keys)


def _keys(exercise: Exercise) -> list[Key]:
    return list(dict.fromkeys(bar.key for bar in exercise.bars if bar.key is not None)) or [exercise.key]


def _sentence(remark: str) -> str:
    return remark[:1].upper() + remark[1:].rstrip(".") + "."
