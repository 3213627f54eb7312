"""The player's hands and the faces of chord qualities in files: lessons and students keep them in the same words."""

from __future__ import annotations

from lessonkit.hands.profile import HandProfile
from lessonkit.storage.shapes import HandsShape, LabelStyleShape
from lessonkit.storage.written import Tree
from lessonkit.theory.label_style import PLAIN_STYLE, LabelStyle
from lessonkit.theory.naming import NoteNames


def hands_of(shape: HandsShape) -> HandProfile:
    """The hands that a decoded file tells of; raises ValueError where they cannot be."""
    return HandProfile(
        shape.right_span,
        shape.left_span,
        shape.keep_thumb_off_black,
        shape.keep_little_finger_off_black,
        shape.avoid_stretches,
    )


def tree_of_hands(hands: HandProfile) -> Tree:
    """Hands as they are written; raises ValueError where a number is not whole."""
    return {
        "right_span": _whole(hands.right_span),
        "left_span": _whole(hands.left_span),
        "keep_thumb_off_black": _whole(hands.keep_thumb_off_black),
        "keep_little_finger_off_black": _whole(hands.keep_little_finger_off_black),
        "avoid_stretches": hands.avoid_stretches,
    }


def faces_of(shape: LabelStyleShape) -> LabelStyle:
    """The label style that a decoded file tells of; raises ValueError for a face that there is not."""
    return LabelStyle(
        shape.half_diminished, shape.major_seventh, shape.minor, shape.diminished, shape.numerals,
        NoteNames[shape.notes.upper()],
    )  # fmt: skip


def tree_of_faces(style: LabelStyle) -> Tree:
    """A label style as it is written."""
    tree: dict[str, Tree] = {
        "half_diminished": style.half_diminished,
        "major_seventh": style.major_seventh,
        "minor": style.minor,
        "diminished": style.diminished,
    }
    # Written where they are chosen, so that files that leave them alone stay as they were.
    if style.numerals != PLAIN_STYLE.numerals:
        tree["numerals"] = style.numerals
    if style.notes is not NoteNames.ENGLISH:
        tree["notes"] = style.notes.name.lower()
    return tree


def _whole(number: float) -> int:
    if number != int(number):
        raise ValueError(f"{number:g} is not a whole number of millimetres or of strength")
    return int(number)
